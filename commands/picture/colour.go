package picture

import (
	"image/color"
	"math"

	"larkfold/sizing/cord"
)

// Ink is a colour without transparency; a zero A means none.
type Ink color.RGBA

func (i Ink) clear() bool { return i.A == 0 }

func rgb(hex uint32) Ink { return Ink{uint8(hex >> 16), uint8(hex >> 8), uint8(hex), 255} }

// darker is the ink with so much black in it, as a share.
func (i Ink) darker(by float64) Ink {
	dim := func(v uint8) uint8 { return uint8(float64(v)*(1-by) + 0.5) }
	return Ink{dim(i.R), dim(i.G), dim(i.B), i.A}
}

// lighter is the ink with so much white in it, as a share.
func (i Ink) lighter(by float64) Ink {
	lift := func(v uint8) uint8 { return uint8(float64(v) + (255-float64(v))*by + 0.5) }
	return Ink{lift(i.R), lift(i.G), lift(i.B), i.A}
}

// The inks of the house: warm paper, brown ink, wood.
func paperInk() Ink  { return rgb(0xFAF4E8) }
func whiteInk() Ink  { return rgb(0xFFFFFF) }
func darkInk() Ink   { return rgb(0x3A302A) }
func quietInk() Ink  { return rgb(0x6E6256) }
func faintInk() Ink  { return rgb(0xD5C8B3) }
func panelInk() Ink  { return rgb(0xF1E8D6) }
func woodInk() Ink   { return rgb(0xD3AE7F) }
func grainInk() Ink  { return rgb(0xB98F5E) }
func accentInk() Ink { return rgb(0xA4472C) }

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
func dyesOf(cords []cord.Cord) []dye {
	dyes := make([]dye, len(cords))
	var taken []float64
	named := false
	for i, c := range cords {
		dyes[i] = dyeOf(i)
		if own, ok := c.Colour.RGBA(); ok {
			dyes[i] = dyes[i].in(Ink(own))
			taken, named = append(taken, lightness(dyes[i].body)), true
		}
	}
	if !named {
		return dyes
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
		dyes[i] = dyes[i].in(best)
		taken = append(taken, lightness(best))
	}
	return dyes
}

// dye is the dye of cord i of what is drawn.
func (d *Drawing) dye(i int) dye {
	if i < len(d.dyes) {
		return d.dyes[i]
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

// luminance is the relative luminance of WCAG 2.2, from 0 to 1.
func luminance(i Ink) float64 {
	linear := func(c uint8) float64 {
		s := float64(c) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(i.R) + 0.7152*linear(i.G) + 0.0722*linear(i.B)
}

// contrast is the contrast ratio of WCAG 2.2, from 1 to 21.
func contrast(a, b Ink) float64 {
	high, low := max(luminance(a), luminance(b)), min(luminance(a), luminance(b))
	return (high + 0.05) / (low + 0.05)
}

// lightness is CIE 1976 L*, from 0 to 100 (ISO/CIE 11664-4).
func lightness(i Ink) float64 {
	y := luminance(i)
	if y <= 216.0/24389 {
		return y * 24389 / 27
	}
	return 116*math.Cbrt(y) - 16
}
