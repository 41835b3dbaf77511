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
