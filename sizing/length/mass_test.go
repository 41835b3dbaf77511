package length

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var acceptedMasses = []struct {
	text string
	want Mass
}{
	{"900 g", 900 * Gram},
	{"900g", 900 * Gram},
	{"1,2 kg", 1200 * Gram},
	{"1 kg 200 g", 1200 * Gram},
	{"½ kg", 500 * Gram},
	{"2 lb 3 oz", 2*Pound + 3*Ounce},
	{"2 lbs and 3½ ounces", 1_006_408_070_938}, // ...937.5 ng, a tie to even
	{"1 1/2 pounds", 24 * Ounce},
	{"2.5 kilos", 2500 * Gram},
	{"250", 250 * Gram},
}

var refusedMasses = []struct{ text, want string }{
	{"half", "cannot read “half” as a mass: “half” does not start with a number; write it like 900 g or 2 lb 3 oz"},
	{"5 m", "cannot read “5 m” as a mass: “m” is a unit of length, not of mass; use g, kg, oz or lb"},
	{"2lb3", "cannot read “2lb3” as a mass: “3” has no unit; give every number its unit"},
	{"2 lb 16 oz", "cannot read “2 lb 16 oz” as a mass: “16 oz” is one lb or more; carry it over to the lb"},
	{"3 t", "cannot read “3 t” as a mass: “t” is not a unit of mass; use g, kg, oz or lb"},
	{"-1 g", "cannot read “-1 g” as a mass: a mass cannot be negative; leave the minus out"},
}

func TestParseMass(t *testing.T) {
	for _, c := range acceptedMasses {
		got, err := ParseMass(c.text, Gram)
		require.NoError(t, err, c.text)
		require.Equal(t, c.want, got, c.text)
	}
	for _, c := range refusedMasses {
		_, err := ParseMass(c.text, 0)
		require.EqualError(t, err, c.want)
	}
}

func TestStyleMass(t *testing.T) {
	for _, c := range []struct {
		m                Mass
		metric, imperial string
	}{
		{0, "0 g", "0 oz"},
		{4500 * Milligram, "4.5 g", "0.2 oz"},
		{90 * Gram, "90 g", "3.2 oz"},
		{900 * Gram, "900 g", "2 lb"},
		{999_600 * Milligram, "1.00 kg", "2 lb 3 oz"},
		{1200 * Gram, "1.20 kg", "2 lb 10 oz"},
		{Pound, "454 g", "1 lb"},
		{Pound - Milligram, "454 g", "1 lb"},
		{-90 * Gram, "-90 g", "-3.2 oz"},
	} {
		require.Equal(t, c.metric, Style{}.Mass(c.m), "%d ng", c.m)
		require.Equal(t, c.imperial, Style{System: Imperial}.Mass(c.m), "%d ng", c.m)
		require.Equal(t, c.metric+" ("+c.imperial+")", Style{System: Both}.Mass(c.m))
	}
}

func TestMassReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := Mass(rapid.Int64Range(0, int64(1000*Kilogram)).Draw(t, "mass"))
		got, err := ParseMass(m.String(), 0)
		require.NoError(t, err)
		require.Equal(t, m, got)
		style := Style{System: rapid.SampledFrom([]System{Metric, Imperial}).Draw(t, "system")}
		got, err = ParseMass(style.Mass(m), 0)
		require.NoError(t, err, style.Mass(m))
		require.Equal(t, style.Mass(m), style.Mass(got))
	})
}

func FuzzParseMass(f *testing.F) {
	for _, c := range acceptedMasses {
		f.Add(c.text)
	}
	for _, c := range refusedMasses {
		f.Add(c.text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		m, err := ParseMass(text, Gram)
		if err != nil {
			var input *InputError
			require.ErrorAs(t, err, &input)
			return
		}
		again, err := ParseMass(m.String(), 0)
		require.NoError(t, err)
		require.Equal(t, m, again)
	})
}

// What must bear a mass is never written below it, nor above what is exactly enough.
func TestStyleMassOrMore(t *testing.T) {
	for _, tt := range []struct {
		mass             Mass
		metric, imperial string
	}{
		{5 * Gram, "5 g", "0.2 oz"},
		{5*Gram + 1, "5.1 g", "0.2 oz"},
		{646 * Gram, "646 g", "1 lb 7 oz"}, // 22.79 oz
		{646*Gram + 1, "647 g", "1 lb 7 oz"},
		{1000 * Gram, "1.00 kg", "2 lb 4 oz"},
		{1000*Gram + 1, "1.01 kg", "2 lb 4 oz"}, // 35.27 oz
		{5 * Ounce, "142 g", "5 oz"},
		{5*Ounce + 1, "142 g", "5.1 oz"},
		{32 * Ounce, "908 g", "2 lb"},
		{32*Ounce + 1, "908 g", "2 lb 1 oz"},
		{Pound - 1, "454 g", "1 lb"},
	} {
		require.Equal(t, tt.metric, Style{}.MassOrMore(tt.mass), "%d ng", tt.mass)
		require.Equal(t, tt.imperial, Style{System: Imperial}.MassOrMore(tt.mass), "%d ng", tt.mass)
	}
}
