package cutting_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/sizing/length"
	"larkfold/store"
)

func TestShelf(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Golden(t, "shelf", commandstest.Conversation(t, a,
		"/shelf list",
		`/shelf add pieces:"45cm x12, 1.2m x3, 2 spools 100m" cord:"4 mm single-strand cream"`,
		`/shelf add pieces:"45cm x2" cord:"3/16 in braided" note:"from the blue bag"`,
		"/shelf add pieces:80cm",
		`/shelf remove pieces:"45cm x2"`,
		`/shelf remove pieces:"45cm x2" cord:"4 mm single-strand cream"`,
		"/shelf remove pieces:100m",
		"/shelf undo",
		"/shelf undo",
		"/shelf clear",
		"/shelf undo",
		"/prefs units:imperial",
		"/shelf list",
		`/shelf remove pieces:"17 3/4in" cord:"3/16 in braided"`,
	))
}

// What a spool weighs and costs is not kept, and who types it is told so.
func TestWhatAShelfDoesNotKeep(t *testing.T) {
	a := commandstest.Quick(t)
	const told = "what a spool weighs and costs is not kept"
	for pieces, says := range map[string]bool{
		"spool 100m": false, "2 spools 100m, 45cm x12": false,
		"spool 100m 900g": true, "spool 100m 24.00": true, "45cm x12, 2 spools 100 m 900 g 24.00": true,
	} {
		answer := commandstest.Render(commandstest.Answered(t, a, `/shelf add pieces:"`+pieces+`" cord:"4 mm"`))
		require.Equal(t, says, strings.Contains(answer, told), pieces)
	}
	require.NotContains(t, commandstest.Render(commandstest.Asked(t, a, `/shelf add pieces:"spool 100m 900g, x"`)), told, "nothing was added")
}

// Pieces are taken off from the entries that have that length until there are enough,
// and none when there are too few; a list that is refused is offered as it was meant.
func TestTakingOffTheShelf(t *testing.T) {
	a := commandstest.Quick(t)
	for range 2 {
		commandstest.Answered(t, a, `/shelf add pieces:"45cm x2, 2 spools 100m" cord:"4 mm"`)
	}
	commandstest.Answered(t, a, `/shelf add pieces:"100m x1" cord:"4 mm"`)
	for _, tt := range []struct{ line, says string }{
		{`/shelf remove pieces:"45cm x5"`, "read: 5 x 45 cm\nwrong: your shelf has 4 of them\nright: 4 or fewer"},
		{`/shelf remove pieces:"6 spools 100m"`, "read: 6 x 100.00 m\nwrong: your shelf has 4 of them"},
		{`/shelf remove pieces:"100m x2"`, "wrong: your shelf has 1 of them"}, // an offcut, not a spool
		{`/shelf remove pieces:"45cm x2" cord:"5 mm"`, "no such piece lies on your shelf"},
		{`/shelf remove pieces:"2 x"`, "Try\n    /shelf list\n"},
		{`/shelf add pieces:"2 x" cord:"4 mm"`, `pieces:"45cm x12, 1.2m x3, 2 spools 100m"`},
		{`/shelf add pieces:"45 x12" cord:"4 mm"`, `pieces:"12 x 45cm"`},
	} {
		answer := commandstest.Asked(t, a, tt.line)
		require.True(t, answer.Refused, tt.line)
		require.Contains(t, commandstest.Render(answer), tt.says, tt.line)
	}
	commandstest.Answered(t, a, `/shelf remove pieces:"45cm x3" cord:"4 MM"`)
	require.Equal(t, 1, piecesOf(commandstest.ShelfOf(t, a, commandstest.Ana), 45*cm))
	commandstest.Answered(t, a, `/shelf remove pieces:"45cm x1"`)
	require.Zero(t, piecesOf(commandstest.ShelfOf(t, a, commandstest.Ana), 45*cm))
	commandstest.Answered(t, a, `/shelf remove pieces:"4 spools 100m"`)
	require.Equal(t, 1, piecesOf(commandstest.ShelfOf(t, a, commandstest.Ana), 100*m), "the offcut stays")
}

// piecesOf counts what lies on a shelf of one length.
func piecesOf(shelf store.Leftovers, l length.Length) (n int) {
	for _, e := range shelf.Entries {
		if length.Length(e.Length) == l {
			n += e.Count
		}
	}
	return n
}
