package length

import "slices"

// ladder is the steps of an imperial rule, finest first.
func ladder() []Length {
	return []Length{Inch / 64, Inch / 32, Inch / 16, Inch / 8, Inch / 4, Inch / 2, Inch}
}

// Metric converts to metric units and keeps the precision that was written: the
// last place shown is worth no more than the last place given, so 36 ft is
// 11.0 m (NIST SP 811, B.7). Ties round to even.
func (r Reading) Metric() string {
	place := Nanometre
	for place*10 <= r.Place && place < Kilometre {
		place *= 10
	}
	l := r.Length.RoundHalfEven(place)
	size := l.abs()
	unit, symbol := Millimetre, "mm"
	switch {
	case size >= Metre:
		unit, symbol = Metre, "m"
	case size >= Centimetre:
		unit, symbol = Centimetre, "cm"
	}
	decimals := 0
	for step := unit; step > place; step /= 10 {
		decimals++
	}
	return point(int64(l), int64(unit), decimals, false) + " " + symbol
}

// Imperial converts to feet, inches and fractions and keeps the precision that
// was written, though never coarser than an inch nor finer than 1/64 in.
func (r Reading) Imperial() string {
	steps := ladder()
	place := steps[0]
	for _, step := range slices.Backward(steps) {
		if step <= r.Place {
			place = step
			break
		}
	}
	return FormatImperial(r.Length, int(Inch/place))
}

// Repeat writes a length as it was typed, and in the system of a style beside it where
// that is another one: "16 in", "40 cm (1 ft 3 3/4 in)". Write says how the other one
// is written, as [Style.Format] or as [Style.Thickness].
func (r Reading) Repeat(s Style, write func(Style, Length) string) string {
	if s.System != Both && r.metric == (s.System == Metric) {
		return r.Typed
	}
	s.System = Metric
	if r.metric {
		s.System = Imperial
	}
	return r.Typed + " (" + write(s, r.Length) + ")"
}
