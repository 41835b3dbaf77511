package project_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
	"larkfold/commands/slip"
	"larkfold/testdata"
)

// saved saves one of the demo sheets for Ana under a name.
func saveDemo(t *testing.T, a *commandstest.App, name, file string) {
	t.Helper()
	text, err := testdata.Sheets.ReadFile("sheets/" + file)
	require.NoError(t, err)
	commandstest.Answered(t, a, `/project new name:"`+name+`" sheet:"`+string(text)+`"`)
}

func TestResize(t *testing.T) {
	a := commandstest.New(t)
	saveDemo(t, a, "Tide Line", "tide-line.sheet")
	saveDemo(t, a, "Harbour Swag", "harbour-swag.sheet")
	commandstest.Golden(t, "resize", commandstest.Conversation(t, a,
		`/project resize name:"Tide Line" width:60cm drop:90cm`,
		`/project resize name:"Tide Line" thickness:3mm`,
		`/project resize name:"Tide Line" thickness:4mm`,
		`/project resize name:"Harbour Swag" only:rust thickness:4mm construction:plied`,
		`/project resize name:"Tide Line" dowel:25cm×12mm`,
	))
}

func TestResizeToTheCordThereIs(t *testing.T) {
	a := commandstest.New(t)
	saveDemo(t, a, "Tide Line", "tide-line.sheet")
	saveDemo(t, a, "Three Herons", "three-herons.sheet")
	commandstest.Golden(t, "resize-have", commandstest.Conversation(t, a,
		`/project resize name:"Tide Line" have:60m`,
		`/project resize name:"Tide Line" have:"2 spools 100m" width:40cm`,
		`/project resize name:"Three Herons" have:40m`,
		`/project resize name:"Three Herons" have:40m only:sand`,
		`/project resize name:"Tide Line" have:shelf`,
		`/shelf add pieces:"3m x20, 30m" cord:"4 mm single-strand cream"`,
		`/shelf add pieces:"40m" cord:"3 mm braided rust"`,
		`/project resize name:"Tide Line" have:shelf`,
		`/project resize name:"Tide Line" have:cream`,
		`/project resize name:"Tide Line" have:rust`,
		`/project resize name:"Tide Line" have:1m`,
		`/project resize name:"Tide Line" have:60`,
		`/project resize name:"Tide Line" have:60m drop:1m`,
	))
}

// The largest that a maker's pieces make can be cut from them, and takes no more than
// there is; so does what each suggestion leads to.
func TestWhatThereIsReaches(t *testing.T) {
	a := commandstest.New(t)
	saveDemo(t, a, "Tide Line", "tide-line.sheet")
	commandstest.Answered(t, a, `/shelf add pieces:"3m x20, 30m" cord:"4 mm single-strand cream"`)
	saved := commandstest.Render(commandstest.Answered(t, a, `/project resize name:"Tide Line" have:shelf save:"Shelf Tide"`))
	require.Contains(t, saved, "saved: Shelf Tide")
	require.Contains(t, saved, "one repeat more: would be")
	cut := commandstest.Render(commandstest.Answered(t, a, `/plan project:"Shelf Tide"`))
	require.Contains(t, cut, "to buy: nothing")
	for line := `/project resize name:"Tide Line" have:1m`; ; {
		answer := commandstest.Asked(t, a, line)
		if !answer.Refused {
			break
		}
		require.NotEmpty(t, slip.Suggestion(withoutButtons(answer)), commandstest.Render(answer))
		line = slip.Suggestion(withoutButtons(answer))
	}
}

func withoutButtons(answer reply.Reply) reply.Reply {
	answer.Blocks = slices.DeleteFunc(slices.Clone(answer.Blocks), commandstest.Pressable)
	return answer
}

// Yes is no name, and no saves nothing.
func TestYesIsNoName(t *testing.T) {
	a := commandstest.New(t)
	saveDemo(t, a, "Tide Line", "tide-line.sheet")
	for _, line := range []string{`/project resize name:"Tide Line" thickness:3mm save:yes`, `/cord width:20cm drop:40cm save:Yes`} {
		answer := commandstest.Asked(t, a, line)
		require.True(t, answer.Refused, line)
		require.False(t, commandstest.Asked(t, a, slip.Suggestion(withoutButtons(answer))).Refused, line)
	}
	commandstest.Answered(t, a, `/project resize name:"Tide Line" thickness:3mm save:no`)
	require.NotContains(t, commandstest.Render(commandstest.Answered(t, a, "/project list")), "yes")
	require.NotContains(t, commandstest.Render(commandstest.Answered(t, a, "/project list")), "no ")
}

// How many pieces are made counts in what is cut, and is saved with the design.
func TestCopiesOfACord(t *testing.T) {
	a := commandstest.New(t)
	one, three := commandstest.Render(commandstest.Answered(t, a, "/cord width:20cm drop:40cm")), commandstest.Render(commandstest.Answered(t, a, "/cord width:20cm drop:40cm copies:3 save:Trio"))
	require.Contains(t, one, "A     18  2.65 m")
	require.Contains(t, three, "A     54  2.65 m")
	require.Contains(t, three, "pieces: 3")
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, "/project show name:Trio written:yes")), "copies 3\n")
	require.NotContains(t, commandstest.Render(commandstest.Answered(t, a, "/cord width:20cm drop:40cm copies:1")), "pieces:")
	require.True(t, commandstest.Asked(t, a, "/cord width:20cm drop:40cm copies:1001").Refused)
}

func TestResizeRefused(t *testing.T) {
	a := commandstest.New(t)
	saveDemo(t, a, "Tide Line", "tide-line.sheet")
	commandstest.Golden(t, "resize-refused", commandstest.Conversation(t, a,
		`/project resize name:"Tide Line"`,
		`/project resize name:"Tide Lime" width:60cm`,
		`/project resize name:"Tide Line" width:wide`,
		`/project resize name:"Tide Line" width:2cm`,
		`/project resize name:"Tide Line" drop:8cm`,
		`/project resize name:"Tide Line" only:moss thickness:3mm`,
		`/project resize name:"Tide Line" construction:felted`,
		`/project resize name:"Tide Line" dowel:thick`,
		`/project resize name:"Tide Line" dowel:"60cm x 2m"`,
		`/project resize name:"Tide Line" thickness:3m`,
		`/project resize name:"Tide Line" thickness:3mm save:yes`,
		`/project resize name:"Tide Line" dowel:5cm`,
	))
}

func TestResizedIsSaved(t *testing.T) {
	sheetOf := func(t *testing.T, a *commandstest.App, name string) string {
		return commandstest.Render(commandstest.Answered(t, a, `/project show written:yes name:"`+name+`"`))
	}
	t.Run("under a new name", func(t *testing.T) {
		a := commandstest.New(t)
		saveDemo(t, a, "Tide Line", "tide-line.sheet")
		require.Contains(t, commandstest.Render(commandstest.Answered(t, a, `/project resize name:"Tide Line" thickness:3mm save:"Ebb Line"`)), "saved: Ebb Line")
		require.Contains(t, sheetOf(t, a, "Ebb Line"), "piece Ebb Line\n    cord main 3 mm")
		require.Contains(t, sheetOf(t, a, "Tide Line"), "cord main 4 mm")
	})
	t.Run("in place, and undone", func(t *testing.T) {
		a := commandstest.New(t)
		saveDemo(t, a, "Tide Line", "tide-line.sheet")
		require.Contains(t, commandstest.Render(commandstest.Answered(t, a, `/project resize name:"Tide Line" thickness:3mm save:"in place"`)), "saved: Tide Line, in place")
		require.Contains(t, sheetOf(t, a, "Tide Line"), "cord main 3 mm")
		commandstest.Answered(t, a, `/project undo name:"Tide Line"`)
		require.Contains(t, sheetOf(t, a, "Tide Line"), "cord main 4 mm")
	})
	t.Run("by a button", func(t *testing.T) {
		a := commandstest.New(t)
		saveDemo(t, a, "Tide Line", "tide-line.sheet")
		answer := commandstest.Answered(t, a, `/project resize name:"Tide Line" thickness:3mm`)
		require.Contains(t, sheetOf(t, a, "Tide Line"), "cord main 4 mm", "only shown so far")
		first := commandstest.Press(t, a, answer, "replace Tide Line")
		require.False(t, first.Refused, commandstest.Render(first))
		require.Contains(t, sheetOf(t, a, "Tide Line"), "cord main 3 mm")
		require.False(t, commandstest.Press(t, a, answer, "replace Tide Line").Refused, "pressed twice it changes once")
		named := commandstest.Fill(t, a, commandstest.Ana, commandstest.Press(t, a, answer, "save it"), map[string]string{"name": "Ebb Line"})
		require.False(t, named.Refused, commandstest.Render(named))
		require.Contains(t, sheetOf(t, a, "Ebb Line"), "cord main 3 mm")
	})
	t.Run("not over a design that was changed meanwhile", func(t *testing.T) {
		a := commandstest.New(t)
		saveDemo(t, a, "Tide Line", "tide-line.sheet")
		answer := commandstest.Answered(t, a, `/project resize name:"Tide Line" thickness:3mm`)
		commandstest.Answered(t, a, `/project edit name:"Tide Line" sheet:"`+commandstest.Small+`"`)
		clash := commandstest.Press(t, a, answer, "replace Tide Line")
		require.True(t, clash.Refused)
		require.Contains(t, commandstest.Render(clash), "changed meanwhile")
		require.Contains(t, sheetOf(t, a, "Tide Line"), "piece Gull")
	})
}

// The same design in the member's own cord: same knots, lengths in proportion.
func TestInMyCord(t *testing.T) {
	a := commandstest.New(t)
	saveDemo(t, a, "Tide Line", "tide-line.sheet")
	form := commandstest.Press(t, a, commandstest.Answered(t, a, `/project show name:"Tide Line"`), "in my cord")
	answer := commandstest.Fill(t, a, commandstest.Ana, form, map[string]string{"thickness": "1/4 in", "construction": "plied"})
	commandstest.Golden(t, "resize-in-my-cord", commandstest.Render(answer))
	require.Contains(t, commandstest.Render(answer), "instead of")
	wrong := commandstest.Fill(t, a, commandstest.Ana, form, map[string]string{"thickness": "thick"})
	require.True(t, wrong.Refused)
	require.True(t, strings.Contains(commandstest.Render(wrong), "thick"))
}
