package knots

import (
	"math"

	"larkfold/commands/picture/paint"
	"larkfold/sizing/cord"
)

// Dye is how a cord is drawn: its colour, its edge, and the pattern that tells it
// from the others without colour.
type Dye struct {
	Body, Edge, Mark paint.Ink
	Dash             []paint.Points // in cord widths
}

// dyeOf is the dye of cord i. The colours differ in lightness as well as in hue,
// the first ones most, so that they stay apart for eyes that see few hues. Edges are
// darker than their cord, or, of a cord so dark that nothing would be seen on it, lighter.
func dyeOf(i int) Dye {
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
	patterns := [...][]paint.Points{
		nil,
		{1.6, 1.2},
		{0.35, 1.1},
		{1e6, 1}, // a line along the cord
		{2.6, 0.8, 0.35, 0.8},
		{0.6, 0.6},
		{4, 1.2},
		{0.35, 0.6, 0.35, 2},
	}
	c := colours[i%len(colours)]
	return Dye{paint.RGB(c.body), paint.RGB(c.edge), paint.RGB(c.mark), patterns[(i+i/len(colours))%len(patterns)]}
}

// DyesOf are the dyes of cords: each cord's own colour, and for those that have none
// one that stands apart from the others in lightness. Patterns go by the order of
// the cords, so that no two are told apart by colour alone.
func DyesOf(cords []cord.Cord) Dyes {
	all := make(Dyes, len(cords))
	var taken []float64
	named := false
	for i, c := range cords {
		all[i] = dyeOf(i)
		if own, ok := c.Colour.RGBA(); ok {
			all[i] = all[i].In(paint.Ink(own))
			taken, named = append(taken, paint.Lightness(all[i].Body)), true
		}
	}
	if !named {
		return all
	}
	for i, c := range cords {
		if _, ok := c.Colour.RGBA(); ok {
			continue
		}
		best, widest := dyeOf(0).Body, -1.0
		for n := range 8 {
			apart := 100.0
			for _, l := range taken {
				apart = min(apart, math.Abs(l-paint.Lightness(dyeOf(n).Body)))
			}
			if apart > widest {
				best, widest = dyeOf(n).Body, apart
			}
		}
		all[i] = all[i].In(best)
		taken = append(taken, paint.Lightness(best))
	}
	return all
}

// Dyes are those of the cords of a piece; cords beyond them wear those of the house.
type Dyes []Dye

// Of is the dye of cord i.
func (all Dyes) Of(i int) Dye {
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

// In is the dye in another colour: its edge dark enough to stand out from paper,
// its pattern light or dark, whichever is seen better.
func (y Dye) In(body paint.Ink) Dye {
	body.A = 255
	y.Body, y.Edge = body, body.Darker(0.35)
	for by := 0.4; by <= 1 && (paint.Contrast(y.Edge, paint.PanelInk()) < leastContrast || paint.Lightness(body)-paint.Lightness(y.Edge) < 10 && by < 0.8); by += 0.05 {
		y.Edge = body.Darker(by)
	}
	if paint.Lightness(body) < darkest {
		y.Edge = body
		for by := 0.05; paint.Lightness(y.Edge) < paint.Lightness(body)+lighterEdge; by += 0.05 {
			y.Edge = body.Lighter(by)
		}
	}
	y.Mark = paint.RGB(0xFFFDF8)
	if dark := paint.RGB(0x2B211A); paint.Contrast(dark, body) > paint.Contrast(y.Mark, body) {
		y.Mark = dark
	}
	return y
}

// leastDash is the width of a cord below which its pattern gets no finer, so that it
// can still be seen.
const leastDash = 1.5

// Lay lays one piece of cord along a path: edge, body and pattern.
func (y Dye) Lay(d *paint.Drawing, p paint.Path, width paint.Points) {
	edge := min(max(0.16*width, min(0.3, 0.25*width)), 0.9)
	d.Line(p, y.Edge, width)
	d.Line(p, y.Body, width-2*edge)
	if y.Dash == nil {
		return
	}
	s := paint.Shape{Path: p, Stroke: y.Mark, Width: max(0.22*width, min(0.4, 0.4*width))}
	if y.Dash[0] < 1e5 {
		for _, l := range y.Dash {
			s.Dash = append(s.Dash, l*max(width, leastDash))
		}
	}
	d.Add(s)
}

// Sample shows a level stretch of a cord, from the left edge of a box to the right.
func (y Dye) Sample(d *paint.Drawing, along paint.Box, width paint.Points) {
	y.Lay(d, paint.Polyline(paint.At(along.Left, along.Top), paint.At(along.Right, along.Top)), width)
}
