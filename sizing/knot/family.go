package knot

import "slices"

// Family is a kind of knots that one hand ties alike, so that a sample of one
// says something about the others.
type Family string

// The families. A row that names none belongs to that of its shape.
const (
	Square  Family = "square" // square and half knots and what else a group of ends ties
	Hitches Family = "hitch"  // hitches and turns round a core: bars, gathers, wraps
	Mounts  Family = "mount"
	Plaits  Family = "plait"
)

// Families lists them all.
func Families() []Family { return []Family{Square, Hitches, Mounts, Plaits} }

// Nearest lists the other families, the likest first (common practice, no source):
// a mount is a hitch round a rod; a plait is drawn tight by the same pull as a sinnet.
func (f Family) Nearest() []Family {
	likest := map[Family][]Family{Square: {Hitches, Plaits}, Hitches: {Mounts, Square}, Mounts: {Hitches, Square}, Plaits: {Square, Hitches}}[f]
	return append(likest, slices.DeleteFunc(Families(), func(o Family) bool { return o == f || slices.Contains(likest, o) })...)
}

// Kin is the family that the row belongs to.
func (r Row) Kin() Family {
	if r.Family != "" {
		return r.Family
	}
	switch r.Shape {
	case Hitch, Wrap:
		return Hitches
	case Mount:
		return Mounts
	case Plait:
		return Plaits
	}
	return Square
}
