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

// parts are what an end uses, but for its tail, by the families of knots.
func parts(e trace.End) []swatch.Part {
	all := make([]swatch.Part, 0, 2+len(e.Uses))
	all = append(all, swatch.Part{Takes: e.Run}, swatch.Part{Family: knot.Mounts, Takes: e.Mount})
	for _, u := range e.Uses {
		i := slices.IndexFunc(all, func(p swatch.Part) bool { return p.Family == u.Family })
		if i < 0 {
			i, all = len(all), append(all, swatch.Part{Family: u.Family})
		}
		all[i].Takes += u.Takes
	}
	return all
}

// doubt is how far cord of these parts may differ from its need without the tail.
func (m *maker) doubt(cord int, parts []swatch.Part) swatch.Doubt {
	hands := m.result.Hands[cord]
	if hands == nil {
		hands = m.book
	}
	return hands.Doubt(parts)
}

// margin is the larger of what the terms say and what the maker's swatches of the
// cord call for, so that one cord in twenty runs short; without swatches there is
// no call.
func (m *maker) margin(cord int, parts func() []swatch.Part) (fraction Fraction, called bool) {
	if m.result.Hands[cord] == nil {
		return m.terms.Margin, false
	}
	call := Fraction(m.doubt(cord, parts()).Margin(swatch.DefaultRisk))
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
	d := m.doubt(of, parts(e)).InPiece(e.Knots)
	spare := float64(leg-max(e.Tail, m.terms.Tying)-used) / float64(used)
	round := func(x float64) cord.Ratio { return cord.Ratio(math.Floor(x*200) / 200) }
	d.Own, d.Shared = cord.Ratio(math.Ceil(float64(d.Own)*500)/500), cord.Ratio(math.Ceil(float64(d.Shared)*500)/500)
	return swatch.Cut{Doubt: d, Spare: round(spare)}, true
}
