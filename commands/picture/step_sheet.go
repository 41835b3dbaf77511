package picture

import (
	"fmt"

	"larkfold/sizing"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
)

// mostOnSheet is how many steps one sheet of small pictures shows.
const mostOnSheet = 24

// StepSheet draws the small pictures of the steps of a panel side by side, each under
// its number.
func StepSheet(sized sizing.Sized, in Instructions, units length.Style) *Drawing {
	d := &Drawing{Title: pieceName(sized), Width: pageWidth, pixels: 800}
	y := d.heading(d.Title, noun.Capital(in.Name))
	const gap, number = 10, 18
	wide := (pageWidth - 2*chartMargin - gap) / 2
	s := newStepper(sized, units)
	d.say(fmt.Sprintf("%s of %s, a picture each.", noun.Capital(noun.Count(len(in.Spans), "step")), in.Name))
	high := Points(0)
	for n, of := range in.Spans {
		if n == mostOnSheet {
			y = d.paragraph(fmt.Sprintf("and %s in the print", noun.Count(len(in.Spans)-n, "more step")), Point{chartMargin, y + high + 14}, noteStyle(), wide*2, 13)
			high = 0
			break
		}
		if n%2 == 0 {
			y, high = y+high, 0
		}
		page := s.step(of, wide, wide, &Drawing{pixels: int(2 * wide)})
		at := Point{chartMargin + (wide+gap)*Points(n%2), y + number}
		part := d.open(AStep, n, at)
		d.inset(page, at)
		d.line(rectangle(Box{at.X, at.Y, at.X + wide, at.Y + page.Height}), faintInk(), 0.8)
		d.close(part)
		d.Parts[part].Name = in.Number(n)
		part = d.open(ALine, n, at)
		d.write(in.Number(n)+".", Point{at.X, at.Y - 5}, boldStyle(), leftward, 0)
		d.close(part)
		d.say(in.Number(n) + ": " + page.Alt())
		high = max(high, number+page.Height+8)
	}
	d.finish(y + high)
	return d
}
