package sizing_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing"
)

// TestWeightForetellsTheKnots: what a sheet is weighed as before it is traced is the
// number of knots that the trace then finds, a few times more or less.
func TestWeightForetellsTheKnots(t *testing.T) {
	for name, text := range map[string]string{
		"a net":            "piece A\ncord main 4 mm\npanel a\n  mount 40 folded\n  net square rows 24\n  tail 20 cm\n",
		"a net of a depth": "piece B\ncord main 4 mm\npanel a\n  mount 40 folded\n  net square for 60 cm\n  tail 20 cm\n",
		"a large one":      "piece C\ncord main 2 mm\npanel a\n  mount 500 folded\n  net square rows 150\n  tail 20 cm\n",
		"sinnets":          "piece D\ncord main 4 mm\npanel a\n  mount 2 folded\n  sinnet square times 30\n  tail 20 cm\npanel b\n  mount 4 folded\n  sinnet half for 40 cm\n  tail 20 cm\n",
		"bars":             "piece F\ncord main 4 mm\npanel a\n  mount 40 folded\n  bar left to right times 30\n  bar right to middle times 9\n  gather left to middle\n  tail 20 cm\n",
		"joined":           "piece E\ncord main 4 mm\npanel a\n  mount 8 folded\n  net square rows 10\npanel b\n  mount 8 folded\n  net square rows 10\npanel c from a, b\n  net square rows 20\n  tail 20 cm\n",
	} {
		t.Run(name, func(t *testing.T) {
			sized, err := sizing.Size(t.Context(), text, sizing.Maker{})
			require.NoError(t, err)
			weight, knots := sized.Sheet.Weight(), len(sized.Placed)
			require.LessOrEqual(t, weight, 3*knots)
			require.GreaterOrEqual(t, 3*weight, knots)
		})
	}
}
