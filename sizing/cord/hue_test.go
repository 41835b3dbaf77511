package cord_test

import (
	"maps"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/cord"
)

// Every colour that has a name stands in one group, once; a group fits a menu of 25.
// The corners of the circle are those of CSS Color Module Level 3, section 4.2.4: red
// at 0 degrees, yellow at 60, lime at 120, aqua at 180, blue at 240, fuchsia at 300.
func TestHues(t *testing.T) {
	t.Parallel()
	group := map[cord.Colour]string{}
	for _, h := range cord.Hues() {
		require.NotEmpty(t, h.Colours, h.Name)
		require.LessOrEqual(t, len(h.Colours), 25, h.Name)
		for _, c := range h.Colours {
			require.NotContains(t, group, c)
			group[c] = h.Name
		}
	}
	for c, want := range map[cord.Colour]string{
		"red": "red", "yellow": "yellow", "lime": "green", "aqua": "turquoise", "blue": "blue", "fuchsia": "purple, pink",
		"black": "black, grey, white", "white": "black, grey, white", "gray": "black, grey, white", "saddlebrown": "brown, orange", "pink": "red",
	} {
		require.Equal(t, want, group[c], c)
	}
	for _, name := range cord.ColourNames() {
		rgb, _ := cord.Colour(name).RGBA()
		require.True(t, slices.ContainsFunc(slices.Collect(maps.Keys(group)), func(c cord.Colour) bool { got, _ := c.RGBA(); return got == rgb }), name)
	}
	require.Equal(t, cord.Colour("black"), cord.Hues()[0].Colours[0], "the darkest first")
}
