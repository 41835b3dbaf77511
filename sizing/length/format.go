package length

import (
	"strconv"
	"strings"
)

// System is the family of units an answer is written in.
type System int

// The systems.
const (
	Metric System = iota
	Imperial
	Both
)

// Style is how a member wants quantities written; the zero value is metric,
// metres to the centimetre and inches to the eighth.
type Style struct {
	System      System
	Denominator int // finest fraction of an inch: 1, 2, 4, 8, 16, 32 or 64; zero for 8
	Decimals    int // of a metre; zero for 2
}

// Format writes a length for reading, ties to even: "3.20 m", "55 cm", "4 mm",
// "4 ft 11 1/2 in", or "1.50 m (4 ft 11 in)".
func (s Style) Format(l Length) string {
	return s.written(
		func() string { return FormatMetric(l, s.Decimals) },
		func() string { return FormatImperial(l, s.Denominator) },
	)
}

// Cut writes a length to cut, rounded up in whichever system it is shown, so
// that neither reading is ever shorter than l.
func (s Style) Cut(l Length) string { return s.write(s.cutMarks(l)) }

// write writes a length that has been rounded for either system.
func (s Style) write(m marks) string {
	return s.written(
		func() string { return FormatMetric(m.metric, s.Decimals) },
		func() string { return FormatImperial(m.imperial, s.Denominator) },
	)
}

// Compared writes a length that stands beside another with their quotient: a place finer
// than a tape, and decimals of an inch, so that what is printed has that quotient.
func (s Style) Compared(l Length) string {
	return s.written(
		func() string { return FormatMetric(l, decimalsOr2(s.Decimals)+1) },
		func() string { return trimmed(l, Inch, 3) + " in" },
	)
}

// written writes a quantity in the system of the style, or in both.
func (s Style) written(metric, imperial func() string) string {
	switch s.System {
	case Imperial:
		return imperial()
	case Both:
		return metric() + " (" + imperial() + ")"
	}
	return metric()
}

// cutMarks is a length to cut, rounded up in either system.
func (s Style) cutMarks(l Length) marks {
	return marks{l.RoundUp(metricStep(l, s.Decimals)), l.RoundUp(tapeStep(l, s.denominator()))}
}

// CutStep is what a cut of this length is rounded up to when [Style.Cut] writes it, the
// coarser of the systems shown.
func (s Style) CutStep(l Length) Length {
	metric, imperial := metricStep(l, s.Decimals), tapeStep(l, s.denominator())
	switch s.System {
	case Imperial:
		return imperial
	case Both:
		return max(metric, imperial)
	}
	return metric
}

// tapeStep is what a cut that is no fraction of the tape is rounded up to, so that it
// can be read off without counting lines: half inches from a foot on, quarters from
// three inches on (common practice, no source).
func tapeStep(l Length, denominator int) Length {
	finest := Inch / Length(denominator)
	switch {
	case l%finest == 0 || l < 3*Inch:
		return finest
	case l < Foot:
		return max(finest, Inch/4)
	}
	return max(finest, Inch/2)
}

// thicknessParts is the fraction of an inch that shops label a thickness in (common
// practice, no source).
func thicknessParts(l Length) int64 {
	switch {
	case l < Inch/4:
		return 32
	case l < Inch/2:
		return 16
	}
	return 8
}

// Thickness writes a thickness in millimetres or in the fractions of an inch that
// shops label, the latter with "about" when it is not exact: "4 mm (about 5/32 in)".
func (s Style) Thickness(l Length) string {
	return s.written(
		func() string { return trimmed(l, Millimetre, 2) + " mm" },
		func() string { return s.inchesThick(l) },
	)
}

// inchesThick is a thickness in fractions of an inch.
func (s Style) inchesThick(l Length) string {
	const finest = 64
	exact := FormatImperial(l, finest)
	if l%(Inch/finest) == 0 || strings.HasPrefix(exact, "less") {
		return exact
	}
	return "about " + FormatImperial(l, max(int(thicknessParts(l)), s.Denominator))
}

func (s Style) denominator() int { return denominatorOr8(s.Denominator) }

// FormatMetric writes metres from 1 m up with so many decimals (zero for 2),
// and below that centimetres or millimetres with one decimal fewer where needed.
func FormatMetric(l Length, decimals int) string {
	decimals = decimalsOr2(decimals)
	size := l.abs()
	smallest := metricStep(0, decimals)
	switch {
	case l == 0:
		return "0 cm"
	case size.RoundHalfEven(smallest) == 0:
		return "less than " + smallest.String()
	case size.RoundHalfEven(smallest) < Centimetre:
		return trimmed(l, Millimetre, decimals-1) + " mm"
	case size.RoundHalfEven(metricStep(Centimetre, decimals)) < Metre:
		return trimmed(l, Centimetre, decimals-1) + " cm"
	}
	return point(int64(l), int64(Metre), decimals, false) + " m"
}

// metricStep is the worth of the last place FormatMetric shows for a length.
func metricStep(l Length, decimals int) Length {
	step := Millimetre
	switch size := l.abs(); {
	case size >= Metre:
		step = Metre / 10
	case size >= Centimetre:
		step = Centimetre
	}
	for range decimalsOr2(decimals) - 1 {
		step /= 10
	}
	return max(step, Nanometre)
}

// FormatImperial writes feet, inches and a reduced fraction of an inch to the
// nearest 1/denominator (1, 2, 4 ... 64; anything else counts as 8). A length too
// short for that fraction is written in a finer one.
func FormatImperial(l Length, denominator int) string {
	if l == 0 {
		return "0 in"
	}
	parts := denominatorOr8(denominator)
	for parts < 64 && l.RoundHalfEven(Inch/Length(parts)) == 0 {
		parts *= 2
	}
	rounded := l.RoundHalfEven(Inch / Length(parts))
	if rounded == 0 {
		return "less than 1/64 in"
	}
	sign := ""
	if rounded < 0 {
		sign, rounded = "-", rounded.abs()
	}
	feet, inches := rounded/Foot, rounded%Foot/Inch
	top, bottom := int64(rounded%Inch/(Inch/Length(parts))), int64(parts)
	for top > 0 && top%2 == 0 {
		top, bottom = top/2, bottom/2
	}
	var words []string
	if feet > 0 {
		words = append(words, strconv.FormatInt(int64(feet), 10), "ft")
	}
	if inches > 0 {
		words = append(words, strconv.FormatInt(int64(inches), 10))
	}
	if top > 0 {
		words = append(words, strconv.FormatInt(top, 10)+"/"+strconv.FormatInt(bottom, 10))
	}
	if inches > 0 || top > 0 {
		words = append(words, "in")
	}
	return sign + strings.Join(words, " ")
}

// String writes the exact length in metric units; [Parse] reads it back unchanged.
func (l Length) String() string {
	size := l.abs()
	switch {
	case l == 0:
		return "0 cm"
	case size < Centimetre:
		return trimmed(l, Millimetre, 6) + " mm"
	case size < Metre:
		return trimmed(l, Centimetre, 7) + " cm"
	case size < Kilometre:
		return trimmed(l, Metre, 9) + " m"
	}
	return trimmed(l, Kilometre, 12) + " km"
}

// trimmed writes l in a unit with at most so many decimals.
func trimmed(l, unit Length, decimals int) string {
	return point(int64(l), int64(unit), decimals, true)
}

func denominatorOr8(denominator int) int {
	switch denominator {
	case 1, 2, 4, 8, 16, 32, 64:
		return denominator
	}
	return 8
}

func decimalsOr2(decimals int) int {
	if decimals <= 0 {
		return 2
	}
	return min(decimals, 6)
}
