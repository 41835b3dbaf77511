package drawn_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture/drawn"
	"larkfold/commands/picture/paint"
	"larkfold/commands/picture/picturetest"
	"larkfold/sizing/length"
)

// requireAlike checks that the parts of some kinds lie to the left of an axis as they lie
// to its right; a knot, which is not its own mirror image, stands there.
func requireAlike(t *testing.T, parts []paint.Part, axis paint.Points, kinds ...paint.Kind) {
	t.Helper()
	for _, kind := range kinds {
		found := 0
		for _, p := range parts {
			if p.Kind != kind {
				continue
			}
			found++
			alike := false
			for _, o := range parts {
				near := func(a, b paint.Points) bool { return math.Abs(float64(a-b)) < 0.02 }
				alike = alike || o.Kind == kind && near(p.At.X+o.At.X, 2*axis) && near(p.At.Y, o.At.Y) && (kind == drawn.AKnot ||
					near(p.Box.Left+o.Box.Right, 2*axis) && near(p.Box.Right+o.Box.Left, 2*axis) &&
						near(p.Box.Top, o.Box.Top) && near(p.Box.Bottom, o.Box.Bottom))
			}
			require.True(t, alike, "%s %d, %v, has no like about %.2f", kind, p.Index, p.Box, axis)
		}
		require.Positive(t, found, kind)
	}
}

// What is alike on both sides is drawn alike on both sides.
func TestASheetAlikeOnBothSidesIsDrawnSo(t *testing.T) {
	const text = "piece S\ncord main 4 mm\ncord rust 3 mm\ndowel 60 cm x 20 mm\ndowel low 30 cm x 12 mm\npanel s\n  mount 12 folded main\n  space 4 cm\n  bead 16 mm hole 10 mm of 4\n  space 2 cm\n  row square\n  onto low\n  tassel 9 cm with 14 strands on middle 2\n  tail 20 cm\nswag 3 rust over 50 cm drop 12 cm\nhanger rise 8 cm\n"
	_, d := drawnOf(t, text)
	middle := picturetest.Parts(d, drawn.ARod)[0].At.X
	requireAlike(t, d.Parts, middle, drawn.ARod, drawn.AMount, drawn.AKnot, drawn.AHanger, drawn.ABead, drawn.AFringe)
	for _, s := range picturetest.Parts(d, drawn.ASwag) {
		p := path(d, s)
		require.InDelta(t, 2*float64(middle), float64(p[0].P.X+p[len(p)-1].P.X), 0.01)
	}
}

// So is a ring whose columns stand evenly round it.
func TestARingIsAlikeOnBothSides(t *testing.T) {
	for _, text := range []string{picturetest.Shade, picturetest.Cradle} {
		_, d := drawnOf(t, text)
		var view []paint.Part
		for _, p := range d.Parts {
			if !p.Unrolled {
				view = append(view, p)
			}
		}
		rims := seen(d, drawn.ARod)
		requireAlike(t, view, rims[0].At.X, drawn.ARod, drawn.AMount, drawn.AKnot, drawn.ASeam)
	}
}

// A chart has 600 points of height for hanger and work together.
func TestAChartIsAsHighAsItsPage(t *testing.T) {
	sized := picturetest.Size(t, "piece H\ncord main 4 mm\ndowel 20 cm x 20 mm\npanel h\n  mount 4 folded\n  net square rows 60\n  tail 20 cm\nhanger rise 10 cm\n")
	d := chartOf(sized, length.Style{})
	at, points := scaled(t, sized.Result, d)
	hanger := picturetest.Parts(d, drawn.AHanger)[0]
	require.InDelta(t, points(100*length.Millimetre), float64(at(0, 0).Y-hanger.At.Y), 0.01)
	low := 0.0
	for _, e := range picturetest.Parts(d, drawn.AnEnd) {
		low = max(low, float64(e.Box.Bottom))
	}
	require.InDelta(t, 600, low-float64(hanger.At.Y), 2)
}

// The arrow of a carrying end runs from where it comes in to where it ends up, as far as
// the hitches that it carries are wide together; its number stands before it.
func TestTheArrowRunsAlongItsBar(t *testing.T) {
	for _, way := range []string{"left to right", "right to left"} {
		sized := picturetest.Size(t, "piece B\ncord main 4 mm\ndowel 60 cm x 20 mm\npanel b\n  mount 8 folded\n  row square\n  space 3 cm\n  bar "+way+" level\n  tail 20 cm\n")
		d := drawn.Step(sized, spansOf(sized)[3], length.Style{})
		at, points := scaled(t, sized.Result, d)
		arrows := picturetest.Parts(d, drawn.ACarrier)
		require.Len(t, arrows, 1)
		hitches := picturetest.Parts(d, drawn.AKnot)
		require.Len(t, hitches, 15)
		first, last := sized.Placed[hitches[0].Index], sized.Placed[hitches[14].Index]
		side, number := 1.0, "1"
		if way == "right to left" {
			side, number = -1, "16"
		}
		require.Equal(t, number, arrows[0].Name)
		p := path(d, arrows[0])
		half := length.Length(side) * first.Width / 2
		require.InDelta(t, float64(at(first.X-half, 0).X), float64(p[0].P.X), 0.01)
		require.InDelta(t, float64(at(last.X+half, 0).X), float64(p[len(p)-1].P.X), 0.01)
		require.InDelta(t, float64(at(0, first.Y+first.Height/2).Y), float64(p[0].P.Y), 0.01)
		sum := length.Length(0)
		for _, k := range hitches {
			sum += sized.Placed[k.Index].Width
		}
		require.InDelta(t, points(sum), side*float64(p[len(p)-1].P.X-p[0].P.X), points(sum)/50)
		marks := picturetest.Parts(d, paint.ALabel)
		require.Len(t, marks, 1)
		require.Equal(t, number, marks[0].Name)
		require.InDelta(t, float64(p[0].P.Y), float64(marks[0].Box.Top+marks[0].Box.Bottom)/2, 0.01)
		require.InDelta(t, 12, side*float64(p[0].P.X-(marks[0].Box.Left+marks[0].Box.Right)/2), 0.01)
	}
}

// Where a step leaves the rod bare, it is measured from the last mount to the next.
func TestTheBareRodIsMeasured(t *testing.T) {
	sized := picturetest.Size(t, "piece G\ncord main 4 mm\ndowel 60 cm x 20 mm\npanel a\n  mount 6 folded\n  row square\n  tail 20 cm\npanel b\n  gap 7 cm\n  mount 6 folded\n  row square\n  tail 20 cm\n")
	measured := 0
	for _, of := range spansOf(sized) {
		d := drawn.Step(sized, of, length.Style{})
		for _, m := range picturetest.Parts(d, paint.ADimension) {
			measured++
			at, points := scaled(t, sized.Result, d)
			first := sized.Strands[sized.Panels[1].Strands[0]]
			p := path(d, m)
			require.InDelta(t, points(70*length.Millimetre), float64(p[1].P.X-p[0].P.X), 0.01)
			require.InDelta(t, float64(at(first.X-first.Width/2, 0).X), float64(p[1].P.X), 0.01)
			require.InDelta(t, float64(at(0, sized.Rod.Thickness/2).Y)+10, float64(p[0].P.Y), 0.01, "below the rod")
			require.Contains(t, picturetest.WordsOf(d), "7 cm")
		}
	}
	require.Equal(t, 1, measured)
}

// What a step adds is in its picture and, pale, in those after it, once and not before;
// its words say how much it is.
func TestWhatIsAddedStaysAdded(t *testing.T) {
	sized := picturetest.Size(t, "piece A\ncord main 4 mm\ndowel 40 cm x 20 mm\ndowel low 30 cm x 12 mm\npanel a\n  mount 6 folded\n  row square\n  bead 16 mm hole 10 mm of 4\n  row square\n  onto low\n  tassel 9 cm with 14 strands on middle 2\n  tail 12 cm\n")
	counts := map[paint.Kind][]int{drawn.AMount: {6, 6, 6, 6, 6, 6, 6}, drawn.ABead: {0, 0, 3, 3, 3, 3, 3}, drawn.ARod: {1, 1, 1, 1, 2, 2, 2}, drawn.AFringe: {0, 0, 0, 0, 0, 1, 1}}
	words := []string{"6 cords hung now", "3 square knots tied now", "12 ends in hand", "3 square knots tied now", "12 double half hitches tied now", "what is added now", "12 ends trimmed now"}
	spans := spansOf(sized)
	require.Len(t, spans, len(words))
	for n, of := range spans {
		d := drawn.Step(sized, of, length.Style{})
		for kind, want := range counts {
			require.Len(t, picturetest.Parts(d, kind), want[n], "step %d: %s", n+1, kind)
		}
		require.Contains(t, d.Alt(), words[n])
	}
}
