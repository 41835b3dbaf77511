package length

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestStyleFormat(t *testing.T) {
	for _, c := range []struct {
		l                Length
		metric, imperial string
	}{
		{0, "0 cm", "0 in"},
		{4 * Millimetre, "4 mm", "1/8 in"},
		{4500 * Micrometre, "4.5 mm", "1/8 in"},
		{9960 * Micrometre, "1 cm", "3/8 in"},
		{12500 * Micrometre, "1.2 cm", "1/2 in"}, // a tie to even
		{55 * Centimetre, "55 cm", "1 ft 9 5/8 in"},
		{412 * Millimetre, "41.2 cm", "1 ft 4 1/4 in"},
		{99940 * 10 * Micrometre, "99.9 cm", "3 ft 3 3/8 in"},
		{99960 * 10 * Micrometre, "1.00 m", "3 ft 3 3/8 in"},
		{3200 * Millimetre, "3.20 m", "10 ft 6 in"},
		{4*Foot + 23*Inch/2, "1.51 m", "4 ft 11 1/2 in"},
		{Foot - Inch/16, "30.3 cm", "1 ft"}, // 15/16 is a tie between 7/8 and 8/8
		{Foot, "30.5 cm", "1 ft"},
		{Inch / 16, "1.6 mm", "1/16 in"}, // too short for eighths
		{Inch / 64, "0.4 mm", "1/64 in"},
		{Inch / 1000, "less than 0.1 mm", "less than 1/64 in"},
		{-2 * Centimetre, "-2 cm", "-3/4 in"},
		{-2 * Metre, "-2.00 m", "-6 ft 6 3/4 in"},
		{1234 * Metre, "1234.00 m", "4048 ft 6 5/8 in"},
	} {
		require.Equal(t, c.metric, Style{}.Format(c.l), "%d nm", c.l)
		require.Equal(t, c.imperial, Style{System: Imperial}.Format(c.l), "%d nm", c.l)
		require.Equal(t, c.metric+" ("+c.imperial+")", Style{System: Both}.Format(c.l))
	}
	require.Equal(t, "1.500 m", Style{Decimals: 3}.Format(1500*Millimetre))
	require.Equal(t, "4 ft 11 1/16 in", Style{System: Imperial, Denominator: 16}.Format(1500*Millimetre))
	require.Equal(t, "4 ft 11 in", Style{System: Imperial, Denominator: 7}.Format(1500*Millimetre), "unknown fractions count as eighths")
	require.NotPanics(t, func() {
		for _, l := range []Length{math.MinInt64, math.MaxInt64} {
			_, _, _ = Style{System: Both}.Format(l), Style{System: Both}.Cut(l), l.String()
		}
	})
}

func TestStyleThickness(t *testing.T) {
	both := Style{System: Both}
	require.Equal(t, "4 mm (about 5/32 in)", both.Thickness(4*Millimetre))
	require.Equal(t, "3.97 mm (5/32 in)", both.Thickness(5*Inch/32))
	require.Equal(t, "25 mm (about 1 in)", both.Thickness(25*Millimetre))
	require.Equal(t, "25.4 mm (1 in)", both.Thickness(Inch))
	require.Equal(t, "3.5 mm", Style{}.Thickness(3500*Micrometre))
	require.Equal(t, "about 9/64 in", Style{System: Imperial, Denominator: 64}.Thickness(3500*Micrometre))
}

// styles draws any style.
func styles(t *rapid.T) Style {
	return Style{
		System:      rapid.SampledFrom([]System{Metric, Imperial}).Draw(t, "system"),
		Denominator: rapid.SampledFrom([]int{0, 1, 2, 4, 8, 16, 32, 64}).Draw(t, "denominator"),
		Decimals:    rapid.IntRange(0, 6).Draw(t, "decimals"),
	}
}

func lengthsFrom(least Length) *rapid.Generator[Length] {
	return rapid.Custom(func(t *rapid.T) Length {
		most := rapid.SampledFrom([]Length{Centimetre, Metre, 100 * Metre, 1000 * Kilometre}).Draw(t, "most")
		return Length(rapid.Int64Range(int64(least), int64(most)).Draw(t, "length"))
	})
}

func TestWhatIsWrittenReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l, style := lengthsFrom(Millimetre).Draw(t, "l"), styles(t)
		text := style.Format(l)
		read, err := Parse(text, 0)
		require.NoError(t, err, text)
		require.Equal(t, text, style.Format(read))
		exact, err := Parse(l.String(), 0)
		require.NoError(t, err)
		require.Equal(t, l, exact, l.String())
	})
}

func TestCutIsNeverShorter(t *testing.T) {
	require.Equal(t, "1.55 m (5 ft 1 1/2 in)", Style{System: Both}.Cut(1550*Millimetre), "5 ft 1 in would be 0.6 mm short")
	require.Equal(t, "1.00 m", Style{}.Cut(Metre-Nanometre))
	rapid.Check(t, func(t *rapid.T) {
		l, style := lengthsFrom(1).Draw(t, "l"), styles(t)
		text := style.Cut(l)
		read, err := Parse(text, 0)
		require.NoError(t, err, text)
		require.GreaterOrEqual(t, read, l, text)
		require.Equal(t, text, style.Cut(read), "a rounded length stays")
	})
}
