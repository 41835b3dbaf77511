package tight

import (
	"fmt"
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/spatial/r3"
)

// Diameters is a length in working diameters of the cord: the cord itself is 1 thick.
type Diameters float64

// ending is how a cord continues past its last point.
type ending int

const (
	closed ending = iota // back to its own first point
	open                 // nowhere: both ends slide on planes that hold them taut
	chain                // to the first point of a cord in the next period
)

// axis names a coordinate.
type axis int

const (
	xAxis axis = iota
	yAxis
	zAxis
)

// cord is one strand, as a polyline along its centre line.
type cord struct {
	points []r3.Vec
	ending ending
	held   axis    // open: each end keeps its coordinate along this axis
	next   int     // chain: the cord it becomes in the next period
	filler bool    // chain: charged only for its detour over the pitch
	weight float64 // tension against the other cords; zero counts as 1
}

// core is a straight round rod along z that the cords go round. Unless fixed, it may move sideways.
type core struct {
	x, y     float64
	diameter float64
	fixed    bool
}

// repeat is a screw along z that carries the structure onto its next period.
type repeat struct {
	pitch, twist         float64 // diameters, radians
	freePitch, freeTwist bool
	wanted               float64 // a pitch to be brought to before the tightening proper; zero for none
}

// image carries a point m periods on.
func (r repeat) image(p r3.Vec, m int) r3.Vec {
	sin, cos := math.Sincos(float64(m) * r.twist)
	return r3.Vec{X: cos*p.X - sin*p.Y, Y: sin*p.X + cos*p.Y, Z: p.Z + float64(m)*r.pitch}
}

// rope is a whole structure: what is tightened together.
type rope struct {
	cords    []cord
	cores    []core
	repeat   repeat
	periodic bool
}

// clone copies a rope down to its points.
func (r *rope) clone() *rope {
	c := *r
	c.cords = make([]cord, len(r.cords))
	for i, k := range r.cords {
		c.cords[i] = k
		c.cords[i].points = append([]r3.Vec(nil), k.points...)
	}
	c.cores = append([]core(nil), r.cores...)
	return &c
}

// path is a cord's points together with the one it runs on to, if any.
func (r *rope) path(i int) []r3.Vec {
	c := r.cords[i]
	p := append([]r3.Vec(nil), c.points...)
	switch c.ending {
	case closed:
		p = append(p, c.points[0])
	case chain:
		p = append(p, r.repeat.image(r.cords[c.next].points[0], 1))
	}
	return p
}

// length is the length of one cord (of one period of it, for a chain).
func (r *rope) length(i int) float64 {
	sum := 0.0
	p := r.path(i)
	for j := 1; j < len(p); j++ {
		sum += norm(r3.Sub(p[j], p[j-1]))
	}
	return sum
}

// total is the length of the cords that pay for it: all but the fillers.
func (r *rope) total() float64 {
	sum := 0.0
	for i, c := range r.cords {
		if !c.filler {
			sum += r.length(i)
		}
	}
	return sum
}

// extent is the size of the whole along an axis, cord thickness included.
func (r *rope) extent(a axis) float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	see := func(v, radius float64) { lo, hi = min(lo, v-radius), max(hi, v+radius) }
	for _, c := range r.cords {
		for _, p := range c.points {
			see(coordinate(p, a), 0.5)
		}
	}
	for _, k := range r.cores {
		switch a {
		case xAxis:
			see(k.x, k.diameter/2)
		case yAxis:
			see(k.y, k.diameter/2)
		}
	}
	return hi - lo
}

// stretch changes the pitch, and the chains along z with it.
func (r *rope) stretch(pitch float64) {
	ratio := pitch / r.repeat.pitch
	for _, c := range r.cords {
		if c.ending == chain {
			for j := range c.points {
				c.points[j].Z *= ratio
			}
		}
	}
	r.repeat.pitch = pitch
}

// disturb moves every point a little, but for held ends and along z.
func (r *rope) disturb(size float64, seed uint64) {
	random := rand.New(rand.NewPCG(seed, 0))
	for _, c := range r.cords {
		for j := range c.points {
			if c.ending == open && (j == 0 || j == len(c.points)-1) {
				continue
			}
			c.points[j].X += size * (2*random.Float64() - 1)
			c.points[j].Y += size * (2*random.Float64() - 1)
		}
	}
}

// resample lays new points along every cord, one about every edge, at equal
// steps of arc along a cubic through the old points.
func (r *rope) resample(edge float64) {
	paths := make([][]r3.Vec, len(r.cords))
	for i, c := range r.cords {
		n := max(int(math.Round(r.length(i)/edge)), 8)
		line := r.extended(i)
		whole := c.ending == open
		paths[i] = equalSteps(line, n, whole)
	}
	for i := range r.cords {
		r.cords[i].points = paths[i]
	}
}

// extended is path with one more point at each end, for the slopes there.
func (r *rope) extended(i int) []r3.Vec {
	c := r.cords[i]
	p := r.path(i)
	n := len(p)
	var before, after r3.Vec
	switch c.ending {
	case closed:
		before, after = c.points[len(c.points)-1], p[1]
	case open:
		before = r3.Sub(r3.Scale(2, p[0]), p[1])
		after = r3.Sub(r3.Scale(2, p[n-1]), p[n-2])
	case chain:
		for _, d := range r.cords {
			if d.ending == chain && d.next == i {
				before = r.repeat.image(d.points[len(d.points)-1], -1)
			}
		}
		after = r.repeat.image(r.cords[c.next].points[1], 1)
	}
	out := make([]r3.Vec, 0, n+2)
	out = append(out, before)
	out = append(out, p...)
	return append(out, after)
}

// equalSteps lays n steps of equal arc on the cubic through line[1:len-1]; the
// last point is included only when whole.
func equalSteps(line []r3.Vec, n int, whole bool) []r3.Vec {
	const fine = 8
	dense := []r3.Vec{line[1]}
	for i := 1; i+2 < len(line); i++ {
		for k := 1; k <= fine; k++ {
			dense = append(dense, cubic(line[i-1], line[i], line[i+1], line[i+2], float64(k)/fine))
		}
	}
	arc := make([]float64, len(dense))
	for i := 1; i < len(dense); i++ {
		arc[i] = arc[i-1] + norm(r3.Sub(dense[i], dense[i-1]))
	}
	total := arc[len(arc)-1]
	out := make([]r3.Vec, 0, n+1)
	at := 0
	for k := range n {
		want := total * float64(k) / float64(n)
		for at+2 < len(arc) && arc[at+1] < want {
			at++
		}
		t := 0.0
		if span := arc[at+1] - arc[at]; span > 0 {
			t = (want - arc[at]) / span
		}
		out = append(out, r3.Add(dense[at], r3.Scale(t, r3.Sub(dense[at+1], dense[at]))))
	}
	if whole {
		out = append(out, dense[len(dense)-1])
	}
	return out
}

// cubic is the Catmull-Rom curve from b to c.
func cubic(a, b, c, d r3.Vec, t float64) r3.Vec {
	t2, t3 := t*t, t*t*t
	p := r3.Scale(-0.5*t+t2-0.5*t3, a)
	p = r3.Add(p, r3.Scale(1-2.5*t2+1.5*t3, b))
	p = r3.Add(p, r3.Scale(0.5*t+2*t2-1.5*t3, c))
	return r3.Add(p, r3.Scale(-0.5*t2+0.5*t3, d))
}

func coordinate(p r3.Vec, a axis) float64 {
	switch a {
	case xAxis:
		return p.X
	case yAxis:
		return p.Y
	}
	return p.Z
}

// check refuses a rope that cannot be tightened.
func (r *rope) check() error {
	if len(r.cords) == 0 {
		return fmt.Errorf("a rope needs at least one cord")
	}
	for i, c := range r.cords {
		if len(c.points) < 4 {
			return fmt.Errorf("cord %d has %d points; it needs at least 4", i+1, len(c.points))
		}
		if c.ending == chain && (!r.periodic || c.next < 0 || c.next >= len(r.cords)) {
			return fmt.Errorf("cord %d runs on into the next period, but there is none for it", i+1)
		}
	}
	if r.periodic && !(r.repeat.pitch > 0) {
		return fmt.Errorf("the pitch is %g; it must be more than 0", r.repeat.pitch)
	}
	return nil
}
