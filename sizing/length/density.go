package length

import (
	"math"
	"math/big"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Density is a mass per length (linear density) in whole nanograms per metre,
// that is in millionths of a tex: tex and g/m are exact, other units are rounded
// to the nearest, which for cord of 1000 tex keeps nine figures.
type Density int64

// The direct units of linear density (ISO 1144): tex is a gram per kilometre.
const (
	Tex           = Density(Gram / 1000)
	GramsPerMetre = 1000 * Tex
)

// hank is what the cotton count is defined by: hanks of 840 yd to the pound.
const hank = 840 * Yard

// DensityOf returns the mass per length of a piece; a mass or length that is
// not positive is an error.
func DensityOf(m Mass, l Length) (Density, error) {
	if m <= 0 || l <= 0 {
		return 0, &InputError{Noun: "mass per length", Input: m.String() + " per " + l.String(),
			Wrong: "mass and length must both be more than zero", Right: "write it like 500 g per 120 m"}
	}
	d := halfEven(new(big.Rat).Mul(big.NewRat(int64(m), int64(l)), big.NewRat(int64(Metre), 1)))
	if !d.IsInt64() || d.Sign() == 0 {
		return 0, &InputError{Noun: "mass per length", Input: m.String() + " per " + l.String(),
			Wrong: "no cord is that heavy or that light", Right: "write it like 500 g per 120 m"}
	}
	return Density(d.Int64()), nil
}

// MassOf returns the mass of a length of cord, to the nearest nanogram.
func (d Density) MassOf(l Length) Mass {
	return Mass(clamp(new(big.Rat).Mul(big.NewRat(int64(d), int64(Metre)), big.NewRat(int64(l), 1))))
}

// LengthOf returns the length of cord that has a mass, rounded down to the
// nanometre; zero for a density of zero or less.
func (d Density) LengthOf(m Mass) Length {
	if d <= 0 {
		return 0
	}
	r := new(big.Int).Mul(big.NewInt(int64(m)), big.NewInt(int64(Metre)))
	r.Div(r, big.NewInt(int64(d)))
	if !r.IsInt64() {
		return math.MaxInt64
	}
	return Length(r.Int64())
}

// Tex returns grams per kilometre.
func (d Density) Tex() float64 { return float64(d) / float64(Tex) }

// Denier returns grams per 9000 m.
func (d Density) Denier() float64 { return 9 * d.Tex() }

// GramsPerMetre returns grams per metre.
func (d Density) GramsPerMetre() float64 { return float64(d) / float64(GramsPerMetre) }

// OuncesPerYard returns ounces per yard.
func (d Density) OuncesPerYard() float64 {
	return d.GramsPerMetre() * (float64(Yard) / float64(Metre)) / Ounce.Grams()
}

// MetresPerKilogram returns how many metres weigh a kilogram; zero for a density of zero.
func (d Density) MetresPerKilogram() float64 { return d.per(Kilogram, Metre) }

// YardsPerPound returns how many yards weigh a pound; zero for a density of zero.
func (d Density) YardsPerPound() float64 { return d.per(Pound, Yard) }

// CottonCount returns the English cotton count Ne, hanks of 840 yd to the pound; zero for a density of zero.
func (d Density) CottonCount() float64 { return d.per(Pound, hank) }

func (d Density) per(m Mass, l Length) float64 {
	if d == 0 {
		return 0
	}
	return float64(m) / (float64(d) * (float64(l) / float64(Metre)))
}

// ParseDensity reads a mass per length from a label, either way up: "4.5 g/m",
// "500 g per 120 m", "220 m/kg", "80 yd/lb", "5000 tex", "300 den", "Ne 10".
// Errors are [InputError].
//
//	density = number ("tex" | "dtex" | "den") | "Ne" number | (mass | length) ("/" | "per" | "in") (length | mass)
func ParseDensity(text string) (Density, error) {
	fault := func(wrong, right string) (Density, error) {
		return 0, &InputError{Noun: "mass per length", Input: text, Wrong: wrong, Right: right}
	}
	const sample = "write it like 4.5 g/m, 220 m/kg or 5000 tex"
	if len(text) > longest {
		return fault("it is too long to read", sample)
	}
	if over, under, ok := cutPer(text); ok {
		d, err := divide(over, under)
		if input, isInput := err.(*InputError); isInput {
			return fault(input.Wrong, sample)
		}
		return d, err
	}
	r, err := counts.parse(text, 0)
	if err == nil {
		d := halfEven(big.NewRat(r.value, 9)).Int64()
		if d <= 0 {
			return fault("a cord weighs more than nothing", sample)
		}
		return Density(d), nil
	}
	if trimmed := strings.TrimSpace(text); len(trimmed) > 2 && strings.EqualFold(trimmed[:2], "ne") {
		s := &scanner{grammar: counts, text: trimmed, at: 2}
		s.spaces()
		n, ok, err := s.number()
		if err == nil && ok && s.rest() == "" && n.value.Sign() > 0 {
			one := big.NewRat(int64(Pound), int64(hank)/int64(Metre/1_000_000))
			one.Mul(one, big.NewRat(1_000_000, 1))
			d := clamp(one.Quo(one, n.value))
			if d > 0 {
				return Density(d), nil
			}
		}
	}
	return fault("no / or per stands between a mass and a length", sample)
}

// counts are the units of linear density that stand alone, worth so many ninths
// of a nanogram per metre, because a denier is a ninth of a tex.
var counts = grammar{
	noun: "mass per length",
	of:   "mass per length",
	units: []unit{
		{"tex", 9 * int64(Tex), true, []string{"tex"}},
		{"dtex", 9 * int64(Tex/10), true, []string{"dtex", "decitex"}},
		{"den", int64(Tex), true, []string{"den", "denier"}},
	},
	use:    "g/m, m/kg, yd/lb, oz/yd, tex or den",
	sample: "4.5 g/m",
}

// cutPer parts a text at the slash or the word that stands after a unit.
func cutPer(text string) (over, under string, ok bool) {
	for _, word := range []string{" per ", " in ", " for ", " = "} {
		for i := range max(0, len(text)-len(word)+1) {
			if strings.EqualFold(text[i:i+len(word)], word) {
				return text[:i], text[i+len(word):], true
			}
		}
	}
	for i := range len(text) {
		if text[i] != '/' {
			continue
		}
		before, _ := utf8.DecodeLastRuneInString(strings.TrimRightFunc(text[:i], unicode.IsSpace))
		if unicode.IsLetter(before) || before == '.' {
			return text[:i], text[i+1:], true
		}
	}
	return "", "", false
}

// divide makes a density of a mass and a length in either order; the one below
// the line may go without its number.
func divide(over, under string) (Density, error) {
	if r, _ := utf8.DecodeRuneInString(strings.TrimSpace(under)); unicode.IsLetter(r) {
		under = "1 " + strings.TrimSpace(under)
	}
	if m, err := ParseMass(over, 0); err == nil {
		l, err := Parse(under, 0)
		if err != nil {
			return 0, err
		}
		return DensityOf(m, l)
	}
	l, err := Parse(over, 0)
	if err != nil {
		return 0, err
	}
	m, err := ParseMass(under, 0)
	if err != nil {
		return 0, err
	}
	return DensityOf(m, l)
}

// String writes the density in tex, exactly.
func (d Density) String() string { return point(int64(d), int64(Tex), 6, true) + " tex" }

// clamp rounds half to even and keeps the result in range.
func clamp(r *big.Rat) int64 {
	n := halfEven(r)
	switch {
	case n.IsInt64():
		return n.Int64()
	case n.Sign() < 0:
		return math.MinInt64
	}
	return math.MaxInt64
}
