package commands

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/cutlist"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
)

func TestWrapAnswers(t *testing.T) {
	golden(t, "wrap", conversation(t, newApp(t),
		"/wrap ends:16 turns:5 thickness:5mm",
		"/wrap ends:16 for:3cm",
		"/wrap ends:16 cord:50cm",
		"/wrap ends:12 thickness:5mm wrap-thickness:2mm cord:2m",
		"/wrap ends:7",
		"/wrap strands:20 drop:10cm thickness:3mm",
		`/wrap strands:12 drop:"4 in" thickness:"1/8 in" construction:braided turns:6`,
	))
}

// wrapOfSheet is the wrap of a sheet that has 16 ends and one, for a maker with
// swatches too.
func wrapOfSheet(t *testing.T, a *App, step string) (turns int, cut cutlist.Cut, height length.Length) {
	t.Helper()
	one := sizedAs(t, a, "cord ends 5 mm\ncord thin 3 mm\npanel work\nmount 8 folded\n"+step+" with thin\ntail 20 cm\n")
	require.Len(t, one.Extras, 1)
	return one.Extras[0].Turns, cutOfWrap(one), one.Extras[0].Height
}

// /wrap answers its three questions with the numbers of the sheet's three words.
func TestWrapAgreesWithTheSheet(t *testing.T) {
	for _, swatches := range [][]string{nil, {"/swatch add knot:dhh count:10 used:60cm thickness:3mm", "/prefs squeeze:0.8"}} {
		a := newApp(t)
		for _, line := range swatches {
			answered(t, a, line)
		}
		for _, tt := range []struct{ option, step string }{
			{"turns:5", "wrap turns 5"}, {"turns:1", "wrap turns 1"}, {"for:4cm", "wrap for 4 cm"}, {"for:2mm", "wrap for 2 mm"},
			{"cord:60cm", "wrap cord 60 cm"}, {"cord:3m", "wrap cord 3 m"},
		} {
			turns, cut, height := wrapOfSheet(t, a, tt.step)
			answer := answered(t, a, "/wrap ends:16 thickness:5mm wrap-thickness:3mm "+tt.option)
			require.Contains(t, factOf(answer, "turns"), fmt.Sprint(turns), tt.option)
			require.Contains(t, factOf(answer, "covers"), length.Style{}.Format(height), tt.option)
			require.Contains(t, render(answer), tt.step)
			if got := factOf(answer, "cut"); got != "" {
				require.Equal(t, length.Style{}.Cut(cut.Length), got, tt.option)
			}
		}
	}
}

// The turns that a cord is said to give do fit into it, and one more does not; with the
// margin to spare they are as many as a cut of no more than it has.
func TestTurnsFitTheCord(t *testing.T) {
	a := newApp(t)
	for cm := 25; cm < 400; cm += 25 {
		turns, _, _ := wrapOfSheet(t, a, fmt.Sprintf("wrap cord %d cm", cm))
		have := length.Length(cm) * length.Centimetre
		_, cut, _ := wrapOfSheet(t, a, fmt.Sprintf("wrap turns %d", turns))
		require.LessOrEqual(t, cut.Why.Need.Total(), have)
		_, more, _ := wrapOfSheet(t, a, fmt.Sprintf("wrap turns %d", turns+1))
		require.Greater(t, more.Why.Need.Total(), have)

		g, err := readGathered(seated(t, a, ana), typed(t, a, ana, fmt.Sprintf("/wrap ends:16 thickness:5mm wrap-thickness:3mm cord:%dcm", cm)))
		require.NoError(t, err)
		sure, err := g.sure(t.Context(), seated(t, a, ana))
		require.NoError(t, err)
		g.wrap = sheet.Wrap{Turns: max(sure, 1)}
		sized, err := sizeSheet(t.Context(), seated(t, a, ana), g.sheet())
		require.NoError(t, err)
		w := cutOfWrap(sized).Why
		require.LessOrEqual(t, w.Need.Total()+w.Margin, have)
		require.Greater(t, w.Need.Total()+w.Margin+(w.Need.TakeUp+w.Margin)/length.Length(max(sure, 1)), have-length.Millimetre/1000)
	}
}

// The former name of an option is answered with the line as it is typed now.
func TestFormerNameOfWrapsCord(t *testing.T) {
	answer := asked(t, newApp(t), "/wrap ends:16 length:50cm")
	require.Contains(t, render(answer), "/wrap ends:16 cord:50cm")
}
