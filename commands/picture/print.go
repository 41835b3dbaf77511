package picture

import (
	"context"
	"fmt"
	"slices"

	"larkfold/commands/picture/drawn"
	"larkfold/commands/picture/knots"
	"larkfold/commands/picture/paint"
	"larkfold/sizing"
	"larkfold/sizing/dowel"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/stock"
	"larkfold/sizing/trace"
)

// Paper is the size of the sheets in the printer.
type Paper int

// The papers.
const (
	A4 Paper = iota
	Letter
)

// size is the paper's width and height: A4 is 210 by 297 mm (ISO 216), Letter 8.5
// by 11 in.
func (p Paper) size() (width, height paint.Points) {
	if p == Letter {
		return 8.5 * 72, 11 * 72
	}
	return 210 * millimetre, 297 * millimetre
}

// millimetre is one millimetre on paper.
const millimetre paint.Points = 72 / 25.4

// Options are what a print shows beside the sized sheet. The zero value prints that
// alone, in metric units on A4.
type Options struct {
	Paper       Paper
	Units       length.Style
	Marks       []dowel.Mark // from the left end of the rod; nil for those of the sheet, the work centred
	Cutting     []Cutting
	Hanging     dowel.Hanging        // chooses the cautions
	Assumptions []string             // one sentence each
	Steps       []drawn.Instructions // how it is worked, in words
}

// Cutting is a cutting plan to be printed.
type Cutting struct {
	Title string // such as the cord's name
	Plan  stock.Plan
}

// Print makes the sheet to cut from as a PDF: picture, cut list to tick off,
// cutting plans, steps in words, marks for the rod in life size, cautions and
// assumptions. The error is that of the PDF writer, or of the context, which is looked
// at after each part and each picture of a step.
func Print(ctx context.Context, sized sizing.Sized, o Options) ([]byte, error) {
	pages, err := sheets(ctx, sized, o)
	if err != nil {
		return nil, err
	}
	return paint.Pages(drawn.Title(sized), pages...)
}

// sheets are the pages of [Print] as drawings.
func sheets(ctx context.Context, sized sizing.Sized, o Options) ([]*paint.Drawing, error) {
	p := &printer{sized: sized, o: o}
	p.wide, p.high = o.Paper.size()
	before := "Before you hang it"
	if sized.Sheet.Lies() {
		before = "Before you use it"
	}
	for _, set := range []func(){
		p.front, p.cutList, p.cuttingPlans, p.chart,
		func() { p.steps(ctx) },
		func() { p.sentences(before, cautions(o.Hanging, sized), "!") },
		func() { p.sentences("What this reckons with", o.Assumptions, "–") },
		p.notes, p.marks,
	} {
		set()
		if err := ctx.Err(); err != nil {
			return nil, err
		}
	}
	for i, page := range p.pages {
		footer(page, fmt.Sprintf("page %d of %d", i+1, len(p.pages)))
	}
	return p.pages, nil
}

func cautions(h dowel.Hanging, sized sizing.Sized) []string {
	h.Lies = sized.Sheet.Lies()
	var list []string
	for _, c := range dowel.Cautions(h) {
		list = append(list, string(c))
	}
	if HoldsPot(sized) {
		list = append(list, PotCaution)
	}
	return list
}

// PotCaution is shown with what may carry a pot (common practice, no source).
const PotCaution = "If it is to carry a pot, let it hang for a day just above the floor with the pot watered. Knots must carry it: a wrap alone holds by friction only."

// HoldsPot tells whether a piece has a round panel, in which pots are hung.
func HoldsPot(sized sizing.Sized) bool {
	return slices.ContainsFunc(sized.Panels, func(p trace.Panel) bool { return p.Round })
}

// printMargin is free on every side, more than printers need.
const printMargin paint.Points = 42

// printer sets pages from the top down.
type printer struct {
	sized          sizing.Sized
	o              Options
	wide, high     paint.Points
	pages          []*paint.Drawing
	*paint.Drawing              // the page in hand
	y              paint.Points // where it goes on
}

// turn begins a page.
func (p *printer) turn() {
	d := &paint.Drawing{Title: drawn.Title(p.sized), Width: p.wide, Height: p.high, Paper: true}
	p.pages = append(p.pages, d)
	p.Drawing, p.y = d, printMargin
}

// bottom is where the text of a page ends.
func (p *printer) bottom() paint.Points { return p.high - printMargin - 16 }

// room begins a page when less than so much is left.
func (p *printer) room(high paint.Points) {
	if p.y+high > p.bottom() {
		p.turn()
	}
}

func (p *printer) text() paint.Points { return p.wide - 2*printMargin }

// footer sets name and page number below the text.
func footer(d *paint.Drawing, number string) {
	y := d.Height - printMargin + 4
	since := len(d.Shapes)
	part := d.Open(paint.ALine, -1, paint.At(printMargin, y))
	d.Rule(paint.At(printMargin, y-12), paint.At(d.Width-printMargin, y-12), paint.FaintInk(), 0.6)
	d.Write(d.Title, paint.At(printMargin, y), paint.NoteStyle(), paint.Leftward, (d.Width-2*printMargin)*0.6)
	d.Write(number, paint.At(d.Width-printMargin, y), paint.NoteStyle(), paint.Rightward, 0)
	if d.Boxed {
		d.Write(paint.Missing+" stands for a sign that this print cannot show", paint.At(printMargin, y+12), paint.NoteStyle(), paint.Leftward, d.Width-2*printMargin)
	}
	d.Close(part)
	d.Reads("", "", since)
}

// head sets the heading of a part of the sheet.
func (p *printer) head(text string, follows paint.Points) {
	p.y += 12
	p.room(24 + follows)
	since := len(p.Shapes)
	part := p.Open(paint.ALine, -1, paint.At(printMargin, p.y+12))
	p.Write(text, paint.At(printMargin, p.y+12), paint.Style{Face: paint.Title, Size: 13, Ink: paint.DarkInk()}, paint.Leftward, p.text())
	p.Reads("H2", "", since)
	p.Rule(paint.At(printMargin, p.y+18), paint.At(p.wide-printMargin, p.y+18), paint.FaintInk(), 0.8)
	p.Close(part)
	p.y += 32
}

// front sets the title and the picture.
func (p *printer) front() {
	p.turn()
	part := p.Open(paint.ALine, -1, paint.At(printMargin, p.y+20))
	p.Write(drawn.Title(p.sized), paint.At(printMargin, p.y+20), paint.Style{Face: paint.Title, Size: 24, Ink: paint.DarkInk()}, paint.Leftward, p.text())
	p.Reads("H1", "", 0)
	p.Write(drawn.Line(p.sized, p.o.Units), paint.At(printMargin, p.y+38), paint.SubStyle(), paint.Leftward, p.text())
	p.Close(part)
	p.Rule(paint.At(printMargin, p.y+48), paint.At(p.wide-printMargin, p.y+48), paint.FaintInk(), 0.8)
	top := p.y + 54
	p.Pixels = paint.MostPixels
	since := len(p.Shapes)
	low, remarks := drawn.Compose(p.Drawing, p.sized, p.o.Units, paint.Between(printMargin, top, p.wide-printMargin, top+390))
	p.y = low + 8
	p.Reads("Figure", drawn.Alt(p.sized, p.o.Units, p.Outline), since)
	for _, line := range remarks {
		p.y = p.Paragraph(line, paint.At(printMargin, p.y+4), paint.NoteStyle(), p.text(), 12)
	}
}

// tick is the side of a box to tick, with what is free beside it.
const tick paint.Points = 12

// cutList sets the cut list with a box to tick for every piece.
func (p *printer) cutList() {
	dyes := knots.DyesOf(p.sized.Cords)
	p.head("Cut list", 60)
	left, right := printMargin+62, p.wide-printMargin
	inLine := int((right - left) / tick)
	for i, c := range p.sized.List.Cuts {
		text := fmt.Sprintf("%d × %s", c.Count, p.o.Units.Cut(c.Length))
		words := left + paint.BoldStyle().Face.Measure(text, paint.BoldStyle().Size) + 8
		about := drawn.CutWords(p.sized, c, p.o.Units)
		beside := words+paint.SubStyle().Face.Measure(about, paint.SubStyle().Size)+tick*paint.Points(c.Count)+8 < right // the boxes stand behind the words
		lines := 0
		if !beside {
			lines = (c.Count + inLine - 1) / inLine
		}
		p.room(20 + tick*paint.Points(min(lines, 20)))
		part := p.Open(paint.ALine, i, paint.At(printMargin, p.y))
		p.Chip(c.Label, paint.At(printMargin+10, p.y))
		dyes.Of(c.Cord).Sample(p.Drawing, paint.Between(printMargin+26, p.y, printMargin+54, p.y), 5)
		p.Write(text, paint.At(left, p.y+3.7), paint.BoldStyle(), paint.Leftward, 200)
		free := right - words
		if beside {
			free -= tick*paint.Points(c.Count) + 8
			for n := range c.Count {
				p.box(right-tick*paint.Points(n+1), p.y)
			}
		}
		p.Write(about, paint.At(words, p.y+3.7), paint.SubStyle(), paint.Leftward, free)
		p.Close(part)
		p.y += 18
		for line := range lines {
			p.room(tick)
			part := p.Open(paint.ALine, i, paint.At(left, p.y))
			for n := range min(inLine, c.Count-line*inLine) {
				p.box(left+tick*paint.Points(n), p.y-3)
			}
			p.Close(part)
			p.y += tick
		}
	}
	for _, t := range p.sized.List.Totals {
		p.room(18)
		part := p.Open(paint.ALine, -1, paint.At(printMargin, p.y))
		x := printMargin + 62
		x += p.Write(p.sized.List.Sum(p.o.Units, t).Total(), paint.At(x, p.y+3.7), paint.BoldStyle(), paint.Leftward, 200)
		p.Write(drawn.TotalWords(p.sized, t, p.o.Units), paint.At(x+8, p.y+3.7), paint.SubStyle(), paint.Leftward, p.wide-printMargin-x-8)
		p.Close(part)
		p.y += 16
	}
}

// box is a box to tick.
func (p *printer) box(x, y paint.Points) {
	p.Line(paint.Rectangle(paint.Between(x, y-4.5, x+9, y+4.5)), paint.QuietInk(), 0.8)
}

// strips draws on the page in hand.
func (p *printer) strips() strips { return strips{p.Drawing, p.o.Units, printMargin} }

// cuttingPlans sets the cutting plans.
func (p *printer) cuttingPlans() {
	for _, c := range p.o.Cutting {
		p.head("Cutting plan: "+c.Title, 70)
		p.y = p.Paragraph(stripsLine(c.Plan, p.o.Units), paint.At(printMargin, p.y), paint.SubStyle(), p.text(), 14)
		for _, offcut := range []bool{true, false} {
			longest := longestStrip(c.Plan, offcut)
			if longest == 0 {
				continue
			}
			p.room(70)
			p.y = p.strips().scaleLine(offcut, longest, p.y+8)
			for i, pattern := range c.Plan.Patterns {
				if pattern.Offcut == offcut {
					p.room(p.strips().high(pattern))
					since := len(p.Shapes)
					p.y = p.strips().strip(i, pattern, longest, p.y)
					p.Reads("Figure", stripWords(pattern, p.o.Units), since)
				}
			}
		}
		p.room(16 * paint.Points(len(c.Plan.Unplaced)))
		p.y = p.strips().shortages(c.Plan, p.y)
	}
}

// item sets a sentence behind its number or sign, whole on one page unless it is longer
// than one.
func (p *printer) item(sign, sentence string) {
	text, boxed := paint.TextStyle().Face.Known(sentence)
	lines := paint.TextStyle().Face.Wrap(text, paint.TextStyle().Size, p.text()-itemInset)
	p.Boxed = p.Boxed || boxed
	p.room(min(itemLine*paint.Points(len(lines))+2, p.bottom()-printMargin))
	since := len(p.Shapes)
	p.sign(sign)
	for _, line := range lines {
		if p.y+itemLine > p.bottom() {
			p.Reads("P", "", since)
			p.turn()
			since = 0
		}
		p.y = p.Paragraph(line, paint.At(printMargin+itemInset, p.y), paint.TextStyle(), p.text()-itemInset, itemLine)
	}
	p.Reads("P", "", since)
	p.y += 2
}

// The sentences of a list stand so far in, and so far below each other.
const (
	itemInset paint.Points = 22
	itemLine  paint.Points = 14
)

// sign sets what stands before a sentence.
func (p *printer) sign(sign string) {
	part := p.Open(paint.ALine, -1, paint.At(printMargin, p.y))
	p.Write(sign, paint.At(printMargin, p.y), paint.Style{Face: paint.Bold, Size: paint.TextStyle().Size, Ink: paint.QuietInk()}, paint.Leftward, 0)
	p.Close(part)
}

// sentences sets a list of sentences under a heading, or nothing.
func (p *printer) sentences(heading string, list []string, sign string) {
	high := paint.Points(0)
	for _, s := range list {
		high += 14*paint.Points(len(paint.TextStyle().Face.Wrap(s, paint.TextStyle().Size, p.text()-22))) + 2
	}
	if high > p.bottom()-printMargin-60 { // too long for a page of its own
		high = 40
	}
	for i, s := range list {
		if i == 0 {
			p.head(heading, high)
		}
		p.item(sign, s)
	}
}

// notes sets what the trace found.
func (p *printer) notes() {
	var list []string
	for _, n := range p.sized.Notes {
		list = append(list, noun.Capital(n.Text)+".")
	}
	p.sentences("Notes", list, "–")
}
