package picture_test

import (
	"cmp"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture"
)

const cradle = `piece Cradle
cord main 5 mm
ring 6 cm x 5 mm
ring foot 14 cm x 6 mm
panel cradle round
  mount 8 folded
  wrap turns 6
  sinnet half times 20
  space 14 cm
  row square shift 2
  space 8 cm
  onto foot
  row overhand of 4
  tail 20 cm
hanger rise 2 m
`

const shade = `piece Shade
cord main 3 mm
ring 20 cm x 5 mm
ring low 26 cm x 5 mm
hang spread
panel shade round
  mount 24 folded
  net square rows 6 apart 1 cm
  onto low
  tail 8 cm
`

// seen are the parts of the view of a ring, without those of the chart beside it.
func seen(d *picture.Drawing, kind picture.Kind) []picture.Part {
	var found []picture.Part
	for _, p := range parts(d, kind) {
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
	for _, text := range []string{cradle, shade, lantern} {
		sized, d := drawn(t, text)
		rims := seen(d, picture.ARod)
		require.Len(t, rims, 2*(1+len(sized.Lowers)))
		var backs, fronts []picture.Part
		for _, r := range rims {
			if r.Name == "back" {
				backs = append(backs, r)
			} else {
				fronts = append(fronts, r)
			}
		}
		lower := func(a, b picture.Part) int { return cmp.Compare(a.At.Y, b.At.Y) }
		slices.SortFunc(backs, lower)
		slices.SortFunc(fronts, lower)
		panel := sized.Panels[0]
		round := girth(sized)
		wide := round
		if len(sized.Lowers) > 0 {
			wide = float64(sized.Lowers[0].Width)
		}
		lastBack, firstFront := 0, len(d.Shapes)
		var back, front []picture.Part
		for _, k := range seen(d, picture.AKnot) {
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
	for _, text := range []string{cradle, shade, lantern} {
		_, d := drawn(t, text)
		marks := map[string][]picture.Part{}
		for _, m := range parts(d, picture.ASeam) {
			if m.Unrolled {
				marks[m.Name] = append(marks[m.Name], m)
			}
		}
		view := seen(d, picture.ASeam)
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
	for _, text := range []string{tideLine, cradle, lantern} {
		sized, d := drawn(t, text)
		found := 0
		for _, k := range seen(d, picture.AKnot) {
			if k.Name != "gathering wrap" {
				continue
			}
			found++
			bottom := k.Box.Bottom
			for _, e := range seen(d, picture.AnEnd) {
				p := path(d, e)
				for i := 1; i < len(p); i++ {
					a, b := p[i-1].P, p[i].P
					if a.Y < bottom-3 || a.Y > bottom+3 || a.X < k.Box.Left-1 || a.X > k.Box.Right+1 || a == b {
						continue
					}
					if slices.ContainsFunc(seen(d, picture.AKnot), func(o picture.Part) bool {
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
	_, d := drawn(t, cradle)
	hanger := seen(d, picture.AHanger)[0]
	ring, low := picture.Points(math.Inf(1)), hanger.Box.Bottom
	for _, r := range seen(d, picture.ARod) {
		if r.Name == "front" {
			ring = min(ring, r.At.Y)
		}
	}
	for _, e := range seen(d, picture.AnEnd) {
		low = max(low, e.Box.Bottom)
	}
	require.GreaterOrEqual(t, float64(low-ring), 2*float64(ring-hanger.At.Y))
}
