package sheet

import (
	"slices"

	"larkfold/sizing/length"
)

// measure is the system that a sheet's lengths are written in.
type measure int

const (
	inMetric measure = iota
	inImperial
)

// measureIn is how whoever measures in a system writes a line of their own.
func measureIn(system length.System) measure {
	if system == length.Imperial {
		return inImperial
	}
	return inMetric
}

// sixteenth is the finest step of what a maker chooses in inches.
const sixteenth = length.Inch / 16

// measureOf chooses feet and inches for a sheet of which every length is whole
// sixteenths of an inch while not every one is whole millimetres. Thicknesses,
// spools and beads do not count: they are what a label says.
func measureOf(s Sheet) measure {
	metric, inches := true, true
	s.chosen(func(l length.Length) bool {
		inches = l%sixteenth == 0
		metric = metric && l%length.Millimetre == 0
		return inches
	})
	if metric || !inches {
		return inMetric
	}
	return inImperial
}

// chosen yields the lengths that a maker chose, as long as more are wanted.
func (s Sheet) chosen(yield func(length.Length) bool) {
	all := func(lengths ...length.Length) bool {
		return !slices.ContainsFunc(lengths, func(l length.Length) bool { return !yield(l) })
	}
	if !all(s.RoundUp) || s.Rod != nil && !all(s.Rod.Length) {
		return
	}
	for _, r := range s.More {
		if !all(r.Length) {
			return
		}
	}
	for _, f := range s.Fringes {
		if !all(f.Drop, f.Each) {
			return
		}
	}
	for _, g := range s.Swags {
		if !all(g.Over, g.Drop) {
			return
		}
	}
	if s.Hanger != nil && !all(s.Hanger.Rise) {
		return
	}
	for _, p := range s.Panels {
		for _, step := range p.Steps {
			for _, a := range step.lay().Amounts {
				if a.Kind == Long && a.Role != Fixed && !all(*a.Length) || a.Kind == Often && !all(a.Count.For, a.Count.By) {
					return
				}
			}
		}
	}
}

func (m measure) length(l length.Length) string {
	if m == inImperial && length.InchesSay(l) {
		return length.ExactImperial(l)
	}
	return length.Exact(l)
}

func (m measure) thickness(l length.Length) string {
	if length.InchesSay(l) && (!length.MetricSays(l) || m == inImperial && l%sixteenth == 0) {
		return length.ExactImperial(l)
	}
	return length.ExactMillimetres(l)
}
