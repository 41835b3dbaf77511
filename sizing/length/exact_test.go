package length

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestExactIsReadAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Length(rapid.Int64Range(1, int64(100*Metre)).Draw(t, "length"))
		switch rapid.IntRange(0, 2).Draw(t, "steps") {
		case 0:
			l = max(l/hundredth, 1) * hundredth
		case 1:
			l = max(l/sixtyfourth, 1) * sixtyfourth
			read, err := Parse(ExactImperial(l), 0)
			require.NoError(t, err)
			require.Equal(t, l, read, ExactImperial(l))
		}
		for _, text := range []string{Exact(l), ExactMetric(l), ExactMillimetres(l), SpoolLabel(l)} {
			read, err := Parse(text, 0)
			require.NoError(t, err)
			require.Equal(t, l, read, text)
		}
	})
	rapid.Check(t, func(t *rapid.T) {
		m := Mass(rapid.Int64Range(1, int64(100*Kilogram)).Draw(t, "mass"))
		if rapid.Bool().Draw(t, "of a pound") {
			m = max(m/Ounce, 1) * Ounce
		}
		read, err := ParseMass(MassLabel(m), 0)
		require.NoError(t, err)
		require.Equal(t, m, read, MassLabel(m))
	})
}

// The units that are chosen, on both sides of every step.
func TestExactInItsUnits(t *testing.T) {
	for _, c := range []struct {
		want string
		l    Length
	}{
		{"9.99 mm", Centimetre - hundredth}, {"1 cm", Centimetre}, {"99.999 cm", Metre - hundredth}, {"1 m", Metre},
		{"1/64 in", sixtyfourth}, {"15/16 in", Inch - 4*sixtyfourth}, {"25.4 mm", Inch}, {"1 1/64 in", Inch + sixtyfourth},
		{"11 63/64 in", Foot - sixtyfourth}, {"1 ft 1/64 in", Foot + sixtyfourth},
	} {
		got := Exact(c.l)
		if c.l == Inch {
			got = ExactMillimetres(c.l)
		}
		require.Equal(t, c.want, got)
	}
	require.Equal(t, "1 ft", ExactImperial(Foot))
	require.Equal(t, "50 yd", SpoolLabel(50*Yard))
	require.Equal(t, "100 ft", SpoolLabel(100*Foot))
	require.Equal(t, "100 m", SpoolLabel(100*Metre))
	require.Equal(t, "1 lb", MassLabel(Pound))
	require.Equal(t, "15 oz", MassLabel(Pound-Ounce))
	require.Equal(t, "1 kg", MassLabel(Kilogram))
	require.Equal(t, "999 g", MassLabel(Kilogram-Gram))
}
