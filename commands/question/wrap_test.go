package question_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/design"
	"larkfold/commands/question"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/length"
)

func TestWrapAnswers(t *testing.T) {
	commandstest.Golden(t, "wrap", commandstest.Conversation(t, commandstest.New(t),
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
func wrapOfSheet(t *testing.T, a *commandstest.App, step string) (turns int, cut cutlist.Cut, height length.Length) {
	t.Helper()
	one := commandstest.SizedAs(t, a, "cord ends 5 mm\ncord thin 3 mm\npanel work\nmount 8 folded\n"+step+" with thin\ntail 20 cm\n")
	require.Len(t, one.Extras, 1)
	return one.Extras[0].Turns, question.CutOfWrap(one), one.Extras[0].Height
}

// /wrap answers its three questions with the numbers of the sheet's three words.
func TestWrapAgreesWithTheSheet(t *testing.T) {
	for _, swatches := range [][]string{nil, {"/swatch add knot:dhh count:10 used:60cm thickness:3mm", "/prefs squeeze:0.8"}} {
		a := commandstest.New(t)
		for _, line := range swatches {
			commandstest.Answered(t, a, line)
		}
		for _, tt := range []struct{ option, step string }{
			{"turns:5", "wrap turns 5"}, {"turns:1", "wrap turns 1"}, {"for:4cm", "wrap for 4 cm"}, {"for:2mm", "wrap for 2 mm"},
			{"cord:60cm", "wrap cord 60 cm"}, {"cord:3m", "wrap cord 3 m"},
		} {
			turns, cut, height := wrapOfSheet(t, a, tt.step)
			answer := commandstest.Answered(t, a, "/wrap ends:16 thickness:5mm wrap-thickness:3mm "+tt.option)
			require.Contains(t, commandstest.FactOf(answer, "turns"), fmt.Sprint(turns), tt.option)
			require.Contains(t, commandstest.FactOf(answer, "covers"), length.Style{}.Format(height), tt.option)
			require.Contains(t, commandstest.Render(answer), tt.step)
			if got := commandstest.FactOf(answer, "cut"); got != "" {
				require.Equal(t, length.Style{}.Cut(cut.Length), got, tt.option)
			}
		}
	}
}

// The turns that a cord is said to give do fit into it, and one more does not; with the
// margin to spare they are as many as a cut of no more than it has.
func TestTurnsFitTheCord(t *testing.T) {
	a := commandstest.New(t)
	for cm := 25; cm < 400; cm += 25 {
		turns, _, _ := wrapOfSheet(t, a, fmt.Sprintf("wrap cord %d cm", cm))
		have := length.Length(cm) * length.Centimetre
		_, cut, _ := wrapOfSheet(t, a, fmt.Sprintf("wrap turns %d", turns))
		require.LessOrEqual(t, cut.Why.Need.Total(), have)
		_, more, _ := wrapOfSheet(t, a, fmt.Sprintf("wrap turns %d", turns+1))
		require.Greater(t, more.Why.Need.Total(), have)

		sit := commandstest.Seated(t, a, commandstest.Ana)
		sure, of, err := question.SureTurns(t.Context(), sit, commandstest.Typed(t, commandstest.Ana, fmt.Sprintf("/wrap ends:16 thickness:5mm wrap-thickness:3mm cord:%dcm", cm)))
		require.NoError(t, err)
		sized, err := design.SizeSheet(t.Context(), sit, of(max(sure, 1)))
		require.NoError(t, err)
		w := question.CutOfWrap(sized).Why
		require.LessOrEqual(t, w.Need.Total()+w.Margin, have)
		require.Greater(t, w.Need.Total()+w.Margin+(w.Need.TakeUp+w.Margin)/length.Length(max(sure, 1)), have-length.Millimetre/1000)
	}
}

// The former name of an option is answered with the line as it is typed now.
func TestFormerNameOfWrapsCord(t *testing.T) {
	answer := commandstest.Asked(t, commandstest.New(t), "/wrap ends:16 length:50cm")
	require.Contains(t, commandstest.Render(answer), "/wrap ends:16 cord:50cm")
}
