package drawn_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/commands/picture/drawn"
	"larkfold/commands/picture/paint"
	"larkfold/commands/picture/picturetest"
	"larkfold/commands/say"
	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet/sheettest"
)

func chartOf(sized sizing.Sized, units length.Style) *paint.Drawing {
	return drawn.Chart(sized, say.Instructions(sized.Result, units), units)
}

// requireNumbered checks that every printed step has its number in the chart, at the
// height of its knots, half a number more or less, when it stands alone.
func requireNumbered(t require.TestingT, sized sizing.Sized, d *paint.Drawing) {
	stickers := picturetest.Parts(d, drawn.ASticker)
	scale := picturetest.Parts(d, drawn.AScale)
	require.Len(t, scale, 1)
	points := float64(scale[0].Box.Right-scale[0].Box.Left-0.8) / (float64(scale[0].Index) * float64(length.Millimetre)) // to a nanometre
	var all []string
	for _, s := range stickers {
		all = append(all, strings.Fields(s.Name)...)
	}
	var want []string
	rods := picturetest.Parts(d, drawn.ARod)
	for _, in := range say.Instructions(sized.Result, length.Style{}) {
		for n, of := range in.Spans {
			label := in.Number(n)
			want = append(want, label)
			tied := tiedBy(sized.Result, of)
			if len(tied) == 0 || len(rods) == 0 || of.Panel >= 0 && (sized.Panels[of.Panel].Lean != 0 || sized.Panels[of.Panel].BothWays) {
				continue
			}
			top, bottom := math.Inf(1), math.Inf(-1)
			for _, i := range tied {
				p := sized.Placed[i]
				high := float64(p.Height) / max(math.Cos(float64(p.Slope)), 0.05)
				top, bottom = min(top, float64(p.Y)), max(bottom, float64(p.Y)+high)
			}
			height := float64(rods[0].At.Y) + (top+bottom)/2*points
			near := slices.ContainsFunc(stickers, func(s paint.Part) bool {
				names := strings.Fields(s.Name)
				return slices.Contains(names, label) && (math.Abs(float64(s.At.Y)-height) < 8+(bottom-top)*points/20 || len(names) > 1)
			})
			require.True(t, near, "step %s of %s stands at its height, %.0f", label, in.Name, height)
		}
	}
	slices.Sort(all)
	slices.Sort(want)
	require.Equal(t, want, all, "every step has its number, once")
}

func TestChartsNumberEveryStepAtItsHeight(t *testing.T) {
	for _, sized := range picturetest.Demos(t) {
		for _, units := range []length.Style{{}, {System: length.Imperial}} {
			d := chartOf(sized, units)
			requireNumbered(t, sized, d)
			for _, s := range d.Shapes {
				if s.Words.Text != "" {
					require.GreaterOrEqual(t, float64(s.Words.Size), 10.0, s.Words.Text)
				}
			}
			for _, p := range d.Parts {
				if p.Kind != drawn.AnEnd && p.Kind != drawn.ARod {
					require.True(t, p.Box.Within(d.Page()), "%s %s", p.Kind, p.Name)
				}
			}
		}
	}
}

func TestChartsOfAnySheet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sized, err := sizing.Sheet(t.Context(), sheettest.Valid(t), "", sizing.Maker{Book: knot.Standard()})
		if err != nil {
			t.Skip("cannot be sized")
		}
		d := chartOf(sized, length.Style{})
		requireNumbered(t, sized, d)
		require.NotEmpty(t, d.Alt())
	})
}

// The scale is what it says, and the numbers of the ends are thinned out, not shrunk.
func TestChartsThinOutTheirNumbers(t *testing.T) {
	d := chartOf(picturetest.Size(t, picturetest.TideLine), length.Style{})
	ends := picturetest.Parts(d, drawn.AnEndNumber)
	require.Equal(t, "1", ends[0].Name)
	require.Equal(t, "24", ends[len(ends)-1].Name)
	require.Less(t, len(picturetest.Parts(chartOf(picturetest.NetOf(t, 200), length.Style{}), drawn.AnEndNumber)), 50)
	require.Contains(t, d.Alt(), "Beside wave: 12 steps, numbered 1 to 12.")
	require.Contains(t, d.Alt(), "numbered F1 to F2")
	require.Contains(t, picturetest.WordsOf(d), "hanging free")
}
