package picture

import (
	"context"

	"larkfold/commands/picture/drawn"
	"larkfold/commands/picture/paint"
)

// The pictures beside the printed steps.
const (
	besideWide paint.Points = 168
	besideHigh paint.Points = 150
	besideGap  paint.Points = 14
)

// steps sets the steps in words, each beside its picture; a step and its picture
// stand on one page, and the name of a panel with its first step. When the context ends
// the rest is left out.
func (p *printer) steps(ctx context.Context) {
	s := drawn.NewStepper(p.sized, p.o.Units)
	for i, in := range p.o.Steps {
		for n, sentence := range in.Steps {
			if ctx.Err() != nil {
				return
			}
			var page *paint.Drawing
			if n < len(in.Spans) {
				page = s.Step(in.Spans[n], besideWide, besideHigh, &paint.Drawing{Paper: true, Pixels: int(3 * besideWide)})
			}
			high := p.stepHigh(sentence, page)
			if n == 0 && i == 0 {
				p.head("Steps", 16+high)
			}
			if n == 0 {
				p.room(16 + high)
				p.stepsOf(in.Name)
			}
			p.room(high)
			p.step(in.Number(n)+".", sentence, page)
		}
		p.y += 6
	}
}

// chart sets the chart, which the numbers of the steps lead to.
func (p *printer) chart() {
	if len(p.o.Steps) == 0 {
		return
	}
	page := &paint.Drawing{Width: p.text(), Paper: true, Pixels: paint.MostPixels}
	page.Height = drawn.DrawChart(page, p.sized, p.o.Steps, p.o.Units, paint.Between(0, 0, page.Width, mostChart))
	p.head("Chart", page.Height+20)
	p.y = p.Paragraph("Beside the work stand the numbers of the steps and of their rows; under the rod the ends are counted from the left.", paint.At(printMargin, p.y), paint.NoteStyle(), p.text(), 12)
	since := len(p.Shapes)
	at := paint.At(printMargin, p.y)
	p.Inset(page, at)
	p.Reads("Figure", page.Alt(), since)
	p.y += page.Height
}

// mostChart is how high the work of a printed chart is at most.
const mostChart paint.Points = 420

// stepsOf sets the name of a panel above its steps.
func (p *printer) stepsOf(name string) {
	since := len(p.Shapes)
	part := p.Open(paint.ALine, -1, paint.At(printMargin, p.y))
	p.Write(name, paint.At(printMargin, p.y), paint.BoldStyle(), paint.Leftward, p.text())
	p.Close(part)
	p.Reads("H3", "", since)
	p.y += 16
}

// stepText is how wide the sentence of a step is.
func (p *printer) stepText() paint.Points { return p.text() - itemInset - besideWide - besideGap }

// stepHigh is how much of the page a step takes with its picture.
func (p *printer) stepHigh(sentence string, page *paint.Drawing) paint.Points {
	high := itemLine*paint.Points(len(paint.TextStyle().Face.Wrap(sentence, paint.TextStyle().Size, p.stepText()))) + 6
	if page != nil {
		high = max(high, page.Height+12)
	}
	return min(high, p.bottom()-printMargin)
}

// step sets one step: its number, its sentence, and its picture beside it.
func (p *printer) step(sign, sentence string, page *paint.Drawing) {
	if page == nil {
		p.item(sign, sentence)
		return
	}
	top := p.y - 9 // of the letters
	since := len(p.Shapes)
	p.sign(sign)
	end := p.Paragraph(sentence, paint.At(printMargin+itemInset, p.y), paint.TextStyle(), p.stepText(), itemLine)
	p.Reads("P", "", since)
	since = len(p.Shapes)
	at := paint.At(p.wide-printMargin-besideWide, top)
	part := p.Open(drawn.AStep, -1, at)
	p.Inset(page, at)
	p.Line(paint.Rectangle(paint.Between(at.X, at.Y, at.X+page.Width, at.Y+page.Height)), paint.FaintInk(), 0.6)
	p.Close(part)
	p.Parts[part].Name = sign
	p.Reads("Figure", page.Alt(), since)
	p.y = max(end+6, at.Y+page.Height+21)
}
