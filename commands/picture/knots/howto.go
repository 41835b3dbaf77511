package knots

import (
	"fmt"
	"strings"

	"larkfold/commands/picture/paint"
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
const AStage paint.Kind = "stage"

// lesson is the page that shows how a knot is tied.
type lesson struct{ *paint.Drawing }

// HowTo draws how a knot of the book is tied: one numbered picture for every numbered
// step, of both hands if it has two names, and the steps in words. A knot that only
// its row is known of says so, and shows a scheme of its ends and its formulas.
func HowTo(k *knot.Knot) *paint.Drawing {
	d := &lesson{&paint.Drawing{Title: noun.Capital(k.Name), Width: paint.PageWidth, Pixels: 1200}}
	y := d.Heading(d.Title, "")
	y = d.Paragraph(k.About, paint.At(paint.PageMargin, y+4), paint.SubStyle(), paint.PageWidth-2*paint.PageMargin, 14) + 4
	if k.Diagram == nil {
		y = d.schemeOf(k, y)
	} else {
		y = d.steps(k, y)
	}
	for i, step := range k.HowTo {
		part := d.Open(paint.ALine, i, paint.At(paint.PageMargin, y))
		d.Write(fmt.Sprintf("%d.", i+1), paint.At(paint.PageMargin, y), paint.BoldStyle(), paint.Leftward, 0)
		d.Close(part)
		y = d.Paragraph(step, paint.At(paint.PageMargin+18, y), paint.TextStyle(), paint.PageWidth-2*paint.PageMargin-18, 14) + 3
	}
	if k.Note != "" {
		y = d.Paragraph(k.Note, paint.At(paint.PageMargin, y+2), paint.NoteStyle(), paint.PageWidth-2*paint.PageMargin, 13)
	}
	d.Finish(y - 4)
	d.Say(fmt.Sprintf("How to tie %s.", noun.Article(k.Name)))
	d.Say(k.About)
	if k.Diagram == nil {
		d.Say("It has no diagram, only a scheme of its ends.")
	}
	for i, step := range k.HowTo {
		d.Say(fmt.Sprintf("%d. %s", i+1, step))
	}
	return d.Drawing
}

// schemeOf shows what a row without a diagram says: which end does what, and what
// each takes.
func (d *lesson) schemeOf(k *knot.Knot, y paint.Points) paint.Points {
	ends := 0
	if k.Shape == knot.Group {
		ends = max(1, min(k.Ends, 8))
		if k.Fits(ends) != nil {
			ends = min(k.Fewest, 12)
		}
		half := (paint.PageWidth - 2*paint.PageMargin) / 4
		b := paint.Between(paint.PageWidth/2-half, y, paint.PageWidth/2+half, y+120)
		part := d.Open(AStage, 0, paint.At(paint.PageWidth/2, y))
		d.Fill(paint.Rounded(b, 8), paint.CardInk())
		d.tightened(k, ends, 1, b)
		d.Close(part)
		y = b.Bottom + 16
		y = d.endsLegend(k, ends, y)
	}
	y = d.Paragraph("This knot has no diagram in the book; it is known by what its ends take:", paint.At(paint.PageMargin, y+4), paint.SubStyle(), paint.PageWidth-2*paint.PageMargin, 14)
	for _, r := range k.Roles {
		y = d.Paragraph(r.Name+": "+r.Takes, paint.At(paint.PageMargin, y), paint.TextStyle(), paint.PageWidth-2*paint.PageMargin, 14)
	}
	return y + 6
}

// number is the number of an end.
func (d *lesson) number(end string, at paint.Point) {
	d.Add(paint.Shape{Path: paint.Circle(at, 7), Fill: paint.DarkInk()})
	d.Write(end, paint.At(at.X, at.Y+3.6), paint.Style{Face: paint.Bold, Size: 10, Ink: paint.CardInk()}, paint.Centred, 0)
}

// tightened draws the finished knot large, so many times.
func (d *lesson) tightened(k *knot.Knot, ends, times int, b paint.Box) {
	s := Symbol{Drawing: d.Drawing}
	for i := range ends {
		s.Cords = append(s.Cords, manner(k, i+1, ends))
		s.Sides = append(s.Sides, paint.Points(i)-paint.Points(ends-1)/2) // in cord widths for now
	}
	middle := paint.At((b.Left+b.Right)/2, (b.Top+b.Bottom)/2)
	switch k.Shape {
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
	w, h := paint.Points(size.Width)/paint.Points(length.Millimetre), paint.Points(size.Height)/paint.Points(length.Millimetre) // in cord widths
	rows := times
	if k.Shape == knot.Plait { // one long plait of so many repeats
		h, rows = h*paint.Points(times), 1
	}
	s.scale(min((b.Right-b.Left-16)/max(w, paint.Points(ends)+1), (b.Bottom-b.Top-34)/(h*paint.Points(rows)), 13))
	s.Wide, s.High = w*s.Thick, h*s.Thick
	s.Frame = paint.Upright(paint.At(middle.X, middle.Y-s.High*paint.Points(rows)/2))
	for i, x := range s.Sides {
		s.bend(s.Cords[i], x/s.Thick, -0.9/h, x/s.Thick, overlap)
		s.bend(s.Cords[i], x/s.Thick, paint.Points(rows)-overlap, x/s.Thick, paint.Points(rows)+0.9/h)
	}
	for range rows {
		s.Draw(k)
		s.Frame.At.Y += s.High
		if n := len(s.Cords); k.Cross {
			s.Cords[0], s.Cords[n-1] = s.Cords[n-1], s.Cords[0]
		}
	}
}

// scale sets the width of a cord on the page.
func (s *Symbol) scale(width paint.Points) {
	s.Thick = width
	for i := range s.Sides {
		s.Sides[i] *= width
	}
}

// wound draws a wrap of so many turns round plain ends.
func (s *Symbol) wound(turns int, middle paint.Point, b paint.Box) {
	s.scale(min((b.Bottom-b.Top-16)/paint.Points(turns+5), 13))
	s.Wide, s.High, s.Turns = paint.Points(len(s.Cords)+1)*s.Thick, paint.Points(turns)*s.Thick, turns
	s.Frame = paint.Upright(paint.At(middle.X, middle.Y-s.High/2))
	for i, x := range s.Sides {
		s.bend(s.Cords[min(i+1, len(s.Cords)-1)], x/s.Thick, -2/paint.Points(turns), x/s.Thick, 1+2/paint.Points(turns))
	}
	s.wrap()
}

// net draws up to three rows of square knots, shifted in turn.
func (s *Symbol) net(rows int, middle paint.Point, b paint.Box) {
	s.scale(min((b.Right-b.Left-16)/18, (b.Bottom-b.Top-16)/17))
	s.Cords, s.Wide, s.High = []int{1, 0, 0, 2}, 6*s.Thick, 4*s.Thick
	s.Sides = []paint.Points{-1.5 * s.Thick, -0.5 * s.Thick, 0.5 * s.Thick, 1.5 * s.Thick}
	pitch := 7.2 * s.Thick
	top := middle.Y - s.High*1.9
	for row := range rows {
		first, n := -0.5, 2
		if row == 1 {
			first, n = -1, 3
		}
		for i := range n {
			x := middle.X + (paint.Points(first)+paint.Points(i))*pitch
			y := top + paint.Points(row)*s.High*1.3
			s.Frame = paint.Upright(paint.At(x, y))
			if row < rows-1 {
				for j, side := range s.Sides {
					to := paint.Points(-0.5)
					if j > 1 {
						to = 0.5
					}
					into := s.Sides[(j+2)%4] + to*pitch
					if row == 1 && (i == 0 && j < 2 || i == n-1 && j > 1) {
						into = side
					}
					s.bend(s.Cords[j], side/s.Thick, 1, into/s.Thick, 1.3)
				}
			}
			s.Draw(squareKnot())
		}
	}
}

func squareKnot() *knot.Knot {
	k, _ := knot.Standard().Knot("square knot")
	return k
}

// endsLegend says which look is which end.
func (d *lesson) endsLegend(k *knot.Knot, ends int, y paint.Points) paint.Points {
	if k.Shape != knot.Group || ends == 0 {
		return y + 4
	}
	roles, _ := k.Cast(ends)
	x := paint.PageMargin
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
		part := d.Open(paint.ALine, -1, paint.At(x, y))
		dyeOf(m).Sample(d.Drawing, paint.Between(x, y, x+26, y), 6)
		x += 32 + d.Write(k.Roles[roles[end-1]].Name+" "+strings.Join(numbers, ", "), paint.At(x+32, y+3.6), paint.SubStyle(), paint.Leftward, 130) + 20
		d.Close(part)
	}
	return y + 24
}
