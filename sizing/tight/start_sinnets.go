package tight

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"larkfold/sizing/diagram"
	"larkfold/sizing/knot"
)

// drawn is the drawing in the knot book of a knot tied round a body of the given
// radius; the numbers of its ends are those of the strands that work, in order.
func drawn(name string, radius float64) []diagram.Path {
	k, ok := knot.Standard().Knot(name)
	if !ok {
		panic("the knot book has no " + name)
	}
	var works []diagram.Path
	for _, s := range k.Diagram.Draw(knot.Body{Half: radius, Deep: radius}) {
		if s.Works {
			works = append(works, s.Path)
		}
	}
	return works
}

// hanging is a path of the book as a chain along z: down the page becomes z, and
// towards the viewer y. Its last point is the first of the next period.
func hanging(p diagram.Path) []r3.Vec {
	points := make([]r3.Vec, len(p.Line)-1)
	for i := range points {
		points[i] = r3.Vec{X: p.Line[i].X, Y: p.Line[i].Z, Z: p.Line[i].Y}
	}
	return points
}

// high is the height of a drawing of one period.
func high(p diagram.Path) float64 { return p.Line[len(p.Line)-1].Y - p.Line[0].Y }

// sinnetOf is a sinnet of a knot of the book round cores: every end goes on as itself.
func sinnetOf(name string, cores []core, radius float64) *rope {
	r := &rope{cores: cores, periodic: true}
	for i, p := range drawn(name, radius) {
		r.cords = append(r.cords, cord{points: hanging(p), ending: chain, next: i})
		r.repeat.pitch = high(p)
	}
	return r
}

// squareKnots is a sinnet of square knots: half knots of alternating hand.
func squareKnots(cores []core, radius float64) *rope { return sinnetOf("square knot", cores, radius) }

// halfKnots is a spiral of half knots of one hand. One period is one half knot,
// which swaps the sides of everything. A single filler is straight; an even
// number turns with the spiral, under the given tension.
func halfKnots(fillers int, tension float64) *rope {
	radius := 0.5
	var cores []core
	if fillers == 1 {
		cores, radius = rod(1)
	} else {
		radius += 0.55 / math.Sin(math.Pi/float64(fillers))
	}
	r := sinnetOf("half knot", cores, radius)
	r.repeat.twist, r.repeat.freePitch, r.repeat.freeTwist = math.Pi, true, true
	if fillers == 1 {
		return r
	}
	for i := range fillers {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(fillers))
		half := (i + fillers/2) % fillers
		r.cords = append(r.cords, straightFiller((radius-0.5)*cos, (radius-0.5)*sin, r.repeat.pitch, 2+half, tension))
	}
	return r
}

// straightFiller starts as a straight line along z.
func straightFiller(x, y, pitch float64, next int, tension float64) cord {
	const n = 8
	p := make([]r3.Vec, n)
	for k := range p {
		p[k] = r3.Vec{X: x, Y: y, Z: pitch * float64(k) / n}
	}
	return cord{points: p, ending: chain, next: next, filler: true, weight: tension}
}
