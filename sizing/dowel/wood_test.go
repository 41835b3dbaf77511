package dowel

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Wood Handbook, FPL-GTR-282 (2021), Table 5-3b: moduli in million lbf/in². The
// later inch table must agree with the metric one after rounding.
func TestWoodsAgreeWithInchTable(t *testing.T) {
	const megapascals = 6894.757 // per million lbf/in²
	for name, million := range map[string]float64{
		"northern red oak": 1.82, "sugar maple": 1.83, "black walnut": 1.68,
		"coast Douglas-fir": 1.95, "eastern white pine": 1.24,
	} {
		wood := mustWood(t, name)
		require.InDelta(t, million*megapascals, float64(wood.Stiffness), 0.005*megapascals+50, name)
	}
}

func TestWoodsTable(t *testing.T) {
	woods := Woods()
	require.Len(t, woods, 28)
	seen := map[string]bool{}
	for _, w := range woods {
		require.False(t, seen[woodKey(w.Name)], w.Name)
		seen[woodKey(w.Name)] = true
		require.NotEmpty(t, w.Source)
		require.Equal(t, w.Guess, w.Source != woodHandbook)
		require.True(t, w.Stiffness >= 7_700 && w.Stiffness <= 15_000, w.Name)
		require.True(t, w.Gravity >= 0.32 && w.Gravity <= 0.72, w.Name)
	}
	for alias, meant := range aliases() {
		require.True(t, seen[woodKey(meant)], "%s means %s", alias, meant)
		require.False(t, seen[woodKey(alias)], "%s hides a row", alias)
	}
	// The unknown branch is assumed no stiffer than any wood and no lighter.
	branch := mustWood(t, "branch")
	for _, w := range woods {
		require.LessOrEqual(t, branch.Stiffness, w.Stiffness)
		require.GreaterOrEqual(t, branch.Gravity, w.Gravity)
	}
}

// A name that several species share means the least stiff of them.
func TestSharedNamesAreConservative(t *testing.T) {
	for _, kind := range []string{"ash", "birch", "maple", "oak", "pine", "cedar"} {
		got := mustWood(t, kind)
		for _, w := range Woods() {
			if strings.HasSuffix(w.Name, kind) {
				require.LessOrEqual(t, got.Stiffness, w.Stiffness, "%s against %s", kind, w.Name)
			}
		}
	}
}

func TestFindWood(t *testing.T) {
	for read, want := range map[string]string{
		"yellow birch": "yellow birch", "Birch, Yellow": "yellow birch", " BIRCH ": "paper birch",
		"douglas-fir": "coast Douglas-fir", "Yellow Poplar": "yellow-poplar", "sitka spruce": "Sitka spruce",
		"bamboo stick": "bamboo", "birch wood": "paper birch", "birch rod": "paper birch", "sugar_maple": "sugar maple", "red\tmaple": "red maple", "oak dowel": "white oak", "": "branch", "unknown": "branch", "driftwood": "branch",
	} {
		got, err := FindWood(read)
		require.NoError(t, err, read)
		require.Equal(t, want, got.Name, read)
	}
	require.True(t, mustWood(t, "bamboo").Guess)
	require.True(t, mustWood(t, "driftwood").Guess)
	require.False(t, mustWood(t, "beech").Guess)

	_, err := FindWood("brich")
	require.ErrorContains(t, err, `wood "brich" is not in the table`)
	require.ErrorContains(t, err, "birch")
	var unknown UnknownWood
	require.ErrorAs(t, err, &unknown)
	require.Len(t, unknown.Names, len(Woods()))
	_, err = FindWood(strings.Repeat("é", 60))
	require.ErrorContains(t, err, `"`+strings.Repeat("é", 60)+`"`)
	_, err = FindWood(strings.Repeat("é", 61))
	require.ErrorContains(t, err, `"`+strings.Repeat("é", 60)+`…"`)
	_, err = FindWood(strings.Repeat("é", 10_000))
	require.Error(t, err)
	require.Less(t, len(err.Error()), 400)
	_, err = FindWood("mapel")
	require.ErrorContains(t, err, "maple")
}

func FuzzFindWood(f *testing.F) {
	for _, seed := range []string{"birch", "Birch, Yellow", "", "xyz", "\xff", "wood"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, name string) {
		wood, err := FindWood(name)
		if err == nil && wood.Stiffness <= 0 {
			t.Fatalf("%q found a wood with no stiffness", name)
		}
		if err != nil && err.Error() == "" {
			t.Fatal("silent error")
		}
	})
}
