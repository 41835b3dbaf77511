package trace_test

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// found are the faults of a panel with these steps.
func found(t *testing.T, steps string) []sheet.Fault {
	t.Helper()
	s, faults := sheet.Parse(head+"panel p\n"+steps, knot.Standard())
	require.NoError(t, faults.Err())
	_, found, err := trace.Trace(context.Background(), s, trace.Maker{Book: knot.Standard()})
	require.NoError(t, err)
	return found
}

func TestTheLastEndIsThereAndTheNextIsNot(t *testing.T) {
	const mount = "  mount 6 folded\n"
	for _, good := range []string{"row square on 9-12", "row square on 1-4", "bar 12 to 11", "bar 1 to 12", "row square on left 12", "row square on right 12", "row square on middle 12", "bar left to middle+6", "bar left to middle-4"} {
		require.Empty(t, found(t, mount+"  "+good+"\n"), good)
	}
	for _, bad := range []string{"row square on 10-13", "row square on 13-16", "bar 13 to 1", "bar 1 to 13", "row square on left 13", "row square on right 13", "row square on middle 14", "bar left to middle+7", "bar right to middle-7"} {
		require.Len(t, found(t, mount+"  "+bad+"\n"), 1, bad)
	}
}

// The middle of two ends is the left one for a carrier that begins there.
func TestTheMiddleOfTwoEnds(t *testing.T) {
	require.Empty(t, found(t, "  mount 1 folded\n  bar middle to right\n"))
	require.Len(t, found(t, "  mount 1 folded\n  bar left to middle\n"), 1, "it goes nowhere")
	require.Empty(t, found(t, "  mount 1 folded\n  bar right to middle-1\n"), "from the right the middle is the right one")
}

func TestATailOfTwelveCentimetresCanBeTied(t *testing.T) {
	require.Equal(t, 12*cm, trace.TyingTail())
	for tail, short := range map[string]bool{"12 cm": false, "119 mm": true, "121 mm": false} {
		r := panelOf(t, "  mount 2 folded\n  row square\n  tail "+tail+"\n")
		require.Equal(t, short, len(r.Notes) == 1, "%s: %v", tail, r.Notes)
	}
	require.Empty(t, panelOf(t, "  mount 2 folded\n  tail 2 cm\n").Notes, "nothing is tied")
}

func TestCordsBearTheirColourAndSqueeze(t *testing.T) {
	r := traced(t, "cord teal 4 mm\ncord plum 4 mm colour #2f6f7a\ncord soft 4 mm squeeze 0.5\npanel p\n  mount 2 folded\n")
	require.Equal(t, []cord.Colour{"teal", "#2f6f7a", ""}, []cord.Colour{r.Cords[0].Colour, r.Cords[1].Colour, r.Cords[2].Colour})
	require.Equal(t, 2*mm, r.Cords[2].Diameter())
	s, faults := sheet.Parse("cord a 4 mm squeeze 0.5\ncord b 4 mm\npanel p\n  mount 2 folded\n", knot.Standard())
	require.NoError(t, faults.Err())
	hand := trace.Hand{Squeeze: 0.8}
	r, _, err := trace.Trace(context.Background(), s, trace.Maker{Book: knot.Standard(), Hands: map[string]trace.Hand{"a": hand, "b": hand}})
	require.NoError(t, err)
	require.Equal(t, "0.5 0.8", fmt.Sprint(r.Cords[0].Squeeze, r.Cords[1].Squeeze), "the sheet's own word comes first")
}
