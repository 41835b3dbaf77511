package picture

// texture is a way to fill an area that is told from others without colour.
type texture int

const (
	bare    texture = iota
	solid           // full ink
	slanted         // strokes rising to the right
	upward          // upright strokes
	crossed         // both ways
	dotted          // rows of dots
)

// textured fills a box with a pale ground and a texture of a darker ink.
func (d *Drawing) textured(b Box, t texture, ground, ink Ink) {
	if t == solid {
		d.fill(rectangle(b), ink)
		return
	}
	d.fill(rectangle(b), ground)
	const gap = 4.2
	wide, high := b.Right-b.Left, b.Bottom-b.Top
	var p Path
	switch t {
	case upward:
		for x := b.Left + gap/2; x < b.Right; x += gap {
			p.move(x, b.Top)
			p.line(x, b.Bottom)
		}
	case slanted, crossed:
		for s := Points(gap / 2); s < wide+high; s += gap {
			p.move(b.Left+max(0, s-high), b.Top+min(s, high))
			p.line(b.Left+min(s, wide), b.Top+max(0, s-wide))
		}
		if t == crossed {
			for s := Points(gap / 2); s < wide+high; s += gap {
				p.move(b.Right-max(0, s-high), b.Top+min(s, high))
				p.line(b.Right-min(s, wide), b.Top+max(0, s-wide))
			}
		}
	case dotted:
		for y := b.Top + 2.2; y < b.Bottom-0.8; y += 3.4 {
			for x := b.Left + 2; x < b.Right-0.8; x += 3.6 {
				p.move(x-0.55, y)
				p.line(x+0.55, y)
			}
		}
		if len(p) > 0 {
			d.line(p, ink, 1.1)
		}
		return
	}
	if len(p) > 0 {
		d.line(p, ink, 0.8)
	}
}
