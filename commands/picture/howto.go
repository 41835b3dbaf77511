package picture

import (
	"fmt"
	"strings"

	"larkfold/sizing/knot"
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
	d.write(s.caption, Point{(b.Left + b.Right) / 2, b.Bottom - 8}, noteStyle(), centred, b.Right-b.Left-8)
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
	g := knot.Gauge{Diameter: 1_000_000, Rod: 4_000_000, Ends: t.ends}
	size, err := k.Size(g)
	if err != nil {
		return
	}
	w, h := Points(size.Width)/1e6, Points(size.Height)/1e6 // in cord widths
	if k.Shape == knot.Hitch {
		w = 2.5 * Points(t.times)
	}
	if k.Shape == knot.Plait {
		h *= Points(t.times)
	}
	rows := Points(t.times)
	if k.Shape == knot.Hitch || k.Shape == knot.Plait {
		rows = 1
	}
	unit := min((b.Right-b.Left-16)/max(w, Points(t.ends)+1), (b.Bottom-b.Top-34)/(h*rows), 13)
	f := upright(Point{(b.Left + b.Right) / 2, (b.Top+b.Bottom)/2 - h*rows*unit/2})
	s := symbol{Drawing: d, f: f, w: w * unit, h: h * unit, d: unit}
	for i := range t.ends {
		s.cords = append(s.cords, manner(k, i+1, t.ends))
		s.sides = append(s.sides, (Points(i)-Points(t.ends-1)/2)*unit)
	}
	if k.Shape == knot.Hitch {
		s.cords = []int{1, 2}
		s.w = 2.5 * unit
		for i := range t.times {
			s.f.at.X = f.at.X + (Points(i)-Points(t.times-1)/2)*s.w
			for _, y := range []Points{-0.5, 1} {
				s.bend(2, 0, y, 0, y+0.5)
			}
			s.draw(k)
		}
		return
	}
	if k.Shape == knot.Wrap {
		s.sides, s.cords = nil, []int{1}
		for i := range 4 {
			x := (Points(i) - 1.5) * 1.0
			s.bend(0, x, -2, x, h*8+2)
		}
		s.h, s.turns = unit*8, 8
		s.f.at.Y = (b.Top+b.Bottom)/2 - s.h/2
		s.w = 6 * unit
		s.draw(k)
		return
	}
	for i, x := range s.sides {
		s.bend(s.cords[i], x/unit, -0.6/h*1.4, x/unit, 0)
		s.bend(s.cords[i], x/unit, rows, x/unit, rows+0.6/h*1.4)
	}
	for range t.times {
		s.draw(k)
		s.f.at.Y += s.h
		if k.Shape == knot.Plait {
			break
		}
		if k.Cross {
			n := len(s.cords)
			s.cords[0], s.cords[n-1] = s.cords[n-1], s.cords[0]
		}
	}
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
