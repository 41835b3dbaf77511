package picture

import (
	"fmt"
	"math"

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
	look        texture
	ground, ink Ink
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
		{"mount", func(b bar) length.Length { return b.need.Mount }, solid, rgb(0x54483F), rgb(0x54483F)},
		{"straight", func(b bar) length.Length { return b.need.Run }, upward, rgb(0xEADFC9), rgb(0x75685B)},
		{"in knots", func(b bar) length.Length { return b.need.TakeUp }, slanted, rgb(0xE3A36B), rgb(0x7A3E17)},
		{"tail", func(b bar) length.Length { return b.need.Tail }, dotted, rgb(0xB8CFC2), rgb(0x2F5546)},
		{"spare", func(b bar) length.Length { return b.spare }, bare, rgb(0xFFFDF8), rgb(0x75685B)},
	}
}

// Use draws where the cord of every cut goes, and of every end when there are few:
// into the mount, straight on, into knots, into the tail, and what is spare.
func Use(sized sizing.Sized, units length.Style) *Drawing {
	d := &Drawing{Title: pieceName(sized), Width: pageWidth, pixels: 1200}
	y := d.heading(d.Title, "where the cord goes")
	y = portionLegend(d, y+8)
	cuts := cutBars(sized)
	ends := endBars(sized)
	longest, top := 0, length.Length(1)
	for i, b := range cuts {
		if b.total() > top {
			longest, top = i, b.total()
		}
	}
	y = d.section("each cut, from the end that decides it", y+24)
	y = drawBars(d, cuts, longest, top, units, y)
	d.say(fmt.Sprintf("Bars of where the cord of %s goes.", d.Title))
	for _, b := range cuts {
		sum := length.Sum{Style: units}
		d.say(fmt.Sprintf("%s, %s: mount %s, straight %s, in knots %s, tail %s, spare %s.", b.label, b.name, sum.Add(b.need.Mount), sum.Add(b.need.Run), sum.Add(b.need.TakeUp), sum.Add(b.need.Tail), sum.Add(b.spare)))
	}
	if len(ends) > 0 && len(ends) <= mostBars {
		longest := 0
		for i, b := range ends {
			if b.total() > ends[longest].total() {
				longest = i
			}
		}
		y = d.section("each end, left to right, without spare", y+14)
		y = drawBars(d, ends, longest, top, units, y)
		d.say(fmt.Sprintf("Of the ends, %s needs most: %s.", ends[longest].name, units.Format(ends[longest].total())))
	} else if len(ends) > 0 {
		y = d.paragraph(fmt.Sprintf("%d ends are too many to show one by one.", len(ends)), Point{pageMargin, y + 8}, noteStyle(), pageWidth-2*pageMargin, 12)
	}
	d.finish(y + 6)
	return d
}

// portionLegend shows what the textures mean.
func portionLegend(d *Drawing, y Points) Points {
	x := pageMargin
	for _, s := range portions() {
		part := d.open(ALine, -1, Point{x, y})
		b := Box{x, y - 6, x + 20, y + 6}
		d.textured(b, s.look, s.ground, s.ink)
		d.line(rectangle(b), quietInk(), 0.6)
		x += 26 + d.write(s.name, Point{x + 26, y + 3.5}, subStyle(), leftward, 0) + 18
		d.close(part)
	}
	return y + 6
}

// cutBars has a bar for every line of the cut list: one half of a folded cord.
func cutBars(sized sizing.Sized) []bar {
	var bars []bar
	for i, c := range sized.List.Cuts {
		b := bar{label: c.Label, name: Purpose(sized, c), need: c.Why.Need, index: i}
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
	of := labelsOf(sized.List, len(sized.Strands))
	var bars []bar
	for i, e := range sized.Ends {
		name := fmt.Sprintf("%s %d", sized.Panels[e.Panel].Name, e.Number)
		bars = append(bars, bar{label: of[e.Strand], name: name, need: e.Parts, index: i})
	}
	return bars
}

// drawBars draws bars to one scale, the longest marked.
func drawBars(d *Drawing, bars []bar, longest int, top length.Length, units length.Style, y Points) Points {
	const left, most, gap = 150, 130, 4
	for i, b := range bars {
		part := d.open(ABar, b.index, Point{left, y})
		d.chip(b.label, Point{pageMargin + 9, y})
		d.write(b.name, Point{pageMargin + 23, y + 3.5}, subStyle(), leftward, left-pageMargin-23-6)
		x := Points(left)
		for _, s := range portions() {
			l := s.of(b)
			if l <= 0 {
				continue
			}
			wide := most * Points(float64(l)/math.Max(float64(top), 1))
			box := Box{x, y - 6, x + wide, y + 6}
			d.textured(box, s.look, s.ground, s.ink)
			d.line(rectangle(box), quietInk(), 0.6)
			x += wide
		}
		shown := units.Format(b.total())
		face := textStyle()
		if i == longest {
			face = boldStyle()
			shown += " ◄ longest"
		}
		d.write(shown, Point{x + 7, y + 3.6}, face, leftward, d.Width-8-x-7)
		d.close(part)
		y += 14 + gap
	}
	return y
}
