package picture

import "math"

// Op is one stroke of a pen.
type Op uint8

// The strokes.
const (
	Move  Op = iota // to P
	Line            // to P
	Curve           // to P by the control points A and B
	Close           // back to where the pen was set down
)

// Segment is one stroke of a path.
type Segment struct {
	Op      Op
	P, A, B Point
}

// Path is strokes of a pen.
type Path []Segment

// move sets the pen down at a place.
func (p *Path) move(x, y Points) { *p = append(*p, Segment{Op: Move, P: Point{x, y}}) }

// line goes on straight to a place.
func (p *Path) line(x, y Points) { *p = append(*p, Segment{Op: Line, P: Point{x, y}}) }

// curve goes on in a Bézier curve by two control points.
func (p *Path) curve(a, b, to Point) {
	*p = append(*p, Segment{Op: Curve, P: to, A: a, B: b})
}
// close goes back to where the pen was set down.
func (p *Path) close() { *p = append(*p, Segment{Op: Close}) }

// polyline runs straight from point to point.
func polyline(points ...Point) Path {
	p := make(Path, len(points))
	for i, at := range points {
		op := Line
		if i == 0 {
			op = Move
		}
		p[i] = Segment{Op: op, P: at}
	}
	return p
}

// polygon is a closed polyline.
func polygon(points ...Point) Path {
	p := polyline(points...)
	p.close()
	return p
}

// rectangle is the outline of a box.
func rectangle(b Box) Path {
	return polygon(Point{b.Left, b.Top}, Point{b.Right, b.Top}, Point{b.Right, b.Bottom}, Point{b.Left, b.Bottom})
}

// round is the share of a radius at which a Bézier curve's control points make a
// quarter of a circle.
const round = 0.5522847498

// rounded is a rectangle with rounded corners.
func rounded(b Box, r Points) Path {
	r = max(0, min(r, (b.Right-b.Left)/2, (b.Bottom-b.Top)/2))
	k := r * (1 - round)
	var p Path
	p.move(b.Left+r, b.Top)
	p.line(b.Right-r, b.Top)
	p.curve(Point{b.Right - k, b.Top}, Point{b.Right, b.Top + k}, Point{b.Right, b.Top + r})
	p.line(b.Right, b.Bottom-r)
	p.curve(Point{b.Right, b.Bottom - k}, Point{b.Right - k, b.Bottom}, Point{b.Right - r, b.Bottom})
	p.line(b.Left+r, b.Bottom)
	p.curve(Point{b.Left + k, b.Bottom}, Point{b.Left, b.Bottom - k}, Point{b.Left, b.Bottom - r})
	p.line(b.Left, b.Top+r)
	p.curve(Point{b.Left, b.Top + k}, Point{b.Left + k, b.Top}, Point{b.Left + r, b.Top})
	p.close()
	return p
}

// circle is a circle about c.
func circle(c Point, r Points) Path {
	return rounded(Box{c.X - r, c.Y - r, c.X + r, c.Y + r}, r)
}

// smooth runs through all points in one bend (a Catmull-Rom spline).
func smooth(points ...Point) Path {
	if len(points) < 3 {
		return polyline(points...)
	}
	p := make(Path, 1, len(points))
	p[0] = Segment{Op: Move, P: points[0]}
	at := func(i int) Point { return points[max(0, min(i, len(points)-1))] }
	for i := range len(points) - 1 {
		a, b, c, d := at(i-1), at(i), at(i+1), at(i+2)
		p.curve(Point{b.X + (c.X-a.X)/6, b.Y + (c.Y-a.Y)/6}, Point{c.X - (d.X-b.X)/6, c.Y - (d.Y-b.Y)/6}, c)
	}
	return p
}

// box is the box round a path and its control points.
func (p Path) box() Box {
	b := Box{Points(math.Inf(1)), Points(math.Inf(1)), Points(math.Inf(-1)), Points(math.Inf(-1))}
	put := func(at Point) {
		b = Box{min(b.Left, at.X), min(b.Top, at.Y), max(b.Right, at.X), max(b.Bottom, at.Y)}
	}
	for _, s := range p {
		switch s.Op {
		case Curve:
			put(s.A)
			put(s.B)
			fallthrough
		case Move, Line:
			put(s.P)
		}
	}
	if b.Left > b.Right {
		return Box{}
	}
	return b
}

// frame is a place and a turn to draw in: x along, y down from its origin.
type frame struct {
	at       Point
	cos, sin Points
}

// upright is a frame that is not turned.
func upright(at Point) frame { return frame{at: at, cos: 1} }

// turned is a frame turned clockwise by an angle in radians.
func turned(at Point, angle float64) frame {
	s, c := math.Sincos(angle)
	return frame{at, Points(c), Points(s)}
}

// to turns a place in the frame into one on the page.
func (f frame) to(x, y Points) Point {
	return Point{f.at.X + x*f.cos - y*f.sin, f.at.Y + x*f.sin + y*f.cos}
}

// all turns pairs of x and y into points on the page.
func (f frame) all(xy ...Points) []Point {
	points := make([]Point, len(xy)/2)
	for i := range points {
		points[i] = f.to(xy[2*i], xy[2*i+1])
	}
	return points
}
