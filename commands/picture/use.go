package picture

import (
	"fmt"
	"math"

	"larkfold/commands/picture/drawn"
	"larkfold/commands/picture/paint"
	"larkfold/sizing"
	"larkfold/sizing/length"
	"larkfold/sizing/trace"
)

// mostBars is how many ends are shown one by one.
const mostBars = 32

// portion is one part of what an end uses, and how it looks.
type portion struct {
	name        string
	of          func(b bar) length.Length
	look        paint.Texture
	ground, ink paint.Ink
}

// bar is one line of the picture of where the cord goes.
type bar struct {
	label, name string
	need        trace.Parts
	spare       length.Length // margin, hands and rounding of the whole cut
	index       int
}

func (b bar) total() length.Length { return b.need.Total() + b.spare }

func portions() []portion {
	return []portion{
		{"mount", func(b bar) length.Length { return b.need.Mount }, paint.Solid, paint.RGB(0x54483F), paint.RGB(0x54483F)},
		{"straight", func(b bar) length.Length { return b.need.Run }, paint.Upward, paint.RGB(0xEADFC9), paint.RGB(0x75685B)},
		{"in knots", func(b bar) length.Length { return b.need.TakeUp }, paint.Slanted, paint.RGB(0xE3A36B), paint.RGB(0x7A3E17)},
		{"tail", func(b bar) length.Length { return b.need.Tail }, paint.Dotted, paint.RGB(0xB8CFC2), paint.RGB(0x2F5546)},
		{"spare", func(b bar) length.Length { return b.spare }, paint.Bare, paint.RGB(0xFFFDF8), paint.RGB(0x75685B)},
	}
}

// Use draws where the cord of every cut goes, and of every end when there are few:
// into the mount, straight on, into knots, into the tail, and what is spare.
func Use(sized sizing.Sized, units length.Style) *paint.Drawing {
	d := &paint.Drawing{Title: drawn.Title(sized), Width: paint.PageWidth, Pixels: 1200}
	y := d.Heading(d.Title, "where the cord goes")
	y = portionLegend(d, y+8)
	cuts := cutBars(sized)
	ends := endBars(sized)
	longest, top := 0, length.Length(1)
	for i, b := range cuts {
		if b.total() > top {
			longest, top = i, b.total()
		}
	}
	y = d.Section("each cut, from the end that decides it", y+24)
	y = drawBars(d, cuts, longest, top, units, y)
	d.Say(fmt.Sprintf("Bars of where the cord of %s goes.", d.Title))
	for _, b := range cuts {
		sum := length.Sum{Style: units}
		d.Say(fmt.Sprintf("%s, %s: mount %s, straight %s, in knots %s, tail %s, spare %s.", b.label, b.name, sum.Add(b.need.Mount), sum.Add(b.need.Run), sum.Add(b.need.TakeUp), sum.Add(b.need.Tail), sum.Add(b.spare)))
	}
	if len(ends) > 0 && len(ends) <= mostBars {
		longest := 0
		for i, b := range ends {
			if b.total() > ends[longest].total() {
				longest = i
			}
		}
		y = d.Section("each end, left to right, without spare", y+14)
		y = drawBars(d, ends, longest, top, units, y)
		d.Say(fmt.Sprintf("Of the ends, %s needs most: %s.", ends[longest].name, units.Format(ends[longest].total())))
	} else if len(ends) > 0 {
		y = d.Paragraph(fmt.Sprintf("%d ends are too many to show one by one.", len(ends)), paint.At(paint.PageMargin, y+8), paint.NoteStyle(), paint.PageWidth-2*paint.PageMargin, 12)
	}
	d.Finish(y + 6)
	return d
}

// portionLegend shows what the textures mean.
func portionLegend(d *paint.Drawing, y paint.Points) paint.Points {
	x := paint.PageMargin
	for _, s := range portions() {
		part := d.Open(paint.ALine, -1, paint.At(x, y))
		b := paint.Between(x, y-6, x+20, y+6)
		d.Textured(b, s.look, s.ground, s.ink)
		d.Line(paint.Rectangle(b), paint.QuietInk(), 0.6)
		x += 26 + d.Write(s.name, paint.At(x+26, y+3.5), paint.SubStyle(), paint.Leftward, 0) + 18
		d.Close(part)
	}
	return y + 6
}

// cutBars has a bar for every line of the cut list: one half of a folded cord.
func cutBars(sized sizing.Sized) []bar {
	var bars []bar
	for i, c := range sized.List.Cuts {
		b := bar{label: c.Label, name: drawn.Purpose(sized, c), need: c.Why.Need, index: i}
		whole := c.Length
		if c.Folded && c.Why.End >= 0 {
			b.name += ", one half"
			whole = c.Length / 2
			if c.Fold > 0 {
				whole = c.Length - c.Fold
			}
		}
		b.spare = max(0, whole-b.need.Total())
		bars = append(bars, b)
	}
	return bars
}

func endBars(sized sizing.Sized) []bar {
	of := drawn.LabelsOf(sized.List, len(sized.Strands))
	var bars []bar
	for i, e := range sized.Ends {
		name := fmt.Sprintf("%s %d", sized.Panels[e.Panel].Name, e.Number)
		bars = append(bars, bar{label: of[e.Strand], name: name, need: e.Parts, index: i})
	}
	return bars
}

// drawBars draws bars to one scale, the longest marked.
func drawBars(d *paint.Drawing, bars []bar, longest int, top length.Length, units length.Style, y paint.Points) paint.Points {
	const left, most, gap = 150, 130, 4
	for i, b := range bars {
		part := d.Open(ABar, b.index, paint.At(left, y))
		d.Chip(b.label, paint.At(paint.PageMargin+9, y))
		d.Write(b.name, paint.At(paint.PageMargin+23, y+3.5), paint.SubStyle(), paint.Leftward, left-paint.PageMargin-23-6)
		x := paint.Points(left)
		for _, s := range portions() {
			l := s.of(b)
			if l <= 0 {
				continue
			}
			wide := most * paint.Points(float64(l)/math.Max(float64(top), 1))
			box := paint.Between(x, y-6, x+wide, y+6)
			d.Textured(box, s.look, s.ground, s.ink)
			d.Line(paint.Rectangle(box), paint.QuietInk(), 0.6)
			x += wide
		}
		shown := units.Format(b.total())
		face := paint.TextStyle()
		if i == longest {
			face = paint.BoldStyle()
			shown += " ◄ longest"
		}
		d.Write(shown, paint.At(x+7, y+3.6), face, paint.Leftward, d.Width-8-x-7)
		d.Close(part)
		y += 14 + gap
	}
	return y
}
