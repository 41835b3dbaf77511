package length

import (
	"fmt"
	"math/big"
	"strconv"
	"strings"
)

// The finest steps that are written in either system.
const (
	hundredth   = Millimetre / 100
	sixtyfourth = Inch / 64
)

// MetricSays tells whether a length is whole hundredths of a millimetre.
func MetricSays(l Length) bool { return l%hundredth == 0 }

// InchesSay tells whether a length is whole sixty-fourths of an inch.
func InchesSay(l Length) bool { return l%sixtyfourth == 0 }

// Exact writes a length without loss, as it is read again: metric, or inches when
// they say it better.
func Exact(l Length) string {
	if !MetricSays(l) && InchesSay(l) {
		return ExactImperial(l)
	}
	return ExactMetric(l)
}

// ExactMetric writes a length without loss in the unit that leaves the fewest digits to count.
func ExactMetric(l Length) string {
	switch {
	case l >= Metre:
		return exactly(int64(l), int64(Metre), "m")
	case l >= Centimetre:
		return exactly(int64(l), int64(Centimetre), "cm")
	}
	return ExactMillimetres(l)
}

// ExactMillimetres writes a length without loss in millimetres.
func ExactMillimetres(l Length) string { return exactly(int64(l), int64(Millimetre), "mm") }

// ExactImperial writes whole sixty-fourths of an inch, see [InchesSay], as feet, inches and a fraction.
func ExactImperial(l Length) string {
	var parts []string
	if feet := l / Foot; feet > 0 {
		parts = append(parts, fmt.Sprintf("%d ft", feet))
	}
	rest := l % Foot
	if rest == 0 {
		return strings.Join(parts, " ")
	}
	inches := rest / Inch
	part := big.NewRat(int64(rest%Inch/sixtyfourth), 64)
	if inches > 0 {
		parts = append(parts, strconv.FormatInt(int64(inches), 10))
	}
	if part.Sign() > 0 {
		parts = append(parts, part.String())
	}
	return strings.Join(append(parts, "in"), " ")
}

// SpoolLabel writes a length without loss as a spool's label most likely says it.
func SpoolLabel(l Length) string {
	switch {
	case l%Metre == 0:
		return exactly(int64(l), int64(Metre), "m")
	case l%Yard == 0:
		return exactly(int64(l), int64(Yard), "yd")
	case l%Foot == 0:
		return exactly(int64(l), int64(Foot), "ft")
	}
	return Exact(l)
}

// MassLabel writes a mass without loss, in the unit that a label most likely uses.
func MassLabel(m Mass) string {
	ounce := int64(Ounce)
	switch n := int64(m); {
	case n%int64(Gram) != 0 && n%int64(Pound) == 0:
		return exactly(n, int64(Pound), "lb")
	case n%int64(Gram) != 0 && n%ounce == 0:
		return exactly(n, ounce, "oz")
	case n%int64(Kilogram) == 0:
		return exactly(n, int64(Kilogram), "kg")
	default:
		return exactly(n, int64(Gram), "g")
	}
}

// exactly writes n/unit exactly; the unit has no prime factors but 2 and 5.
func exactly(n, unit int64, name string) string {
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
