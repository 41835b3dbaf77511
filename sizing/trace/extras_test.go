package trace_test

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// A sinnet of ten square knots: its edges are 11.8 cm long, and its four columns of
// 6 mm make it 2.1 cm wide.
const sinnet = "  mount 2 folded\n  sinnet square times 10\n"

// Pieces by hand: every begun bit of the width has its pieces.
func TestFringePieces(t *testing.T) {
	for _, c := range []struct {
		rods, steps, fringe string
		pieces, panel       int
		about               string
	}{
		{"dowel 48 cm x 20 mm", sinnet, "by 2 each 1 cm on left of p", 2 * 12, 0, "11.8 cm of the left edge of p, 2 to each 1 cm"},
		{"dowel 48 cm x 20 mm", sinnet, "by 3 each 59 mm on right of p", 3 * 2, 0, "11.8 cm of the right edge of p, 3 to each 5.9 cm"},
		{"dowel 48 cm x 20 mm", sinnet, "by 3 each 58 mm on both of p", 2 * 3 * 3, 0, "11.8 cm of both edges of p, 3 to each 5.8 cm"},
		{"dowel 48 cm x 20 mm", sinnet, "by 2 each 1 m on both of p", 2 * 2, 0, "11.8 cm of both edges of p, 2 to each 1.00 m"},
		{"dowel 48 cm x 20 mm", sinnet, "by 2 each 1 cm on foot of p", 2 * 3, 0, "2.1 cm of the foot of p, 2 to each 1 cm"},
		{"dowel 48 cm x 20 mm\ndowel foot 40 cm x 10 mm", sinnet + "  onto foot\n", "by 2 each 1 cm on foot of p", 2 * 3, 0, "2.7 cm of the foot of p, 2 to each 1 cm"},
		// 3 cm stay bare at both ends of a dowel.
		{"dowel 61 mm x 20 mm", sinnet, "by 2 each 1 cm on rod", 2, -1, "1 mm of the rod, 2 to each 1 cm"},
		{"dowel 26 cm x 20 mm", sinnet, "by 2 each 1 cm on rod", 2 * 20, -1, "20 cm of the rod, 2 to each 1 cm"},
		{"dowel 26 cm x 20 mm\ndowel foot 10 cm x 10 mm", sinnet, "by 2 each 1 cm on foot", 2 * 4, -1, "4 cm of foot, 2 to each 1 cm"},
		// 19.5 cm from axis to axis, 61.26 cm round.
		{"ring 20 cm x 5 mm", sinnet, "by 2 each 1 cm on rod", 2 * 62, -1, "61.3 cm of the rod, 2 to each 1 cm"},
		// As many as anybody cuts.
		{"dowel 100.06 m x 20 mm", sinnet, "by 2 each 1 cm on rod", 20_000, -1, "100.00 m of the rod, 2 to each 1 cm"},
	} {
		r := traced(t, firm+c.rods+"\npanel p\n"+c.steps+"fringe 20 cm "+c.fringe+"\n")
		x := r.Extras[0]
		require.Equal(t, c.about, x.About)
		require.Equal(t, []int{c.pieces, c.panel}, []int{x.Count, x.Panel}, c.about)
	}
}

// A piece folds round what it hangs on: a lark's head round a rod of 10 mm takes more
// than one round an edge cord that works at 3 mm.
func TestFringeFoldsRoundWhatItHangsOn(t *testing.T) {
	lark, _ := knot.Standard().Knot("fringe lark's head")
	for _, c := range []struct {
		steps, on string
		thick     length.Length
	}{
		{sinnet, "left of p", 3 * mm},
		{sinnet, "foot of p", 3 * mm},
		{sinnet + "  onto foot\n", "foot of p", 10 * mm},
		{sinnet, "foot", 10 * mm},
		{sinnet, "rod", 20 * mm},
	} {
		r := traced(t, head+"dowel foot 40 cm x 10 mm\npanel p\n"+c.steps+"fringe 20 cm by 2 each 1 cm on "+c.on+"\n")
		size, err := lark.Size(knot.Gauge{Diameter: 3 * mm, Rod: c.thick, Ends: 2})
		require.NoError(t, err)
		require.Equal(t, trace.Parts{Mount: 2 * size.Takes[0], Run: 40 * cm, Tail: 1 * cm}, r.Extras[0].Need, c.on)
	}
}

func TestFringeRefused(t *testing.T) {
	for _, c := range []struct{ rods, fringe, says string }{
		{"dowel 6 cm x 20 mm", "by 2 each 1 cm on rod", "the rod is too short to hang fringe on"},
		{"dowel 20 cm x 20 mm\ndowel foot 6 cm x 10 mm", "by 2 each 1 cm on foot", "foot is too short to hang fringe on"},
		{"dowel 100.06 m x 20 mm", "by 3 each 1 cm on rod", "that makes 30000 pieces of fringe; the most is 20000"},
		{"dowel 100.061 m x 20 mm", "by 2 each 1 cm on rod", "that makes 20002 pieces of fringe; the most is 20000"},
		{"dowel 20 cm x 20 mm", "by 2 on left of p", "there are no loops on the left edge of panel p: fringe hangs where an edge end runs free from one knot to the next"},
	} {
		s, faults := sheet.Parse(firm+c.rods+"\npanel p\n"+sinnet+"fringe 20 cm "+c.fringe+"\n", knot.Standard())
		require.NoError(t, faults.Err())
		_, found, err := trace.Trace(context.Background(), s, trace.Maker{Book: knot.Standard()})
		require.NoError(t, err)
		require.Len(t, found, 1, c.says)
		require.Equal(t, c.says, found[0].Text)
	}
}

// Two straight legs from where the hanger is tied up to the hook (Pythagoras), and two
// mounts: 1.92 loops round a rod of 20 mm, 3.7 diameters and a tail of 6 cm each.
func TestHangerIsTwoLegs(t *testing.T) {
	for _, c := range []struct {
		rod     string
		between float64 // mm
		about   string
	}{
		{"dowel 60 cm x 20 mm\n", 600 - 2*25, "a rise of 15 cm over 55 cm"},
		{"dowel 4 cm x 20 mm\n", 40, "a rise of 15 cm over 4 cm"}, // no room to tie further in
		{"ring 20 cm x 20 mm\nhang spread\n", 200, "a rise of 15 cm over 20 cm"},
		{"", 24, "a rise of 15 cm over 2.4 cm"}, // over the work, where the sheet names no rod
	} {
		r := traced(t, firm+c.rod+"panel p\n  mount 2 folded\nhanger rise 15 cm\n")
		x := r.Extras[0]
		require.Equal(t, []any{trace.ForHanger, -1, 1, c.about}, []any{x.For, x.Panel, x.Count, x.About})
		require.InDelta(t, 2*math.Hypot(c.between/2, 150), at(x.Need.Run), 1e-3, c.about)
		require.InDelta(t, 2*(1.92*math.Pi*(20+3)+3.7*3+60), at(x.Need.Mount), 0.01, c.about)
	}
}

// Riggers' tables end at 30 degrees.
// 24 cords of 3 mm take 21.6 cm pushed together; a hanger is tied 2.5 cm from the ends.
func TestAHangerNeedsBareEnds(t *testing.T) {
	for dowel, noted := range map[string]bool{"60 cm": false, "27.6 cm": false, "26.6 cm": false, "265 mm": true, "216 mm": true} {
		r := traced(t, firm+"dowel "+dowel+" x 20 mm\npanel p\n  mount 24 folded\nhanger rise 15 cm\n")
		require.Len(t, r.Extras, 1)
		said := false
		for _, n := range r.Notes {
			said = said || strings.Contains(n.Text, "the work takes 21.6 cm of the dowel: too little of its ends is left bare")
		}
		require.Equal(t, noted, said, dowel)
	}
}

func TestAFlatHangerIsNoted(t *testing.T) {
	for angle, notes := range map[string]int{"29.9": 1, "30": 0, "45": 0} {
		r := traced(t, head+"panel p\n  mount 2 folded\nhanger angle "+angle+"\n")
		require.Len(t, r.Notes, notes, angle)
	}
	steep := traced(t, firm+"dowel 60 cm x 20 mm\npanel p\n  mount 2 folded\nhanger angle 45\n")
	require.Equal(t, "a rise of 27.5 cm over 55 cm", steep.Extras[0].About)
}

// Nobody knows how wide a rod is that a search is still looking for.
func TestASwagUnderARodOfUnknownLength(t *testing.T) {
	s, faults := sheet.Parse(head+"panel p\n  mount 2 folded\nswag 3 over 5 m drop 20 cm\n", knot.Standard())
	require.NoError(t, faults.Err())
	for long, want := range map[length.Length]int{0: 0, 4 * length.Metre: 1, 5 * length.Metre: 0} {
		rod := *s.Rod
		rod.Length = long
		s.Rod = &rod
		r, found, err := trace.Trace(context.Background(), s, trace.Maker{Book: knot.Standard()})
		require.NoError(t, err)
		require.Len(t, found, want, fmt.Sprint(long))
		if want == 0 {
			require.Equal(t, -1, r.Extras[0].Panel)
		}
	}
}
