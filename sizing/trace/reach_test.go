package trace_test

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// A knot does not reach across open space: its ends come together no flatter than at 45
// degrees (common practice, no source), for which they need bare cord above it. Ends
// that stand within fourteen working diameters are drawn together by the knot itself.
func TestKnotsDoNotReachAcrossOpenSpace(t *testing.T) {
	for _, test := range []struct {
		rod, step string
		refused   bool
	}{
		{"80 cm", "row square", false},
		{"3 m", "row square", true},
		{"3 m", "space 6 cm\n  row square", false},
		{"3 m", "space 3 cm\n  row square", true},
		{"3 m", "sinnet half times 3 on 1-4", true},
		{"3 m", "wrap turns 5", false}, // it comes down until its ends meet
		{"3 m", "bar left to right", false},
	} {
		text := fmt.Sprintf("cord main 4 mm\ndowel %s x 20 mm\nhang spread\npanel a\n  mount 12 folded\n  %s\n", test.rod, test.step)
		s, faults := sheet.Parse(text, knot.Standard())
		require.NoError(t, faults.Err())
		_, found, err := trace.Trace(context.Background(), s, trace.Maker{Book: knot.Standard()})
		require.NoError(t, err)
		if !test.refused {
			require.Empty(t, found, text)
			continue
		}
		require.Len(t, found, 1, text)
		require.Contains(t, found[0].Text, "across open space")
		require.Contains(t, found[0].Text, "leave a space of")
	}
}
