package length

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Linear densities by their definitions: tex is 1 g/km, denier grams per 9000 m
// (ISO 1144:2016, ASTM D861, from memory; GNU units has the same), cotton count hanks
// of 840 yd to the pound.
func TestDensityDefinitions(t *testing.T) {
	d, err := DensityOf(9*Gram, 9000*Metre)
	require.NoError(t, err)
	require.Equal(t, Tex, d)
	require.InDelta(t, 1, d.Tex(), 1e-12)
	require.InDelta(t, 9, d.Denier(), 1e-12)

	ne1, err := ParseDensity("Ne 1")
	require.NoError(t, err)
	require.InEpsilon(t, 590.541247448, ne1.Tex(), 1e-9) // 453.59237/(840 x 0.9144) x 1000; textbooks print 590.5
	require.InDelta(t, 1, ne1.CottonCount(), 1e-8)
	byHanks, err := DensityOf(Pound, hank)
	require.NoError(t, err)
	require.Equal(t, byHanks, ne1)
	rapid.Check(t, func(t *rapid.T) {
		d := Density(rapid.Int64Range(int64(Tex), int64(100_000*Tex)).Draw(t, "density"))
		require.InEpsilon(t, 590.541247448, d.Tex()*d.CottonCount(), 1e-9)
	})
}

// Derived from the agreement of 1959, with GNU units at 12 digits.
func TestDensityConversions(t *testing.T) {
	tex := func(text string) float64 {
		d, err := ParseDensity(text)
		require.NoError(t, err, text)
		return d.Tex()
	}
	require.InEpsilon(t, 496_054.647857, tex("1 lb/yd"), 1e-12)
	require.InEpsilon(t, 31_003.41549, tex("1 oz/yd"), 1e-9)
	require.InEpsilon(t, 1093.613298, tex("1 g/yd"), 1e-9)
	require.InEpsilon(t, 1e6/2.01590692542, tex("1 yd/lb"), 1e-11)

	d, err := ParseDensity("1000 yd/lb")
	require.NoError(t, err)
	require.InEpsilon(t, 2015.90692542, d.MetresPerKilogram(), 1e-9)
	require.InEpsilon(t, 1000, d.YardsPerPound(), 1e-9)
	d, err = ParseDensity("1 oz/yd")
	require.NoError(t, err)
	require.InEpsilon(t, 1, d.OuncesPerYard(), 1e-9)
	require.InEpsilon(t, 31.00341549, d.GramsPerMetre(), 1e-9)
}

// Seven-digit roundings printed in NIST SP 811 (2008), B.8 (from memory).
func TestPrintedFactorsOfSP811(t *testing.T) {
	kilograms := func(m Mass) float64 { return m.Grams() / 1000 }
	require.InDelta(t, 2.834952e-2, kilograms(Ounce), 0.5e-8)
	require.InDelta(t, 4.535924e-1, kilograms(Pound), 0.5e-7)
	denier, err := ParseDensity("1000 den")
	require.NoError(t, err)
	require.InDelta(t, 1.111111e-7, denier.Tex()*1e-6/1000, 0.5e-13)
	require.InDelta(t, 1e-6, float64(Tex)/float64(Kilogram), 1e-20)
}

var acceptedDensities = []struct {
	text string
	want Density
}{
	{"4.5 g/m", 4500 * Tex},
	{"4,5 g/m", 4500 * Tex},
	{"4.5 g per m", 4500 * Tex},
	{"500 g per 100 m", 5000 * Tex},
	{"500g/100m", 5000 * Tex},
	{"100 m / 500 g", 5000 * Tex},
	{"100 m in 500 g", 5000 * Tex},
	{"200 m/kg", 5000 * Tex},
	{"1/2 g/m", 500 * Tex},
	{"5000 tex", 5000 * Tex},
	{"5000 dtex", 500 * Tex},
	{"9000 den", 1000 * Tex},
	{"9000 denier", 1000 * Tex},
	{"2 lb per 100 ft", 29_763_278_871}, // 2 x 453.59237 g / 30.48 m = 29.76327887139... g/m
}

var refusedDensities = []struct{ text, want string }{
	{"", "cannot read “” as a mass per length: no / or per stands between a mass and a length; write it like 4.5 g/m, 220 m/kg or 5000 tex"},
	{"5", "cannot read “5” as a mass per length: no / or per stands between a mass and a length; write it like 4.5 g/m, 220 m/kg or 5000 tex"},
	{"g/m", "cannot read “g/m” as a mass per length: “g” does not start with a number; write it like 4.5 g/m, 220 m/kg or 5000 tex"},
	{"3 m/m", "cannot read “3 m/m” as a mass per length: “m” is a unit of length, not of mass; write it like 4.5 g/m, 220 m/kg or 5000 tex"},
	{"3 g/g", "cannot read “3 g/g” as a mass per length: “g” is a unit of mass, not of length; write it like 4.5 g/m, 220 m/kg or 5000 tex"},
	{"0 g/m", "cannot read “0 g/m” as a mass per length: mass and length must both be more than zero; write it like 4.5 g/m, 220 m/kg or 5000 tex"},
	{"5 g/0 m", "cannot read “5 g/0 m” as a mass per length: mass and length must both be more than zero; write it like 4.5 g/m, 220 m/kg or 5000 tex"},
	{"0 tex", "cannot read “0 tex” as a mass per length: a cord weighs more than nothing; write it like 4.5 g/m, 220 m/kg or 5000 tex"},
	{"Ne 0", "cannot read “Ne 0” as a mass per length: no / or per stands between a mass and a length; write it like 4.5 g/m, 220 m/kg or 5000 tex"},
	{"9000000 kg/mm", "cannot read “9000000 kg/mm” as a mass per length: no cord is that heavy or that light; write it like 4.5 g/m, 220 m/kg or 5000 tex"},
}

func TestParseDensity(t *testing.T) {
	for _, c := range acceptedDensities {
		got, err := ParseDensity(c.text)
		require.NoError(t, err, c.text)
		require.Equal(t, c.want, got, c.text)
	}
	for _, c := range refusedDensities {
		_, err := ParseDensity(c.text)
		require.EqualError(t, err, c.want)
	}
}

func TestMassOfAndLengthOf(t *testing.T) {
	d, err := DensityOf(500*Gram, 100*Metre)
	require.NoError(t, err)
	require.Equal(t, 60*Gram, d.MassOf(12*Metre))
	require.Equal(t, 12*Metre, d.LengthOf(60*Gram))
	require.Zero(t, Density(0).LengthOf(Gram))
	require.Zero(t, Density(0).MetresPerKilogram())
	require.Equal(t, Mass(math.MaxInt64), Density(math.MaxInt64).MassOf(math.MaxInt64))
	require.Equal(t, Length(math.MaxInt64), Density(1).LengthOf(math.MaxInt64))
	rapid.Check(t, func(t *rapid.T) {
		d := Density(rapid.Int64Range(int64(10*Tex), int64(100_000*Tex)).Draw(t, "density"))
		m := Mass(rapid.Int64Range(1, int64(100*Kilogram)).Draw(t, "mass"))
		l := d.LengthOf(m)
		require.LessOrEqual(t, d.MassOf(l), m, "a spool never holds more than it weighs")
		require.InDelta(t, float64(m), float64(d.MassOf(l)), float64(d)/1e9+2)
	})
}

func TestDensityString(t *testing.T) {
	require.Equal(t, "4166.666667 tex", Density(4_166_666_667).String())
}

func FuzzParseDensity(f *testing.F) {
	for _, c := range acceptedDensities {
		f.Add(c.text)
	}
	for _, c := range refusedDensities {
		f.Add(c.text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		d, err := ParseDensity(text)
		if err != nil {
			var input *InputError
			require.ErrorAs(t, err, &input)
			return
		}
		require.Positive(t, d)
	})
}
