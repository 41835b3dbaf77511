package picture

import "image/color"

// Ink is a colour without transparency; a zero A means none.
type Ink color.RGBA

func (i Ink) clear() bool { return i.A == 0 }

func rgb(hex uint32) Ink { return Ink{uint8(hex >> 16), uint8(hex >> 8), uint8(hex), 255} }

// darker is the ink with so much black in it, as a share.
func (i Ink) darker(by float64) Ink {
	dim := func(v uint8) uint8 { return uint8(float64(v)*(1-by) + 0.5) }
	return Ink{dim(i.R), dim(i.G), dim(i.B), i.A}
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
// so that they stay apart for eyes that see few hues.
func dyeOf(i int) dye {
	colours := [...]struct{ body, edge, mark uint32 }{
		{0xEFE2C6, 0x6B5744, 0x6B5744},
		{0x3E6A94, 0x20374D, 0xF3EBDD},
		{0xD98B4A, 0x6B3D18, 0x5A2F0E},
		{0x5B8C72, 0x27453A, 0xF3EBDD},
		{0xF0C75E, 0x7A5A12, 0x6B4C0A},
		{0x8A5478, 0x43243A, 0xF3EBDD},
		{0xB9C4CC, 0x4F5A61, 0x3F4A51},
		{0x54483F, 0x1F1A16, 0xF3EBDD},
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
