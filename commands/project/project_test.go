package project_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
)

func TestProjects(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Golden(t, "project", commandstest.Conversation(t, a,
		"/project list",
		`/project new name:Gull sheet:"`+commandstest.Small+`"`,
		"/project show name:gull",
		"/project show name:Gull written:yes",
		"/project show name:Gull why:a",
		`/project edit name:Gull sheet:"`+strings.Replace(commandstest.Small, "rows 4", "rows 6", 1)+`"`,
		"/project undo name:Gull",
		"/project undo name:Gull",
		"/project rename name:Gull to:Tern",
		"/project copy name:Tern to:Plover",
		"/project list",
		"/project delete name:Tern",
		"/project list",
		"/project undo name:Tern",
		"/project list",
	))
}

// A faulty sheet comes back with its faults and with the text in the form.
func TestFaultySheetIsKept(t *testing.T) {
	a := commandstest.New(t)
	faulty := strings.Replace(commandstest.Small, "net square rows 4", "nett square rows 4\n  row sqare\n  bar left to", 1)
	form := commandstest.Asked(t, a, "/project new name:Gull")
	answer := commandstest.Fill(t, a, commandstest.Ana, form, map[string]string{"sheet": faulty})
	commandstest.Golden(t, "faulty", commandstest.Render(answer))
	require.True(t, answer.Refused)
	again := commandstest.Press(t, a, answer, "mend it")
	require.Equal(t, faulty, again.Blocks[0].(reply.Form).Fields[0].Value)
	mended := commandstest.Fill(t, a, commandstest.Ana, again, map[string]string{"sheet": commandstest.Small})
	require.False(t, mended.Refused, commandstest.Render(mended))
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, "/project show name:Gull written:yes")), "net square rows 4")
}

// Two edits at once: the second is shown both and loses nothing.
func TestTwoEditsAtOnce(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Answered(t, a, `/project new name:Gull sheet:"`+commandstest.Small+`"`)
	one, two := commandstest.Asked(t, a, "/project edit name:Gull"), commandstest.Asked(t, a, "/project edit name:Gull")
	first := strings.Replace(commandstest.Small, "rows 4", "rows 5", 1)
	second := strings.Replace(commandstest.Small, "rows 4", "rows 7", 1)
	require.False(t, commandstest.Fill(t, a, commandstest.Ana, one, map[string]string{"sheet": first}).Refused)
	clash := commandstest.Fill(t, a, commandstest.Ana, two, map[string]string{"sheet": second})
	commandstest.Golden(t, "clash", commandstest.Render(clash))
	require.True(t, clash.Refused)
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, "/project show name:Gull written:yes")), "rows 5")
	saved := commandstest.Fill(t, a, commandstest.Ana, commandstest.Press(t, a, clash, "edit mine and save it over"), nil)
	require.False(t, saved.Refused, commandstest.Render(saved))
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, "/project show name:Gull written:yes")), "rows 7")
}

// The same form delivered twice changes things once.
func TestReplayedForm(t *testing.T) {
	a := commandstest.New(t)
	form := commandstest.Asked(t, a, "/project new name:Gull")
	require.False(t, commandstest.Fill(t, a, commandstest.Ana, form, map[string]string{"sheet": commandstest.Small}).Refused)
	require.False(t, commandstest.Fill(t, a, commandstest.Ana, form, map[string]string{"sheet": commandstest.Small}).Refused)
	require.Equal(t, 1, strings.Count(commandstest.Render(commandstest.Asked(t, a, "/project list")), "| Gull"))
}

// Nobody sees or changes another member's designs.
func TestProjectsAreTheirOwners(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Answered(t, a, `/project new name:Gull sheet:"`+commandstest.Small+`"`)
	for _, line := range []string{"/project show name:Gull", "/project edit name:Gull", "/project rename name:Gull to:X", "/project copy name:Gull to:X", "/project delete name:Gull", "/project undo name:Gull"} {
		require.True(t, commandstest.AskedBy(t, a, commandstest.Mara, line).Refused, line)
	}
	require.NotContains(t, commandstest.Render(commandstest.AskedBy(t, a, commandstest.Mara, "/project list")), "Gull")
	choices, err := a.Complete(t.Context(), commandstest.Typed(t, commandstest.Mara, "/project show"), "name", "G")
	require.NoError(t, err)
	require.Empty(t, choices)
	choices, err = a.Complete(t.Context(), commandstest.Typed(t, commandstest.Ana, "/project show"), "name", "g")
	require.NoError(t, err)
	require.Equal(t, []reply.Choice{{Name: "Gull", Value: "Gull"}}, choices)
}

// What was not changed is not undone, and is named as it is everywhere.
func TestNothingToUndo(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Answered(t, a, `/project new name:Gull sheet:"`+commandstest.Small+`"`)
	answer := commandstest.Asked(t, a, "/project undo name:gull")
	require.True(t, answer.Refused)
	require.Contains(t, commandstest.Render(answer), "“Gull” has never been changed")
}

// A design has one title wherever it is shown: the name that it is saved under.
func TestDesignsHaveOneTitle(t *testing.T) {
	a := commandstest.New(t)
	saveDemo(t, a, "Tide Line", "tide-line.sheet")
	commandstest.Answered(t, a, `/project rename name:"Tide Line" to:"Ebb Line"`)
	for _, line := range []string{
		`/project show name:"Ebb Line"`, `/project print name:"Ebb Line"`, `/project resize name:"Ebb Line" thickness:3mm`,
		`/plan project:"Ebb Line" spool:100m`, `/dowel project:"Ebb Line"`, `/project share name:"Ebb Line"`,
	} {
		answer := commandstest.Render(commandstest.Answered(t, a, line))
		require.Contains(t, answer, "Ebb Line", line)
		require.NotContains(t, answer, "Tide Line", line)
		require.NotContains(t, answer, "tide-line", line)
	}
}

func TestProjectShowsItsSteps(t *testing.T) {
	a := commandstest.New(t)
	commandstest.KeepDesign(t, a, "Tide Line")
	shown := commandstest.Render(commandstest.Answered(t, a, `/project show name:"Tide Line" steps:yes`))
	require.Contains(t, shown, "# Tide Line, step by step")
	require.Contains(t, shown, "2. 6 rows of alternating square knots: rows 1, 3 and 5: ")
	require.Contains(t, shown, "! ", "with its cautions")
	require.True(t, commandstest.Asked(t, a, `/project show name:"Tide Line" steps:perhaps`).Refused)
}
