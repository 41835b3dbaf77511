package length

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// What is printed of a sum adds up, and each part is within one step of what it is.
func TestPrintedSumsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		for _, style := range []Style{{}, {System: Imperial, Denominator: rapid.SampledFrom([]int{1, 4, 8, 16}).Draw(t, "parts")}} {
			step := Millimetre
			if style.System == Imperial {
				step = Inch / Length(style.Denominator)
			}
			sum, printed := Sum{Style: style}, Length(0)
			for _, l := range rapid.SliceOfN(rapid.Map(rapid.Int64Range(0, int64(3*Metre)), func(n int64) Length { return Length(n) }), 1, 8).Draw(t, "amounts") {
				said, err := Parse(sum.Add(l), 0)
				require.NoError(t, err)
				require.LessOrEqual(t, (said - l).abs(), step)
				printed += said
			}
			total, err := Parse(sum.Total(), 0)
			require.NoError(t, err)
			require.Equal(t, total, printed)
			require.GreaterOrEqual(t, total, sum.at, "a need is never rounded down")
			cut := (sum.at + Length(rapid.Int64Range(int64(step), int64(Metre)).Draw(t, "spare"))).RoundUp(5 * Centimetre)
			missing, err := Parse(sum.Missing(cut, 1), 0)
			require.NoError(t, err)
			shown, err := Parse(style.Cut(cut), 0)
			require.NoError(t, err)
			require.Equal(t, shown, total+missing)
		}
	})
}

func TestSumInBothSystems(t *testing.T) {
	sum := Sum{Style: Style{System: Both}}
	require.Equal(t, "50.8 cm (1 ft 8 in)", sum.Add(20*Inch))
}
