package tight

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// turned rotates points half a turn about z.
func turned(p []r3.Vec) []r3.Vec {
	q := make([]r3.Vec, len(p))
	for i, v := range p {
		q[i] = r3.Vec{X: -v.X, Y: -v.Y, Z: v.Z}
	}
	return q
}

// mirrored reflects points left to right and carries them by dz.
func mirrored(p []r3.Vec, dz float64) []r3.Vec {
	q := make([]r3.Vec, len(p))
	for i, v := range p {
		q[i] = r3.Vec{X: -v.X, Y: v.Y, Z: v.Z + dz}
	}
	return q
}

// halfKnot is the way of the cord that crosses in front from left to right, in
// a half knot of height h round fillers of the given radius. The other worker
// goes the same way turned half a turn: each passes behind the other's tail,
// under it, across, and out through the other's loop.
func halfKnot(radius, h float64) []r3.Vec {
	side, face := radius+1.8, radius+0.8
	return []r3.Vec{
		{X: -side - 1.2, Y: 0, Z: 0},
		{X: -side, Y: -0.7, Z: 0.35 * h},
		{X: -side, Y: 0.3, Z: 0.72 * h},
		{X: -radius, Y: face, Z: 0.65 * h},
		{X: 0, Y: face + 0.1, Z: 0.5 * h},
		{X: radius, Y: face, Z: 0.38 * h},
		{X: radius + 0.8, Y: 0.3, Z: 0.33 * h},
		{X: side, Y: -0.6, Z: 0.35 * h},
		{X: side + 1.2, Y: -0.4, Z: 0.6 * h},
	}
}

// squareKnots is a sinnet of square knots: half knots of alternating hand.
func squareKnots(cores []core, radius float64) *rope {
	const h = 3.5
	left := halfKnot(radius, h)
	right := turned(left)
	return &rope{
		cords: []cord{
			{points: append(left, mirrored(left, h)...), ending: chain, next: 0},
			{points: append(right, mirrored(right, h)...), ending: chain, next: 1},
		},
		cores:    cores,
		repeat:   repeat{pitch: 2 * h},
		periodic: true,
	}
}

// halfKnots is a spiral of half knots of one hand. One period is one half knot,
// which swaps the sides of everything. A single filler is straight; an even
// number turns with the spiral, under the given tension.
func halfKnots(fillers int, tension float64) *rope {
	const h = 3.5
	r := &rope{repeat: repeat{pitch: h, twist: math.Pi, freePitch: true, freeTwist: true}, periodic: true}
	radius := 0.5
	if fillers == 1 {
		r.cores, radius = rod(1)
	} else {
		radius += 0.55 / math.Sin(math.Pi/float64(fillers))
	}
	left := halfKnot(radius, h)
	r.cords = []cord{
		{points: left, ending: chain, next: 0},
		{points: turned(left), ending: chain, next: 1},
	}
	if fillers == 1 {
		return r
	}
	for i := range fillers {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(fillers))
		half := (i + fillers/2) % fillers
		r.cords = append(r.cords, straightFiller((radius-0.5)*cos, (radius-0.5)*sin, h, 2+half, tension))
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
