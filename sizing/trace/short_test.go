package trace_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

func shortOf(t *testing.T, text string) trace.Result {
	t.Helper()
	s, faults := sheet.Parse(text, knot.Standard())
	require.Empty(t, faults.Shown)
	r, found, err := trace.Trace(context.Background(), s, trace.Maker{Book: knot.Standard()})
	require.NoError(t, err)
	require.Empty(t, found)
	return r
}

const shortSheet = "cord main 4 mm\npanel p\n  mount 4 folded\n  sinnet square times 20 on left 4\n  bar left to right level\n  tail 30 cm\n"

// By hand: an end of a sinnet that has its mount, its way and so many knots left in the
// hand runs out at the next.
func TestRunsOutAtTheKnotThatItCannotTie(t *testing.T) {
	r := shortOf(t, shortSheet)
	const tying = 12 * length.Centimetre
	worker := r.Ends[0]
	require.Equal(t, 20, worker.Uses[0].Times)
	each := worker.Uses[0].Takes / 20
	suffices := worker.Total() - worker.Tail + tying
	_, short := r.RunsOut(0, suffices, tying)
	require.False(t, short)
	last, short := r.RunsOut(0, suffices-1, tying)
	require.True(t, short)
	require.Equal(t, "double half hitch", r.Placed[last.Placed].Knot.Name, "the bar at the end")
	for left := 1; left < 20; left++ { // room for so many knots and a half, and what is straight
		long := worker.Mount + worker.Run + each*length.Length(left) + each/2 + tying
		out, short := r.RunsOut(0, long, tying)
		require.True(t, short)
		k := r.Placed[out.Placed]
		require.Equal(t, "square knot", k.Knot.Name)
		require.True(t, out.Works)
		require.InDelta(t, left, k.Round, 2, "of %d knots", left)
		require.Equal(t, worker.Total(), out.Used+out.Rest)
	}
	out, short := r.RunsOut(0, worker.Mount+tying-1, tying)
	require.True(t, short)
	require.Equal(t, -1, out.Placed, "its mount")
	out, short = r.RunsOut(1, r.Ends[1].Mount+tying+3*length.Centimetre, tying)
	require.True(t, short)
	require.False(t, out.Works, "a filler")
}

// Straight runs are spread over the way from the middle of the mount to the knots; a
// cord that is just long enough for a knot ties it.
func TestRunsAreSpreadOverTheWay(t *testing.T) {
	r := traced(t, head+"panel p\n  mount 2 folded\n  row square\n  space 50 cm\n  row square\n  tail 30 cm\n")
	const tying = 12 * length.Centimetre
	worker := r.Ends[0]
	out, short := r.RunsOut(0, worker.Total()-worker.Tail+tying-1, tying)
	require.True(t, short)
	require.Equal(t, 1, out.Placed)
	// A mount is 12 mm wide: its knot lies 6 mm aside and 13 mm down, the next below it.
	first, next := math.Hypot(6, knob), tall+500
	each := at(worker.Uses[0].Takes) / 2
	require.InDelta(t, at(worker.Mount)+each+at(worker.Run)*first/(first+next), at(out.Used), 1e-3)
	for by, runsOutAt := range map[length.Length]int{0: 1, -1: 0} {
		out, _ := r.RunsOut(0, out.Used+tying+by, tying)
		require.Equal(t, runsOutAt, out.Placed)
	}
}

// The shorter an end is, the sooner it runs out, and never after its last knot.
func TestShorterRunsOutSooner(t *testing.T) {
	r := shortOf(t, shortSheet)
	for end := range r.Ends {
		last := len(r.Placed)
		for long := r.Ends[end].Total(); long > 0; long -= length.Centimetre {
			out, short := r.RunsOut(end, long, 12*length.Centimetre)
			if !short {
				require.Equal(t, len(r.Placed), last)
				continue
			}
			require.LessOrEqual(t, out.Placed, last)
			last = out.Placed
		}
		require.Equal(t, -1, last)
	}
}
