package drawn_test

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture/drawn"
	"larkfold/commands/picture/paint"
	"larkfold/commands/picture/picturetest"
)

// seen are the parts of the view of a ring, without those of the chart beside it.
func seen(d *paint.Drawing, kind paint.Kind) []paint.Part {
	var found []paint.Part
	for _, p := range picturetest.Parts(d, kind) {
		if !p.Unrolled {
			found = append(found, p)
		}
	}
	return found
}

// A ring is seen a little from above: the back of its rim lies higher on the page
// and behind everything, its front lower and before the cords at the back; what hangs
// at the back is painted before what hangs at the front.
func TestARingHasAFrontAndABack(t *testing.T) {
	for _, text := range []string{picturetest.Cradle, picturetest.Shade, picturetest.Lantern} {
		sized, d := drawnOf(t, text)
		rims := seen(d, drawn.ARod)
		require.Len(t, rims, 2*(1+len(sized.Lowers)))
		var backs, fronts []paint.Part
		for _, r := range rims {
			if r.Name == "back" {
				backs = append(backs, r)
			} else {
				fronts = append(fronts, r)
			}
		}
		lower := func(a, b paint.Part) int { return cmp.Compare(a.At.Y, b.At.Y) }
		slices.SortFunc(backs, lower)
		slices.SortFunc(fronts, lower)
		panel := sized.Panels[0]
		round := girth(sized)
		wide := round
		if len(sized.Lowers) > 0 {
			wide = float64(sized.Lowers[0].Width)
		}
		lastBack, firstFront := 0, len(d.Shapes)
		var back, front []paint.Part
		for _, k := range seen(d, drawn.AKnot) {
			p := sized.Placed[k.Index]
			round := round
			if len(sized.Lowers) > 0 && p.Y+p.Height > sized.Lowers[0].Y {
				round = wide
			}
			if len(p.Ends) == len(panel.Ends) {
				continue // a wrap is round its axis
			}
			cos := -math.Cos(2 * math.Pi * float64(p.X-panel.Left) / round) // the seam is at the back
			switch {
			case cos < -0.3:
				back, lastBack = append(back, k), max(lastBack, k.To)
			case cos > 0.3:
				front, firstFront = append(front, k), min(firstFront, k.From)
			}
		}
		require.NotEmpty(t, back)
		require.NotEmpty(t, front)
		require.LessOrEqual(t, lastBack, firstFront)
		for i := range backs {
			require.Less(t, backs[i].At.Y, fronts[i].At.Y)
			require.Less(t, backs[i].To, back[0].From, "the rim's back is behind the knots at the back")
			require.Less(t, backs[i].To, firstFront)
			require.GreaterOrEqual(t, fronts[i].From, lastBack, "and its front before them")
		}
		for _, b := range back { // of one row, the front is lower on the page
			for _, f := range front {
				if sized.Placed[b.Index].Y == sized.Placed[f.Index].Y {
					require.Less(t, b.At.Y, f.At.Y)
				}
			}
		}
	}
}

func TestTheSeamOfARingHasMatchingMarks(t *testing.T) {
	for _, text := range []string{picturetest.Cradle, picturetest.Shade, picturetest.Lantern} {
		_, d := drawnOf(t, text)
		marks := map[string][]paint.Part{}
		for _, m := range picturetest.Parts(d, drawn.ASeam) {
			if m.Unrolled {
				marks[m.Name] = append(marks[m.Name], m)
			}
		}
		view := seen(d, drawn.ASeam)
		require.Len(t, view, 1, "where the ring is cut open")
		require.Len(t, marks[view[0].Name], 2)
		require.Greater(t, len(marks), 1)
		for name, pair := range marks {
			require.Len(t, pair, 2, name)
			require.InDelta(t, float64(pair[0].At.Y), float64(pair[1].At.Y), 0.3, name)
			require.NotEqual(t, pair[0].At.X, pair[1].At.X, name)
			require.Equal(t, pair[0].To-pair[0].From, pair[1].To-pair[1].From)
			for i := range pair[0].To - pair[0].From {
				a, b := d.Shapes[pair[0].From+i], d.Shapes[pair[1].From+i]
				require.Equal(t, a.Fill, b.Fill, name)
				require.Len(t, b.Path, len(a.Path), name)
			}
		}
	}
}

// Below a wrap the ends hang down in its bundle; none leaves it sideways.
func TestEndsLeaveAWrapDownwards(t *testing.T) {
	for _, text := range []string{picturetest.TideLine, picturetest.Cradle, picturetest.Lantern} {
		sized, d := drawnOf(t, text)
		found := 0
		for _, k := range seen(d, drawn.AKnot) {
			if k.Name != "gathering wrap" {
				continue
			}
			found++
			bottom := k.Box.Bottom
			for _, e := range seen(d, drawn.AnEnd) {
				p := path(d, e)
				for i := 1; i < len(p); i++ {
					a, b := p[i-1].P, p[i].P
					if a.Y < bottom-3 || a.Y > bottom+3 || a.X < k.Box.Left-1 || a.X > k.Box.Right+1 || a == b {
						continue
					}
					if slices.ContainsFunc(seen(d, drawn.AKnot), func(o paint.Part) bool {
						return o.Index != k.Index && o.Box.Left <= b.X && b.X <= o.Box.Right && o.Box.Top <= b.Y && b.Y <= o.Box.Bottom
					}) {
						continue // hidden by a knot of the bundle
					}
					require.Greater(t, b.Y, a.Y, "an end runs level out of the wrap: %v to %v", a, b)
					require.LessOrEqual(t, math.Abs(float64(b.X-a.X)), 1.05*float64(b.Y-a.Y)+0.5, "flatter than at 45 degrees: %v to %v", a, b)
				}
			}
		}
		require.Positive(t, found, sized.Sheet.Piece)
	}
}

// However high it hangs, a ring has its page too.
func TestTheHangerOfARingLeavesThePageToTheWork(t *testing.T) {
	_, d := drawnOf(t, picturetest.Cradle)
	hanger := seen(d, drawn.AHanger)[0]
	ring, low := paint.Points(math.Inf(1)), hanger.Box.Bottom
	for _, r := range seen(d, drawn.ARod) {
		if r.Name == "front" {
			ring = min(ring, r.At.Y)
		}
	}
	for _, e := range seen(d, drawn.AnEnd) {
		low = max(low, e.Box.Bottom)
	}
	require.GreaterOrEqual(t, float64(low-ring), 2*float64(ring-hanger.At.Y))
}
