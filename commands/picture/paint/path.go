package paint

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

// Move sets the pen down at a place.
func (p *Path) Move(x, y Points) { *p = append(*p, Segment{Op: Move, P: Point{x, y}}) }

// Line goes on straight to a place.
func (p *Path) Line(x, y Points) { *p = append(*p, Segment{Op: Line, P: Point{x, y}}) }

// Curve goes on in a Bézier curve by two control points.
func (p *Path) Curve(a, b, to Point) {
	*p = append(*p, Segment{Op: Curve, P: to, A: a, B: b})
}

// Close goes back to where the pen was set down.
func (p *Path) Close() { *p = append(*p, Segment{Op: Close}) }

// Polyline runs straight from point to point.
func Polyline(points ...Point) Path {
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

// Polygon is a closed polyline.
func Polygon(points ...Point) Path {
	p := Polyline(points...)
	p.Close()
	return p
}

// Rectangle is the outline of a box.
func Rectangle(b Box) Path {
	return Polygon(Point{b.Left, b.Top}, Point{b.Right, b.Top}, Point{b.Right, b.Bottom}, Point{b.Left, b.Bottom})
}

// Quarter is the share of a radius at which a Bézier curve's control points make a
// quarter of a circle.
const Quarter = 0.5522847498

// Rounded is a rectangle with rounded corners.
func Rounded(b Box, r Points) Path {
	r = max(0, min(r, (b.Right-b.Left)/2, (b.Bottom-b.Top)/2))
	k := r * (1 - Quarter)
	var p Path
	p.Move(b.Left+r, b.Top)
	p.Line(b.Right-r, b.Top)
	p.Curve(Point{b.Right - k, b.Top}, Point{b.Right, b.Top + k}, Point{b.Right, b.Top + r})
	p.Line(b.Right, b.Bottom-r)
	p.Curve(Point{b.Right, b.Bottom - k}, Point{b.Right - k, b.Bottom}, Point{b.Right - r, b.Bottom})
	p.Line(b.Left+r, b.Bottom)
	p.Curve(Point{b.Left + k, b.Bottom}, Point{b.Left, b.Bottom - k}, Point{b.Left, b.Bottom - r})
	p.Line(b.Left, b.Top+r)
	p.Curve(Point{b.Left, b.Top + k}, Point{b.Left + k, b.Top}, Point{b.Left + r, b.Top})
	p.Close()
	return p
}

// Circle is a circle about c.
func Circle(c Point, r Points) Path {
	return Rounded(Box{c.X - r, c.Y - r, c.X + r, c.Y + r}, r)
}

// Smooth runs through all points in one bend (a Catmull-Rom spline).
func Smooth(points ...Point) Path {
	if len(points) < 3 {
		return Polyline(points...)
	}
	p := make(Path, 1, len(points))
	p[0] = Segment{Op: Move, P: points[0]}
	at := func(i int) Point { return points[max(0, min(i, len(points)-1))] }
	for i := range len(points) - 1 {
		a, b, c, d := at(i-1), at(i), at(i+1), at(i+2)
		p.Curve(Point{b.X + (c.X-a.X)/6, b.Y + (c.Y-a.Y)/6}, Point{c.X - (d.X-b.X)/6, c.Y - (d.Y-b.Y)/6}, c)
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

// Frame is a place and a turn to draw in: x along, y down from its origin.
type Frame struct {
	At       Point
	Cos, Sin Points
}

// Upright is a frame that is not turned.
func Upright(at Point) Frame { return Frame{At: at, Cos: 1} }

// Turned is a frame turned clockwise by an angle in radians.
func Turned(at Point, angle float64) Frame {
	s, c := math.Sincos(angle)
	return Frame{at, Points(c), Points(s)}
}

// To turns a place in the frame into one on the page.
func (f Frame) To(x, y Points) Point {
	return Point{f.At.X + x*f.Cos - y*f.Sin, f.At.Y + x*f.Sin + y*f.Cos}
}

// All turns pairs of x and y into points on the page.
func (f Frame) All(xy ...Points) []Point {
	points := make([]Point, len(xy)/2)
	for i := range points {
		points[i] = f.To(xy[2*i], xy[2*i+1])
	}
	return points
}
