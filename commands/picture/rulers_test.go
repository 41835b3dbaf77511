package picture_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture"
	"larkfold/commands/picture/paint"
	"larkfold/commands/picture/picturetest"
	"larkfold/sizing/dowel"
	"larkfold/sizing/length"
	"larkfold/sizing/stock"
)

// Beside the marks for a rod runs a ruler: a tick at every centimetre, or half inch, every
// fifth, or second, twice as long and numbered; and bars that measure 100 mm and 4 in.
func TestRulersAreInLifeSize(t *testing.T) {
	const inch = 72
	for _, c := range []struct {
		system length.System
		each   float64 // between ticks, in points
		long   int     // of which every so many is long
		number int     // and counts so many
	}{{length.Metric, 10 * millimetre, 5, 5}, {length.Imperial, inch / 2, 2, 1}} {
		marks := []dowel.Mark{{Group: "wave", Cords: 12, PerCord: 12 * length.Millimetre, Start: 0, End: 144 * length.Millimetre}}
		pages := picture.Sheets(picturetest.Size(t, picturetest.KeyRing), picture.Options{Marks: marks, Units: length.Style{System: c.system}})
		page := pages[len(pages)-1]
		strip := picturetest.Parts(page, picture.AStrip)[0]
		ticks := 0
		for _, s := range page.Shapes[strip.From:strip.To] {
			if len(s.Path) != 2 {
				continue
			}
			from, to := s.Path[0].P, s.Path[1].P
			require.InDelta(t, float64(strip.At.Y)+float64(ticks)*c.each, float64(from.Y), 0.01)
			require.Equal(t, from.Y, to.Y)
			want := 3.0
			if ticks%c.long == 0 {
				want = 6
			}
			require.InDelta(t, want, float64(to.X-from.X), 1e-6, "tick %d", ticks)
			require.InDelta(t, float64(strip.At.X)+32, float64(to.X), 1e-6)
			ticks++
		}
		last := float64(ticks-1) * c.each
		require.InDelta(t, float64(strip.Box.Bottom-strip.At.Y)-0.3, last, 0.01, "to its end")
		numbers := 0
		for _, s := range page.Shapes[strip.From:strip.To] {
			if n := s.Words; n.Text != "" && !strings.HasPrefix(n.Text, "strip") {
				numbers++
				require.Equal(t, fmt.Sprint(numbers*c.number), n.Text)
				require.InDelta(t, float64(strip.At.Y)+float64(numbers*c.long)*c.each+2.8, float64(n.At.Y), 0.01)
			}
		}
		require.Equal(t, (ticks-2)/c.long, numbers, "but not at its ends")
		for i, long := range []float64{100 * millimetre, 4 * inch} {
			bar := picturetest.Parts(page, picture.ACheck)[i]
			lines := page.Shapes[bar.From:bar.To]
			require.InDelta(t, long, float64(lines[0].Path[1].P.X-lines[0].Path[0].P.X), 0.01)
			for n, end := range []paint.Point{lines[0].Path[0].P, lines[0].Path[1].P} {
				require.Equal(t, paint.At(end.X, end.Y-4), lines[1+n].Path[0].P)
				require.Equal(t, paint.At(end.X, end.Y+4), lines[1+n].Path[1].P)
			}
		}
	}
}

// Up to 32 ends are shown one by one.
func TestHowManyEndsAreShownOneByOne(t *testing.T) {
	for ends, shown := range map[int]bool{32: true, 33: false} {
		sized := picturetest.Size(t, fmt.Sprintf("cord main 4 mm\npanel p\n  mount %d single\n  row overhand of %d\n  tail 20 cm\n", ends, ends))
		d := picture.Use(sized, length.Style{})
		bars := len(picturetest.Parts(d, picture.ABar))
		words := picturetest.WordsOf(d)
		require.Equal(t, !shown, strings.Contains(words, fmt.Sprintf("%d ends are too many to show one by one.", ends)))
		if shown {
			require.Equal(t, len(sized.List.Cuts)+ends, bars)
		} else {
			require.Equal(t, len(sized.List.Cuts), bars)
		}
		require.Equal(t, map[bool]int{true: 2, false: 1}[shown], strings.Count(words, "longest"), "one of the cuts, and one of the ends")
	}
}

// A plan is summed up in one line: its cuts, what it takes, what is short and how good it
// is, the distance to the best rounded up.
func TestAPlanInOneLine(t *testing.T) {
	for _, c := range []struct {
		plan stock.Plan
		want string
	}{
		{stock.Plan{Cuts: 1, Proved: true}, "1 cut · proved best"},
		{stock.Plan{Cuts: 9, Strips: 3, Spools: 1, Proved: true}, "9 cuts · 2 offcuts · 1 spool · proved best"},
		{stock.Plan{Cuts: 9, Strips: 3, Spools: 3, Proved: true}, "9 cuts · 3 spools · proved best"},
		{stock.Plan{Cuts: 9, Strips: 1, Short: 2 * length.Metre, Proved: true}, "9 cuts · 1 offcut · 2.00 m short · proved best"},
	} {
		require.Contains(t, picturetest.WordsOf(picture.Strips(c.plan, "Plan", length.Style{})), c.want)
	}
}
