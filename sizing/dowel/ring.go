package dowel

import (
	"fmt"
	"math"

	"larkfold/sizing/length"
)

// Ring is a level ring hung from points spread evenly round it.
type Ring struct {
	Diameter  length.Length // outer
	Thickness length.Length
	Points    int // at least 3
	Wood      Wood
}

// Sag computes how far the ring sags between two neighbouring points under its
// own weight and a load spread evenly all round.
//
// It is a rough figure: each arc is taken for a straight rod over the chord between its points, free
// to turn at both, carrying the arc's share. The true ring is stiffer where it
// runs on over the points and softer because it twists; integrating the curved
// beam gives between 0.2 and 1.05 of this figure for three points and more. On
// two points twisting sags it several times as far, so fewer than three are refused.
func (r Ring) Sag(load length.Mass) (Sag, error) {
	if r.Points < 3 || r.Points > 100 {
		return Sag{}, fmt.Errorf("ring hung from %d points: it needs at least 3, spread evenly, and at most 100", r.Points)
	}
	if r.Diameter <= 2*r.Thickness || r.Diameter > longestRod {
		return Sag{}, fmt.Errorf("ring diameter %v: it must be more than twice its thickness of %v and at most %v", r.Diameter, r.Thickness, longestRod)
	}
	if load < 0 || load > heaviestLoad {
		return Sag{}, fmt.Errorf("load of %v: it must be from zero to %v", load, heaviestLoad)
	}
	chord := r.chord()
	if err := chord.check(); err != nil {
		return Sag{}, err
	}
	return chord.Sag(Hangers{0, chord.Length}, []Load{{r.share(load) - chord.Mass(), 0, chord.Length}})
}

// chord is the straight rod from one point to the next.
func (r Ring) chord() Rod {
	across := float64(r.Diameter - r.Thickness)
	return Rod{length.Length(across * math.Sin(math.Pi/float64(r.Points))), r.Thickness, r.Wood}
}

// share is what each point carries of the load and the ring's own weight.
func (r Ring) share(load length.Mass) length.Mass {
	round := Rod{length.Length(math.Pi * float64(r.Diameter-r.Thickness)), r.Thickness, r.Wood}
	return (load + round.Mass()) / length.Mass(r.Points)
}
