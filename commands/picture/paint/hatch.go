package paint

// Texture is a way to fill an area that is told from others without colour.
type Texture int

const (
	Bare    Texture = iota
	Solid           // full ink
	Slanted         // strokes rising to the right
	Upward          // upright strokes
	Crossed         // both ways
	Dotted          // rows of dots
)

// Textured fills a box with a pale ground and a texture of a darker ink.
func (d *Drawing) Textured(b Box, t Texture, ground, ink Ink) {
	if t == Solid {
		d.Fill(Rectangle(b), ink)
		return
	}
	d.Fill(Rectangle(b), ground)
	const gap = 4.2
	wide, high := b.Right-b.Left, b.Bottom-b.Top
	var p Path
	switch t {
	case Upward:
		for x := b.Left + gap/2; x < b.Right; x += gap {
			p.Move(x, b.Top)
			p.Line(x, b.Bottom)
		}
	case Slanted, Crossed:
		for s := Points(gap / 2); s < wide+high; s += gap {
			p.Move(b.Left+max(0, s-high), b.Top+min(s, high))
			p.Line(b.Left+min(s, wide), b.Top+max(0, s-wide))
		}
		if t == Crossed {
			for s := Points(gap / 2); s < wide+high; s += gap {
				p.Move(b.Right-max(0, s-high), b.Top+min(s, high))
				p.Line(b.Right-min(s, wide), b.Top+max(0, s-wide))
			}
		}
	case Dotted:
		for y := b.Top + 2.2; y < b.Bottom-0.8; y += 3.4 {
			for x := b.Left + 2; x < b.Right-0.8; x += 3.6 {
				p.Move(x-0.55, y)
				p.Line(x+0.55, y)
			}
		}
		if len(p) > 0 {
			d.Line(p, ink, 1.1)
		}
		return
	}
	if len(p) > 0 {
		d.Line(p, ink, 0.8)
	}
}
