package tight

import (
	"gonum.org/v1/gonum/spatial/r3"

	"larkfold/sizing/diagram"
)

// overCore is a path of the book across a level core as an open cord, the core
// along z: towards the viewer becomes x, and up the page y.
func overCore(p diagram.Path) cord {
	c := cord{ending: open, held: yAxis}
	for _, a := range p.Line {
		c.points = append(c.points, r3.Vec{X: a.Z, Y: -a.Y, Z: -a.X})
	}
	return c
}

// doubleHalfHitch is one cord twice round the carrier.
func doubleHalfHitch(cores []core, radius float64) *rope {
	return &rope{cords: []cord{overCore(drawn("double half hitch", radius)[0])}, cores: cores}
}

// rowOfHitches sets double half hitches side by side along their carrier: a
// straight one, or, for a tension above zero, a cord that gives way.
func rowOfHitches(tension float64) *rope {
	const pitch = 8
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

// larksHead mounts a folded cord on a rod, both ends hanging.
func larksHead(diameter float64) *rope {
	cores, radius := rod(diameter)
	return &rope{cords: []cord{overCore(drawn("lark's head", radius)[0])}, cores: cores}
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
	return sinnetOf("vertical lark's head", cores, radius)
}

// halfHitches is a spiral of single half hitches of one hand.
func halfHitches(diameter float64) *rope {
	cores, radius := rod(diameter)
	r := sinnetOf("half hitch", cores, radius)
	r.repeat.freePitch, r.repeat.freeTwist = true, true
	return r
}

// alternatingHalfHitches are two cords that hitch round each other in turn.
func alternatingHalfHitches() *rope { return sinnetOf("alternating half-hitch chain", nil, 0.5) }
