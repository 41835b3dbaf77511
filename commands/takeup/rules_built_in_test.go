package takeup

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/formula"
	"larkfold/sizing/length"
)

// The built-in rules are the ones that are passed on: four times single and eight
// times folded for usual work (common practice, no source), and double for fringe
// (Dillmont 1886).
func TestBuiltInRules(t *testing.T) {
	want := map[string]length.Length{"light": 3, "medium": 4, "dense": 5, FringeRule: 1}
	for _, r := range builtInRules() {
		leg, err := r.Leg(formula.Quantities{Finished: length.Metre})
		require.NoError(t, err)
		require.Equal(t, want[r.Name]*length.Metre, leg, r.Name)
		require.NotEmpty(t, r.Source)
		leg, err = r.Leg(formula.Quantities{Finished: length.Metre, Fringe: 40 * length.Centimetre})
		require.NoError(t, err)
		if r.Name != FringeRule {
			require.Equal(t, want[r.Name]*60*length.Centimetre+40*length.Centimetre, leg, "%s: a fringe counts once", r.Name)
		}
	}
}
