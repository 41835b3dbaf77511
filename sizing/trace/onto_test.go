package trace_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// lowerTake is what a hitch over a rod takes of its end.
func lowerTake(t *testing.T, rod length.Length) length.Length {
	t.Helper()
	double, _ := knot.Standard().Knot("double half hitch")
	size, err := double.Size(knot.Gauge{Diameter: 3 * mm, Core: rod, Ends: 2})
	require.NoError(t, err)
	return size.Takes[0]
}

// Ends that stand far enough apart run straight down to the rod's axis, and on below
// the rod by its other half and the hitch.
func TestOntoADowelByHand(t *testing.T) {
	r := traced(t, head+"dowel foot 30 cm x 10 mm\npanel p\n  mount 2 folded\n  onto foot\n")
	for i, e := range r.Ends {
		require.InDelta(t, (knob+5)+5+d, at(e.Run), 1e-3)
		require.Equal(t, lowerTake(t, 10*mm), e.TakeUp)
		require.Equal(t, 1, e.Knots)
		require.InDelta(t, knob+10+d, at(e.Y), 1e-3)
		require.InDelta(t, 3+6*float64(i), at(e.X), 1e-3)
		require.InDelta(t, 3+6*float64(i), at(r.Placed[i].X), 1e-3)
		require.InDelta(t, knob, at(r.Placed[i].Y), 1e-3)
		require.InDelta(t, 10+d, at(r.Placed[i].Height), 1e-3)
		require.Equal(t, []int32{int32(i)}, r.Placed[i].Ends)
	}
	low := r.Lowers[0]
	require.InDelta(t, 12, at(low.X), 1e-3)
	require.InDelta(t, knob+5, at(low.Y), 1e-3)
	require.InDelta(t, 3*6+2.93*d, at(low.Width), 1e-3, "from the middle of the first hitch to that of the last, and half of both")
}

// From a knot, which gathers them to one diameter apart, ends run back into their
// columns on their way down to the rod; an edge end whose way there is three diameters
// leaves a loop: 4.5 mm aside and 7.8 mm down, of which 2 mm are half of a thin rod.
func TestOntoADowelBelowAKnot(t *testing.T) {
	below := func(space, foot string) trace.Result {
		return traced(t, head+"dowel foot 30 cm x "+foot+"\npanel p\n  mount 2 folded\n  row square\n  space "+space+"\n  onto foot\n")
	}
	r := below("50 mm", "10 mm")
	require.InDelta(t, knob+tall+50+5, at(r.Lowers[0].Y), 1e-3)
	for i, e := range r.Ends {
		aside := []float64{4.5, 1.5, 1.5, 4.5}[i]
		require.InDelta(t, math.Hypot(aside, knob)+math.Hypot(aside, 50+5)+5+d, at(e.Run), 1e-3)
	}
	for space, loops := range map[string]int{"5.7 mm": 0, "5.8 mm": 1} {
		p := below(space, "4 mm").Panels[0]
		require.Equal(t, []int{loops, loops}, []int{p.LeftLoops, p.RightLoops}, space)
	}
}

// Where they stand closer than two diameters of both their cords, they spread about the
// middle of their columns, and run aside for it.
func TestOntoADowelEndsSpread(t *testing.T) {
	r := traced(t, "cord a 4 mm braided squeeze 0.75\ncord b 2 mm braided squeeze 0.75\ndowel 30 cm x 20 mm\ndowel foot 30 cm x 10 mm\nhang touching\npanel p\n  mount 1 folded a, 1 folded b\n  onto foot\n")
	// Pushed together a cord takes three diameters: its ends stand 4.5 and 2.25 mm apart.
	was := []float64{2.25, 6.75, 9 + 1.125, 9 + 3.375}
	middle := (was[0] + was[3]) / 2
	stands := []float64{middle - 6.75, middle - 0.75, middle + 3.75, middle + 6.75} // 6, 4.5 and 3 mm apart
	for i, e := range r.Ends {
		require.InDelta(t, stands[i], at(e.X), 1e-3)
		require.InDelta(t, stands[i], at(r.Panels[0].Columns[i]), 1e-3)
		axis := at(r.Lowers[0].Y)
		thick := []float64{3, 3, 1.5, 1.5}[i]
		require.InDelta(t, math.Hypot(stands[i]-was[i], axis)+5+thick, at(e.Run), 1e-3)
	}
	require.InDelta(t, knob+5, at(r.Lowers[0].Y), 1e-3)
}

// From ring to ring ends run as far aside as the radii differ, no flatter than at 45
// degrees, and stand evenly over the lower one.
func TestOntoARingByHand(t *testing.T) {
	r := traced(t, firm+"ring 20 cm x 8 mm\nring low 30 cm x 8 mm\npanel shade round\n  mount 24 folded\n  onto low\n")
	aside := 292.0/2 - 24*12/(2*math.Pi)
	for i, e := range r.Ends {
		require.InDelta(t, math.Hypot(aside, aside+4)+4+d, at(e.Run), 1e-3)
		require.InDelta(t, 3+float64(i)*292*math.Pi/48, at(r.Panels[0].Columns[i]), 1e-3)
	}
	require.InDelta(t, aside+4, at(r.Lowers[0].Y), 1e-3)
	require.InDelta(t, 292*math.Pi, at(r.Panels[0].Width), 1e-3)
	require.InDelta(t, at(r.Panels[0].Columns[0]+r.Panels[0].Columns[47])/2, at(r.Lowers[0].X), 1e-3)
}

func TestOntoRefused(t *testing.T) {
	for _, c := range []struct{ rods, panel, says string }{
		{"dowel foot 24 mm x 10 mm\n", "panel p\n  mount 2 folded\n", ""},
		{"dowel foot 23.9 mm x 10 mm\n", "panel p\n  mount 2 folded\n", "4 ends hitched onto a dowel need 2.4 cm of it even when pushed together, and it has 2.4 cm"},
		{"ring foot 20 mm x 2 mm\n", "panel p round\n  mount 5 folded\n", "10 ends hitched onto a ring need 6 cm of it even when pushed together, and it has 5.7 cm"},
		{"ring foot 30 cm x 8 mm\n", "panel p\n  mount 2 folded\n", "panel p is flat and cannot be hitched onto a ring"},
		{"dowel foot 30 cm x 8 mm\n", "panel p round\n  mount 2 folded\n", "panel p is round and cannot be hitched onto a dowel"},
	} {
		s, faults := sheet.Parse(head+c.rods+c.panel+"  onto foot\n", knot.Standard())
		require.NoError(t, faults.Err())
		_, found := faultsOf(t, s, trace.Maker{})
		if c.says == "" {
			require.Empty(t, found)
			continue
		}
		require.Equal(t, []string{c.says}, found)
	}
	s, faults := sheet.Parse(head+"dowel foot 10 cm x 10 mm\npanel p\n  mount 2 folded\n  onto foot\n", knot.Standard())
	require.NoError(t, faults.Err())
	s.More[0].Length = 0
	_, found := faultsOf(t, s, trace.Maker{})
	require.Empty(t, found, "nobody knows how long the foot is")
}
