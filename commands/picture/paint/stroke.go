package paint

import (
	"math"

	"golang.org/x/image/vector"
)

func (r *raster) strokeFlat(s *Shape) {
	if len(r.flat) == 0 {
		return
	}
	half := float32(s.Width) * r.scale / 2
	half = max(half, 0.25*r.fineness)
	r.each(func(line []dot, closed bool) {
		switch {
		case s.Dash != nil:
			r.stroke(line, half, s, func(p pen) { r.dash(line, s.Dash, p) })
		case closed:
			line = append(line[:len(line):len(line)], line[0])
			r.stroke(line, half, s, func(p pen) { p.stroke(line, true) })
		default:
			if r.straight(line, half, s) {
				return
			}
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
		lengths[i] = max(0.2*r.fineness, float32(l)*r.scale)
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
	if mx*nx+my*ny < sharp*p.half*p.half {
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
	const k = float32(Quarter)
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

// step is one straight piece of a stroke, with its direction and the rows that are
// its own.
type step struct {
	a, b      dot
	ux, uy    float32
	from, end int
	sharp     bool // the corner before it
}

const (
	sharp  = 0.5 // the cosine of a turn from which on a corner is rounded
	slight = 0.2 // the sine of a slant that spreads an edge over few pixels of a row
)

// straight paints a polyline of long steps, as cords hang, step by step without
// the general path, and tells whether it could. Each step reaches so far over the
// place where it meets the next that the wedge between them is filled; a sharp
// corner is rounded. Where both hang, each keeps to its own rows, so that no edge
// is laid twice.
func (r *raster) straight(line []dot, half float32, s *Shape) bool {
	if s.Round || len(line) < 2 {
		return false
	}
	r.steps = r.steps[:0]
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		length := hypot(b.x-a.x, b.y-a.y)
		if length < 1e-4 {
			continue
		}
		if length < 2*half {
			return false
		}
		next := step{a, b, (b.x - a.x) / length, (b.y - a.y) / length, r.bounds.Min.Y, r.bounds.Max.Y, false}
		if n := len(r.steps); n > 0 {
			last := &r.steps[n-1]
			cos, sin := last.ux*next.ux+last.uy*next.uy, last.ux*next.uy-last.uy*next.ux
			next.sharp = cos < sharp
			if next.sharp && r.ground != r.canvas { // no stamp holds another
				return false
			}
			over := float32(0)
			if !next.sharp {
				over = half*abs(sin)/(1+cos) + 0.5 // the tangent of half the turn
			}
			if row := max(r.bounds.Min.Y, min(int(a.y), r.bounds.Max.Y)); last.uy*next.uy > 0.5 {
				over += 1.5
				if next.uy > 0 {
					last.end, next.from = min(last.end, row), row
				} else {
					last.from, next.end = max(last.from, row), row
				}
			}
			last.b = dot{last.b.x + last.ux*over, last.b.y + last.uy*over}
			next.a = dot{a.x - next.ux*over, a.y - next.uy*over}
		}
		r.steps = append(r.steps, next)
	}
	for i := range r.steps {
		t := &r.steps[i]
		if t.sharp {
			r.corner(t.a, half, s.Stroke)
		}
		if abs(t.ux) < slight || t.uy == 0 {
			r.rows(t, half, s.Stroke)
		} else {
			r.slanted(t, half, s.Stroke)
		}
	}
	return true
}

// rows paints a straight piece with cut ends that hangs or lies, row by row from
// edge to edge: of a slant as slight as a hanging cord's, half way down each row.
func (r *raster) rows(s *step, half float32, ink Ink) {
	if s.ux == 0 || s.uy == 0 {
		dx, dy := half*abs(s.uy), half*abs(s.ux)
		left, right := min(s.a.x, s.b.x)-dx, max(s.a.x, s.b.x)+dx
		top, bottom := min(s.a.y, s.b.y)-dy, max(s.a.y, s.b.y)+dy
		r.spans(s, top, bottom, left, right, 0, ink)
		return
	}
	top, bottom := s.a, s.b
	if top.y > bottom.y {
		top, bottom = bottom, top
	}
	wide := half / abs(s.uy)
	r.spans(s, top.y, bottom.y, top.x-wide, top.x+wide, s.ux/s.uy, ink)
}

// spans paints what lies between two edges, which move by lean from row to row.
func (r *raster) spans(s *step, top, bottom, left, right, lean float32, ink Ink) {
	low, high := float32(r.bounds.Min.X), float32(r.bounds.Max.X)
	first, end := max(s.from, floor(top)), min(s.end, floor(bottom)+1)
	by := (float32(first) + 0.5 - top) * lean
	left, right = left+by, right+by
	for y := first; y < end; y++ {
		from, to := max(left, low), min(right, high)
		left, right = left+lean, right+lean
		if from >= to {
			continue
		}
		if below := min(end, floor(bottom)); lean == 0 && float32(y) >= top && y < below { // whole rows, all alike
			r.ground.block(y, below, from, to, ink)
			y = below - 1
			continue
		}
		if deep := min(float32(y+1), bottom) - max(float32(y), top); deep > 0 {
			r.ground.span(y, from, to, deep, ink)
		}
	}
}

// corner rounds a corner: a disc is stamped on it.
func (r *raster) corner(at dot, half float32, ink Ink) {
	if key := (disc{half, ink}); r.rounded == nil || key != r.round {
		s := r.discs[key]
		if s == nil {
			radius := Points(half / r.scale)
			s = &Stamp{[]Shape{{Path: Circle(Point{}, radius), Fill: ink}}, Box{-radius, -radius, radius, radius}}
			r.discs[key] = s
		}
		r.round, r.rounded = key, s
	}
	r.stamp(r.rounded, at)
}

type disc struct {
	half float32 // pixels
	ink  Ink
}

func floor(x float32) int {
	n := int(x)
	if float32(n) > x {
		n--
	}
	return n
}

// row is room for how much of the pixels of a row is covered.
func (r *raster) row(n int) []uint8 {
	if n > len(r.mask) {
		r.mask = make([]uint8, 2*n)
	}
	return r.mask[:n]
}

// slanted paints a straight piece with cut ends. A pixel is covered by as much as a
// square of one pixel, turned along the stroke, would be.
func (r *raster) slanted(s *step, half float32, ink Ink) {
	length := hypot(s.b.x-s.a.x, s.b.y-s.a.y)
	out := half + 0.5
	left, top, right, bottom := bounds([]dot{s.a, s.b}, out)
	left, right = max(left-1, float32(r.bounds.Min.X-1)), min(right, float32(r.bounds.Max.X-1))
	for y := max(s.from, floor(top)); y < min(s.end, floor(bottom)+1); y++ {
		// The pixels whose middles are within reach of the axis; from one to the next
		// the middle moves by -uy across the stroke and by ux along it.
		from, to := left, right
		dy := float32(y) + 0.5 - s.a.y
		middle, slant := s.a.x-0.5, float32(0)
		if abs(s.uy) > 1e-3 {
			slant = 1 / abs(s.uy)
			middle += dy * s.ux / s.uy
			from, to = max(from, middle-out*slant), min(to, middle+out*slant)
		}
		x0 := floor(from) + 1
		n := floor(to) - x0 + 1
		if n <= 0 {
			continue
		}
		row := r.row(n)
		dx := float32(x0) + 0.5 - s.a.x
		across, along := dy*s.ux-dx*s.uy, dx*s.ux+dy*s.uy
		if beyond := along + float32(n-1)*s.ux; slant == 0 || min(along, beyond) < 0.5 || max(along, beyond) > length-0.5 {
			for i := range row {
				row[i] = uint8(255*within(across, half)*max(0, min(along+0.5, length)-max(along-0.5, 0)) + 0.5)
				across -= s.uy
				along += s.ux
			}
		} else {
			inner := (half - 0.5) * slant // what is nearer to the axis is covered in full
			i := 0
			for full := min(n, floor(middle-inner)+1-x0); i < full; i++ {
				row[i] = uint8(255*within(across, half) + 0.5)
				across -= s.uy
			}
			for full := min(n, floor(middle+inner)+1-x0); i < full; i++ {
				row[i] = 255
				across -= s.uy
			}
			for ; i < n; i++ {
				row[i] = uint8(255*within(across, half) + 0.5)
				across -= s.uy
			}
		}
		r.ground.cover(x0, y, row, ink)
	}
}

// within is how much of a pixel about x lies within half of the axis.
func within(x, half float32) float32 {
	return max(0, min(x+0.5, half)-max(x-0.5, -half))
}
