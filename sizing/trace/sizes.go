package trace

import (
	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
)

// sizeKey is one knot in one gauge, by one hand.
type sizeKey struct {
	knot           *knot.Knot
	gauge          knot.Gauge
	takeUp, height cord.Ratio
}

// sized is a knot evaluated for a gauge, in the form the trace uses.
type sized struct {
	takes         []length.Length // by role
	roles         []int           // by place; only groups
	height, width float64
	size          knot.Size // as the book has it
}

// size evaluates a knot once for every gauge and hand it is tied in; the hand is
// that for the cord.
func (t *tracer) size(k *knot.Knot, g knot.Gauge, of int) (*sized, error) {
	hand := t.maker.Hands[t.result.Cords[of].Name].Knots[k.Kin()]
	key := sizeKey{k, g, hand.TakeUp.Mean, hand.Height.Mean}
	if key == t.last && t.lastSized != nil {
		return t.lastSized, nil
	}
	s, ok := t.sizes[key]
	if !ok {
		size, err := t.result.Ways.Size(k, g)
		if err != nil {
			return nil, err
		}
		tied := hand.Tied(k, size)
		s = &sized{takes: tied.Takes, height: float64(tied.Height), width: float64(tied.Width), size: size}
		if k.Shape == knot.Group {
			s.roles, _ = k.Cast(g.Ends)
		}
		t.sizes[key] = s
	}
	t.last, t.lastSized = key, s
	return s, nil
}

// soft is how far a bundle of the cord packs like soft cord.
func (t *tracer) soft(of int) cord.Ratio { return t.result.Cords[of].Construction.Softness() }
