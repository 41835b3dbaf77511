package tight

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

const reachOut = 5 // how far from a core the held ends of an open cord are

// doubleHalfHitch is one cord from above (y up), twice round the carrier, both
// ends leaving under the diagonal that lies behind (x < 0).
func doubleHalfHitch(cores []core, radius float64) *rope {
	r := radius + 0.7
	half := []r3.Vec{
		{X: -r, Y: r + reachOut, Z: -0.5},
		{X: -r, Y: r + 1, Z: -0.6},
		{X: -r, Y: 0, Z: -0.75},
		{X: -0.7 * r, Y: -0.7 * r, Z: -1},
		{X: 0, Y: -r, Z: -1.2},
		{X: 0.7 * r, Y: -0.7 * r, Z: -1.5},
		{X: r, Y: 0, Z: -1.8},
		{X: 0.7 * r, Y: 0.7 * r, Z: -2},
		{X: 0, Y: r, Z: -2.1},
		{X: -0.7 * r, Y: r, Z: -2},
		{X: -r - 1.1, Y: 0.6 * r, Z: -1.2},
	}
	points := append([]r3.Vec{}, half...)
	points = append(points, r3.Vec{X: -r - 1.4})
	for i := len(half) - 1; i >= 0; i-- {
		points = append(points, r3.Vec{X: half[i].X, Y: -half[i].Y, Z: -half[i].Z})
	}
	return &rope{cords: []cord{{points: points, ending: open, held: yAxis}}, cores: cores}
}

// rowOfHitches sets double half hitches side by side along their carrier: a
// straight one, or, for a tension above zero, a cord that gives way.
func rowOfHitches(tension float64) *rope {
	const pitch = 6
	cores, radius := rod(1)
	r := doubleHalfHitch(cores, radius)
	r.periodic = true
	r.repeat = repeat{pitch: pitch}
	if tension > 0 {
		r.cores = nil
		r.cords = append(r.cords, straightFiller(0, 0, pitch, 1, tension))
	}
	return r
}

// larksHeadHalf is one end of a folded cord, from below (y down) up the face
// (x > 0) of the rod, over, round behind and below it, out to the bight.
func larksHeadHalf(radius float64) []r3.Vec {
	r := radius + 0.7
	return []r3.Vec{
		{X: r, Y: -0.8 * r, Z: -0.65},
		{X: r, Y: 0, Z: -0.7},
		{X: 0.7 * r, Y: 0.7 * r, Z: -0.9},
		{X: 0, Y: r, Z: -1.2},
		{X: -0.7 * r, Y: 0.7 * r, Z: -1.4},
		{X: -r, Y: 0, Z: -1.6},
		{X: -0.7 * r, Y: -0.7 * r, Z: -1.8},
		{X: 0, Y: -r, Z: -2},
		{X: 0.7 * r, Y: -0.9 * r, Z: -2},
		{X: r + 1.1, Y: -0.5 * r, Z: -1.3},
	}
}

// withMirror continues a half through the middle point to its image in z.
func withMirror(half []r3.Vec, middle r3.Vec) []r3.Vec {
	points := append([]r3.Vec{}, half...)
	points = append(points, middle)
	for i := len(half) - 1; i >= 0; i-- {
		points = append(points, r3.Vec{X: half[i].X, Y: half[i].Y, Z: -half[i].Z})
	}
	return points
}

// larksHead mounts a folded cord on a rod, both ends hanging.
func larksHead(diameter float64) *rope {
	cores, radius := rod(diameter)
	r := radius + 0.7
	half := append([]r3.Vec{{X: r, Y: -r - reachOut, Z: -0.6}}, larksHeadHalf(radius)...)
	points := withMirror(half, r3.Vec{X: r + 1.4, Y: -0.4 * r})
	return &rope{cords: []cord{{points: points, ending: open, held: yAxis}}, cores: cores}
}

// larksHeads is a row of mounts on a rod, one beside the other.
func larksHeads(diameter float64) *rope {
	r := larksHead(diameter)
	r.periodic = true
	r.repeat = repeat{pitch: 7}
	return r
}

// verticalLarksHead is a chain of lark's heads along a core, tied with one cord.
func verticalLarksHead(cores []core, radius float64) *rope {
	const pitch = 8.0
	r := radius + 0.7
	half := append([]r3.Vec{
		{X: r, Y: -r - 1.6, Z: -pitch / 2},
		{X: r, Y: -r - 1.4, Z: -1.2},
		{X: r, Y: -r - 0.5, Z: -0.65},
	}, larksHeadHalf(radius)...)
	points := withMirror(half, r3.Vec{X: r + 1.4, Y: -0.4 * r})
	return &rope{
		cords:    []cord{{points: points[:len(points)-1], ending: chain}},
		cores:    cores,
		repeat:   repeat{pitch: pitch},
		periodic: true,
	}
}

// halfHitches is a spiral of single half hitches of one hand: each turn ends
// under the cord that began it, then leaves over the turn.
func halfHitches(diameter float64) *rope {
	const pitch = 3.0
	cores, radius := rod(diameter)
	r := radius + 0.65
	polar := func(degrees, r, z float64) r3.Vec {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		return r3.Vec{X: r * cos, Y: r * sin, Z: z}
	}
	step := 50 / (0.5 + radius)
	return &rope{
		cords: []cord{{points: []r3.Vec{
			polar(0, r+1.3, 0),
			polar(0, r+1.3, 0.8),
			polar(0.4*step, r+1, 1.6),
			polar(90, r, 1.9),
			polar(180, r, 1.7),
			polar(270, r, 1.2),
			polar(330, r, 0.7),
			polar(360, r, 0.4),
			polar(360+0.6*step, r+0.3, 0.5),
			polar(360+step, r+1.3, 1.0),
			polar(360+step, r+1.5, 2.0),
		}, ending: chain}},
		cores:    cores,
		repeat:   repeat{pitch: pitch, twist: (360 + step) * math.Pi / 180, freePitch: true, freeTwist: true},
		periodic: true,
	}
}
