package tight

import "math"

// The closed forms are what a maker can compute by hand. Each is compared with
// the tightened rope; the range it is good for is in its comment.

// turn is one close loop round k cords lying together, 1 <= k <= 8: the circle
// and the boundary of the densest packing of k equal discs, whose number of
// contacts is 3k - ceil(sqrt(12k-3)) (H. Harborth, Elemente der Mathematik 29, 1974).
func turn(k int) Diameters {
	if k == 1 {
		return 2 * math.Pi
	}
	return Diameters(2*math.Pi + math.Ceil(math.Sqrt(float64(12*k-3))) - 3)
}

// smoothTurn is turn without the rounding up: a hitch presses its core rounder
// than the packing on a lattice.
func smoothTurn(k int) Diameters {
	return Diameters(2*math.Pi + math.Sqrt(float64(12*k-3)) - 3)
}

// turnRound is one close loop round a rod.
func turnRound(rod Diameters) Diameters { return math.Pi * (rod + 1) }

// squareKnotForm is each worker of a square knot, advance included, for
// 2.8 <= pitch: below 4 the knots press on each other.
func squareKnotForm(turn, pitch Diameters) Diameters {
	return turn + pitch + 1.5*math.Pi + 1.5*max(0, 4-pitch)
}

// halfKnotForm is each worker of one half knot of a relaxed spiral sinnet.
func halfKnotForm(turn Diameters) Diameters { return turn/2 + 4.25 }

// doubleHalfHitchForm is the hitching end beyond its straight pass, round a
// straight rod of 1 to 6 or a bundle by its smooth turn, for pitches from 2.1.
func doubleHalfHitchForm(turn, pitch Diameters) Diameters {
	return 1.92*turn + 3.7 + 1.6*max(0, 2.93-pitch)
}

// softCarrier is what a single hitch spares when its carrier is a cord that
// gives way, pulled 1 to 10 times as hard as the hitching end.
const softCarrier Diameters = 0.5

// larksHeadForm is each end of a folded cord from the axis of a rod of 1 to 10.
func larksHeadForm(rod Diameters) Diameters { return 5*math.Pi/6*(rod+1) + 2.16 }

// verticalLarksHeadForm is the hitching cord for each pair of hitches.
func verticalLarksHeadForm(turn Diameters) Diameters { return 2*turn + 4 + 1.5*math.Pi }

// halfHitchForm is the hitching cord for each hitch of a spiral.
func halfHitchForm(turn Diameters) Diameters { return turn + 4.22 }

// overhandForm is each of n ends tied together, for n up to 4; a fit.
func overhandForm(n int) Diameters { return Diameters(10.1 * math.Pow(float64(n), 0.46)) }

// plaitForm is each strand for a full period of six crossings, of 6 to 12.
func plaitForm(pitch Diameters) Diameters {
	return Diameters(math.Hypot(float64(pitch), 6.65))
}

// fourPlaitForm is each strand for a full period of twelve crossings, of 10 to 18.
func fourPlaitForm(pitch Diameters) Diameters {
	return Diameters(math.Hypot(float64(pitch), 9.75))
}

// helixForm is one turn of a helix; exact round a rod where turns do not touch.
func helixForm(turn, pitch Diameters) Diameters {
	return Diameters(math.Hypot(float64(turn), float64(pitch)))
}
