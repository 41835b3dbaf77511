package cutlist

import (
	"math"
	"slices"

	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/swatch"
	"larkfold/sizing/trace"
)

// taken is cord by the family of knots that takes it; straight runs have none.
type taken map[knot.Family]length.Length

// families is what an end uses, but for its tail.
func families(e trace.End) taken {
	t := taken{knot.Mounts: e.Mount, "": e.Run}
	for _, u := range e.Uses {
		t[u.Family] += u.Takes
	}
	return t
}

// doubt is how far such an end of a cord may differ from its need without the tail.
func (m *maker) doubt(cord int, t taken) swatch.Doubt {
	hands := m.result.Hands[cord]
	if hands == nil {
		hands = m.book
	}
	return hands.Doubt(t.fractions())
}

// fractions are the families' parts of the whole.
func (t taken) fractions() map[knot.Family]cord.Ratio {
	whole := length.Length(0)
	for _, l := range t {
		whole += l
	}
	parts := map[knot.Family]cord.Ratio{}
	for _, f := range knot.Families() {
		if t[f] > 0 {
			parts[f] = cord.Ratio(float64(t[f]) / float64(whole))
		}
	}
	return parts
}

// margin is the larger of what the terms say and what the maker's swatches of the
// cord call for, so that one cord in twenty runs short; without swatches there is
// no call.
func (m *maker) margin(cord int, t taken) (fraction Fraction, called bool) {
	if m.result.Hands[cord] == nil {
		return m.terms.Margin, false
	}
	call := Fraction(m.doubt(cord, t).Margin(swatch.DefaultRisk))
	return max(call, m.terms.Margin), call > m.terms.Margin
}

// chance is how likely at least one hung cord of the list runs short. The extras
// are cut one by one and can be cut again. It also tells whether any cord ties knots.
func (m *maker) chance(cuts []Cut) (chance float64, tied bool) {
	alike := map[swatch.Cut]int{}
	for _, c := range cuts {
		for _, i := range c.Strands {
			for side, n := range m.result.Strands[i].Ends {
				leg := c.Leg(trace.Side(side))
				if cut, ok := m.reach(m.result.Ends[n], c.Cord, leg); ok {
					alike[cut]++
				}
			}
		}
	}
	list := make([]swatch.Cut, 0, len(alike))
	for cut, n := range alike {
		cut.Count = n
		list = append(list, cut)
	}
	slices.SortFunc(list, func(a, b swatch.Cut) int { // so that sums come out alike each time
		return slices.Compare([]cord.Ratio{a.Spare, a.Own, a.Shared}, []cord.Ratio{b.Spare, b.Own, b.Shared})
	})
	return swatch.Chance(list), len(list) > 0
}

// Leg is how long the leg on a side of the cord is.
func (c Cut) Leg(side trace.Side) length.Length {
	switch {
	case !c.Folded:
		return c.Length
	case c.Fold == 0:
		return c.Length / 2
	case side == c.Short:
		return c.Fold
	}
	return c.Length - c.Fold
}

// reach is how far an end reaches with its leg; only ends that tie knots can run
// short. What it has to spare is rounded down to half a hundredth, so that ends that
// are nearly alike count as one.
func (m *maker) reach(e trace.End, of int, leg length.Length) (swatch.Cut, bool) {
	if e.Knots == 0 {
		return swatch.Cut{}, false
	}
	used := e.Total() - e.Tail
	d := m.doubt(of, families(e)).InPiece(e.Knots)
	spare := float64(leg-max(e.Tail, m.terms.Tying)-used) / float64(used)
	round := func(x float64) cord.Ratio { return cord.Ratio(math.Floor(x*200) / 200) }
	d.Own, d.Shared = cord.Ratio(math.Ceil(float64(d.Own)*500)/500), cord.Ratio(math.Ceil(float64(d.Shared)*500)/500)
	return swatch.Cut{Doubt: d, Spare: round(spare)}, true
}
