package picture

import (
	"fmt"
	"strings"

	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
)

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

// AStage is a stage of tying a knot.
const AStage Kind = "stage"

// lesson is the page that shows how a knot is tied.
type lesson struct{ *Drawing }

// Knot draws how a knot of the book is tied: one numbered picture for every numbered
// step, of both hands if it has two names, and the steps in words. A knot that only
// its row is known of says so, and shows a scheme of its ends and its formulas.
func Knot(k *knot.Knot) *Drawing {
	d := &lesson{&Drawing{Title: noun.Capital(k.Name), Width: pageWidth, pixels: 1200}}
	y := d.heading(d.Title, "")
	y = d.paragraph(k.About, Point{pageMargin, y + 4}, subStyle(), pageWidth-2*pageMargin, 14) + 4
	if k.Diagram == nil {
		y = d.schemeOf(k, y)
	} else {
		y = d.steps(k, y)
	}
	for i, step := range k.HowTo {
		part := d.open(ALine, i, Point{pageMargin, y})
		d.write(fmt.Sprintf("%d.", i+1), Point{pageMargin, y}, boldStyle(), leftward, 0)
		d.close(part)
		y = d.paragraph(step, Point{pageMargin + 18, y}, textStyle(), pageWidth-2*pageMargin-18, 14) + 3
	}
	if k.Note != "" {
		y = d.paragraph(k.Note, Point{pageMargin, y + 2}, noteStyle(), pageWidth-2*pageMargin, 13)
	}
	d.finish(y - 4)
	d.say(fmt.Sprintf("How to tie %s.", noun.Article(k.Name)))
	d.say(k.About)
	if k.Diagram == nil {
		d.say("It has no diagram, only a scheme of its ends.")
	}
	for i, step := range k.HowTo {
		d.say(fmt.Sprintf("%d. %s", i+1, step))
	}
	return d.Drawing
}

// schemeOf shows what a row without a diagram says: which end does what, and what
// each takes.
func (d *lesson) schemeOf(k *knot.Knot, y Points) Points {
	ends := 0
	if k.Shape == knot.Group {
		ends = max(1, min(k.Ends, 8))
		if k.Fits(ends) != nil {
			ends = min(k.Fewest, 12)
		}
		half := (pageWidth - 2*pageMargin) / 4
		b := Box{pageWidth/2 - half, y, pageWidth/2 + half, y + 120}
		part := d.open(AStage, 0, Point{pageWidth / 2, y})
		d.fill(rounded(b, 8), cardInk())
		d.tightened(k, ends, 1, b)
		d.close(part)
		y = b.Bottom + 16
		y = d.endsLegend(k, ends, y)
	}
	y = d.paragraph("This knot has no diagram in the book; it is known by what its ends take:", Point{pageMargin, y + 4}, subStyle(), pageWidth-2*pageMargin, 14)
	for _, r := range k.Roles {
		y = d.paragraph(r.Name+": "+r.Takes, Point{pageMargin, y}, textStyle(), pageWidth-2*pageMargin, 14)
	}
	return y + 6
}

// number is the number of an end.
func (d *lesson) number(end string, at Point) {
	d.add(Shape{Path: circle(at, 7), Fill: darkInk()})
	d.write(end, Point{at.X, at.Y + 3.6}, style{Bold, 10, cardInk()}, centred, 0)
}

// tightened draws the finished knot large, so many times.
func (d *lesson) tightened(k *knot.Knot, ends, times int, b Box) {
	s := symbol{Drawing: d.Drawing}
	for i := range ends {
		s.cords = append(s.cords, manner(k, i+1, ends))
		s.sides = append(s.sides, Points(i)-Points(ends-1)/2) // in cord widths for now
	}
	middle := Point{(b.Left + b.Right) / 2, (b.Top + b.Bottom) / 2}
	switch k.Shape {
	case knot.Hitch:
		s.row(k, times, middle, b)
		return
	case knot.Wrap:
		s.wound(times, middle, b)
		return
	case knot.Pattern:
		s.net(times, middle, b)
		return
	}
	size, err := k.Size(knot.Gauge{Diameter: length.Millimetre, Rod: 4 * length.Millimetre, Ends: ends})
	if err != nil {
		return
	}
	w, h := Points(size.Width)/Points(length.Millimetre), Points(size.Height)/Points(length.Millimetre) // in cord widths
	rows := times
	if k.Shape == knot.Plait { // one long plait of so many repeats
		h, rows = h*Points(times), 1
	}
	s.scale(min((b.Right-b.Left-16)/max(w, Points(ends)+1), (b.Bottom-b.Top-34)/(h*Points(rows)), 13))
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

// net draws up to three rows of square knots, shifted in turn.
func (s *symbol) net(rows int, middle Point, b Box) {
	s.scale(min((b.Right-b.Left-16)/18, (b.Bottom-b.Top-16)/17))
	s.cords, s.w, s.h = []int{1, 0, 0, 2}, 6*s.d, 4*s.d
	s.sides = []Points{-1.5 * s.d, -0.5 * s.d, 0.5 * s.d, 1.5 * s.d}
	pitch := 7.2 * s.d
	top := middle.Y - s.h*1.9
	for row := range rows {
		first, n := -0.5, 2
		if row == 1 {
			first, n = -1, 3
		}
		for i := range n {
			x := middle.X + (Points(first)+Points(i))*pitch
			y := top + Points(row)*s.h*1.3
			s.f = upright(Point{x, y})
			if row < rows-1 {
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
func (d *lesson) endsLegend(k *knot.Knot, ends int, y Points) Points {
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
		dyeOf(m).sample(d.Drawing, Box{x, y, x + 26, y}, 6)
		x += 32 + d.write(k.Roles[roles[end-1]].Name+" "+strings.Join(numbers, ", "), Point{x + 32, y + 3.6}, subStyle(), leftward, 130) + 20
		d.close(part)
	}
	return y + 24
}
