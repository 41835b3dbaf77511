package length

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// What is bought is enough for what is printed: in each system the total is the count
// times the printed cut, or at most the last place of metres more.
func TestPrintedTotalsCoverThePrintedCuts(t *testing.T) {
	type line struct {
		cut   Length
		count int
	}
	lines := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) line {
		cut := Length(rapid.Int64Range(1, int64(30*Metre)).Draw(t, "cut"))
		step := rapid.SampledFrom([]Length{Nanometre, Millimetre, Centimetre, 5 * Centimetre, Inch / 2, 2 * Inch}).Draw(t, "step")
		return line{cut.RoundUp(step), rapid.IntRange(1, 400).Draw(t, "count")}
	}), 1, 6)
	rapid.Check(t, func(t *rapid.T) {
		for _, system := range []System{Metric, Imperial} {
			style := Style{System: system, Denominator: rapid.SampledFrom([]int{0, 1, 2, 4, 8, 16, 32, 64}).Draw(t, "parts"), Decimals: rapid.IntRange(0, 4).Draw(t, "decimals")}
			inBoth := Style{System: Both, Denominator: style.Denominator, Decimals: style.Decimals}
			all, both, printed := Cuts{Style: style}, Cuts{Style: inBoth}, Length(0)
			for _, l := range lines.Draw(t, "cuts") {
				all.Add(l.cut, l.count)
				both.Add(l.cut, l.count)
				said, err := Parse(style.Cut(l.cut), 0)
				require.NoError(t, err)
				printed += said * Length(l.count)
			}
			total, err := Parse(all.Total(), 0)
			require.NoError(t, err)
			require.GreaterOrEqual(t, total, printed)
			last := Length(0)
			if system == Metric {
				last = metricStep(printed, style.Decimals) - 1
			}
			require.LessOrEqual(t, total-printed, last)
			require.Contains(t, both.Total(), all.Total(), "both say what each says alone")

			stock := max(total+Length(rapid.Int64Range(-int64(Metre), int64(10*Metre)).Draw(t, "spare")), Inch)
			left, err := Parse(all.Left(stock), 0)
			require.NoError(t, err)
			have, err := Parse(style.Format(stock), 0)
			require.NoError(t, err)
			require.LessOrEqual(t, left, max(have-printed, 0), "no more is left than the printed cuts leave")
		}
	})
}

// 36 x 14 ft 5 1/2 in is 520 ft 6 in, where 158.40 m alone is 519 ft 8 1/4 in.
func TestTotalsInBothSystems(t *testing.T) {
	all := Cuts{Style: Style{System: Both}}
	all.Add(440*Centimetre, 36)
	require.Equal(t, "158.40 m (520 ft 6 in)", all.Total())
	require.Equal(t, "1.60 m (4 ft 5 1/4 in)", all.Left(160*Metre), "160 m are 524 ft 11 1/4 in")
	require.Equal(t, "0 cm (0 in)", all.Left(15840*Centimetre), "in inches they take all of it")
	require.Equal(t, "0 cm (0 in)", Cuts{Style: Style{System: Both}}.Total())
}
