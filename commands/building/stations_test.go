package building

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing"
)

// Every step has a picture of its own, of what it does, and says how many knots are
// left: never more than before, and none when all is tied.
func TestEveryStepIsShown(t *testing.T) {
	t.Parallel()
	for _, demo := range demos() {
		sized, err := sizedDemo(demo.Value)
		require.NoError(t, err)
		last, pictures := len(sized.Placed), map[string]bool{}
		for _, s := range stations(sized, sitting.Prefs{}) {
			if !s.step {
				continue
			}
			left := leftAfter(sized, s.does)
			require.LessOrEqual(t, left, last, "%s: %s", demo.Value, s.text)
			last = left
			key := say.Step(sized, s.does, sitting.Prefs{}).Key
			require.NotEmpty(t, key)
			require.False(t, pictures[key], "%s: %s", demo.Value, s.text)
			pictures[key] = true
		}
		require.Zero(t, last, "%s: all is tied in the end", demo.Value)
	}
}

// sizedDemo is a demo design sized by the book.
func sizedDemo(name string) (sizing.Sized, error) {
	text, err := demoSheet(name)
	if err != nil {
		return sizing.Sized{}, err
	}
	return sizing.Size(context.Background(), text, sizing.Maker{})
}
