package picture

// The pictures beside the printed steps.
const (
	besideWide Points = 168
	besideHigh Points = 150
	besideGap  Points = 14
)

// steps sets the steps in words, each beside its picture; a step and its picture
// stand on one page, and the name of a panel with its first step.
func (p *printer) steps() {
	s := newStepper(p.sized, p.o.Units)
	for i, in := range p.o.Steps {
		for n, sentence := range in.Steps {
			var page *Drawing
			if n < len(in.Spans) {
				page = s.step(in.Spans[n], besideWide, besideHigh, &Drawing{paper: true, pixels: int(3 * besideWide)})
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
	page := &Drawing{Width: p.text(), paper: true, pixels: mostPixels}
	page.Height = drawChart(page, p.sized, p.o.Steps, p.o.Units, Box{0, 0, page.Width, mostChart})
	p.head("Chart", page.Height+20)
	p.y = p.paragraph("Beside the work stand the numbers of the steps and of their rows; under the rod the ends are counted from the left.", Point{printMargin, p.y}, noteStyle(), p.text(), 12)
	since := len(p.Shapes)
	at := Point{printMargin, p.y}
	p.inset(page, at)
	p.reads("Figure", page.Alt(), since)
	p.y += page.Height
}

// mostChart is how high the work of a printed chart is at most.
const mostChart Points = 420

// stepsOf sets the name of a panel above its steps.
func (p *printer) stepsOf(name string) {
	since := len(p.Shapes)
	part := p.open(ALine, -1, Point{printMargin, p.y})
	p.write(name, Point{printMargin, p.y}, boldStyle(), leftward, p.text())
	p.close(part)
	p.reads("H3", "", since)
	p.y += 16
}

// stepText is how wide the sentence of a step is.
func (p *printer) stepText() Points { return p.text() - itemInset - besideWide - besideGap }

// stepHigh is how much of the page a step takes with its picture.
func (p *printer) stepHigh(sentence string, page *Drawing) Points {
	high := itemLine*Points(len(textStyle().face.wrap(sentence, textStyle().size, p.stepText()))) + 6
	if page != nil {
		high = max(high, page.Height+12)
	}
	return min(high, p.bottom()-printMargin)
}

// step sets one step: its number, its sentence, and its picture beside it.
func (p *printer) step(sign, sentence string, page *Drawing) {
	if page == nil {
		p.item(sign, sentence)
		return
	}
	top := p.y - 9 // of the letters
	since := len(p.Shapes)
	p.sign(sign)
	end := p.paragraph(sentence, Point{printMargin + itemInset, p.y}, textStyle(), p.stepText(), itemLine)
	p.reads("P", "", since)
	since = len(p.Shapes)
	at := Point{p.wide - printMargin - besideWide, top}
	part := p.open(AStep, -1, at)
	p.inset(page, at)
	p.line(rectangle(Box{at.X, at.Y, at.X + page.Width, at.Y + page.Height}), faintInk(), 0.6)
	p.close(part)
	p.Parts[part].Name = sign
	p.reads("Figure", page.Alt(), since)
	p.y = max(end+6, at.Y+page.Height+21)
}
