package length

import (
	"math"
	"math/big"
	"strconv"
	"strings"
)

// RoundUp returns the least multiple of step that is not less than l: cut
// lengths are rounded this way and no other. A step of zero or less, or a
// multiple out of range, leaves l as it is.
func (l Length) RoundUp(step Length) Length {
	if step <= 0 {
		return l
	}
	over := l % step
	if over == 0 {
		return l
	}
	if over < 0 {
		return l - over
	}
	if l > math.MaxInt64-(step-over) {
		return l
	}
	return l + (step - over)
}

// RoundHalfEven returns the multiple of step nearest to l, ties to the even
// multiple (NIST SP 811, B.7.1): for showing a length, never for cutting one. A
// step of zero or less leaves l as it is.
func (l Length) RoundHalfEven(step Length) Length {
	if step <= 1 {
		return l
	}
	n := nearest(int64(l), int64(step))
	if over := n > math.MaxInt64/int64(step) || n < math.MinInt64/int64(step); over {
		return l
	}
	return Length(n) * step
}

// nearest is how many steps of more than 1 are nearest to n, ties to even.
func nearest(n, step int64) int64 {
	count, over := n/step, n%step
	if over < 0 {
		count, over = count-1, over+step
	}
	if under := step - over; over > under || over == under && count%2 != 0 {
		count++
	}
	return count
}

// point prints n, of which unit makes one, with so many decimals, ties to even, without
// passing through floating point (NIST SP 811, B.7.1); trim drops zeros at the end. The
// unit is a whole number of its last decimals.
func point(n, unit int64, decimals int, trim bool) string {
	for range decimals {
		unit /= 10
	}
	if unit > 1 {
		n = nearest(n, unit)
	}
	digits := strings.TrimPrefix(strconv.FormatInt(n, 10), "-")
	if short := decimals + 1 - len(digits); short > 0 {
		digits = strings.Repeat("0", short) + digits
	}
	whole, part := digits[:len(digits)-decimals], digits[len(digits)-decimals:]
	if trim {
		part = strings.TrimRight(part, "0")
	}
	if n < 0 {
		whole = "-" + whole
	}
	if part == "" {
		return whole
	}
	return whole + "." + part
}

// Tidy rounds a finished size, which no hand keeps to the millimetre, to 5 mm for
// reading (common practice, no source).
func (l Length) Tidy() Length { return l.RoundHalfEven(5 * Millimetre) }

func (l Length) abs() Length {
	if l == math.MinInt64 {
		return math.MaxInt64
	}
	return max(l, -l)
}

// halfEven rounds to the nearest whole number, ties to even.
func halfEven(r *big.Rat) *big.Int {
	floor := new(big.Int)
	rest := new(big.Int)
	floor.DivMod(r.Num(), r.Denom(), rest)
	rest.Lsh(rest, 1)
	if c := rest.Cmp(r.Denom()); c > 0 || c == 0 && floor.Bit(0) == 1 {
		floor.Add(floor, big.NewInt(1))
	}
	return floor
}
