package picture

import (
	"larkfold/sizing/cord"
	"math"
)

// dye is how a cord is drawn: its colour, its edge, and the pattern that tells it
// from the others without colour.
type dye struct {
	body, edge, mark Ink
	dash             []Points // in cord widths
	word             string   // the pattern in words
}

// dyeOf is the dye of cord i. The colours differ in lightness as well as in hue,
// the first ones most, so that they stay apart for eyes that see few hues. Edges are
// darker than their cord, or, of a cord so dark that nothing would be seen on it, lighter.
func dyeOf(i int) dye {
	colours := [...]struct{ body, edge, mark uint32 }{
		{0xEFE2C6, 0x6B5744, 0x6B5744},
		{0x2C4B69, 0x647C93, 0xF3EBDD},
		{0xD57E35, 0x6B3D18, 0x4A2608},
		{0x4D7660, 0x24382C, 0xF3EBDD},
		{0xE4ABB4, 0x7A4A54, 0x5A2F38},
		{0x322B25, 0x736D68, 0xF3EBDD},
		{0xEECC67, 0x7A5A12, 0x6B4C0A},
		{0x7C4B6C, 0x3A2033, 0xF3EBDD},
	}
	patterns := [...]struct {
		dash []Points
		word string
	}{
		{nil, "plain"},
		{[]Points{1.6, 1.2}, "dashed"},
		{[]Points{0.35, 1.1}, "dotted"},
		{[]Points{1e6, 1}, "lined"},
		{[]Points{2.6, 0.8, 0.35, 0.8}, "dash-dotted"},
		{[]Points{0.6, 0.6}, "short-dashed"},
		{[]Points{4, 1.2}, "long-dashed"},
		{[]Points{0.35, 0.6, 0.35, 2}, "pair-dotted"},
	}
	c := colours[i%len(colours)]
	p := patterns[(i+i/len(colours))%len(patterns)]
	return dye{rgb(c.body), rgb(c.edge), rgb(c.mark), p.dash, p.word}
}

// dyesOf are the dyes of cords: each cord's own colour, and for those that have none
// one that stands apart from the others in lightness. Patterns go by the order of
// the cords, so that no two are told apart by colour alone.
func dyesOf(cords []cord.Cord) dyes {
	all := make(dyes, len(cords))
	var taken []float64
	named := false
	for i, c := range cords {
		all[i] = dyeOf(i)
		if own, ok := c.Colour.RGBA(); ok {
			all[i] = all[i].in(Ink(own))
			taken, named = append(taken, lightness(all[i].body)), true
		}
	}
	if !named {
		return all
	}
	for i, c := range cords {
		if _, ok := c.Colour.RGBA(); ok {
			continue
		}
		best, widest := dyeOf(0).body, -1.0
		for n := range 8 {
			apart := 100.0
			for _, l := range taken {
				apart = min(apart, math.Abs(l-lightness(dyeOf(n).body)))
			}
			if apart > widest {
				best, widest = dyeOf(n).body, apart
			}
		}
		all[i] = all[i].in(best)
		taken = append(taken, lightness(best))
	}
	return all
}

// dyes are those of the cords of a piece; cords beyond them wear those of the house.
type dyes []dye

// of is the dye of cord i.
func (all dyes) of(i int) dye {
	if i < len(all) {
		return all[i]
	}
	return dyeOf(i)
}

// leastContrast is how much a cord's edge stands out from the grounds, and its
// pattern from its body (WCAG 2.2, 1.4.11).
const leastContrast = 3.0

// darkest is the lightness of a cord below which its edge is lighter than the cord, and
// lighterEdge by how much.
const (
	darkest     = 30.0
	lighterEdge = 20.0
)

// in is the dye in another colour: its edge dark enough to stand out from paper,
// its pattern light or dark, whichever is seen better.
func (y dye) in(body Ink) dye {
	body.A = 255
	y.body, y.edge = body, body.darker(0.35)
	for by := 0.4; by <= 1 && (contrast(y.edge, panelInk()) < leastContrast || lightness(body)-lightness(y.edge) < 10 && by < 0.8); by += 0.05 {
		y.edge = body.darker(by)
	}
	if lightness(body) < darkest {
		y.edge = body
		for by := 0.05; lightness(y.edge) < lightness(body)+lighterEdge; by += 0.05 {
			y.edge = body.lighter(by)
		}
	}
	y.mark = rgb(0xFFFDF8)
	if dark := rgb(0x2B211A); contrast(dark, body) > contrast(y.mark, body) {
		y.mark = dark
	}
	return y
}

// leastDash is the width of a cord below which its pattern gets no finer, so that it
// can still be seen.
const leastDash = 1.5

// lay lays one piece of cord along a path: edge, body and pattern.
func (y dye) lay(d *Drawing, p Path, width Points) {
	edge := min(max(0.16*width, min(0.3, 0.25*width)), 0.9)
	d.line(p, y.edge, width)
	d.line(p, y.body, width-2*edge)
	if y.dash == nil {
		return
	}
	s := Shape{Path: p, Stroke: y.mark, Width: max(0.22*width, min(0.4, 0.4*width))}
	if y.dash[0] < 1e5 {
		for _, l := range y.dash {
			s.Dash = append(s.Dash, l*max(width, leastDash))
		}
	}
	d.add(s)
}

// sample shows a level stretch of a cord, from the left edge of a box to the right.
func (y dye) sample(d *Drawing, along Box, width Points) {
	y.lay(d, polyline(Point{along.Left, along.Top}, Point{along.Right, along.Top}), width)
}
