package paint

import (
	"encoding/binary"
	"image"
	"math"
)

// Stamp is shapes about an origin that a drawing shows in many places. None of
// them is a stamp.
type Stamp struct {
	Shapes []Shape
	box    Box
}

// Stamp shows at a place what draw draws about the origin. It is drawn once for
// each look, so a look names all that its shapes depend on but the place.
func (d *Drawing) Stamp(look string, at Point, draw func(*Drawing)) {
	s, ok := d.stamps[look]
	if !ok {
		alone := &Drawing{Width: d.Width, Pixels: d.Pixels, Paper: d.Paper}
		draw(alone)
		d.Boxed = d.Boxed || alone.Boxed
		s = &Stamp{alone.Shapes, alone.boxOf(0, len(alone.Shapes))}
		if d.stamps == nil {
			d.stamps = map[string]*Stamp{}
		}
		d.stamps[look] = s
	}
	if len(s.Shapes) > 0 {
		d.Shapes = append(d.Shapes, Shape{Stamp: s, At: at})
	}
}

// Look names what a stamp shows, by what it is and all that its shapes depend on.
func Look(what string, numbers ...Points) string {
	b := append(make([]byte, 0, 512), what...)
	for _, n := range numbers {
		b = binary.LittleEndian.AppendUint64(b, math.Float64bits(float64(n)))
	}
	return string(b)
}

// phases is how finely a stamp is placed: in quarters of a pixel.
const phases = 4

// printed is a stamp painted at one phase of the pixels.
type printed struct {
	box    image.Rectangle // round it, from the pixel of its origin
	runs   []run
	inks   []uint8 // the canvas's entries, run after run
	levels []uint8 // how much of a pixel is covered; of runs that are not full
}

// run is pixels side by side that are all covered in full, or all in part.
type run struct {
	x, y, n int32
	full    bool
}

// phased is a stamp as it was painted so far.
type phased struct {
	at   [phases * phases]*printed // by phase
	uses int                       // on the picture
	fine *film                     // in quarters of a pixel, from which the phases come
}

// many is how often a stamp is used that is painted once, in quarters of a pixel, which
// costs about as much as three phases of it.
const many = 5

// expect counts the stamps that are about to be painted.
func (r *raster) expect(shapes []Shape) {
	for i := range shapes {
		switch s := &shapes[i]; {
		case s.Stamp != nil:
			r.phased(s.Stamp).uses++
		case s.Inset != nil:
			r.expect(s.Inset.Shapes)
		}
	}
}

func (r *raster) phased(s *Stamp) *phased {
	all := r.printed[s]
	if all == nil {
		all = new(phased)
		r.printed[s] = all
	}
	return all
}

// stamp paints a stamp: it is painted once for each phase and copied from then on.
func (r *raster) stamp(s *Stamp, at dot) {
	x, y := floor(at.x*phases+0.5), floor(at.y*phases+0.5)
	corner := image.Pt(floor(float32(x)/phases), floor(float32(y)/phases))
	x, y = x-corner.X*phases, y-corner.Y*phases
	all := r.phased(s)
	p := &all.at[y*phases+x]
	if *p == nil {
		*p = r.canvas.develop(r.print(s, all, x, y))
	}
	r.canvas.press(*p, corner, r.bounds)
}

// print paints a stamp at a phase on a film of its own.
func (r *raster) print(s *Stamp, all *phased, x, y int) *film {
	k := float64(r.scale)
	const round = 2 // pixels, for the edges of what is stroked
	box := image.Rect(
		int(math.Floor(float64(s.box.Left)*k))-round, int(math.Floor(float64(s.box.Top)*k))-round,
		int(math.Ceil(float64(s.box.Right)*k))+round+1, int(math.Ceil(float64(s.box.Bottom)*k))+round+1)
	if all.uses < many {
		return r.expose(s, box, dot{float32(x) / phases, float32(y) / phases}, 1)
	}
	if all.fine == nil {
		fine := image.Rectangle{Min: box.Min.Mul(phases).Sub(image.Pt(phases, phases)), Max: box.Max.Mul(phases)}
		all.fine = r.expose(s, fine, dot{}, phases)
	}
	return all.fine.shifted(box, x, y)
}

// expose paints a stamp on a film whose pixels are so many to one of the picture.
func (r *raster) expose(s *Stamp, box image.Rectangle, origin dot, fineness float32) *film {
	f := &film{box: box, pixels: make([][4]uint8, box.Dx()*box.Dy())}
	if r.plate == nil {
		r.plate = newRaster(r.canvas) // of its own, for a stroke may be under way on the other
	}
	r.plate.ground, r.plate.bounds, r.plate.origin, r.plate.scale, r.plate.fineness = f, box, origin, r.scale*fineness, fineness
	for i := range s.Shapes {
		r.plate.shape(&s.Shapes[i])
	}
	return f
}

// film is a picture with nothing behind it: colours times how much of the pixel
// they cover, and that.
type film struct {
	box    image.Rectangle
	pixels [][4]uint8
}

// cover implements ground.
func (f *film) cover(x, y int, parts []uint8, ink Ink) {
	at := (y-f.box.Min.Y)*f.box.Dx() + x - f.box.Min.X
	row := f.pixels[at : at+len(parts)]
	for i, part := range parts {
		switch part {
		case 0:
			continue
		case 255:
			row[i] = [4]uint8{ink.R, ink.G, ink.B, 255}
			continue
		}
		for j, over := range [...]uint8{ink.R, ink.G, ink.B, 255} {
			row[i][j] = uint8((uint32(row[i][j])*uint32(255-part) + uint32(over)*uint32(part) + 127) / 255)
		}
	}
}

// span implements ground.
func (f *film) span(y int, from, to, deep float32, ink Ink) {
	for x := floor(from); float32(x) < to; x++ {
		wide := min(float32(x+1), to) - max(float32(x), from)
		f.cover(x, y, []uint8{uint8(255*wide*deep + 0.5)}, ink)
	}
}

// block implements ground.
func (f *film) block(top, bottom int, from, to float32, ink Ink) {
	for y := top; y < bottom; y++ {
		f.span(y, from, to, 1, ink)
	}
}

// shifted is a film in quarters of a pixel brought down to pixels, at a phase.
func (f *film) shifted(box image.Rectangle, x, y int) *film {
	out := &film{box: box, pixels: make([][4]uint8, box.Dx()*box.Dy())}
	wide := f.box.Dx()
	for i := range out.pixels {
		left := (box.Min.X+i%box.Dx())*phases - x - f.box.Min.X
		top := (box.Min.Y+i/box.Dx())*phases - y - f.box.Min.Y
		const pairs, half = 0x00FF00FF, phases * phases / 2 * 0x00010001
		even, odd := uint32(half), uint32(half) // sums of two channels each
		for at := top*wide + left; at < (top+phases)*wide+left; at += wide {
			for _, p := range f.pixels[at : at+phases] {
				four := binary.LittleEndian.Uint32(p[:])
				even, odd = even+four&pairs, odd+four>>8&pairs
			}
		}
		const mean = phases * phases
		out.pixels[i] = [4]uint8{uint8(even & 0xFFFF / mean), uint8(odd & 0xFFFF / mean), uint8(even >> 16 / mean), uint8(odd >> 16 / mean)}
	}
	return out
}

// develop turns a film into runs of the canvas's entries.
func (c *canvas) develop(f *film) *printed {
	p := &printed{box: f.box}
	for i, pixel := range f.pixels {
		cover := int(pixel[3])
		level := (cover + 8) / levels
		if level == 0 {
			continue
		}
		x, y := int32(f.box.Min.X+i%f.box.Dx()), int32(f.box.Min.Y+i/f.box.Dx())
		pure := func(part uint8) uint8 { return uint8(min(255, (int(part)*255+cover/2)/cover)) }
		entry := c.shadeOf(Ink{pure(pixel[0]), pure(pixel[1]), pure(pixel[2]), 255})
		full := level == levels
		last := len(p.runs) - 1
		if last < 0 || p.runs[last].y != y || p.runs[last].x+p.runs[last].n != x || p.runs[last].full != full {
			p.runs = append(p.runs, run{x: x, y: y, full: full})
			last++
		}
		p.runs[last].n++
		p.inks = append(p.inks, entry)
		if !full {
			p.levels = append(p.levels, uint8(level))
		}
	}
	return p
}

// press puts a stamp on the canvas, as far as it lies within bounds.
func (c *canvas) press(p *printed, corner image.Point, bounds image.Rectangle) {
	inside := p.box.Add(corner).In(bounds)
	inks, covers := p.inks, p.levels
	for _, r := range p.runs {
		n := int(r.n)
		over := inks[:n]
		inks = inks[n:]
		var cover []uint8
		if !r.full {
			cover, covers = covers[:n], covers[n:]
		}
		x, y := corner.X+int(r.x), corner.Y+int(r.y)
		if !inside {
			left, right := max(0, bounds.Min.X-x), min(n, bounds.Max.X-x)
			if y < bounds.Min.Y || y >= bounds.Max.Y || left >= right {
				continue
			}
			x, over = x+left, over[left:right]
			if !r.full {
				cover = cover[left:right]
			}
		}
		row := c.pix[y*c.wide+x:][:len(over)]
		if r.full {
			copy(row, over)
			continue
		}
		for i, level := range cover {
			mixed := c.mixed[over[i]][level][row[i]]
			if mixed == 0 {
				mixed = c.mix(row[i], over[i], int(level))
			}
			row[i] = mixed
		}
	}
}
