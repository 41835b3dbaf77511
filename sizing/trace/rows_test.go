package trace_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
	"larkfold/sizing/swatch"
	"larkfold/sizing/trace"
)

// Part of a round panel is like a flat one: a shift leaves ends at its left, and what
// makes no whole group at its right.
func TestShiftOfAPart(t *testing.T) {
	for on, want := range map[string][][]int32{
		"1-10": {{3, 4, 5, 6}, {7, 8, 9, 10}},
		"1-9":  {{3, 4, 5, 6}},
	} {
		r := panelOfKind(t, "round", "  mount 6 folded\n  row square shift 2 on "+on+"\n")
		require.Len(t, r.Placed, len(want), on)
		for i, p := range r.Placed {
			require.Equal(t, want[i], p.Places, on)
		}
	}
}

func panelOfKind(t *testing.T, kind, steps string) trace.Result {
	t.Helper()
	return traced(t, head+"panel p "+kind+"\n"+steps)
}

// The two ends that tie a half knot have changed sides; a square knot is two of them.
func TestEndsThatCross(t *testing.T) {
	for steps, want := range map[string][]int{
		"  mount 2 folded\n  row half\n":             {3, 1, 2, 0},
		"  mount 2 folded\n  row half\n  row half\n": {0, 1, 2, 3},
		"  mount 2 folded\n  row square\n":           {0, 1, 2, 3},
	} {
		r := panelOf(t, steps)
		require.Equal(t, want, r.Panels[0].Ends, steps)
		for i, n := range r.Panels[0].Ends[1:] {
			require.Greater(t, r.Ends[n].X, r.Ends[r.Panels[0].Ends[i]].X, "they stand in their order")
		}
	}
}

// One end ties a knot in itself below where it stands.
func TestAKnotOfOneEnd(t *testing.T) {
	r := panelOf(t, "  mount 2 folded\n  row overhand of 1\n")
	for i, p := range r.Placed {
		require.InDelta(t, 3+6*float64(i), at(p.X), 1e-3)
	}
}

// Ends that stand more than fourteen working diameters apart need bare cord to come
// together at 45 degrees: half of what is between them. Eight columns of 6 mm are
// 21 mm for either, less the cords' own halves, and 13 mm are there.
func TestHowFarAKnotReaches(t *testing.T) {
	require.Empty(t, found(t, "  mount 12 folded\n  row square on 1-2, 9-10\n"), "42 mm apart")
	faults := found(t, "  mount 12 folded\n  row square on 1-2, 10-11\n")
	require.Len(t, faults, 1)
	require.Equal(t, "the square knot takes ends 2 and 10, which stand 4.8 cm apart with other ends between them and have no bare cord to come together: leave a space of 1 cm or more above it, or take ends side by side", faults[0].Text)
	require.Len(t, found(t, "  mount 12 folded\n  space 7.9 mm\n  row square on 1-2, 10-11\n"), 1)
	require.Empty(t, found(t, "  mount 12 folded\n  space 8 mm\n  row square on 1-2, 10-11\n"))
}

// In a mixed group the thickest of those that tie counts, and of what they tie over the
// thickest and the firmest.
func TestMixedGroups(t *testing.T) {
	const cords = "cord a 4 mm braided squeeze 0.75\ncord b 8 mm braided squeeze 0.75\ncord soft 4 mm single-strand squeeze 0.75\npanel p\n"
	square, _ := knot.Standard().Knot("square knot")
	overhand, _ := knot.Standard().Knot("overhand knot")
	single := cord.SingleStrand.Softness()
	for _, c := range []struct {
		steps string
		knot  *knot.Knot
		gauge knot.Gauge
	}{
		{"  mount 1 single a, 2 single b, 1 single a\n  row square\n", square, knot.Gauge{Diameter: 3 * mm, Core: 6 * mm, Ends: 4}},
		{"  mount 1 single b, 2 single a, 1 single b\n  row square\n", square, knot.Gauge{Diameter: 6 * mm, Core: 3 * mm, Ends: 4}},
		{"  mount 1 single a, 1 single b, 2 single a\n  row square\n", square, knot.Gauge{Diameter: 3 * mm, Core: 6 * mm, Ends: 4}},
		{"  mount 3 single a, 1 single b\n  row square\n", square, knot.Gauge{Diameter: 6 * mm, Core: 3 * mm, Ends: 4}},
		{"  mount 1 single a, 2 single soft, 1 single a\n  row square\n", square, knot.Gauge{Diameter: 3 * mm, Ends: 4, Soft: single}},
		{"  mount 1 single soft, 2 single a, 1 single soft\n  row square\n", square, knot.Gauge{Diameter: 3 * mm, Ends: 4}},
		{"  mount 1 single a, 1 single soft\n  row overhand of 2\n", overhand, knot.Gauge{Diameter: 3 * mm, Ends: 2}},
		{"  mount 2 single soft, 2 single b\n  row overhand of 2\n", overhand, knot.Gauge{Diameter: 3 * mm, Ends: 2, Soft: single}},
	} {
		r := traced(t, cords+c.steps)
		size, err := c.knot.Size(c.gauge)
		require.NoError(t, err)
		require.Equal(t, size.Takes[0], r.Ends[0].TakeUp, c.steps)
		require.Equal(t, size.Height, r.Placed[0].Height, c.steps)
	}
}

// A measured hand takes and stands as it was measured; the rod makes a mount as high as
// it is.
func TestAHandIsOneNumberForEach(t *testing.T) {
	s, faults := sheet.Parse(head+"panel p\n  mount 2 folded\n  row square\n", knot.Standard())
	require.NoError(t, faults.Err())
	square, _ := knot.Standard().Knot("square knot")
	plain, found := faultsOf(t, s, trace.Maker{})
	require.Empty(t, found)
	family := swatch.Hand{TakeUp: swatch.Factor{Mean: 1.1}, Height: swatch.Factor{Mean: 1.2}}
	r, found := faultsOf(t, s, trace.Maker{Hands: map[string]trace.Hand{"main": {Knots: swatch.Hands{square.Kin(): family, knot.Mounts: family}}}})
	require.Empty(t, found)
	require.InDelta(t, 1.1*at(plain.Ends[0].TakeUp), at(r.Ends[0].TakeUp), 1e-5, "a worker")
	require.InDelta(t, 1.2*at(plain.Ends[1].TakeUp), at(r.Ends[1].TakeUp), 1e-5, "a filler is as long as the knot is high")
	require.InDelta(t, 1.2*tall, at(r.Placed[0].Height), 1e-5)
	require.InDelta(t, 1.1*at(plain.Ends[0].Mount), at(r.Ends[0].Mount), 1e-5)
	require.InDelta(t, knob, at(r.Placed[0].Y), 1e-3)
}

// Who only measures gets the same numbers, and no places.
func TestBareIsTheSameWithoutPlaces(t *testing.T) {
	s, faults := sheet.Parse(head+"panel p\n  mount 8 folded\n  net square rows 6\n  bar left to right level\n  wrap turns 5\n  tail 20 cm\n", knot.Standard())
	require.NoError(t, faults.Err())
	full, _ := faultsOf(t, s, trace.Maker{})
	bare, _ := faultsOf(t, s, trace.Maker{Bare: true})
	require.NotEmpty(t, full.Placed)
	require.Empty(t, bare.Placed)
	require.Equal(t, full.Ends, bare.Ends)
	require.Equal(t, full.Panels, bare.Panels)
}

// A panel is as wide as its widest knot, where that is wider than what it hangs from.
func TestAPanelIsAsWideAsItsKnots(t *testing.T) {
	r := panelOf(t, "  mount 1 folded\n  wrap turns 5\n")
	wrap := r.Placed[0]
	require.Greater(t, wrap.Width, 9*mm, "two columns of 6 mm and the cords' own thickness")
	require.Equal(t, []any{wrap.X - wrap.Width/2, wrap.X + wrap.Width/2}, []any{r.Panels[0].Left, r.Panels[0].Right})
}

// The assumed rod is said where something hangs on it.
func TestTheAssumedRodIsSaid(t *testing.T) {
	require.Len(t, traced(t, firm+"panel p\n  mount 2 folded\n").Notes, 1)
	require.Empty(t, traced(t, firm+"panel p both ways\n  mount 2 laid\n").Notes)
	require.Empty(t, traced(t, head+"panel p\n  mount 2 folded\n").Notes)
}

// A plait of three draws its ends in beside each other, over the middle of their columns.
func TestAPlaitByHand(t *testing.T) {
	r := panelOf(t, "  mount 3 folded\n  plait for 24 cm on left 3\n  row overhand of 1 on left 3\n")
	for i, x := range []float64{9 - d, 9, 9 + d} {
		e := r.Ends[i]
		require.InDelta(t, math.Hypot(x-(3+6*float64(i)), knob)+math.Hypot(x-(3+6*float64(i)), 0), at(e.Run), 1e-3, "in to the plait, and back to its column for the knot below")
		require.Equal(t, 2, e.Knots)
		require.InDelta(t, knob+240, at(r.Placed[1+i].Y), 1e-3)
	}
	require.Equal(t, "plait of 6 for 24 cm", found(t, "  mount 4 folded\n  plait of 7 for 24 cm\n")[0].Right)
}

// Ends tied on beside an edge stand half a column's width from it; between two, both
// halves give way alike.
func TestWhereAddsStandByHand(t *testing.T) {
	for where, want := range map[string][]float64{
		// Two ends of a lark's head round a cord, 4 diameters wide as on a rod.
		"left":  {-9, -3, 3, 9, 15, 21},
		"right": {3, 9, 15, 21, 27, 33},
		"at 2":  {-3, 3, 9, 15, 21, 27},
	} {
		r := panelOf(t, "  mount 2 folded\n  add 1 folded "+where+"\n")
		for i, x := range want {
			require.InDelta(t, x, at(r.Panels[0].Columns[i]), 1e-3, where)
		}
		added := r.Strands[2]
		require.InDelta(t, at(r.Ends[4].X+r.Ends[5].X)/2, at(added.X), 1e-3, where)
		require.Equal(t, []int{5, 6}, []int{r.Ends[4].Number, r.Ends[5].Number})
		require.Equal(t, map[string]int{"left": 1, "right": 5, "at 2": 3}[where], added.Place)
	}
}

func TestWraps(t *testing.T) {
	r := panelOf(t, "  mount 2 folded\n  wrap for 29 mm\n")
	require.Len(t, r.Notes, 1)
	require.Equal(t, "p: 10 turns cover 3 cm", r.Notes[0].Text)
	require.Equal(t, 1, r.Ends[0].Knots)
	require.Empty(t, panelOf(t, "  mount 2 folded\n  wrap turns 10\n").Notes)
}

// Everything on the second side is where its twin on the first is, as in a mirror, and
// nothing else of the piece is doubled.
func TestBothWaysIsMirrored(t *testing.T) {
	r := traced(t, head+"panel wave\n  mount 2 folded\n  bead 15 mm\n  wrap turns 5\n  row square\n"+
		"panel strap both ways\n  mount 4 laid\n  row square\n  bead 15 mm of 2\n  bar left to middle\n  tassel 10 cm with 12 strands on left 2\n  tail 30 cm\n")
	drop, low := r.Panels[1].Drop, r.Panels[1].Worked
	var knots []trace.Placed
	for _, k := range r.Placed {
		if k.Panel == 1 {
			knots = append(knots, k)
		}
	}
	require.Len(t, knots, 2*(1+1))
	for i, k := range knots[:2] {
		twin := knots[2+i]
		require.Equal(t, drop-k.Y-k.Height, twin.Y)
		require.Equal(t, -k.Slope, twin.Slope)
		require.Equal(t, k.X, twin.X)
	}
	require.NotZero(t, knots[1].Slope, "a bar")
	require.Len(t, r.Beads, 1+2*2)
	for i, b := range r.Beads[1:3] {
		require.Equal(t, drop-b.Y-b.Long, r.Beads[3+i].Y)
	}
	require.Len(t, r.Extras, 1+2*2, "the wrap of the first panel, and the tassels with their wraps")
	tassel, twin := r.Extras[1], r.Extras[3]
	require.Equal(t, drop-tassel.Y-tassel.Height, twin.Y)
	require.Zero(t, r.Extras[2].Y, "a tassel's wrap has no place of its own")
	require.Zero(t, r.Extras[4].Y)
	require.Equal(t, drop/2+(tassel.Y+tassel.Height-drop/2), low, "down to the end of its tassel")
	for _, s := range r.Panels[1].Strands {
		ends := r.Strands[s].Ends
		require.Equal(t, drop/2, r.Strands[s].Y)
		require.Equal(t, drop, r.Ends[ends[0]].Y+r.Ends[ends[1]].Y)
		require.Equal(t, r.Ends[ends[0]].X, r.Ends[ends[1]].X)
		require.Equal(t, r.Ends[ends[0]].Uses, r.Ends[ends[1]].Uses)
	}
}

// An end that can just be hung with what hands need to tie runs out at its first knot,
// one that can just be tied at its last.
func TestRunsOutAtItsEdges(t *testing.T) {
	const tying = 12 * cm
	r := panelOf(t, "  mount 2 folded\n  sinnet square times 3\n  bar left to right level\n  tail 30 cm\n")
	for i, e := range r.Ends {
		out, short := r.RunsOut(i, e.Mount+tying, tying)
		require.True(t, short)
		require.Equal(t, 0, out.Placed)
		out, _ = r.RunsOut(i, e.Mount+tying-1, tying)
		require.Equal(t, -1, out.Placed)
		_, short = r.RunsOut(i, e.Total()-e.Tail+tying, tying)
		require.False(t, short)
		out, short = r.RunsOut(i, e.Total()-e.Tail+tying-1, tying)
		require.True(t, short)
		last := r.Placed[out.Placed]
		require.Equal(t, "double half hitch", last.Knot.Name)
		require.Contains(t, last.Ends, int32(i))
		require.Equal(t, i != 0, out.Works, "the first end carries, the others hitch")
	}
	foot := traced(t, head+"dowel foot 30 cm x 10 mm\npanel p\n  mount 2 folded\n  onto foot\n  tail 30 cm\n")
	out, short := foot.RunsOut(0, foot.Ends[0].Mount+tying, tying)
	require.True(t, short)
	require.True(t, out.Works, "it hitches over the rod")
}

func TestTracingStopsWithItsContext(t *testing.T) {
	s, faults := sheet.Parse(head+"panel p\n  mount 2 folded\n", knot.Standard())
	require.NoError(t, faults.Err())
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, _, err := trace.Trace(ctx, s, trace.Maker{Book: knot.Standard()})
	require.ErrorIs(t, err, context.Canceled)
}
