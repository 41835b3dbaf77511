package length

import (
	"math"
	"math/big"
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
	n := halfEven(big.NewRat(int64(l), int64(step)))
	n.Mul(n, big.NewInt(int64(step)))
	if !n.IsInt64() {
		return l
	}
	return Length(n.Int64())
}

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

// decimal prints with so many decimals, ties to even, without passing through
// floating point (NIST SP 811, B.7.1); trim drops zeros at the end.
func decimal(r *big.Rat, decimals int, trim bool) string {
	scale := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(decimals)), nil)
	n := halfEven(new(big.Rat).Mul(r, new(big.Rat).SetInt(scale)))
	text := new(big.Rat).SetFrac(n, scale).FloatString(decimals)
	if trim && strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return text
}
