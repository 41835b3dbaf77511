package paint

import (
	"image"
	"image/draw"
	"math"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"
)

// raster paints shapes on a ground, pixel by pixel.
type raster struct {
	canvas  *canvas
	printed map[*Stamp]*phased
	discs   map[disc]*Stamp
	round   disc    // the last one asked for
	rounded *Stamp  // and its stamp
	plate   *raster // for stamps

	ground ground          // what is painted on: the canvas, or the film of a stamp
	bounds image.Rectangle // of the ground
	origin dot             // where the page begins on it
	scale  float32         // pixels to a point

	fineness float32 // how many of its pixels are one of the picture

	fill   vector.Rasterizer
	mask   []uint8
	flat   []dot // the path in hand, flattened
	starts []int // where its sub-paths begin
	closed []bool
	dashed []dot
	steps  []step
	glyphs map[glyphKey]sfnt.Segments
	buffer sfnt.Buffer
	file   pngFile
}

type dot struct{ x, y float32 }

type glyphKey struct {
	face Face
	sign rune
}

func newRaster(c *canvas) *raster { return &raster{canvas: c, glyphs: map[glyphKey]sfnt.Segments{}} }

// blank readies the raster for a picture of so many pixels in these inks, the
// first being that of its ground.
func (r *raster) blank(wide, high int, scale float32, inks []Ink) {
	r.canvas.blank(wide, high, inks)
	r.printed, r.discs, r.round, r.rounded = map[*Stamp]*phased{}, map[disc]*Stamp{}, disc{}, nil
	r.ground, r.bounds, r.origin, r.scale, r.fineness = r.canvas, image.Rect(0, 0, wide, high), dot{}, scale, 1
}

func (r *raster) shape(s *Shape) {
	switch {
	case s.Stamp != nil:
		r.stamp(s.Stamp, r.pixel(s.At))
		return
	case s.Inset != nil:
		r.inset(s.Inset, r.pixel(s.At))
		return
	case s.Words.Text != "":
		r.words(s.Words)
		return
	}
	r.flatten(s.Path)
	if !s.Fill.Clear() {
		r.fillFlat(s.Fill)
	}
	if !s.Stroke.Clear() && s.Width > 0 {
		r.strokeFlat(s)
	}
}

// inset paints a page within the page, cut off at its edges.
func (r *raster) inset(page *Drawing, corner dot) {
	origin, bounds := r.origin, r.bounds
	r.origin = corner
	end := r.pixel(Point{page.Width, page.Height})
	r.bounds = bounds.Intersect(image.Rect(floor(corner.x+0.5), floor(corner.y+0.5), floor(end.x+0.5), floor(end.y+0.5)))
	for i := range page.Shapes {
		r.shape(&page.Shapes[i])
	}
	r.origin, r.bounds = origin, bounds
}

// pixel is a place of the page on the ground.
func (r *raster) pixel(at Point) dot {
	return dot{r.origin.x + float32(at.X)*r.scale, r.origin.y + float32(at.Y)*r.scale}
}

// flatten turns a path into polylines in pixels.
func (r *raster) flatten(p Path) {
	r.flat, r.starts, r.closed = r.flat[:0], r.starts[:0], r.closed[:0]
	px := r.pixel
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
	b := image.Rect(floor(left), floor(top), int(math.Ceil(float64(right)))+1, int(math.Ceil(float64(bottom)))+1)
	b = b.Intersect(r.bounds)
	if b.Empty() {
		return image.Point{}, false
	}
	r.fill.Reset(b.Dx(), b.Dy())
	return b.Min, true
}

// paint puts what the rasteriser holds on the ground.
func (r *raster) paint(corner image.Point, ink Ink) {
	size := r.fill.Size()
	mask := image.Alpha{Pix: r.row(size.X * size.Y), Stride: size.X, Rect: image.Rectangle{Max: size}}
	r.fill.DrawOp = draw.Src
	r.fill.Draw(&mask, mask.Rect, image.Opaque, image.Point{})
	for y := range size.Y {
		r.ground.cover(corner.X, corner.Y+y, mask.Pix[y*size.X:(y+1)*size.X], ink)
	}
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

// words paints a line of text by the outlines of its signs.
func (r *raster) words(w Words) {
	from := r.pixel(w.At)
	x, y := from.x, from.y
	size := float32(w.Size) * r.scale
	wide := float32(w.Face.Measure(w.Text, w.Size)) * r.scale
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
