package picture

import (
	"fmt"
	"strings"

	"larkfold/sizing/knot"
	"larkfold/sizing/length"
)

// pass is a stretch of one end in a stage: what is drawn later lies over it.
type pass struct {
	end int // counted from 1; 0 is the rod
	xy  []Points
}

// stage is one step of tying, drawn in a field 10 wide and 10 high with its
// origin at the middle of its top. Ends names where the numbers stand.
type stage struct {
	caption string
	passes  []pass
	tops    map[int]Point // numbers where ends come in
	feet    map[int]Point // and where they go out
	tight   *tightened
}

// tightened is the finished knot, drawn as in the picture of a piece.
type tightened struct {
	ends, times int
}

// manner is how the ends of a knot are drawn in its stages: those that work
// coloured and patterned, the others plain.
func manner(k *knot.Knot, end, ends int) int {
	if k.Shape == knot.Wrap {
		return 2 - min(end, 2) // 1 is wound, the others are what it is wound round
	}
	if k.Shape != knot.Group {
		return end
	}
	roles, _ := k.Cast(ends)
	if !k.Roles[roles[end-1]].Works {
		return 0
	}
	for before := range end - 1 {
		if k.Roles[roles[before]].Works {
			return 2
		}
	}
	return 1
}

// Knot draws how a knot of the book is tied: stages with numbered ends where over
// and under can be seen, and the steps in words. A knot that only its row is
// known of is shown as a scheme of its ends.
func Knot(k *knot.Knot) *Drawing {
	d := &Drawing{Title: upper(k.Name), Width: pageWidth, pixels: 1200}
	below := k.About
	y := d.heading(d.Title, "")
	y = d.paragraph(below, Point{pageMargin, y + 4}, subStyle(), pageWidth-2*pageMargin, 14) + 4
	stages, ends := stagesOf(k)
	across := min(3, len(stages))
	if across > 0 {
		field := (pageWidth - 2*pageMargin) / Points(max(across, 2))
		left := (pageWidth - field*Points(across)) / 2
		for i, s := range stages {
			x := left + field*(Points(i%across)+0.5)
			if i > 0 && i%across == 0 {
				y += 190
			}
			d.stage(k, i, s, ends, Box{x - field/2 + 6, y, x + field/2 - 6, y + 180})
		}
		y += 196
	}
	y = d.endsLegend(k, ends, y)
	for i, step := range k.HowTo {
		part := d.open(ALine, i, Point{pageMargin, y})
		d.write(fmt.Sprintf("%d.", i+1), Point{pageMargin, y}, boldStyle(), leftward, 0)
		d.close(part)
		y = d.paragraph(step, Point{pageMargin + 18, y}, textStyle(), pageWidth-2*pageMargin-18, 14) + 3
	}
	if k.Note != "" {
		y = d.paragraph(k.Note, Point{pageMargin, y + 2}, noteStyle(), pageWidth-2*pageMargin, 12)
	}
	d.finish(y - 4)
	d.say(fmt.Sprintf("How to tie a %s.", k.Name))
	d.say(k.About)
	for i, step := range k.HowTo {
		d.say(fmt.Sprintf("%d. %s", i+1, step))
	}
	return d
}

func upper(s string) string {
	if s == "" {
		return s
	}
	r := []rune(s)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}

// stage draws one stage into a box.
func (d *Drawing) stage(k *knot.Knot, index int, s stage, ends int, b Box) {
	part := d.open(AStage, index, Point{(b.Left + b.Right) / 2, b.Top})
	d.fill(rounded(b, 8), rgb(0xFFFDF8))
	unit := min((b.Right-b.Left-8)/10, (b.Bottom-b.Top-48)/10)
	origin := Point{(b.Left + b.Right) / 2, b.Top + 20}
	to := func(p Point) Point { return Point{origin.X + p.X*unit, origin.Y + p.Y*unit} }
	width := unit * 0.62
	for _, p := range s.passes {
		points := make([]Point, len(p.xy)/2)
		for i := range points {
			points[i] = to(Point{p.xy[2*i], p.xy[2*i+1]})
		}
		if p.end == 0 && k.Name == "fringe lark's head" { // the edge's own cord
			d.lay(polyline(points...), dyeOf(0), width*1.4)
			continue
		}
		if p.end == 0 {
			half := unit * 1.0
			d.add(Shape{Path: rounded(Box{points[0].X, points[0].Y - half, points[1].X, points[1].Y + half}, 4), Fill: woodInk(), Stroke: grainInk(), Width: 0.8})
			continue
		}
		path := smooth(points...)
		d.line(path, rgb(0xFFFDF8), width*1.75) // the break of what passes under
		d.lay(path, dyeOf(manner(k, p.end, ends)), width)
	}
	if s.tight != nil {
		d.tightened(k, s.tight, Box{b.Left, b.Top + 8, b.Right, b.Bottom - 24})
	}
	for _, side := range []map[int]Point{s.tops, s.feet} {
		for end := 1; end <= ends; end++ {
			if p, ok := side[end]; ok {
				d.number(end, to(p))
			}
		}
	}
	caption := Plain.wrap(s.caption, noteStyle().size, b.Right-b.Left-14)
	for i, line := range caption {
		d.write(line, Point{(b.Left + b.Right) / 2, b.Bottom - 8 - 11*Points(len(caption)-1-i)}, noteStyle(), centred, b.Right-b.Left-8)
	}
	d.close(part)
	d.Parts[part].Name = s.caption
}

// number is the number of an end.
func (d *Drawing) number(end int, at Point) {
	d.add(Shape{Path: circle(at, 6), Fill: darkInk()})
	d.write(fmt.Sprint(end), Point{at.X, at.Y + 2.9}, style{Bold, 8, rgb(0xFFFDF8)}, centred, 0)
}

// tightened draws the finished knot large.
func (d *Drawing) tightened(k *knot.Knot, t *tightened, b Box) {
	s := symbol{Drawing: d}
	for i := range t.ends {
		s.cords = append(s.cords, manner(k, i+1, t.ends))
		s.sides = append(s.sides, Points(i)-Points(t.ends-1)/2) // in cord widths for now
	}
	middle := Point{(b.Left + b.Right) / 2, (b.Top + b.Bottom) / 2}
	switch k.Shape {
	case knot.Hitch:
		s.row(k, t.times, middle, b)
		return
	case knot.Wrap:
		s.wound(t.times, middle, b)
		return
	case knot.Pattern:
		s.net(middle, b)
		return
	}
	size, err := k.Size(knot.Gauge{Diameter: length.Millimetre, Rod: 4 * length.Millimetre, Ends: t.ends})
	if err != nil {
		return
	}
	w, h := Points(size.Width)/Points(length.Millimetre), Points(size.Height)/Points(length.Millimetre) // in cord widths
	rows := t.times
	if k.Shape == knot.Plait { // one long plait of so many repeats
		h, rows = h*Points(t.times), 1
	}
	s.scale(min((b.Right-b.Left-16)/max(w, Points(t.ends)+1), (b.Bottom-b.Top-34)/(h*Points(rows)), 13))
	s.w, s.h = w*s.d, h*s.d
	s.f = upright(Point{middle.X, middle.Y - s.h*Points(rows)/2})
	for i, x := range s.sides {
		s.bend(s.cords[i], x/s.d, -0.9/h, x/s.d, overlap)
		s.bend(s.cords[i], x/s.d, Points(rows)-overlap, x/s.d, Points(rows)+0.9/h)
	}
	for range rows {
		s.draw(k)
		s.f.at.Y += s.h
		if n := len(s.cords); k.Cross {
			s.cords[0], s.cords[n-1] = s.cords[n-1], s.cords[0]
		}
	}
}

// scale sets the width of a cord on the page.
func (s *symbol) scale(width Points) {
	s.d = width
	for i := range s.sides {
		s.sides[i] *= width
	}
}

// row draws hitches side by side over one carrier.
func (s *symbol) row(k *knot.Knot, times int, middle Point, b Box) {
	const pitch = 2.5
	s.scale(min((b.Right-b.Left-16)/(pitch*Points(times)), 13))
	s.cords = []int{1, 2}
	s.w, s.h = pitch*s.d, 3*s.d
	for i := range times {
		s.f = upright(Point{middle.X + (Points(i)-Points(times-1)/2)*s.w, middle.Y - s.h/2})
		s.bend(2, 0, -0.5, 0, 0)
		s.bend(2, 0, 1, 0, 1.5)
		s.draw(k)
	}
}

// wound draws a wrap of so many turns round plain ends.
func (s *symbol) wound(turns int, middle Point, b Box) {
	s.scale(min((b.Bottom-b.Top-16)/Points(turns+5), 13))
	s.w, s.h, s.turns = Points(len(s.cords)+1)*s.d, Points(turns)*s.d, turns
	s.f = upright(Point{middle.X, middle.Y - s.h/2})
	for i, x := range s.sides {
		s.bend(s.cords[min(i+1, len(s.cords)-1)], x/s.d, -2/Points(turns), x/s.d, 1+2/Points(turns))
	}
	s.wrap()
}

// net draws three rows of square knots, shifted in turn.
func (s *symbol) net(middle Point, b Box) {
	s.scale(min((b.Right-b.Left-16)/18, (b.Bottom-b.Top-16)/17))
	s.cords, s.w, s.h = []int{1, 0, 0, 2}, 6*s.d, 4*s.d
	s.sides = []Points{-1.5 * s.d, -0.5 * s.d, 0.5 * s.d, 1.5 * s.d}
	pitch := 7.2 * s.d
	top := middle.Y - s.h*1.9
	for row := range 3 {
		first, n := -0.5, 2
		if row == 1 {
			first, n = -1, 3
		}
		for i := range n {
			x := middle.X + (Points(first)+Points(i))*pitch
			y := top + Points(row)*s.h*1.3
			s.f = upright(Point{x, y})
			if row < 2 {
				for j, side := range s.sides {
					to := Points(-0.5)
					if j > 1 {
						to = 0.5
					}
					into := s.sides[(j+2)%4] + to*pitch
					if row == 1 && (i == 0 && j < 2 || i == n-1 && j > 1) {
						into = side
					}
					s.bend(s.cords[j], side/s.d, 1, into/s.d, 1.3)
				}
			}
			s.draw(squareKnot())
		}
	}
}

func squareKnot() *knot.Knot {
	k, _ := knot.Standard().Knot("square knot")
	return k
}

// endsLegend says which look is which end.
func (d *Drawing) endsLegend(k *knot.Knot, ends int, y Points) Points {
	if k.Shape != knot.Group || ends == 0 {
		return y + 4
	}
	roles, _ := k.Cast(ends)
	x := pageMargin
	seen := map[int]bool{}
	for end := 1; end <= ends; end++ {
		m := manner(k, end, ends)
		if seen[m] {
			continue
		}
		seen[m] = true
		var numbers []string
		for other := end; other <= ends; other++ {
			if manner(k, other, ends) == m {
				numbers = append(numbers, fmt.Sprint(other))
			}
		}
		if len(numbers) > 3 {
			numbers = []string{numbers[0] + " to " + numbers[len(numbers)-1]}
		}
		part := d.open(ALine, -1, Point{x, y})
		d.sample(m, Box{x, y, x + 26, y}, 6)
		x += 32 + d.write(k.Roles[roles[end-1]].Name+" "+strings.Join(numbers, ", "), Point{x + 32, y + 3.6}, subStyle(), leftward, 130) + 20
		d.close(part)
	}
	return y + 24
}
