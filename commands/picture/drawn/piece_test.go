package drawn_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture/drawn"
	"larkfold/commands/picture/paint"
	"larkfold/commands/picture/picturetest"
	"larkfold/sizing"
	"larkfold/sizing/length"
	"larkfold/sizing/trace"
)

// laidOpen is a drawing without the view of a ring, if it has one beside its chart.
func laidOpen(d *paint.Drawing) *paint.Drawing {
	open := *d
	open.Parts = nil
	for _, p := range d.Parts {
		if p.Unrolled {
			open.Parts = append(open.Parts, p)
		}
	}
	if len(open.Parts) == 0 {
		return d
	}
	return &open
}

// girth is how far it is round what hangs, before any ring below.
func girth(sized sizing.Sized) float64 {
	round := 0.0
	for _, s := range sized.Strands {
		round += float64(s.Width)
	}
	return round
}

// leant turns a place of a panel about the middle of its mount, as the trace says.
func leant(p trace.Panel, x, y length.Length) (float64, float64) {
	sin, cos := math.Sincos(float64(p.Lean))
	u := float64(x - p.Pivot)
	return float64(p.Pivot) + u*cos + float64(y)*sin, float64(y)*cos - u*sin
}

func TestEveryKnotIsDrawnOnceInItsPlace(t *testing.T) {
	for name, sized := range picturetest.Demos(t) {
		t.Run(name, func(t *testing.T) {
			d := drawn.Piece(sized, length.Style{})
			require.False(t, d.Outline)
			d = laidOpen(d)
			// The mounts on the rod tell the scale and where the rod is.
			mounts := map[int]paint.Part{}
			for _, m := range picturetest.Parts(d, drawn.AMount) {
				mounts[m.Index] = m
			}
			require.Len(t, mounts, len(sized.Strands))
			last := 0
			for i, s := range sized.Strands {
				if !s.Added && s.X > sized.Strands[last].X {
					last = i
				}
			}
			a, b := mounts[0].At, mounts[last].At
			scale := float64(b.X-a.X) / float64(sized.Strands[last].X-sized.Strands[0].X)
			left := float64(a.X) - float64(sized.Strands[0].X)*scale

			times := map[int]int{}
			for _, k := range picturetest.Parts(d, drawn.AKnot) {
				times[k.Index]++
				p := sized.Placed[k.Index]
				require.Equal(t, p.Knot.Name, k.Name)
				x, y := leant(sized.Panels[p.Panel], p.X, p.Y)
				for _, l := range sized.Lowers { // a ring of another width stands in the middle
					if l.Rod.Ring && p.Y >= l.Y-l.Rod.Thickness {
						x += girth(sized)/2 - float64(l.Width)/2
					}
				}
				require.InDelta(t, left+x*scale, float64(k.At.X), 0.01)
				require.InDelta(t, float64(a.Y)+y*scale, float64(k.At.Y), 0.01)
				require.True(t, k.Box.Within(d.Page()), "knot %d leaves the page: %v", k.Index, k.Box)
				require.Greater(t, k.To, k.From, "knot %d has no shapes", k.Index)
			}
			require.Len(t, times, len(sized.Placed))
			for i, n := range times {
				require.Equal(t, 1, n, "knot %d", i)
			}
			require.Len(t, picturetest.Parts(d, drawn.AnEnd), len(sized.Ends))
		})
	}
}

func TestAltSaysWhatIsShown(t *testing.T) {
	sized := picturetest.Size(t, picturetest.TideLine)
	alt := drawn.Piece(sized, length.Style{}).Alt()
	first := fmt.Sprintf("A: 12 × %s, fold in the middle", length.Style{}.Cut(sized.List.Cuts[0].Length))
	for _, want := range []string{"Tide Line", "12 cords of main, 4 mm", "Panel wave", fmt.Sprintf("%d knots", len(sized.Placed)), "a net of square knots", "a bar of double half hitches falling to the right", "ends hanging free", first} {
		require.Contains(t, alt, want)
	}
	alt = drawn.Piece(picturetest.Size(t, picturetest.EveryKnot), length.Style{}).Alt()
	for _, want := range []string{"sinnets of square knots, sinnets of half knots, ends hanging free", "plaits 12 cm long, a gathering wrap", "falling to the right, a bar of double half hitches falling to the left", "3 cords in an arc below the rod"} {
		require.Contains(t, alt, want)
	}
	var many strings.Builder
	many.WriteString("piece Many\ncord main 4 mm\n")
	for i := range 45 {
		fmt.Fprintf(&many, "panel p%d\n  mount 2 folded\n  row square\n  tail 20 cm\n", i)
	}
	alt = drawn.Piece(picturetest.Size(t, many.String()), length.Style{}).Alt()
	require.LessOrEqual(t, utf8.RuneCountInString(alt), 1024)
	require.True(t, strings.HasSuffix(alt, "…"))
}

func TestTooLargeIsOutlinedWithANote(t *testing.T) {
	d := drawn.Piece(picturetest.NetOf(t, 400), length.Style{})
	require.True(t, d.Outline)
	require.Empty(t, picturetest.Parts(d, drawn.AKnot))
	require.Len(t, picturetest.Parts(d, drawn.APanel), 1)
	require.Contains(t, d.Alt(), "in outline")
	picturetest.RequireClear(t, d)
}
