package trace_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/trace"
)

// Ends come together in one bundle no flatter than at 45 degrees (common practice, no
// source), by way of where each lies in it.
func TestEndsComeTogether(t *testing.T) {
	// Two ends 6 mm apart lie side by side in a wrap: each moves 1.5 mm (Pythagoras).
	two := panelOf(t, "  mount 1 folded\n  wrap turns 5\n")
	for i, x := range []float64{4.5, 7.5} {
		require.InDelta(t, x, at(two.Ends[i].X), 1e-3)
		require.InDelta(t, math.Hypot(1.5, knob)+5*d, at(two.Ends[i].Run), 1e-3)
	}
	// One end of a square knot, 4.5 mm beside its column, comes back to it: 4.5 mm down.
	one := panelOf(t, "  mount 2 folded\n  row square\n  bead 15 mm on 1\n")
	require.InDelta(t, math.Hypot(4.5, knob)+math.Hypot(4.5, 4.5)+15, at(one.Ends[0].Run), 1e-3)
	require.InDelta(t, knob+tall+4.5, at(one.Beads[0].Y), 1e-3)
	// Four strands of 3 mm pass through 6 mm of ends and lie beside them.
	four := panelOf(t, "  mount 2 folded\n  tassel 10 cm with 12 strands on middle 2\n")
	require.InDelta(t, math.Hypot(1.5, knob)+6, at(four.Ends[1].Run), 1e-3, "past the strands, which are folded over a tie of 6 mm")
}

// A bead is as wide as it is long, or half as wide again as what goes through; a panel
// is as wide as its beads.
func TestBeadsHaveTheirPlace(t *testing.T) {
	r := panelOf(t, "  mount 2 folded\n  bead 5 mm\n")
	b := r.Beads[0]
	require.Equal(t, []int32{0, 1, 2, 3}, b.Ends)
	require.Equal(t, []int32{1, 2, 3, 4}, b.Places)
	// Four circles lie in one of 1 + the root of 2 times theirs (E. Specht's compilation).
	require.InDelta(t, 1.5*4*(1+math.Sqrt2), at(b.Wide), 1e-3)
	wide := panelOf(t, "  mount 1 folded\n  bead 40 mm\n")
	require.Equal(t, 40*mm, wide.Beads[0].Wide)
	require.InDelta(t, 6-20, at(wide.Panels[0].Left), 1e-3)
	require.InDelta(t, 6+20, at(wide.Panels[0].Right), 1e-3)
	require.InDelta(t, knob+40, at(wide.Panels[0].Worked), 1e-3)
}

// A strand of a tassel is twice its length, the fold and 5 mm of trim at both ends; the
// wrap covers a tenth of the tassel (common practice, no source).
func TestATasselByHand(t *testing.T) {
	r := panelOf(t, "  mount 2 folded\n  tassel 10 cm with 12 strands on middle 2\n")
	strands, wrap := r.Extras[0], r.Extras[1]
	require.Equal(t, trace.Parts{Mount: strands.Need.Mount, Run: 20 * cm, Tail: cm}, strands.Need)
	require.InDelta(t, 12, at(strands.X), 1e-3)
	require.InDelta(t, knob, at(strands.Y), 1e-3)
	require.Equal(t, []any{10 * cm, "a tassel of 12 strands, 10 cm long"}, []any{strands.Height, strands.About})
	require.Equal(t, "3 turns round a tassel of 12 strands", wrap.About)
	require.Equal(t, 10*cm, wrap.Need.Tail, "both tails of the wrap")
	gathering, _ := knot.Standard().Knot("gathering wrap")
	size, err := gathering.Size(knot.Gauge{Diameter: 3 * mm, Core: 3 * mm, Ends: 24 + 1})
	require.NoError(t, err)
	require.Equal(t, 3*gathering.Take(size, "turn"), wrap.Need.TakeUp)
	require.Equal(t, cord.BundleDiameter(24, 3*mm, 0), strands.Width)
	alone := panelOf(t, "  mount 1 folded\n  tassel 10 cm with 12 strands\n")
	require.InDelta(t, at(strands.Width), at(alone.Panels[0].Width), 1e-3, "the panel is as wide as its tassel")
}

// The pairs of a leaf touch one another along the spine.
func TestALeafByHand(t *testing.T) {
	r := panelOf(t, "  mount 2 folded\n  leaf 5 from 8 cm to 4 cm on middle 2\n  tail 20 cm\n")
	lark, _ := knot.Standard().Knot("fringe lark's head")
	size, err := lark.Size(knot.Gauge{Diameter: 3 * mm, Rod: cord.BundleDiameter(2, 3*mm, 0), Ends: 2})
	require.NoError(t, err)
	for i, x := range r.Extras {
		reach := length.Length(80-10*i) * mm
		require.Equal(t, trace.Parts{Mount: 2 * size.Takes[0], Run: 2 * reach, Tail: cm}, x.Need)
		require.Equal(t, 2*reach, x.Width)
		require.Equal(t, size.Width, x.Height)
		require.InDelta(t, knob+float64(i)*at(size.Width), at(x.Y), 1e-3)
		require.Equal(t, "pairs along 2 ends, from 8 cm to 4 cm", x.About)
	}
	require.InDelta(t, knob+5*at(size.Width)+200, at(r.Panels[0].Drop), 1e-3)
	require.Equal(t, 160*mm, r.Panels[0].Width)
}
