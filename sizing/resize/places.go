package resize

import (
	"slices"

	"larkfold/sizing/sheet"
)

// onOf is the ends that a step names; it is false for a step that names none.
func onOf(step sheet.Step) (sheet.Ends, bool) {
	if on := sheet.FactsOf(step).On(); on != nil {
		return *on, true
	}
	return sheet.Ends{}, false
}

func hasNumbers(on sheet.Ends) bool {
	return slices.ContainsFunc(on.Parts, func(p sheet.Span) bool { return p.Kind == sheet.Numbers })
}

// numbered tells whether a sheet names any ends or places by their numbers.
func numbered(s sheet.Sheet) bool {
	for _, p := range s.Panels {
		for _, step := range p.Steps {
			on, _ := onOf(step)
			named := hasNumbers(on)
			for _, spot := range sheet.FactsOf(step).Spots() {
				named = named || spot.Anchor == sheet.Absolute
			}
			if named {
				return true
			}
		}
	}
	return false
}

// moved is where named ends have gone. It is false when some are not there, or
// when parts that stood apart have run into each other.
func moved(on sheet.Ends, rs runs, fewest int) (sheet.Ends, bool) {
	apart := !overlap(on, rs.was())
	parts := slices.Clone(on.Parts)
	for i, part := range parts {
		if part.Kind == sheet.Numbers {
			parts[i].From, parts[i].To = rs.block(part.From, part.To, fewest)
		}
		if from, to := bounds(parts[i], rs.is()); from < 1 || to > rs.is() {
			return on, false
		}
	}
	on.Parts = parts
	return on, !apart || !overlap(on, rs.is())
}

// overlap tells whether an end is named twice.
func overlap(on sheet.Ends, n int) bool {
	taken := make([]bool, n+1)
	for _, part := range on.Parts {
		from, to := bounds(part, n)
		for i := max(from, 1); i <= min(to, n); i++ {
			if taken[i] {
				return true
			}
			taken[i] = true
		}
	}
	return false
}

// bounds are the first and the last end of a part.
func bounds(part sheet.Span, n int) (from, to int) {
	switch part.Kind {
	case sheet.Leftmost:
		return 1, part.To
	case sheet.Rightmost:
		return n - part.To + 1, n
	case sheet.Middlemost:
		return (n-part.To)/2 + 1, (n + part.To) / 2
	}
	return part.From, part.To
}

// count is how many ends are named.
func count(on sheet.Ends, n int) int {
	if len(on.Parts) == 0 {
		return n
	}
	sum := 0
	for _, part := range on.Parts {
		from, to := bounds(part, n)
		sum += to - from + 1
	}
	return sum
}

// carried moves both ends of a bar: a place counted in numbers keeps to the edge of
// the ends that the bar takes.
func carried(from, to *sheet.Position, rs runs) {
	const fewest = 2 // the carrier and an end to hitch
	a := from.Among(rs.was(), -1)
	b := to.Among(rs.was(), a)
	low, high := rs.block(min(a, b)+1, max(a, b)+1, fewest)
	if a > b {
		low, high = high, low
	}
	if from.Anchor == sheet.Absolute {
		from.Number = low
	}
	if to.Anchor == sheet.Absolute {
		to.Number = high
	}
}
