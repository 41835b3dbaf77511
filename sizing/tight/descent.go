package tight

import (
	"context"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/spatial/r3"
)

const (
	// longestStep is how far any point may move in one step, in diameters, and
	// closestPass is the least distance two strands may come to, as a share of
	// touching. Between two states each at least closestPass apart, two points of
	// different strands approach by at most 2 longestStep < closestPass: no strand
	// can be moved through another.
	longestStep = 0.1
	closestPass = 0.5

	memory = 20 // of the quasi-Newton method
)

// descent minimises a cost by the limited-memory BFGS method, its steps
// bounded so that strands never pass through each other.
type descent struct {
	*cost
	x, gradient []float64
	energy      float64
	listed      []r3.Vec // where the nodes were when the contacts were listed
	listedCores []core
	s, y        [][]float64
}

func newDescent(c *cost) *descent {
	d := &descent{cost: c, x: make([]float64, c.size()), gradient: make([]float64, c.size())}
	c.read(d.x)
	c.write(d.x)
	d.list()
	return d
}

func (d *descent) list() {
	d.findContacts()
	d.listed = append(d.listed[:0], d.at...)
	d.listedCores = append(d.listedCores[:0], d.rope.cores...)
}

// drifted tells whether a pair that is not listed may have come to touch, or might in the next step.
func (d *descent) drifted() bool {
	const far = skin/2 - longestStep
	for i, p := range d.at {
		if r3.Norm2(r3.Sub(p, d.listed[i])) > far*far {
			return true
		}
	}
	for i, c := range d.rope.cores {
		if math.Hypot(c.x-d.listedCores[i].x, c.y-d.listedCores[i].y) > far {
			return true
		}
	}
	return false
}

// run takes at most steps steps, fewer when the gradient's largest part falls
// below tolerance or no step improves. It reports whether the gradient did.
func (d *descent) run(ctx context.Context, steps int, tolerance float64) (bool, error) {
	d.begin()
	for range steps {
		if err := ctx.Err(); err != nil {
			return false, err
		}
		if floats.Norm(d.gradient, math.Inf(1)) < tolerance {
			return true, nil
		}
		if !d.step() {
			break
		}
	}
	return false, nil
}

// begin forgets the past steps.
func (d *descent) begin() {
	d.s, d.y = d.s[:0], d.y[:0]
	d.energy = d.evaluate(d.x, d.gradient)
}

// step goes along the quasi-Newton direction as far as the cost falls enough
// and the bounds allow, or else along the gradient. It reports whether it could.
func (d *descent) step() bool {
	if d.along(d.direction()) {
		return true
	}
	if len(d.s) == 0 {
		return false
	}
	d.begin()
	return d.along(d.direction())
}

// along searches a direction for a state of lower cost, and goes there.
func (d *descent) along(direction []float64) bool {
	const halvings, enough = 12, 1e-4
	rate := floats.Dot(direction, d.gradient)
	next, slope := make([]float64, len(d.x)), make([]float64, len(d.x))
	t := d.bound(direction)
	for range halvings {
		floats.AddScaledTo(next, d.x, t, direction)
		energy := d.evaluate(next, slope)
		if d.least >= closestPass && energy <= d.energy+enough*t*rate {
			d.remember(next, slope)
			d.x, d.gradient, d.energy = next, slope, energy
			if d.drifted() {
				d.list()
				d.energy = d.evaluate(d.x, d.gradient)
			}
			return true
		}
		t /= 2
	}
	d.evaluate(d.x, d.gradient)
	return false
}

func (d *descent) remember(x, gradient []float64) {
	s, y := make([]float64, len(x)), make([]float64, len(x))
	floats.SubTo(s, x, d.x)
	floats.SubTo(y, gradient, d.gradient)
	if floats.Dot(s, y) <= 1e-10*floats.Dot(y, y) {
		return
	}
	if len(d.s) == memory {
		d.s, d.y = d.s[1:], d.y[1:]
	}
	d.s, d.y = append(d.s, s), append(d.y, y)
}

// direction is minus the gradient through the inverse Hessian that the last steps show.
func (d *descent) direction() []float64 {
	q := append([]float64(nil), d.gradient...)
	n := len(d.s)
	alpha := make([]float64, n)
	for i := n - 1; i >= 0; i-- {
		alpha[i] = floats.Dot(d.s[i], q) / floats.Dot(d.s[i], d.y[i])
		floats.AddScaled(q, -alpha[i], d.y[i])
	}
	scale := d.edge / 4
	if n > 0 {
		scale = floats.Dot(d.s[n-1], d.y[n-1]) / floats.Dot(d.y[n-1], d.y[n-1])
	}
	floats.Scale(scale, q)
	for i := range n {
		beta := floats.Dot(d.y[i], q) / floats.Dot(d.s[i], d.y[i])
		floats.AddScaled(q, alpha[i]-beta, d.s[i])
	}
	floats.Scale(-1, q)
	return q
}

// bound is the share of a step, at most all of it, that moves no node of any image by more than longestStep.
func (d *descent) bound(direction []float64) float64 {
	n := len(direction)
	longest := 0.0
	for v := 0; v < 3*d.points; v += 3 {
		longest = max(longest, math.Hypot(math.Hypot(direction[v], direction[v+1]), direction[v+2]))
	}
	for k := 3 * d.points; k < n-2; k += 2 {
		longest = max(longest, math.Hypot(direction[k], direction[k+1]))
	}
	images := float64(len(d.at)/d.points - 1)
	radius := 0.0
	for _, p := range d.at[:d.points] {
		radius = max(radius, math.Hypot(p.X, p.Y))
	}
	longest += images * (math.Abs(direction[n-2]) + radius*math.Abs(direction[n-1]))
	if longest <= longestStep {
		return 1
	}
	return longestStep / longest
}
