package drawn_test

import (
	"io/fs"
	"slices"
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
	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/sheettest"
	"larkfold/sizing/trace"
	"larkfold/testdata"
)

// spansOf are what the sentences of a sized's instructions are about, in order.
func spansOf(sized sizing.Sized) []drawn.Span {
	var all []drawn.Span
	for _, in := range say.Instructions(sized.Result, length.Style{}) {
		all = append(all, in.Spans...)
	}
	return all
}

// indicesOf are the indices of parts of a kind, in order.
func indicesOf(d *paint.Drawing, kind paint.Kind) []int {
	all := []int{}
	for _, p := range picturetest.Parts(d, kind) {
		all = append(all, p.Index)
	}
	slices.Sort(all)
	return all
}

// tiedBy are the knots that a span ties: of a panel worked both ways those of the
// first side.
func tiedBy(r trace.Result, of drawn.Span) []int {
	tied := []int{}
	for i, p := range r.Placed {
		second := r.Panels[p.Panel].BothWays && r.Ends[p.Ends[0]].Side == trace.Right
		if p.Panel == of.Panel && of.From <= p.Step && p.Step < of.To && !second {
			tied = append(tied, i)
		}
	}
	return tied
}

// requireSteps checks every picture of a step against the trace: in full exactly the
// knots that the step ties, pale none but those of the steps before, and of those all
// that have their place on the picture.
func requireSteps(t require.TestingT, sized sizing.Sized) {
	earlier := map[int]bool{} // knots of the steps before
	told := 0
	for _, of := range spansOf(sized) {
		d := drawn.Step(sized, of, length.Style{})
		now := tiedBy(sized.Result, of)
		full := indicesOf(d, drawn.AKnot)
		if d.Outline { // in areas, not knot by knot
			require.Empty(t, full)
			full = now
		}
		require.Equal(t, now, full, "%v", of)
		pale := map[int]bool{}
		for _, i := range indicesOf(d, drawn.ATied) {
			require.True(t, earlier[i] || otherSide(sized.Result, i), "%v: knot %d is tied later", of, i)
			pale[i] = true
		}
		for _, p := range picturetest.Parts(d, drawn.AKnot) {
			require.True(t, p.At.X >= 0 && p.At.X <= d.Width && p.At.Y >= 0 && p.At.Y <= d.Height, "%v: knot %d lies outside", of, p.Index)
		}
		if at, ok := mapped(sized.Result, d); ok && !d.Outline {
			for i := range earlier {
				p := sized.Placed[i]
				if x, y := at(p); sized.Panels[p.Panel].Lean == 0 && x > 0 && x < d.Width && y > 0 && y < d.Height {
					require.True(t, pale[i], "%v: knot %d is missing", of, i)
				}
			}
		}
		for _, i := range now {
			require.False(t, earlier[i], "knot %d is tied twice", i)
			earlier[i] = true
		}
		told += len(now)
		require.NotEmpty(t, d.Alt())
	}
	all := 0
	for i := range sized.Placed {
		if !otherSide(sized.Result, i) {
			all++
		}
	}
	require.Equal(t, all, told, "every knot is tied by one step")
}

func otherSide(r trace.Result, i int) bool {
	p := r.Placed[i]
	return r.Panels[p.Panel].BothWays && r.Ends[p.Ends[0]].Side == trace.Right
}

// mapped is where a knot would lie on a picture, from where two others do.
func mapped(r trace.Result, d *paint.Drawing) (func(trace.Placed) (x, y paint.Points), bool) {
	var shown []paint.Part
	for _, p := range append(picturetest.Parts(d, drawn.AKnot), picturetest.Parts(d, drawn.ATied)...) {
		if r.Panels[r.Placed[p.Index].Panel].Lean == 0 {
			shown = append(shown, p)
		}
	}
	for _, b := range shown {
		a := shown[0]
		pa, pb := r.Placed[a.Index], r.Placed[b.Index]
		if dy := pb.Y - pa.Y; dy != 0 {
			scale := float64(b.At.Y-a.At.Y) / float64(dy)
			return func(p trace.Placed) (x, y paint.Points) {
				return a.At.X + paint.Points(float64(p.X-pa.X)*scale), a.At.Y + paint.Points(float64(p.Y-pa.Y)*scale)
			}, true
		}
	}
	return nil, false
}

func TestStepsShowWhatTheTraceTies(t *testing.T) {
	for _, text := range []string{picturetest.TideLine, picturetest.EveryKnot, picturetest.TwoArms, picturetest.Lantern, picturetest.KeyRing} {
		requireSteps(t, picturetest.Size(t, text))
	}
	files, err := fs.Glob(testdata.Sheets, "sheets/*.sheet")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		text, err := testdata.Sheets.ReadFile(file)
		require.NoError(t, err)
		requireSteps(t, picturetest.Size(t, string(text)))
	}
}

func TestStepsOfAnySheet(t *testing.T) {
	book := knot.Standard()
	rapid.Check(t, func(t *rapid.T) {
		s := sheettest.Valid(t)
		sized, err := sizing.Size(t.Context(), sheet.Format(s), sizing.Maker{Book: book})
		if err != nil {
			t.Skip("cannot be tied")
		}
		requireSteps(t, sized)
	})
}
