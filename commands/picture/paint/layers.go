package paint

import "slices"

// faded is how much of the ground shows through what is pale.
const faded = 0.66

// Fade makes all of a drawing pale: its inks are mixed with the ground.
func (d *Drawing) Fade() {
	fadeAll(d.Shapes, d.Ground())
	for _, s := range d.stamps {
		fadeAll(s.Shapes, d.Ground())
	}
}

func fadeAll(shapes []Shape, ground Ink) {
	for i := range shapes {
		s := &shapes[i]
		s.Fill, s.Stroke, s.Words.Ink = s.Fill.faded(ground), s.Stroke.faded(ground), s.Words.Ink.faded(ground)
	}
}

// faded is the ink mixed with a ground; a clear one stays clear.
func (i Ink) faded(ground Ink) Ink {
	if i.Clear() {
		return i
	}
	mix := func(ink, under uint8) uint8 { return uint8(float64(ink)*(1-faded) + float64(under)*faded + 0.5) }
	return Ink{mix(i.R, ground.R), mix(i.G, ground.G), mix(i.B, ground.B), i.A}
}

// Over lays a drawing over a pale one of the same page.
func (d *Drawing) Over(pale *Drawing) {
	shift := len(pale.Shapes)
	for i := range d.Parts {
		d.Parts[i].From += shift
		d.Parts[i].To += shift
	}
	d.Shapes = append(pale.Shapes, d.Shapes...)
	d.Parts = append(pale.Parts, d.Parts...)
	d.Boxed = d.Boxed || pale.Boxed
	if d.stamps == nil {
		d.stamps = map[string]*Stamp{}
	}
	for look, s := range pale.stamps {
		d.stamps["pale "+look] = s
	}
}

// Behind brings the last shapes, from one on, behind all others.
func (d *Drawing) Behind(from int) {
	last := len(d.Shapes) - from
	d.Shapes = slices.Concat(d.Shapes[from:], d.Shapes[:from])
	for i := range d.Parts {
		shift := last
		if d.Parts[i].From >= from {
			shift = -from
		}
		d.Parts[i].From += shift
		d.Parts[i].To += shift
	}
}
