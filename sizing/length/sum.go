package length

// Sum writes amounts that are added up so that what is printed adds up too: each is the
// difference between the sums with it and without it, which are rounded up, and so at
// most one step from what it is by itself. A step is a millimetre, or the style's finest
// fraction of an inch.
type Sum struct {
	Style Style
	at    Length
}

// Add adds an amount and writes it.
func (s *Sum) Add(l Length) string {
	before := s.marks()
	s.at += l
	after := s.marks()
	return s.write(marks{after.metric - before.metric, after.imperial - before.imperial})
}

// Total writes the sum.
func (s Sum) Total() string { return s.write(s.marks()) }

// Missing writes what so many times the sum lack to a cut as [Style.Cut] writes it.
func (s Sum) Missing(cut, times Length) string {
	have, whole := s.marks(), s.Style.cutMarks(cut)
	return s.write(marks{max(whole.metric-times*have.metric, 0), max(whole.imperial-times*have.imperial, 0)})
}

// marks is a length as it is read off a tape in either system.
type marks struct{ metric, imperial Length }

func (s Sum) marks() marks {
	return marks{s.at.RoundUp(Millimetre), s.at.RoundUp(Inch / Length(s.Style.denominator()))}
}

func (s Sum) write(m marks) string {
	metric, imperial := m.metric.String(), FormatImperial(m.imperial, s.Style.Denominator)
	switch s.Style.System {
	case Imperial:
		return imperial
	case Both:
		return metric + " (" + imperial + ")"
	}
	return metric
}
