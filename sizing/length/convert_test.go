package length

import (
	"math"
	"math/big"
	"os/exec"
	"strconv"
	"strings"
	"testing"

	units "github.com/bcicen/go-units"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The International Yard and Pound Agreement of 1959 (24 FR 5348; NIST SP 811
// (2008), B.8; NIST Handbook 44, Appendix C), all exact.
func TestAgreementOf1959(t *testing.T) {
	require.EqualValues(t, 25_400_000, Inch)
	require.EqualValues(t, 304_800_000, Foot)
	require.EqualValues(t, 914_400_000, Yard)
	require.EqualValues(t, 1_828_800_000, Fathom)
	require.EqualValues(t, 453_592_370_000, Pound)
	require.EqualValues(t, 28_349_523_125, Ounce)
	require.EqualValues(t, 1143*Metre, 1250*Yard, "the yard is 1143/1250 m")
	// The US survey foot, 1200/3937 m, went out of use in 2023 (85 FR 62698).
	survey := 1200.0 / 3937 * float64(Metre)
	foot, err := Parse("1 ft", 0)
	require.NoError(t, err)
	require.NotEqual(t, int64(math.Round(survey)), int64(foot))
}

func TestEverySixtyFourthOfAnInchIsExact(t *testing.T) {
	for n := int64(0); n <= 64*36; n++ {
		got, err := Parse(strconv.FormatInt(n, 10)+"/64 in", 0)
		require.NoError(t, err)
		require.Equal(t, Length(n*25_400_000/64), got)
		require.Zero(t, n*25_400_000%64)
		again, err := Parse(FormatImperial(got, 64), 0)
		require.NoError(t, err)
		require.Equal(t, got, again)
	}
}

// Ties to even on decimal numerals: NIST SP 811 (2008), B.7.1, rules 1 to 3; 2.675
// is the same rule where binary floating point goes wrong.
func TestDecimal(t *testing.T) {
	for _, c := range []struct {
		numeral  string
		decimals int
		want     string
	}{
		{"6.9749515", 6, "6.974952"},
		{"6.9749505", 6, "6.974950"},
		{"6.9749515", 4, "6.9750"},
		{"6.9749515", 2, "6.97"},
		{"2.675", 2, "2.68"},
		{"2.665", 2, "2.66"},
		{"9.96", 1, "10.0"},
		{"99.95", 1, "100.0"},
		{"99.85", 1, "99.8"},
		{"-2.5", 0, "-2"},
		{"0", 2, "0.00"},
	} {
		r, ok := new(big.Rat).SetString(c.numeral)
		require.True(t, ok)
		require.Equal(t, c.want, decimal(r, c.decimals), "%s to %d decimals", c.numeral, c.decimals)
		const unit = 10_000_000
		n := new(big.Rat).Mul(r, big.NewRat(unit, 1))
		require.True(t, n.IsInt())
		require.Equal(t, c.want, point(n.Num().Int64(), unit, c.decimals, false), "%s to %d decimals", c.numeral, c.decimals)
	}
}

// decimal prints a fraction with so many decimals, ties to even: the referee of what is
// printed without big numbers.
func decimal(r *big.Rat, decimals int) string {
	scale := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(decimals)), nil)
	n := halfEven(new(big.Rat).Mul(r, new(big.Rat).SetInt(scale)))
	return new(big.Rat).SetFrac(n, scale).FloatString(decimals)
}

func TestRoundingIsAsWithBigNumbers(t *testing.T) {
	edges := []int64{math.MinInt64, math.MinInt64 + 1, -1, 0, 1, math.MaxInt64 - 1, math.MaxInt64}
	numbers := rapid.OneOf(rapid.SampledFrom(edges), rapid.Int64(), rapid.Int64Range(-1_000_000, 1_000_000))
	rapid.Check(t, func(t *rapid.T) {
		n := numbers.Draw(t, "n")
		step := rapid.OneOf(rapid.Int64Range(2, 100), rapid.Int64Range(2, math.MaxInt64)).Draw(t, "step")
		count := halfEven(big.NewRat(n, step))
		require.Equal(t, count.Int64(), nearest(n, step))
		want := Length(n)
		if whole := count.Mul(count, big.NewInt(step)); whole.IsInt64() {
			want = Length(whole.Int64())
		}
		require.Equal(t, want, Length(n).RoundHalfEven(Length(step)))
		decimals := rapid.IntRange(0, 12).Draw(t, "decimals")
		require.Equal(t, decimal(big.NewRat(n, int64(Kilometre)), decimals), point(n, int64(Kilometre), decimals, false))
	})
}

// A conversion keeps the precision of what was written.
func TestConversionKeepsThePrecision(t *testing.T) {
	for _, c := range []struct{ text, metric, imperial string }{
		{"36 ft", "11.0 m", "36 ft"},       // NIST SP 811 (2008), B.7.2
		{"7 1/2 in", "19 cm", "7 1/2 in"},  // NIST PS 20-20 (2020), Appendix B: 190 mm
		{"4 mm", "4 mm", "5/32 in"},        // the rest is worked out here by the same rule
		{"4.00 mm", "4.00 mm", "5/32 in"},  // never finer than 1/64 in
		{"1.50 m", "1.50 m", "4 ft 11 in"}, // 59.06 in to 1/4 in
		{"2 m", "2 m", "6 ft 7 in"},        // never coarser than an inch
		{"10 ft 6 in", "3.20 m", "10 ft 6 in"},
		{"3/16 in", "5 mm", "3/16 in"},
		{"0.125 in", "3.18 mm", "1/8 in"}, // 3.175: tie to even
		{"2 yd", "1.8 m", "6 ft"},
		{"1 km", "1000 m", "3280 ft 10 in"},
		{"0 m", "0 mm", "0 in"},
	} {
		r, err := Read(c.text, 0)
		require.NoError(t, err)
		require.Equal(t, c.metric, r.Metric(), c.text)
		require.Equal(t, c.imperial, r.Imperial(), c.text)
	}
	r, err := Read("7 1/2 in", 0)
	require.NoError(t, err)
	require.Equal(t, Inch/2, r.Place)
	metric, err := Parse(r.Metric(), 0)
	require.NoError(t, err)
	require.Equal(t, 190*Millimetre, metric)
}

// 7 1/2 in is 190.5 mm and published as 190 mm: a tie to even, where half up would
// give 191 (NIST Voluntary Product Standard PS 20-20, Appendix B and Table 3).
func TestRoundHalfEven(t *testing.T) {
	require.Equal(t, 190*Millimetre, (15 * Inch / 2).RoundHalfEven(Millimetre))
	require.Equal(t, 192*Millimetre, (191*Millimetre + 500*Micrometre).RoundHalfEven(Millimetre))
	require.Equal(t, -190*Millimetre, (-15 * Inch / 2).RoundHalfEven(Millimetre))
	require.Equal(t, Inch, Inch.RoundHalfEven(0))
	require.Equal(t, Length(math.MaxInt64), Length(math.MaxInt64).RoundHalfEven(10), "out of range stays")
}

func TestRoundUp(t *testing.T) {
	const step = 5 * Centimetre
	for _, c := range []struct{ l, want Length }{
		{0, 0}, {1, step}, {step, step}, {step + 1, 2 * step}, {2*step - 1, 2 * step}, {-1, 0}, {-step, -step}, {-step - 1, -step},
		{math.MaxInt64, math.MaxInt64},
	} {
		require.Equal(t, c.want, c.l.RoundUp(step), "%d", c.l)
	}
	require.Equal(t, Length(7), Length(7).RoundUp(0))
	require.Equal(t, Length(7), Length(7).RoundUp(-3))
	rapid.Check(t, func(t *rapid.T) {
		l := Length(rapid.Int64Range(0, int64(1000*Kilometre)).Draw(t, "length"))
		step := Length(rapid.Int64Range(1, int64(Metre)).Draw(t, "step"))
		got := l.RoundUp(step)
		require.GreaterOrEqual(t, got, l)
		require.Less(t, got-l, step)
		require.Zero(t, got%step)
		require.Equal(t, got, got.RoundUp(step))
		require.LessOrEqual(t, (l.RoundHalfEven(step) - l).abs(), step-step/2)
	})
}

// The referee is github.com/bcicen/go-units, in floating point.
func TestLengthsAndMassesAgreeWithGoUnits(t *testing.T) {
	referee := func(t require.TestingT, x float64, from, to units.Unit) float64 {
		if from.Name == to.Name {
			return x
		}
		v, err := units.ConvertFloat(x, from, to)
		require.NoError(t, err)
		return v.Float()
	}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 99_999).Draw(t, "n")
		text := strconv.Itoa(n)
		for symbol, from := range map[string]units.Unit{
			"mm": units.MilliMeter, "cm": units.CentiMeter, "m": units.Meter, "km": units.KiloMeter, "in": units.Inch, "ft": units.Foot, "yd": units.Yard,
		} {
			got, err := Parse(text+" "+symbol, 0)
			require.NoError(t, err)
			require.InEpsilon(t, referee(t, float64(n), from, units.MilliMeter), got.Millimetres(), 1e-12, symbol)
		}
		for symbol, from := range map[string]units.Unit{"mg": units.MilliGram, "g": units.Gram, "kg": units.KiloGram, "oz": units.Ounce, "lb": units.Pound} {
			got, err := ParseMass(text+" "+symbol, 0)
			require.NoError(t, err)
			require.InEpsilon(t, referee(t, float64(n), from, units.Gram), got.Grams(), 1e-12, symbol)
		}
	})
}

// The referee is GNU units, where it is installed.
func TestUnitsAgreeWithGNUUnits(t *testing.T) {
	path, err := exec.LookPath("units")
	if err != nil {
		t.Skip("GNU units is not installed")
	}
	referee := func(from, to string) float64 {
		out, err := exec.Command(path, "--terse", "--digits", "15", from, to).Output()
		require.NoError(t, err, "%s to %s", from, to)
		x, err := strconv.ParseFloat(strings.TrimSpace(string(out)), 64)
		require.NoError(t, err)
		return x
	}
	for _, u := range lengths.units {
		require.InEpsilon(t, referee("137 "+u.symbol, "mm"), Length(137*u.worth).Millimetres(), 1e-12, u.symbol)
	}
	for _, u := range masses.units {
		require.InEpsilon(t, referee("137 "+u.symbol, "g"), Mass(137*u.worth).Grams(), 1e-12, u.symbol)
	}
	for text, asked := range map[string]string{
		"5000 tex": "5000 tex", "45000 den": "45000 denier", "50000 dtex": "50000 decitex", "4.5 g/m": "4.5 g/m",
		"1.25 oz/yd": "1.25 oz/yd", "3 lb per fathom": "3 lb/fathom", "500 g per 120 m": "500 g/(120 m)",
	} {
		d, err := ParseDensity(text)
		require.NoError(t, err, text)
		require.InEpsilon(t, referee(asked, "tex"), d.Tex(), 1e-9, text)
		require.InEpsilon(t, referee(asked, "oz/yd"), d.OuncesPerYard(), 1e-9, text)
		require.InEpsilon(t, referee(asked, "denier"), d.Denier(), 1e-9, text)
	}
	for text, asked := range map[string]string{"220 m/kg": "1|220 kg/m", "80 yd/lb": "1|80 lb/yd", "1200 m / 6 kg": "1|200 kg/m"} {
		d, err := ParseDensity(text)
		require.NoError(t, err, text)
		require.InEpsilon(t, referee(asked, "tex"), d.Tex(), 1e-9, text)
	}
}

// What was typed is repeated as it was typed, with its unit, and in the reader's own
// units where it was typed in others.
func TestReadingsAreRepeatedAsTheyWereTyped(t *testing.T) {
	metric, imperial, both := Style{}, Style{System: Imperial}, Style{System: Both}
	for _, c := range []struct {
		typed string
		bare  Length
		style Style
		want  string
	}{
		{"16in", Centimetre, imperial, "16 in"},
		{`2' 4"`, Centimetre, imperial, "2 ft 4 in"},
		{"1ft4", Centimetre, imperial, "1 ft 4 in"},
		{"16", Inch, imperial, "16 in"},
		{"16", Centimetre, imperial, "16 cm (6 1/4 in)"},
		{"3/4", Centimetre, imperial, "3/4 in"},
		{"1 1/2 ft", Centimetre, imperial, "1 1/2 ft"},
		{"16in", Centimetre, metric, "16 in (40.6 cm)"},
		{"70", Centimetre, metric, "70 cm"},
		{"1,5 m", Centimetre, metric, "1,5 m"},
		{"2m30", Centimetre, metric, "2 m 30 cm"},
		{"40cm", Centimetre, both, "40 cm (1 ft 3 3/4 in)"},
		{"16in", Centimetre, both, "16 in (40.6 cm)"},
	} {
		r, err := Read(c.typed, c.bare)
		require.NoError(t, err)
		require.Equal(t, c.want, r.Repeat(c.style, Style.Format), "%s", c.typed)
		again, err := Parse(r.Typed, 0)
		require.NoError(t, err, r.Typed)
		require.Equal(t, r.Length, again, "what is repeated says the same")
	}
}
