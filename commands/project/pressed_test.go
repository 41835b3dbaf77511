package project_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
)

// The buttons under a sized sheet show it, explain its lines, save it under a name that
// is free, and open the form of a saved one.
func TestWhatIsPressedUnderASheet(t *testing.T) {
	a := commandstest.Quick(t)
	answer := commandstest.Answered(t, a, "/cord width:20cm drop:40cm")
	require.Contains(t, commandstest.Render(commandstest.Press(t, a, answer, "see the sheet")), "# The working sheet\n    piece Hanging\n    cord main 4 mm single-strand")
	require.Contains(t, commandstest.Render(commandstest.Choose(t, a, answer, "A")), "# Why A is ")
	none := commandstest.Act(t, a, commandstest.Ana, commandstest.MenusOf(answer)[0].Do, nil, nil)
	require.True(t, none.Refused)
	require.Contains(t, commandstest.Render(none), "othing was chosen")

	commandstest.KeepDesign(t, a, "Tide Line")
	form := commandstest.Press(t, a, answer, "save it")
	taken := commandstest.Fill(t, a, commandstest.Ana, form, map[string]string{"name": "tide line"})
	require.True(t, taken.Refused, commandstest.Render(taken))
	saved := commandstest.Render(commandstest.Fill(t, a, commandstest.Ana, form, map[string]string{"name": " Ebb Line "}))
	require.Contains(t, saved, "Saved as “Ebb Line”.")
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, `/project show name:"Ebb Line" written:yes`)), "piece Ebb Line")
}

// A cord in which the member made no swatch is sized by the book, though they have made
// some in the cord that the design is in now: as somebody's without any.
func TestSwatchesOfTheOldCordAreNotThoseOfTheNew(t *testing.T) {
	a := commandstest.Quick(t)
	commandstest.Demo(t, a, commandstest.Ana, "Tide Line", "tide-line.sheet")
	commandstest.Demo(t, a, commandstest.Mara, "Tide Line", "tide-line.sheet")
	for range 3 {
		commandstest.Answered(t, a, "/swatch add knot:sk count:10 used:60cm thickness:4mm")
	}
	const line = `/project resize name:"Tide Line" thickness:3mm`
	ana, mara := commandstest.WordsOf(commandstest.Answered(t, a, line)), commandstest.WordsOf(commandstest.AskedBy(t, a, commandstest.Mara, line))
	require.Contains(t, mara, "3 mm single-strand")
	require.Equal(t, sizedNow(mara), sizedNow(ana))
}

// sizedNow are the lines of a resized design that say what its cords are cut to now.
func sizedNow(answer string) (lines []string) {
	for line := range strings.Lines(answer) {
		if strings.Contains(line, "| ") {
			_, now, _ := strings.Cut(line, "→")
			lines = append(lines, now)
		}
	}
	return lines
}

// A cord that the design has not is answered with one that it has.
func TestTheNearestCord(t *testing.T) {
	a := commandstest.Quick(t)
	commandstest.Demo(t, a, commandstest.Ana, "Tide Line", "tide-line.sheet")
	answer := commandstest.Asked(t, a, `/project resize name:"Tide Line" only:moss width:60cm`)
	require.True(t, answer.Refused)
	require.Contains(t, commandstest.Render(answer), "read: only: moss\nwrong: the sheet has no cord “moss”\nright: it has main\n")
	require.Contains(t, commandstest.Render(answer), `only:main width:60cm`)
	require.False(t, commandstest.Press(t, a, answer, "do that").Refused)
}
