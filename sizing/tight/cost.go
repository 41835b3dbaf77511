package tight

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// cost is the function that is minimised: the weighted length of the cords,
// plus a stiff spring for every overlap and every bend that is too tight. The
// unknowns are the points, the sideways places of the free cores, and the free
// pitch and twist.
//
// Points of a periodic structure are kept for images 0 to span+1; node m*V+v is
// point v carried m periods on.
type cost struct {
	rope     *rope
	points   int // V
	span     int // a contact is between image 0 and images 0 to span
	segments []segment
	bends    []bend
	ends     []int // of the segments of each cord: cord i has segments [ends[i-1], ends[i])
	held     []heldPoint
	near     map[pair]bool // pairs of segments too close along the cord to be contacts

	contacts     []pair
	coreContacts []coreContact
	coreCores    []coreCore

	stiffness float64 // of a contact per unit of length
	edge      float64 // mean edge

	at, slope []r3.Vec // nodes and the gradient at them
	least     float64  // least distance between two strands, as a share of touching, or 1
	owed      float64  // what the violations spare: the length they would cost, to first order
}

type segment struct{ a, b int } // nodes, of image 0 or 1

type bend struct{ before, here, after int } // nodes; the middle one is in image 0 or 1

type heldPoint struct {
	point int
	along axis
}

// pair is two segments, the second carried image periods on.
type pair struct {
	i, j  int
	image int
}

type coreContact struct{ segment, core int }

type coreCore struct{ a, b int }

func newCost(r *rope, stiffness float64) *cost {
	g := &cost{rope: r, stiffness: stiffness, near: map[pair]bool{}}
	first := make([]int, len(r.cords))
	for i, c := range r.cords {
		first[i] = g.points
		g.points += len(c.points)
	}
	following := map[int]int{} // segment -> segment, by its start point
	for i, c := range r.cords {
		n := len(c.points)
		for j := range n - 1 {
			g.segments = append(g.segments, segment{first[i] + j, first[i] + j + 1})
		}
		switch c.ending {
		case closed:
			g.segments = append(g.segments, segment{first[i] + n - 1, first[i]})
		case chain:
			g.segments = append(g.segments, segment{first[i] + n - 1, g.points + first[c.next]})
		case open:
			g.held = append(g.held, heldPoint{first[i], c.held}, heldPoint{first[i] + n - 1, c.held})
		}
		g.ends = append(g.ends, len(g.segments))
	}
	for k, s := range g.segments {
		following[s.a] = k
	}
	total := 0.0
	for i := range r.cords {
		total += r.length(i)
	}
	g.edge = total / float64(len(g.segments))
	g.bendsAndNeighbours(following)
	if r.periodic {
		g.span = max(1, int(math.Ceil((r.extent(zAxis)+1)/r.repeat.pitch)))
	}
	images := 1
	if r.periodic {
		images = g.span + 2
	}
	g.at = make([]r3.Vec, images*g.points)
	g.slope = make([]r3.Vec, images*g.points)
	for a := range r.cores {
		for b := a + 1; b < len(r.cores); b++ {
			g.coreCores = append(g.coreCores, coreCore{a, b})
		}
	}
	return g
}

// bendsAndNeighbours lists the vertices where a cord bends, and the pairs of
// segments within half the tightest turn of each other along a cord: those are
// kept apart by the bend, not by contact.
func (g *cost) bendsAndNeighbours(following map[int]int) {
	reach := int(math.Ceil((math.Pi/2)/g.edge)) + 2
	for k := range g.segments {
		g.near[pair{k, k, 0}] = true
		at, image := k, 0
		for step := range reach {
			end := g.segments[at].b
			image += end / g.points
			next, more := following[end%g.points]
			if !more {
				break
			}
			if step == 0 {
				// the middle of the bend is the end of segment k
				after := g.segments[next].b + image*g.points
				g.bends = append(g.bends, bend{g.segments[k].a, end, after})
			}
			at = next
			g.near[pair{k, at, image}] = true
			g.near[pair{at, k, -image}] = true
		}
	}
}

// size is the number of unknowns.
func (g *cost) size() int { return 3*g.points + 2*len(g.rope.cores) + 2 }

// read copies the rope's state into the vector of unknowns.
func (g *cost) read(x []float64) {
	k := 0
	for _, c := range g.rope.cords {
		for _, p := range c.points {
			x[k], x[k+1], x[k+2] = p.X, p.Y, p.Z
			k += 3
		}
	}
	for _, c := range g.rope.cores {
		x[k], x[k+1] = c.x, c.y
		k += 2
	}
	x[k], x[k+1] = g.rope.repeat.pitch, g.rope.repeat.twist
}

// write sets the rope's state from the vector of unknowns, and the nodes.
func (g *cost) write(x []float64) {
	k := 0
	for i := range g.rope.cords {
		c := &g.rope.cords[i]
		for j := range c.points {
			c.points[j] = r3.Vec{X: x[k], Y: x[k+1], Z: x[k+2]}
			g.at[k/3] = c.points[j]
			k += 3
		}
	}
	for i := range g.rope.cores {
		g.rope.cores[i].x, g.rope.cores[i].y = x[k], x[k+1]
		k += 2
	}
	g.rope.repeat.pitch, g.rope.repeat.twist = x[k], x[k+1]
	for m := 1; m*g.points < len(g.at); m++ {
		sin, cos := math.Sincos(float64(m) * x[k+1])
		rise := float64(m) * x[k]
		for v := range g.points {
			p := g.at[v]
			g.at[m*g.points+v] = r3.Vec{X: cos*p.X - sin*p.Y, Y: sin*p.X + cos*p.Y, Z: p.Z + rise}
		}
	}
}

// evaluate returns the cost at x, writes its gradient, and measures the violations.
func (g *cost) evaluate(x, gradient []float64) float64 {
	g.write(x)
	clear(gradient)
	clear(g.slope)
	g.least, g.owed = 1, 0
	cores := gradient[3*g.points : len(gradient)-2]
	energy := g.lengths(gradient) + g.bendTerms() + g.contactTerms() + g.coreTerms(cores)
	g.fold(x, gradient)
	return energy
}

// lengths adds the length of every cord as sqrt(n sum e^2), which is the length
// when the n edges e are equal and more when they are not: it keeps them equal.
func (g *cost) lengths(gradient []float64) float64 {
	energy := 0.0
	start := 0
	for i, c := range g.rope.cords {
		weight := c.weight
		if weight == 0 {
			weight = 1
		}
		n := float64(g.ends[i] - start)
		sum := 0.0
		for _, s := range g.segments[start:g.ends[i]] {
			sum += r3.Norm2(r3.Sub(g.at[s.b], g.at[s.a]))
		}
		length := math.Sqrt(n * sum)
		energy += weight * length
		pull := weight * n / length
		for _, s := range g.segments[start:g.ends[i]] {
			force := r3.Scale(pull, r3.Sub(g.at[s.b], g.at[s.a]))
			g.slope[s.b] = r3.Add(g.slope[s.b], force)
			g.slope[s.a] = r3.Sub(g.slope[s.a], force)
		}
		if c.filler {
			energy -= weight * g.rope.repeat.pitch
			gradient[len(gradient)-2] -= weight
		}
		start = g.ends[i]
	}
	return energy
}

// spring is the energy of one violated constraint "gap >= 0" and the force with
// which it opens the gap. Being pressed open by that force, the gap saves
// force*(-gap) of length to first order, which is what is owed.
func (g *cost) spring(gap, stiffness float64) (energy, force float64) {
	if gap >= 0 {
		return 0, 0
	}
	force = -stiffness * gap
	g.owed -= force * gap
	return -force * gap / 2, force
}

// bendStiffness is that of a turn at a vertex: of a bend for each unit of length
// when it is divided by the edge, the turn being the curvature times the edge.
func (g *cost) bendStiffness() float64 { return g.stiffness / (25 * g.edge) }

// coreStiffness is the length over which two cores are taken to touch, in diameters.
const coreStiffness = 3

func (g *cost) contactStiffness() float64 { return g.stiffness * g.edge }

// bendTerms keep the turn at every vertex to what a circle of radius 1/2 in the
// middle between its edges makes: half the turn has the tangent m, the mean of
// the two edges. The turn is measured by the chord between the unit edges,
// which then is at most 2 m/sqrt(1+m^2).
func (g *cost) bendTerms() float64 {
	energy := 0.0
	stiffness := g.bendStiffness()
	for _, b := range g.bends {
		in, out := r3.Sub(g.at[b.here], g.at[b.before]), r3.Sub(g.at[b.after], g.at[b.here])
		lin, lout := norm(in), norm(out)
		if lin == 0 || lout == 0 {
			return math.Inf(1)
		}
		u, w := r3.Scale(1/lin, in), r3.Scale(1/lout, out)
		chord := r3.Sub(w, u)
		turn := norm(chord)
		m := (lin + lout) / 2
		root := math.Sqrt(1 + m*m)
		allowed := 2 * m / root
		e, force := g.spring(allowed-turn, stiffness)
		energy += e
		if force == 0 || turn == 0 {
			continue
		}
		longer := force / (root * root * root) // half the slope of allowed is 1/root^3
		d := r3.Scale(force/turn, chord)
		dout := r3.Sub(r3.Scale(1/lout, r3.Sub(d, r3.Scale(r3.Dot(d, w), w))), r3.Scale(longer, w))
		din := r3.Add(r3.Scale(1/lin, r3.Sub(d, r3.Scale(r3.Dot(d, u), u))), r3.Scale(longer, u))
		g.slope[b.after] = r3.Add(g.slope[b.after], dout)
		g.slope[b.here] = r3.Sub(g.slope[b.here], r3.Add(dout, din))
		g.slope[b.before] = r3.Add(g.slope[b.before], din)
	}
	return energy
}

func (g *cost) contactTerms() float64 {
	energy := 0.0
	stiffness := g.contactStiffness()
	for _, c := range g.contacts {
		a, b := g.segments[c.i], g.segments[c.j]
		shift := c.image * g.points
		n := [4]int{a.a, a.b, b.a + shift, b.b + shift}
		s, t, apart := closest(g.at[n[0]], g.at[n[1]], g.at[n[2]], g.at[n[3]])
		square := r3.Norm2(apart)
		if square >= 1 {
			continue
		}
		distance := math.Sqrt(square)
		g.least = min(g.least, distance)
		e, force := g.spring(distance-1, stiffness)
		energy += e
		if distance == 0 {
			continue
		}
		f := r3.Scale(-force/distance, apart) // gradient at the first segment's nearest point
		g.slope[n[0]] = r3.Add(g.slope[n[0]], r3.Scale(1-s, f))
		g.slope[n[1]] = r3.Add(g.slope[n[1]], r3.Scale(s, f))
		g.slope[n[2]] = r3.Sub(g.slope[n[2]], r3.Scale(1-t, f))
		g.slope[n[3]] = r3.Sub(g.slope[n[3]], r3.Scale(t, f))
	}
	return energy
}

func (g *cost) coreTerms(gradient []float64) float64 {
	energy := 0.0
	stiffness := g.contactStiffness()
	for _, c := range g.coreContacts {
		k := g.rope.cores[c.core]
		wanted := (k.diameter + 1) / 2
		s := g.segments[c.segment]
		t, apart := closestToAxis(g.at[s.a], g.at[s.b], k)
		distance := norm(apart)
		g.least = min(g.least, distance/wanted)
		e, force := g.spring(distance-wanted, stiffness)
		energy += e
		if force == 0 || distance == 0 {
			continue
		}
		f := r3.Scale(-force/distance, apart)
		g.slope[s.a] = r3.Add(g.slope[s.a], r3.Scale(1-t, f))
		g.slope[s.b] = r3.Add(g.slope[s.b], r3.Scale(t, f))
		if !k.fixed {
			gradient[2*c.core] -= f.X
			gradient[2*c.core+1] -= f.Y
		}
	}
	for _, c := range g.coreCores {
		a, b := g.rope.cores[c.a], g.rope.cores[c.b]
		dx, dy := a.x-b.x, a.y-b.y
		distance := math.Hypot(dx, dy)
		wanted := (a.diameter + b.diameter) / 2
		g.least = min(g.least, distance/wanted)
		e, force := g.spring(distance-wanted, coreStiffness*g.stiffness)
		energy += e
		if force == 0 || distance == 0 {
			continue
		}
		fx, fy := -force*dx/distance, -force*dy/distance
		if !a.fixed {
			gradient[2*c.a] += fx
			gradient[2*c.a+1] += fy
		}
		if !b.fixed {
			gradient[2*c.b] -= fx
			gradient[2*c.b+1] -= fy
		}
	}
	return energy
}

// fold brings the gradient at the nodes of all images back to the unknowns.
func (g *cost) fold(x, gradient []float64) {
	last := len(gradient)
	for m := 1; m*g.points < len(g.at); m++ {
		sin, cos := math.Sincos(float64(m) * x[last-1])
		for v := range g.points {
			f := g.slope[m*g.points+v]
			if f == (r3.Vec{}) {
				continue
			}
			p := g.at[m*g.points+v]
			gradient[last-2] += float64(m) * f.Z
			gradient[last-1] += float64(m) * (p.X*f.Y - p.Y*f.X)
			g.slope[v] = r3.Add(g.slope[v], r3.Vec{X: cos*f.X + sin*f.Y, Y: cos*f.Y - sin*f.X, Z: f.Z})
		}
	}
	for v := range g.points {
		f := g.slope[v]
		gradient[3*v], gradient[3*v+1], gradient[3*v+2] = f.X, f.Y, f.Z
	}
	for _, h := range g.held {
		gradient[3*h.point+int(h.along)] = 0
	}
	if !g.rope.repeat.freePitch {
		gradient[last-2] = 0
	}
	if !g.rope.repeat.freeTwist {
		gradient[last-1] = 0
	}
}
