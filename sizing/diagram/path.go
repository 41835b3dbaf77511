package diagram

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// Point is a place in cord diameters: x to the right, y down, z towards the viewer.
type Point = r3.Vec

// fine is how many straight pieces are laid between two points of a path.
const fine = 10

// Path is a smooth line through points.
type Path struct {
	Points []Point // that it was laid through
	Line   []Point // close enough to be straight in between: fine of them to a point
}

// Through lays a path through points given as x, y, z in turn.
func Through(xyz ...float64) Path {
	points := make([]Point, len(xyz)/3)
	for i := range points {
		points[i] = Point{X: xyz[3*i], Y: xyz[3*i+1], Z: xyz[3*i+2]}
	}
	return Along(points)
}

// Along lays a path through points.
func Along(points []Point) Path {
	p := Path{Points: points, Line: points[:1:1]}
	at := func(i int) Point { return points[max(0, min(i, len(points)-1))] }
	for i := range len(points) - 1 {
		for k := 1; k <= fine; k++ {
			p.Line = append(p.Line, spline(at(i-1), at(i), at(i+1), at(i+2), float64(k)/fine))
		}
	}
	return p
}

// spline is the centripetal Catmull-Rom curve from b (t = 0) to c (t = 1), which
// has no loops or cusps of its own however unevenly the points lie.
func spline(a, b, c, d Point, t float64) Point {
	root := func(p, q Point) float64 { return max(math.Sqrt(r3.Norm(r3.Sub(q, p))), 1e-9) }
	t1 := root(a, b)
	t2 := t1 + root(b, c)
	t3 := t2 + root(c, d)
	if a == b {
		a, t1, t2, t3 = r3.Sub(r3.Scale(2, b), c), t2-t1, 2*(t2-t1), t3-t1+t2-t1
	}
	if c == d {
		d, t3 = r3.Sub(r3.Scale(2, c), b), t2+t2-t1
	}
	at := t1 + t*(t2-t1)
	mix := func(p, q Point, from, to float64) Point {
		return r3.Add(r3.Scale((to-at)/(to-from), p), r3.Scale((at-from)/(to-from), q))
	}
	ab, bc, cd := mix(a, b, 0, t1), mix(b, c, t1, t2), mix(c, d, t2, t3)
	return mix(mix(ab, bc, 0, t2), mix(bc, cd, t1, t3), t1, t2)
}

// Length is the length of the line.
func (p Path) Length() float64 {
	sum := 0.0
	for i := 1; i < len(p.Line); i++ {
		sum += r3.Norm(r3.Sub(p.Line[i], p.Line[i-1]))
	}
	return sum
}

// At is the share of the length, 0 to 1, at which the path meets its n-th point,
// counted from 0; between two points n may be a fraction.
func (p Path) At(n float64) float64 {
	whole, sum := p.Length(), 0.0
	steps := n * fine
	for i := 1; i < len(p.Line) && steps > 0; i++ {
		sum += min(steps, 1) * r3.Norm(r3.Sub(p.Line[i], p.Line[i-1]))
		steps--
	}
	return sum / whole
}

// Part is the line from one share of the length to another.
func (p Path) Part(from, to float64) []Point {
	whole := p.Length()
	from, to = from*whole, to*whole
	var part []Point
	sum := 0.0
	for i := 1; i < len(p.Line); i++ {
		a, b := p.Line[i-1], p.Line[i]
		step := r3.Norm(r3.Sub(b, a))
		next := sum + step
		if step > 0 && next >= from && sum <= to {
			on := func(at float64) Point { return r3.Add(a, r3.Scale((at-sum)/step, r3.Sub(b, a))) }
			if len(part) == 0 {
				part = append(part, on(max(from, sum)))
			}
			if end := on(min(to, next)); end != part[len(part)-1] {
				part = append(part, end)
			}
		}
		sum = next
	}
	return part
}

// apply maps every place of a path.
func (p Path) apply(f func(Point) Point) Path {
	q := Path{Points: slices.Clone(p.Points), Line: slices.Clone(p.Line)}
	for i := range q.Points {
		q.Points[i] = f(q.Points[i])
	}
	for i := range q.Line {
		q.Line[i] = f(q.Line[i])
	}
	return q
}

// Mirrored turns left into right.
func (p Path) Mirrored() Path {
	return p.apply(func(a Point) Point { return Point{X: -a.X, Y: a.Y, Z: a.Z} })
}

// Moved carries a path over the page.
func (p Path) Moved(x, y float64) Path {
	return p.apply(func(a Point) Point { return Point{X: a.X + x, Y: a.Y + y, Z: a.Z} })
}

// Upended is the path met from its other end, with down turned up about y = 0.
func (p Path) Upended() Path {
	q := p.apply(func(a Point) Point { return Point{X: a.X, Y: -a.Y, Z: a.Z} })
	slices.Reverse(q.Points)
	slices.Reverse(q.Line)
	return q
}

// Behind is the path as it is seen from the other side.
func (p Path) Behind() Path {
	return p.apply(func(a Point) Point { return Point{X: -a.X, Y: a.Y, Z: -a.Z} })
}

// Join runs from path to path; each begins where the one before ends.
func Join(paths ...Path) Path {
	points := slices.Clone(paths[0].Points)
	for _, p := range paths[1:] {
		points = append(points, p.Points[1:]...)
	}
	return Along(points)
}

// Gap is the least distance of two lines.
func Gap(a, b []Point) float64 {
	least := math.Inf(1)
	for i := 1; i < len(a); i++ {
		for j := 1; j < len(b); j++ {
			least = min(least, apart(a[i-1], a[i], b[j-1], b[j]))
		}
	}
	return least
}

// apart is the distance of the segments ab and cd.
func apart(a, b, c, d Point) float64 {
	u, v, w := r3.Sub(b, a), r3.Sub(d, c), r3.Sub(a, c)
	uu, vv, uv, uw, vw := r3.Dot(u, u), r3.Dot(v, v), r3.Dot(u, v), r3.Dot(u, w), r3.Dot(v, w)
	s := 0.5
	if det := uu*vv - uv*uv; det > 1e-12 {
		s = max(0, min(1, (uv*vw-vv*uw)/det))
	}
	t := 0.0
	if vv > 0 {
		t = max(0, min(1, (uv*s+vw)/vv))
	}
	if uu > 0 {
		s = max(0, min(1, (uv*t-uw)/uu))
	}
	return r3.Norm(r3.Add(w, r3.Sub(r3.Scale(s, u), r3.Scale(t, v))))
}
