package trace

import (
	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
)

// sizeKey is one knot in one gauge.
type sizeKey struct {
	knot  *knot.Knot
	gauge knot.Gauge
	hand  factors
}

// factors are a hand's over the book, in one family of knots.
type factors struct{ takeUp, height float64 }

// sized is a knot evaluated for a gauge, in the form the trace uses.
type sized struct {
	takes         []length.Length // by role
	roles         []int           // by place; only groups
	height, width float64
	size          knot.Size
}

// size evaluates a knot once for every gauge and hand it is tied in; the hand is
// that for the cord.
func (t *tracer) size(k *knot.Knot, g knot.Gauge, of int) (*sized, error) {
	h := t.hand(of, k.Kin())
	key := sizeKey{k, g, h}
	if key == t.last && t.lastSized != nil {
		return t.lastSized, nil
	}
	s, ok := t.sizes[key]
	if !ok {
		size, err := t.result.Ways.Size(k, g)
		if err != nil {
			return nil, err
		}
		s = &sized{takes: make([]length.Length, len(size.Takes)), size: size}
		for i, takes := range size.Takes {
			factor := h.takeUp
			if !k.Roles[i].Works {
				factor = h.height
			}
			s.takes[i] = nm(float64(takes) * factor)
		}
		if k.Shape == knot.Group {
			s.roles, _ = k.Cast(g.Ends)
		}
		s.height, s.width = float64(size.Height)*h.height, float64(size.Width)
		t.sizes[key] = s
	}
	t.last, t.lastSized = key, s
	return s, nil
}

// soft is how far a bundle of the cord packs like soft cord.
func (t *tracer) soft(of int) cord.Ratio { return t.result.Cords[of].Construction.Softness() }

// hand is the maker's factors for a cord and a family of knots.
func (t *tracer) hand(cord int, family knot.Family) factors {
	h := factors{takeUp: 1, height: 1}
	own := t.maker.Hands[t.result.Cords[cord].Name].Knots[family]
	if own.TakeUp.Mean > 0 {
		h.takeUp = float64(own.TakeUp.Mean)
	}
	if own.Height.Mean > 0 && family != knot.Mounts { // the rod makes a mount as high as it is
		h.height = float64(own.Height.Mean)
	}
	return h
}
