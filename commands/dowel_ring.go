package commands

import (
	"fmt"
	"math"

	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing/dowel"
	"larkfold/sizing/length"
)

// ringPoints is how many points a ring is taken to hang from (common practice, no source).
const ringPoints = 3

// onRing says whether the cords fit round a ring, and how far it bends.
func onRing(h hung, loadGiven bool, p sitting.Prefs) (reply.Reply, error) {
	f := func(l length.Length) string { return p.Style.Format(l.RoundHalfEven(length.Millimetre)) }
	ring := dowel.Ring{Diameter: h.rod.Length, Thickness: h.rod.Thickness, Points: ringPoints, Wood: h.rod.Wood}
	round := length.Length(float64(ring.Diameter-ring.Thickness) * math.Pi)
	relaxed, pushed := length.Length(0), length.Length(0)
	for _, g := range h.groups {
		relaxed += g.Relaxed * length.Length(g.Cords)
		pushed += g.Pushed * length.Length(g.Cords)
	}
	fits := "no: " + f(pushed-round) + " too much even when pushed together"
	switch {
	case relaxed <= round:
		fits = "yes, relaxed, with " + f(round-relaxed) + " to spare"
	case pushed <= round:
		fits = "yes, pushed closer"
	}
	facts := []reply.Fact{
		{Label: "ring", Value: fmt.Sprintf("%s across, %s thick, %s round", f(ring.Diameter), p.Style.Thickness(ring.Thickness), f(round))},
		{Label: "relaxed", Value: f(relaxed)},
		{Label: "pushed together", Value: f(pushed)},
		{Label: "fits", Value: fits},
		{Label: "load", Value: p.Style.Mass(h.mass)},
	}
	if !loadGiven {
		facts[len(facts)-1].Value += " of cord, without what it will hold; load: names both together"
	}
	sag, err := ring.Sag(h.mass)
	if err != nil {
		facts = append(facts, reply.Fact{Label: "bends", Value: err.Error()})
	} else {
		facts = append(facts, reply.Fact{Label: "bends", Value: fmt.Sprintf("%s between %d points, if it is of %s; a rough figure, and a metal ring bends far less", sagWords(sag.Worst, p), ringPoints, h.rod.Wood.Name)})
	}
	blocks := []reply.Block{reply.Heading(h.name + " on a ring of " + f(ring.Diameter)), reply.Facts(facts)}
	for _, c := range dowel.Cautions(dowel.Hanging{GuessedWood: h.rod.Wood.Guess, SagComputed: true}) {
		blocks = append(blocks, reply.Caution(string(c)))
	}
	return reply.Reply{Blocks: blocks}, nil
}
