package say_test

import (
	"context"
	"fmt"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture/drawn"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing"
)

// What waits to be drawn holds its knots as long as they are drawn one by one, and of a
// larger piece no more than its outline.
func TestAPictureThatWaitsHoldsLittle(t *testing.T) {
	const ends, least = 80, 4
	const perRow = ends/least - 1 // in every second row, and one more in the others
	waiting := func(rows int) (p reply.Picture, knots int, held int64) {
		text := fmt.Sprintf("cord main 4 mm\npanel a\n  mount %d folded\n  net square rows %d\n", ends/2, rows)
		var before, after runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&before)
		sized, err := sizing.Size(context.Background(), text, sizing.Maker{})
		require.NoError(t, err)
		p, ok := say.Piece(sized, sitting.Prefs{}).(reply.Picture)
		require.True(t, ok)
		knots = len(sized.Placed)
		runtime.GC()
		runtime.ReadMemStats(&after)
		return p, knots, int64(after.HeapAlloc) - int64(before.HeapAlloc)
	}
	small, knots, _ := waiting(drawn.MostKnots / (perRow + 1))
	require.LessOrEqual(t, knots, drawn.MostKnots)
	require.Greater(t, small.Size, 100*knots)
	large, knots, held := waiting(10 * drawn.MostKnots / perRow)
	require.Greater(t, knots, 9*drawn.MostKnots)
	require.Less(t, large.Size, small.Size)
	require.Less(t, held, int64(2<<20), "bytes for %d knots", knots)
	image, err := large.Draw()
	require.NoError(t, err)
	require.Contains(t, image.Alt, "outline")
}
