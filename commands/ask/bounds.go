package ask

import (
	"larkfold/commands/reply"
	"larkfold/sizing/cord"
	"larkfold/sizing/length"
)

// Bounds are those of what members ask about (common practice, no source).
func Bounds(noun string, least, most length.Length, sample string) length.Bounds {
	return length.Bounds{Noun: noun, Least: least, Most: most, Usual: length.Unit{Symbol: "cm", Length: length.Centimetre}, Sample: sample}
}

// Constructions are the choices of how a cord is made.
func Constructions() []reply.Choice {
	var choices []reply.Choice
	for _, c := range cord.Constructions() {
		choices = append(choices, reply.Choice{Name: c.String(), Value: c.String()})
	}
	return choices
}

// LeastKnotted is the least that is left of a drop for knots.
const LeastKnotted = 5 * length.Centimetre

// The sizes that members ask about (common practice, no source).
var (
	Widths         = Bounds("width", 2*length.Centimetre, 10*length.Metre, "40 cm or 16 in")
	Drops          = Bounds("drop", LeastKnotted, 10*length.Metre, "70 cm or 28 in")
	RodThicknesses = length.Bounds{Noun: "dowel thickness", Least: 3 * length.Millimetre, Most: 150 * length.Millimetre, Usual: length.Unit{Symbol: "mm", Length: length.Millimetre}, Sample: "20 mm or 3/4 in"}
	Tails          = Bounds("tail", 0, 5*length.Metre, "15 cm or 6 in")
	Spools         = Bounds("spool", length.Metre, 5*length.Kilometre, "100 m or 110 yd")
)

// RodLengths are the lengths of what a work hangs on.
var RodLengths = Bounds("length", 3*length.Centimetre, 10*length.Metre, "60 cm or 24 in")

// FringeDrops are the drops of a fringe along an edge.
var FringeDrops = Bounds("fringe", length.Centimetre, 5*length.Metre, "22 cm or 9 in")

// dowelLengths are the lengths of dowels (common practice, no source).
var dowelLengths = Bounds("dowel", 5*length.Centimetre, 10*length.Metre, "60 cm or 24 in")
