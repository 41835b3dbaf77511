package stock

import (
	"cmp"
	"math/big"
	"slices"

	"larkfold/sizing/length"
)

// Remainders returns what goes back on the shelf, longest first: the remainders
// of at least Keep, equal ones from the same stock together. Stock that the plan
// does not cut is not among them.
func (p Plan) Remainders() []Remainder {
	var list []Remainder
	for _, pat := range p.Patterns {
		if !pat.Keep {
			continue
		}
		r := Remainder{Length: pat.Remainder, Count: pat.Times, Stock: pat.Stock}
		same := slices.IndexFunc(list, func(o Remainder) bool { return o.Length == r.Length && o.Stock == r.Stock })
		if same >= 0 {
			list[same].Count += r.Count
			continue
		}
		list = append(list, r)
	}
	slices.SortStableFunc(list, func(a, b Remainder) int { return cmp.Compare(b.Length, a.Length) })
	return list
}

// Gap returns how far the plan may be from the best, as a share of it: 0 when
// proved, 0.02 when the goal might be reached with 2 % less. It is of the length
// left out when pieces are left out and that is what is not proved.
func (p Plan) Gap() float64 {
	share := func(value, bound int64) float64 {
		if value <= bound {
			return 0
		}
		return float64(value-bound) / float64(value)
	}
	switch {
	case p.Proved:
		return 0
	case p.Short > p.Bound.Short:
		return share(int64(p.Short), int64(p.Bound.Short))
	case p.Goal == LeastCost:
		return share(int64(p.Cost), int64(p.Bound.Cost))
	default:
		return share(int64(p.NewCord), int64(p.Bound.NewCord))
	}
}

// A dealer gives out the lines of the problem that were merged, in order.
type dealer struct {
	lines []int
	left  []int // of each line
}

// current returns the line that is being given out and how many are left of it.
func (h *dealer) current() (line, left int) {
	for len(h.left) > 1 && h.left[0] == 0 {
		h.lines, h.left = h.lines[1:], h.left[1:]
	}
	return h.lines[0], h.left[0]
}

// plan turns the uses of an instance back into the maker's words.
func (p Problem) plan(in *instance, g goods, uses []use, goal Goal) Plan {
	plan := Plan{Goal: goal}
	pieces := make([]dealer, len(in.size))
	for i, lines := range g.pieces {
		pieces[i].lines = lines
		for _, line := range lines {
			pieces[i].left = append(pieces[i].left, p.Pieces[line].Count)
		}
	}
	stock := make([]dealer, len(in.bars))
	for k, lines := range g.stock {
		stock[k].lines = lines
		for _, line := range lines {
			n := p.Stock[line].Count
			if n == 0 {
				n = MaxPieces
			}
			stock[k].left = append(stock[k].left, n)
		}
	}
	for _, u := range p.inOrder(uses) {
		for u.times > 0 {
			pat, times := p.assign(u, &stock[u.bar], pieces)
			u.times -= times
			plan.add(pat)
		}
	}
	for i := range pieces {
		for n, line := range pieces[i].lines {
			if left := pieces[i].left[n]; left > 0 {
				piece := p.Pieces[line]
				plan.Unplaced = append(plan.Unplaced, Shortage{Piece: line, Length: piece.Length, Count: left, Label: piece.Label})
				plan.Short += (piece.Length + p.Kerf) * length.Length(left)
			}
		}
	}
	p.count(&plan)
	return plan
}

// inOrder puts equal patterns together, offcuts before spools, the most used
// and fullest first.
func (p Problem) inOrder(uses []use) []use {
	var merged []use
	sorted := slices.Clone(uses)
	slices.SortStableFunc(sorted, func(a, b use) int { return comparePatterns(a.pattern, b.pattern) })
	for _, u := range sorted {
		if n := len(merged); n > 0 && comparePatterns(merged[n-1].pattern, u.pattern) == 0 {
			merged[n-1].times += u.times
			continue
		}
		merged = append(merged, u)
	}
	slices.SortStableFunc(merged, func(a, b use) int {
		return cmp.Or(cmp.Compare(a.bar, b.bar), cmp.Compare(b.times, a.times), cmp.Compare(b.content, a.content))
	})
	return merged
}

// comparePatterns orders patterns by bar, then by their takes.
func comparePatterns(a, b pattern) int {
	return cmp.Or(cmp.Compare(a.bar, b.bar), slices.CompareFunc(a.takes, b.takes, func(s, t take) int {
		return cmp.Or(cmp.Compare(s.item, t.item), cmp.Compare(t.n, s.n))
	}))
}

// assign names the stock and the pieces of the next bars cut by a use, and how
// many bars in a row have the same names.
func (p Problem) assign(u use, stock *dealer, pieces []dealer) (Pattern, int) {
	line, times := stock.current()
	times = min(times, u.times)
	s := p.Stock[line]
	pat := Pattern{Stock: line, Length: s.Length, Label: s.Label, Offcut: s.Offcut}
	for _, t := range u.takes {
		if _, left := pieces[t.item].current(); left < t.n {
			times = 1
		} else {
			times = min(times, left/t.n)
		}
	}
	at := length.Length(0)
	for _, t := range u.takes {
		h := &pieces[t.item]
		for range t.n {
			i, _ := h.current()
			h.left[0] -= times
			piece := p.Pieces[i]
			pat.Cuts = append(pat.Cuts, Cut{Piece: i, Start: at, Length: piece.Length, Label: piece.Label})
			at += piece.Length + p.Kerf
		}
	}
	stock.left[0] -= times
	pat.Times = times
	pat.Remainder = max(0, s.Length-at)
	pat.Keep = pat.Remainder > 0 && pat.Remainder >= p.Keep
	return pat, times
}

// add appends a pattern, or counts it with the one before when they are alike.
func (p *Plan) add(pat Pattern) {
	if n := len(p.Patterns); n > 0 {
		last := &p.Patterns[n-1]
		if last.Stock == pat.Stock && slices.Equal(last.Cuts, pat.Cuts) {
			last.Times += pat.Times
			return
		}
	}
	p.Patterns = append(p.Patterns, pat)
}

// count adds up what the patterns use.
func (p Problem) count(plan *Plan) {
	perMetre := make(map[Price]length.Length) // taken of cord by the metre
	for _, pat := range plan.Patterns {
		s, times := p.Stock[pat.Stock], length.Length(pat.Times)
		pieces, end := length.Length(0), length.Length(0)
		for _, c := range pat.Cuts {
			pieces += c.Length
			end = c.Start + c.Length
		}
		taken := pieces + p.Kerf*length.Length(len(pat.Cuts))
		cuts := len(pat.Cuts)
		if end == pat.Length {
			cuts--
		}
		plan.Strips += pat.Times
		plan.Cuts += cuts * pat.Times
		plan.Waste += (pat.Length - pieces) * times
		if pat.Keep {
			plan.Waste -= pat.Remainder * times
		}
		switch {
		case s.Offcut:
			plan.FromOffcuts += taken * times
			continue
		case s.PerMetre > 0:
			perMetre[s.PerMetre] += taken * times
			plan.NewCord += taken * times
		default:
			plan.NewCord += s.Length * times
			plan.Cost += s.Price * Price(pat.Times)
		}
		plan.Spools += pat.Times
	}
	plan.Cost += byTheMetre(perMetre)
}

// byTheMetre returns the cost of the cord taken at each price per metre, rounded up.
func byTheMetre(taken map[Price]length.Length) Price {
	sum := new(big.Int)
	for price, l := range taken {
		sum.Add(sum, new(big.Int).Mul(big.NewInt(int64(price)), big.NewInt(int64(l))))
	}
	sum.Add(sum, big.NewInt(int64(length.Metre-1)))
	return Price(sum.Div(sum, big.NewInt(int64(length.Metre))).Int64())
}
