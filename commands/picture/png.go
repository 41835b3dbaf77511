package picture

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/png"
	"math"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

// The most a picture for the chat may measure.
const (
	mostPixels = 1600
	mostHigh   = 4096
	mostBytes  = 1 << 20
)

// PNG renders the drawing for a chat: at most 1,600 pixels wide and 1 MiB. The
// error is that of the encoder.
func (d *Drawing) PNG() ([]byte, error) {
	pixels := d.pixels
	if pixels <= 0 || pixels > mostPixels {
		pixels = mostPixels
	}
	for {
		data, err := d.encode(pixels)
		if err != nil {
			return nil, fmt.Errorf("picture %q: %w", d.Title, err)
		}
		if len(data) < mostBytes || pixels < 200 {
			return data, nil
		}
		pixels = pixels * 3 / 4
	}
}

func (d *Drawing) encode(pixels int) ([]byte, error) {
	scale := float32(pixels) / float32(d.Width)
	if high := float32(mostHigh); float32(d.Height)*scale > high {
		scale = high / float32(d.Height)
	}
	r := newRaster(int(float32(d.Width)*scale+0.5), int(math.Ceil(float64(float32(d.Height)*scale))), scale)
	background := paperInk()
	if d.paper {
		background = whiteInk()
	}
	draw.Draw(r.image, r.image.Bounds(), image.NewUniform(color.RGBA(background)), image.Point{}, draw.Src)
	for i := range d.Shapes {
		r.shape(&d.Shapes[i])
	}
	var out bytes.Buffer
	encoder := png.Encoder{CompressionLevel: png.BestSpeed}
	if err := encoder.Encode(&out, reduce(r.image, d.inks())); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}

// inks are the colours of the drawing.
func (d *Drawing) inks() []Ink {
	seen := map[Ink]bool{paperInk(): true}
	list := []Ink{paperInk()}
	for _, s := range d.Shapes {
		for _, i := range [...]Ink{s.Fill, s.Stroke, s.Words.Ink} {
			if !i.clear() && !seen[i] {
				seen[i] = true
				list = append(list, i)
			}
		}
	}
	return list
}

// raster paints paths on an image.
type raster struct {
	image  *image.RGBA
	scale  float32
	fill   vector.Rasterizer
	mask   []uint8
	flat   []dot // the path in hand, flattened
	starts []int // where its sub-paths begin
	closed []bool
	dashed []dot
	glyphs map[glyphKey]sfnt.Segments
	buffer sfnt.Buffer
}

type dot struct{ x, y float32 }

type glyphKey struct {
	face Face
	sign rune
}

func newRaster(width, height int, scale float32) *raster {
	return &raster{image: image.NewRGBA(image.Rect(0, 0, width, height)), scale: scale, glyphs: map[glyphKey]sfnt.Segments{}}
}

func (r *raster) shape(s *Shape) {
	if s.Words.Text != "" {
		r.words(s.Words)
		return
	}
	r.flatten(s.Path)
	if !s.Fill.clear() {
		r.fillFlat(s.Fill)
	}
	if !s.Stroke.clear() && s.Width > 0 {
		r.strokeFlat(s)
	}
}

// flatten turns a path into polylines in pixels.
func (r *raster) flatten(p Path) {
	r.flat, r.starts, r.closed = r.flat[:0], r.starts[:0], r.closed[:0]
	k := r.scale
	px := func(at Point) dot { return dot{float32(at.X) * k, float32(at.Y) * k} }
	for i := range p {
		s := &p[i]
		switch s.Op {
		case Move:
			r.starts = append(r.starts, len(r.flat))
			r.closed = append(r.closed, false)
			r.flat = append(r.flat, px(s.P))
		case Line:
			r.flat = append(r.flat, px(s.P))
		case Curve:
			r.flat = bend(r.flat, px(s.A), px(s.B), px(s.P))
		case Close:
			if n := len(r.closed); n > 0 {
				r.closed[n-1] = true
			}
		}
	}
}

// bend appends a cubic curve as straight steps, as many as its size asks for.
func bend(flat []dot, a, b, to dot) []dot {
	from := flat[len(flat)-1]
	// The second differences bound how far a step's chord strays from the curve.
	dx := max(abs(from.x-2*a.x+b.x), abs(a.x-2*b.x+to.x))
	dy := max(abs(from.y-2*a.y+b.y), abs(a.y-2*b.y+to.y))
	n := 1 + int(math.Sqrt(float64(max(dx, dy))*4))
	n = min(n, 32)
	for i := 1; i <= n; i++ {
		t := float32(i) / float32(n)
		u := 1 - t
		c0, c1, c2, c3 := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
		flat = append(flat, dot{c0*from.x + c1*a.x + c2*b.x + c3*to.x, c0*from.y + c1*a.y + c2*b.y + c3*to.y})
	}
	return flat
}

func abs(x float32) float32 { return max(x, -x) }

// begin readies the rasteriser for a box of pixels and returns its corner; ok is
// false when nothing of it is on the picture.
func (r *raster) begin(left, top, right, bottom float32) (corner image.Point, ok bool) {
	b := image.Rect(int(math.Floor(float64(left))), int(math.Floor(float64(top))), int(math.Ceil(float64(right)))+1, int(math.Ceil(float64(bottom)))+1)
	b = b.Intersect(r.image.Bounds())
	if b.Empty() {
		return image.Point{}, false
	}
	r.fill.Reset(b.Dx(), b.Dy())
	return b.Min, true
}

// paint puts what the rasteriser holds on the image. It goes by a mask of its own
// because most of a box is either empty or full, which needs no blending.
func (r *raster) paint(corner image.Point, ink Ink) {
	size := r.fill.Size()
	if need := size.X * size.Y; need > len(r.mask) {
		r.mask = make([]uint8, need)
	}
	mask := image.Alpha{Pix: r.mask[:size.X*size.Y], Stride: size.X, Rect: image.Rectangle{Max: size}}
	r.fill.DrawOp = draw.Src
	r.fill.Draw(&mask, mask.Rect, image.Opaque, image.Point{})
	for y := range size.Y {
		row := mask.Pix[y*size.X : (y+1)*size.X]
		at := r.image.PixOffset(corner.X, corner.Y+y)
		out := r.image.Pix[at : at+4*size.X]
		for x, cover := range row {
			switch p := out[4*x : 4*x+3 : 4*x+3]; cover {
			case 0:
			case 255:
				p[0], p[1], p[2] = ink.R, ink.G, ink.B
			default:
				p[0], p[1], p[2] = blend(p[0], ink.R, cover), blend(p[1], ink.G, cover), blend(p[2], ink.B, cover)
			}
		}
	}
}

// blend lays one colour over another, cover of 255 parts of it.
func blend(under, over, cover uint8) uint8 {
	return uint8((uint32(under)*uint32(255-cover) + uint32(over)*uint32(cover) + 127) / 255)
}

func bounds(dots []dot, by float32) (left, top, right, bottom float32) {
	left, top, right, bottom = dots[0].x, dots[0].y, dots[0].x, dots[0].y
	for _, d := range dots[1:] {
		left, right = min(left, d.x), max(right, d.x)
		top, bottom = min(top, d.y), max(bottom, d.y)
	}
	return left - by, top - by, right + by, bottom + by
}

// each calls do for every polyline of the flattened path.
func (r *raster) each(do func(line []dot, closed bool)) {
	for i, from := range r.starts {
		to := len(r.flat)
		if i+1 < len(r.starts) {
			to = r.starts[i+1]
		}
		do(r.flat[from:to], r.closed[i])
	}
}

func (r *raster) fillFlat(ink Ink) {
	if len(r.flat) == 0 {
		return
	}
	corner, ok := r.begin(bounds(r.flat, 0))
	if !ok {
		return
	}
	cx, cy := float32(corner.X), float32(corner.Y)
	r.each(func(line []dot, _ bool) {
		r.fill.MoveTo(line[0].x-cx, line[0].y-cy)
		for _, d := range line[1:] {
			r.fill.LineTo(d.x-cx, d.y-cy)
		}
		r.fill.ClosePath()
	})
	r.paint(corner, ink)
}

func (r *raster) strokeFlat(s *Shape) {
	if len(r.flat) == 0 {
		return
	}
	half := float32(s.Width) * r.scale / 2
	if half < 0.25 {
		half = 0.25
	}
	r.each(func(line []dot, closed bool) {
		switch {
		case s.Dash != nil:
			r.stroke(line, half, s, func(p pen) { r.dash(line, s.Dash, p) })
		case closed:
			line = append(line[:len(line):len(line)], line[0])
			r.stroke(line, half, s, func(p pen) { p.stroke(line, true) })
		default:
			for from, to := 0, 0; to < len(line)-1; from = to - 1 {
				to = stretch(line, from, half)
				part := line[from : to+1]
				r.stroke(part, half, s, func(p pen) { p.stroke(part, false) })
			}
		}
	})
}

// stroke paints what do draws within the box of a polyline.
func (r *raster) stroke(line []dot, half float32, s *Shape, do func(pen)) {
	corner, ok := r.begin(bounds(line, half*1.5))
	if !ok {
		return
	}
	do(pen{&r.fill, float32(corner.X), float32(corner.Y), half, s.Round})
	r.paint(corner, s.Stroke)
}

// stretch is the last dot of a stretch of a polyline that begins at from and whose
// box is not much larger than the stroke itself; painting stretch by stretch
// spares the empty part of the box. Each stretch begins one step before the last
// one ended, so that they overlap and no seam shows.
func stretch(line []dot, from int, half float32) int {
	to := min(from+2, len(line)-1)
	left, top, right, bottom := bounds(line[from:to+1], half)
	inked := float32(0)
	for ; to < len(line)-1; to++ {
		next := line[to+1]
		left, right = min(left, next.x-half), max(right, next.x+half)
		top, bottom = min(top, next.y-half), max(bottom, next.y+half)
		inked += 2 * half * hypot(next.x-line[to].x, next.y-line[to].y)
		if area := (right - left) * (bottom - top); area > 1024 && area > 5*inked {
			break
		}
	}
	return to
}

// dash strokes a polyline in pieces.
func (r *raster) dash(line []dot, dash []Points, pen pen) {
	lengths := make([]float32, len(dash))
	for i, l := range dash {
		lengths[i] = max(0.2, float32(l)*r.scale)
	}
	on, i, left := true, 0, lengths[0]
	r.dashed = append(r.dashed[:0], line[0])
	for n := 1; n < len(line); n++ {
		a, b := line[n-1], line[n]
		for {
			length := hypot(b.x-a.x, b.y-a.y)
			if length <= left {
				left -= length
				if on {
					r.dashed = append(r.dashed, b)
				}
				break
			}
			t := left / length
			a = dot{a.x + (b.x-a.x)*t, a.y + (b.y-a.y)*t}
			if on {
				r.dashed = append(r.dashed, a)
				pen.stroke(r.dashed, false)
			}
			r.dashed = append(r.dashed[:0], a)
			on = !on
			i = (i + 1) % len(lengths)
			left = lengths[i]
		}
	}
	if on {
		pen.stroke(r.dashed, false)
	}
}

func hypot(x, y float32) float32 { return float32(math.Sqrt(float64(x*x + y*y))) }

// pen turns polylines into areas: one box for every step, all turning the same
// way round so that overlaps count once, and wedges where steps meet.
type pen struct {
	fill  *vector.Rasterizer
	x, y  float32 // corner of the rasteriser's box
	half  float32
	round bool
}

func (p pen) stroke(line []dot, closed bool) {
	var fromX, fromY float32 // half-width across the step before
	first := true
	var firstX, firstY float32
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		length := hypot(b.x-a.x, b.y-a.y)
		if length < 1e-4 {
			continue
		}
		nx, ny := -(b.y-a.y)/length*p.half, (b.x-a.x)/length*p.half
		p.polygon(dot{a.x + nx, a.y + ny}, dot{a.x - nx, a.y - ny}, dot{b.x - nx, b.y - ny}, dot{b.x + nx, b.y + ny})
		if first {
			first, firstX, firstY = false, nx, ny
		} else {
			p.join(a, fromX, fromY, nx, ny)
		}
		fromX, fromY = nx, ny
	}
	if first {
		return
	}
	if closed {
		p.join(line[0], fromX, fromY, firstX, firstY)
		return
	}
	if p.round {
		p.disc(line[0])
		p.disc(line[len(line)-1])
	}
}

// join fills the wedge between two steps at a.
func (p pen) join(a dot, mx, my, nx, ny float32) {
	cross := mx*ny - my*nx
	if mx*nx+my*ny < 0.5*p.half*p.half { // a sharp corner
		p.disc(a)
		return
	}
	if cross > 0 { // turns to the right of y down: the gap is on the other side
		p.polygon(a, dot{a.x - nx, a.y - ny}, dot{a.x - mx, a.y - my})
	} else {
		p.polygon(a, dot{a.x + mx, a.y + my}, dot{a.x + nx, a.y + ny})
	}
}

func (p pen) disc(c dot) {
	const k = float32(round)
	h, x, y := p.half, c.x-p.x, c.y-p.y
	p.fill.MoveTo(x+h, y)
	p.fill.CubeTo(x+h, y-k*h, x+k*h, y-h, x, y-h)
	p.fill.CubeTo(x-k*h, y-h, x-h, y-k*h, x-h, y)
	p.fill.CubeTo(x-h, y+k*h, x-k*h, y+h, x, y+h)
	p.fill.CubeTo(x+k*h, y+h, x+h, y+k*h, x+h, y)
	p.fill.ClosePath()
}

// polygon adds a polygon, turned so that its area is negative like that of disc.
func (p pen) polygon(dots ...dot) {
	area := float32(0)
	for i, a := range dots {
		b := dots[(i+1)%len(dots)]
		area += a.x*b.y - b.x*a.y
	}
	if area > 0 {
		for i, j := 0, len(dots)-1; i < j; i, j = i+1, j-1 {
			dots[i], dots[j] = dots[j], dots[i]
		}
	}
	p.fill.MoveTo(dots[0].x-p.x, dots[0].y-p.y)
	for _, d := range dots[1:] {
		p.fill.LineTo(d.x-p.x, d.y-p.y)
	}
	p.fill.ClosePath()
}

// words paints a line of text by the outlines of its signs.
func (r *raster) words(w Words) {
	x := float32(w.At.X) * r.scale
	y := float32(w.At.Y) * r.scale
	size := float32(w.Size) * r.scale
	wide := float32(w.Face.measure(w.Text, w.Size)) * r.scale
	corner, ok := r.begin(x-size*0.3, y-size*1.2, x+wide+size*0.3, y+size*0.4)
	if !ok {
		return
	}
	for _, sign := range w.Text {
		at := dot{x - float32(corner.X), y - float32(corner.Y)}
		for _, s := range r.glyph(w.Face, sign) {
			p := func(i int) (float32, float32) {
				return at.x + float32(s.Args[i].X)/64/glyphSize*size, at.y + float32(s.Args[i].Y)/64/glyphSize*size
			}
			x0, y0 := p(0)
			x1, y1 := p(1)
			switch s.Op {
			case sfnt.SegmentOpMoveTo:
				r.fill.MoveTo(x0, y0)
			case sfnt.SegmentOpLineTo:
				r.fill.LineTo(x0, y0)
			case sfnt.SegmentOpQuadTo:
				r.fill.QuadTo(x0, y0, x1, y1)
			case sfnt.SegmentOpCubeTo:
				x2, y2 := p(2)
				r.fill.CubeTo(x0, y0, x1, y1, x2, y2)
			}
		}
		x += float32(max(0, w.Face.advance(sign))) * size / 1000
	}
	r.paint(corner, w.Ink)
}

// glyphSize is the size that outlines are loaded in.
const glyphSize = 256

// glyph is the outline of a sign.
func (r *raster) glyph(f Face, sign rune) sfnt.Segments {
	key := glyphKey{f, sign}
	if outline, ok := r.glyphs[key]; ok {
		return outline
	}
	outline := outlineOf(&r.buffer, f, sign)
	r.glyphs[key] = outline
	return outline
}

// outlineOf loads the outline of a sign at glyphSize; nil when there is none.
func outlineOf(b *sfnt.Buffer, f Face, sign rune) sfnt.Segments {
	index, err := f.font().GlyphIndex(b, sign)
	if err != nil {
		return nil
	}
	segments, err := f.font().LoadGlyph(b, index, fixed.I(glyphSize), nil)
	if err != nil {
		return nil
	}
	return append(sfnt.Segments(nil), segments...)
}

// reduce turns an image into one of 256 colours: those of the inks exactly, and
// the commonest of the shades between them. A picture of a few inks loses nothing
// that an eye sees and is a quarter of the work to encode.
func reduce(img *image.RGBA, inks []Ink) *image.Paletted {
	const bits = 5
	key := func(r, g, b uint8) int { return int(r>>(8-bits))<<(2*bits) | int(g>>(8-bits))<<bits | int(b>>(8-bits)) }
	out := image.NewPaletted(img.Bounds(), make(color.Palette, 0, 256))
	var index [1 << (3 * bits)]int16 // of the palette, plus one
	var count [1 << (3 * bits)]int32
	var sample [1 << (3 * bits)]color.RGBA
	add := func(c color.RGBA) {
		k := key(c.R, c.G, c.B)
		if index[k] == 0 && len(out.Palette) < 256 {
			out.Palette = append(out.Palette, c)
			index[k] = int16(len(out.Palette))
		}
	}
	for _, i := range inks {
		add(color.RGBA(i))
	}
	var last uint32 // runs of one colour are looked up once
	for i := 0; i < len(img.Pix); i += 4 {
		p := img.Pix[i : i+4 : i+4]
		pixel := binary.LittleEndian.Uint32(p)
		if pixel == last {
			continue
		}
		last = pixel
		k := key(p[0], p[1], p[2])
		if count[k] == 0 {
			sample[k] = color.RGBA{p[0], p[1], p[2], 255}
		}
		count[k]++
	}
	for least := int32(1 << 12); least > 0; least /= 2 {
		for k, n := range count {
			if n >= least {
				add(sample[k])
			}
		}
	}
	last = 0
	var entry uint8
	for i, o := 0, 0; i < len(img.Pix); i, o = i+4, o+1 {
		p := img.Pix[i : i+4 : i+4]
		if pixel := binary.LittleEndian.Uint32(p); pixel != last {
			last = pixel
			k := key(p[0], p[1], p[2])
			if index[k] == 0 {
				index[k] = int16(out.Palette.Index(sample[k])) + 1
			}
			entry = uint8(index[k] - 1)
		}
		out.Pix[o] = entry
	}
	return out
}
