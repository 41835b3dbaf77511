package sheet

import (
	"slices"

	"larkfold/sizing/length"
)

// amount is how many ends a step of these facts brings and about how many knots it ties, when a
// panel has so many ends. Where a step goes on for a length or up to a place, its
// rows are reckoned as three cords high, or as so many as open.
func (p *Panel) amount(s Step, f Facts, ends int, cord length.Length, open int) (brought, tied int) {
	switch s := s.(type) {
	case Mount:
		for _, h := range s.Hung {
			brought += h.Count * p.EndsEach(h.Way)
		}
	case Add:
		brought = s.Count * s.Way.Ends()
	case Bar:
		tied = max(1, s.Times.N) * s.hitched(ends)
	default:
		if f.Knot() == nil {
			return 0, 0
		}
		tied = groups(*f.On(), *f.Of(), ends)
		if c := f.Count(); c != nil {
			switch {
			case c.N > 0:
				tied *= c.N
			case c.For > 0 && cord > 0:
				tied *= int(c.For/(3*cord)) + 1
			default:
				tied *= open
			}
		}
	}
	return brought, tied
}

// hitched is how many of so many ends a bar hitches onto its carrier.
func (s Bar) hitched(ends int) int {
	from := s.From.Among(ends, -1)
	to := s.To.Among(ends, from)
	return max(from-to, to-from)
}

// Lies tells whether nothing of the piece hangs: all of it is worked both ways, as a
// runner or a strap is.
func (s Sheet) Lies() bool {
	return len(s.Panels) > 0 && !slices.ContainsFunc(s.Panels, func(p Panel) bool { return !p.BothWays })
}

// Weight is about how many knots a sheet ties, for who has to know beforehand how
// long it takes to size: a few times too many or too few.
func (s Sheet) Weight() int {
	const open = 100 // rows of a net that goes on until a place
	cord := length.Length(0)
	for _, c := range s.Cords {
		if cord == 0 || c.Thickness < cord {
			cord = c.Thickness
		}
	}
	ends, knots := map[string]int{}, 0
	for i := range s.Panels {
		p := &s.Panels[i]
		all, times := 0, 1
		for _, name := range p.From {
			all += ends[fold(name)]
		}
		for _, step := range p.Steps {
			switch step := step.(type) {
			case Repeat:
				times = step.Times
			case End:
				times = 1
			}
			brought, tied := p.amount(step, step.lay(), all, cord, open)
			all += brought * times
			knots += tied * times
		}
		ends[fold(p.Name)] = all
	}
	return knots
}
