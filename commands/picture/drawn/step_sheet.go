package drawn

import (
	"fmt"

	"larkfold/commands/picture/paint"
	"larkfold/sizing"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
)

// mostOnSheet is how many steps one sheet of small pictures shows.
const mostOnSheet = 24

// StepSheet draws the small pictures of the steps of a panel side by side, each under
// its number.
func StepSheet(sized sizing.Sized, in Instructions, units length.Style) *paint.Drawing {
	d := &paint.Drawing{Title: Title(sized), Width: paint.PageWidth, Pixels: 800}
	y := d.Heading(d.Title, noun.Capital(in.Name))
	const gap, number = 10, 18
	wide := (paint.PageWidth - 2*chartMargin - gap) / 2
	s := NewStepper(sized, units)
	d.Say(fmt.Sprintf("%s of %s, a picture each.", noun.Capital(noun.Count(len(in.Spans), "step")), in.Name))
	high := paint.Points(0)
	for n, of := range in.Spans {
		if n == mostOnSheet {
			y = d.Paragraph(fmt.Sprintf("and %s in the print", noun.Count(len(in.Spans)-n, "more step")), paint.At(chartMargin, y+high+14), paint.NoteStyle(), wide*2, 13)
			high = 0
			break
		}
		if n%2 == 0 {
			y, high = y+high, 0
		}
		page := s.Step(of, wide, wide, &paint.Drawing{Pixels: int(2 * wide)})
		at := paint.At(chartMargin+(wide+gap)*paint.Points(n%2), y+number)
		part := d.Open(AStep, n, at)
		d.Inset(page, at)
		d.Line(paint.Rectangle(paint.Between(at.X, at.Y, at.X+wide, at.Y+page.Height)), paint.FaintInk(), 0.8)
		d.Close(part)
		d.Parts[part].Name = in.Number(n)
		part = d.Open(paint.ALine, n, at)
		d.Write(in.Number(n)+".", paint.At(at.X, at.Y-5), paint.BoldStyle(), paint.Leftward, 0)
		d.Close(part)
		d.Say(in.Number(n) + ": " + page.Alt())
		high = max(high, number+page.Height+8)
	}
	d.Finish(y + high)
	return d
}
