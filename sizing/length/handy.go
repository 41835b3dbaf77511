package length

import (
	"math"
	"math/big"
	"regexp"
	"strconv"
	"strings"
)

// What texts name beside each other, and metric quantities that stand alone. A slash
// behind one makes it a part of a mass per length, which is left as it is.
var (
	inBothSystems  = regexp.MustCompile(`\d[\d.]* ?(?:mm|cm|m|g|kg) or (\d[\d./]*(?: \d+/\d+)? ?(?:in|ft|yd|lb|oz))\b`)
	metricQuantity = regexp.MustCompile(`(^|[^\w./])(\d+(?:\.\d+)?)( ?)(mm|cm|m|kg|g)\b/?`)
)

// Handy writes a text for somebody who measures in inches: of a quantity that is named
// in both systems only the imperial one stays, and a metric one becomes what shops
// and tapes have near it, "4 mm" 5/32 in, "70cm" 28in, "100 m" 110 yd, "900 g" 2 lb.
// It is for examples, whose figures may as well be others, and never for what was
// typed or computed.
func Handy(text string) string {
	text = inBothSystems.ReplaceAllString(text, "$1")
	return metricQuantity.ReplaceAllStringFunc(text, func(found string) string {
		m := metricQuantity.FindStringSubmatch(found)
		if strings.HasSuffix(found, "/") {
			return found
		}
		n, err := strconv.ParseFloat(m[2], 64)
		if err != nil {
			return found
		}
		number, unit := handy(n, m[4])
		if number == nil {
			return found
		}
		return m[1] + handyNumber(number, m[3] == "") + m[3] + unit
	})
}

// handy is what stands near so much of a metric unit.
func handy(n float64, metric string) (number *big.Rat, unit string) {
	parts := func(inches float64, of int64) *big.Rat {
		return big.NewRat(max(int64(math.RoundToEven(inches*float64(of))), 1), of)
	}
	const inch, foot, yard = float64(Inch) / float64(Millimetre), float64(Foot) / float64(Millimetre), float64(Yard) / float64(Millimetre)
	const ounce, pound = float64(Ounce) / float64(Gram), float64(Pound) / float64(Gram)
	switch metric {
	case "mm":
		return parts(n/inch, thicknessParts(Length(n*float64(Millimetre)))), "in"
	case "g":
		if n < pound {
			return parts(n/ounce, 1), "oz"
		}
		return parts(n/pound, 1), "lb"
	case "kg":
		return parts(1000*n/pound, 1), "lb"
	}
	mm := 10 * n
	if metric == "m" {
		mm = 1000 * n
	}
	const short, long, coil = 100, 1000, 20_000 // from so many millimetres on: whole inches, feet, yards by five
	switch {
	case mm < short:
		return parts(mm/inch, 4), "in"
	case mm < long || metric == "cm":
		return parts(mm/inch, 1), "in"
	case mm < coil:
		return parts(mm/foot, 1), "ft"
	}
	return new(big.Rat).Mul(parts(mm/yard/5, 1), big.NewRat(5, 1)), "yd"
}

// handyNumber writes a number as a fraction, or without blanks.
func handyNumber(n *big.Rat, compact bool) string {
	if n.IsInt() {
		return n.Num().String()
	}
	whole, rest := new(big.Int).QuoRem(n.Num(), n.Denom(), new(big.Int))
	if whole.Sign() == 0 {
		return n.String()
	}
	if compact {
		return strings.TrimRight(n.FloatString(6), "0")
	}
	return whole.String() + " " + rest.String() + "/" + n.Denom().String()
}
