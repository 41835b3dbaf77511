package trace

import (
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
)

// sizeKey is one knot in one gauge.
type sizeKey struct {
	knot  *knot.Knot
	gauge knot.Gauge
	hand  Hand
}

// sized is a knot evaluated for a gauge, in the form the trace uses.
type sized struct {
	takes         []length.Length // by role
	roles         []int           // by place; only groups
	height, width float64
	size          knot.Size
}

// size evaluates a knot once for every gauge it is tied in.
func (t *tracer) size(k *knot.Knot, g knot.Gauge, h Hand) (*sized, error) {
	key := sizeKey{k, g, h}
	if key == t.last && t.lastSized != nil {
		return t.lastSized, nil
	}
	s, ok := t.sizes[key]
	if !ok {
		size, err := k.Size(g)
		if err != nil {
			return nil, err
		}
		s = &sized{takes: make([]length.Length, len(size.Takes)), size: size}
		for i, takes := range size.Takes {
			factor := h.TakeUp
			if !k.Roles[i].Works {
				factor = h.Height
			}
			s.takes[i] = nm(float64(takes) * factor)
		}
		if k.Shape == knot.Group {
			s.roles, _ = k.Cast(g.Ends)
		}
		s.height, s.width = float64(size.Height)*h.Height, float64(size.Width)
		t.sizes[key] = s
	}
	t.last, t.lastSized = key, s
	return s, nil
}

// hand is the maker's factors for a cord.
func (t *tracer) hand(cord int) Hand {
	h := Hand{TakeUp: 1, Height: 1}
	own, ok := t.bench.Hands[t.result.Cords[cord].Name]
	if !ok {
		return h
	}
	if own.TakeUp > 0 {
		h.TakeUp = own.TakeUp
	}
	if own.Height > 0 {
		h.Height = own.Height
	}
	return h
}
