package project_test

import (
	"bytes"
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
)

// The printable sheet is a PDF with the pieces and the cutting plan in it.
func TestPrint(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Demo(t, a, commandstest.Ana, "Tide Line", "tide-line.sheet")
	for _, line := range []string{`/project print name:"tide line"`, `/project print name:"Tide Line" paper:letter`} {
		answer := commandstest.Answered(t, a, line)
		require.Contains(t, commandstest.Render(answer), "100 %")
		file := answer.Blocks[2].(reply.File)
		require.Equal(t, "tide-line.pdf", file.Name)
		require.True(t, bytes.HasPrefix(file.Data, []byte("%PDF-")))
		require.Greater(t, len(file.Data), 4000)
	}
}

// A print is weighed by its knots before it begins, so that a large one neither slips in
// as a small one nor makes all small ones count as large: the twelve rows of square
// knots over 40 ends are 6 of 10 and 6 of 9 knots.
func TestAPrintIsWeighedByItsKnots(t *testing.T) {
	a := commandstest.Quick(t)
	const sheet = "cord main 4 mm\npanel p\n  mount 20 folded\n  net square rows 12\n"
	commandstest.Answered(t, a, `/project new name:Weir sheet:"`+sheet+`"`)
	const knots = 6*10 + 6*9
	var weighed []reply.Work
	ctx := reply.WithTurns(t.Context(), func(_ context.Context, w reply.Work) error {
		weighed = append(weighed, w)
		return nil
	})
	_, err := a.Do(ctx, commandstest.Typed(t, commandstest.Ana, "/project print name:Weir"))
	require.NoError(t, err)
	require.Equal(t, []reply.Work{{Amount: 1000 + knots, Bytes: 16<<20 + 600*knots}}, weighed)
}

// Members who count in inches print on Letter unless they say otherwise.
func TestPaperGoesWithUnits(t *testing.T) {
	a := commandstest.Quick(t)
	commandstest.Answered(t, a, `/project new name:Gull sheet:"`+commandstest.Small+`"`)
	// ISO 216: A4 is 210 by 297 mm, 595.28 by 841.89 pt; Letter is 8.5 by 11 in, 612 by 792 pt.
	const a4, letter = "/MediaBox [0 0 595.28 841.89]", "/MediaBox [0 0 612.00 792.00]"
	for _, tt := range []struct{ units, paper, box string }{
		{"metric", "", a4}, {"both", "", a4}, {"imperial", "", letter},
		{"metric", " paper:letter", letter}, {"imperial", " paper:a4", a4},
	} {
		commandstest.Answered(t, a, "/prefs units:"+tt.units)
		file := commandstest.Answered(t, a, "/project print name:Gull"+tt.paper).Blocks[2].(reply.File)
		require.Contains(t, string(file.Data), tt.box, tt)
	}
}
