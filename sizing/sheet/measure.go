package sheet

import (
	"fmt"
	"math/big"
	"slices"
	"strconv"
	"strings"

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

// The finest steps that a maker writes in either system.
const (
	hundredth   = length.Millimetre / 100
	sixteenth   = length.Inch / 16
	sixtyfourth = length.Inch / 64
)

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
	if m == inImperial && l%sixtyfourth == 0 {
		return imperial(l)
	}
	return exact(l)
}

// exact writes a length without loss: metric, or inches when they say it better.
func exact(l length.Length) string {
	if l%hundredth != 0 && l%sixtyfourth == 0 {
		return imperial(l)
	}
	return metric(l)
}

func (m measure) thickness(l length.Length) string {
	if l%sixtyfourth == 0 && (l%hundredth != 0 || m == inImperial && l%sixteenth == 0) {
		return imperial(l)
	}
	return decimal(int64(l), int64(length.Millimetre), "mm")
}

// metric writes a length exactly in the unit that leaves the fewest digits to count.
func metric(l length.Length) string {
	switch {
	case l >= length.Metre:
		return decimal(int64(l), int64(length.Metre), "m")
	case l >= length.Centimetre:
		return decimal(int64(l), int64(length.Centimetre), "cm")
	}
	return decimal(int64(l), int64(length.Millimetre), "mm")
}

// imperial writes whole sixty-fourths of an inch as feet, inches and a fraction.
func imperial(l length.Length) string {
	var parts []string
	if feet := l / length.Foot; feet > 0 {
		parts = append(parts, fmt.Sprintf("%d ft", feet))
	}
	rest := l % length.Foot
	if rest == 0 {
		return strings.Join(parts, " ")
	}
	inches := rest / length.Inch
	part := big.NewRat(int64(rest%length.Inch/sixtyfourth), 64)
	if inches > 0 {
		parts = append(parts, strconv.FormatInt(int64(inches), 10))
	}
	if part.Sign() > 0 {
		parts = append(parts, part.String())
	}
	return strings.Join(append(parts, "in"), " ")
}

// spoolLength writes what the label most likely says.
func spoolLength(l length.Length) string {
	switch {
	case l%length.Metre == 0:
		return decimal(int64(l), int64(length.Metre), "m")
	case l%length.Yard == 0:
		return decimal(int64(l), int64(length.Yard), "yd")
	case l%length.Foot == 0:
		return decimal(int64(l), int64(length.Foot), "ft")
	}
	return exact(l)
}

// mass writes a mass without loss, in the unit that the label most likely uses.
func mass(m length.Mass) string {
	ounce := int64(length.Ounce)
	switch n := int64(m); {
	case n%int64(length.Gram) != 0 && n%int64(length.Pound) == 0:
		return decimal(n, int64(length.Pound), "lb")
	case n%int64(length.Gram) != 0 && n%ounce == 0:
		return decimal(n, ounce, "oz")
	case n%int64(length.Kilogram) == 0:
		return decimal(n, int64(length.Kilogram), "kg")
	default:
		return decimal(n, int64(length.Gram), "g")
	}
}

// decimal writes n/unit exactly; the unit has no prime factors but 2 and 5.
func decimal(n, unit int64, name string) string {
	whole, rest := n/unit, n%unit
	text := strconv.FormatInt(whole, 10)
	if rest != 0 {
		digits := ""
		for rest != 0 {
			rest *= 10
			digits += strconv.FormatInt(rest/unit, 10)
			rest %= unit
		}
		text += "." + digits
	}
	return text + " " + name
}
