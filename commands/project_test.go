package commands

import (
	"strings"
	"testing"

	"larkfold/commands/reply"

	"github.com/stretchr/testify/require"
)

const small = `piece Gull
cord main 4 mm single-strand
panel front
  mount 4 folded
  net square rows 4
  tail 15 cm
`

func TestProjects(t *testing.T) {
	a := newApp(t)
	golden(t, "project", conversation(t, a,
		"/project list",
		`/project new name:Gull sheet:"`+small+`"`,
		"/project show name:gull",
		"/project show name:Gull written:yes",
		"/project show name:Gull why:a",
		`/project edit name:Gull sheet:"`+strings.Replace(small, "rows 4", "rows 6", 1)+`"`,
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
	a := newApp(t)
	faulty := strings.Replace(small, "net square rows 4", "nett square rows 4\n  row sqare\n  bar left to", 1)
	form := asked(t, a, "/project new name:Gull")
	answer := fill(t, a, ana, form, map[string]string{"sheet": faulty})
	golden(t, "faulty", render(answer))
	require.True(t, answer.Refused)
	again := press(t, a, answer, "mend it")
	require.Equal(t, faulty, again.Blocks[0].(reply.Form).Fields[0].Value)
	mended := fill(t, a, ana, again, map[string]string{"sheet": small})
	require.False(t, mended.Refused, render(mended))
	require.Contains(t, render(answered(t, a, "/project show name:Gull written:yes")), "net square rows 4")
}

// Two edits at once: the second is shown both and loses nothing.
func TestTwoEditsAtOnce(t *testing.T) {
	a := newApp(t)
	answered(t, a, `/project new name:Gull sheet:"`+small+`"`)
	one, two := asked(t, a, "/project edit name:Gull"), asked(t, a, "/project edit name:Gull")
	first := strings.Replace(small, "rows 4", "rows 5", 1)
	second := strings.Replace(small, "rows 4", "rows 7", 1)
	require.False(t, fill(t, a, ana, one, map[string]string{"sheet": first}).Refused)
	clash := fill(t, a, ana, two, map[string]string{"sheet": second})
	golden(t, "clash", render(clash))
	require.True(t, clash.Refused)
	require.Contains(t, render(answered(t, a, "/project show name:Gull written:yes")), "rows 5")
	saved := fill(t, a, ana, press(t, a, clash, "edit mine and save it over"), nil)
	require.False(t, saved.Refused, render(saved))
	require.Contains(t, render(answered(t, a, "/project show name:Gull written:yes")), "rows 7")
}

// The same form delivered twice changes things once.
func TestReplayedForm(t *testing.T) {
	a := newApp(t)
	form := asked(t, a, "/project new name:Gull")
	require.False(t, fill(t, a, ana, form, map[string]string{"sheet": small}).Refused)
	require.False(t, fill(t, a, ana, form, map[string]string{"sheet": small}).Refused)
	require.Equal(t, 1, strings.Count(render(asked(t, a, "/project list")), "| Gull"))
}

// Nobody sees or changes another member's designs.
func TestProjectsAreTheirOwners(t *testing.T) {
	a := newApp(t)
	answered(t, a, `/project new name:Gull sheet:"`+small+`"`)
	for _, line := range []string{"/project show name:Gull", "/project edit name:Gull", "/project rename name:Gull to:X", "/project copy name:Gull to:X", "/project delete name:Gull", "/project undo name:Gull"} {
		require.True(t, askedBy(t, a, mara, line).Refused, line)
	}
	require.NotContains(t, render(askedBy(t, a, mara, "/project list")), "Gull")
	choices, err := a.Complete(t.Context(), typed(t, a, mara, "/project show"), "name", "G")
	require.NoError(t, err)
	require.Empty(t, choices)
	choices, err = a.Complete(t.Context(), typed(t, a, ana, "/project show"), "name", "g")
	require.NoError(t, err)
	require.Equal(t, []reply.Choice{{Name: "Gull", Value: "Gull"}}, choices)
}

// A design has one title wherever it is shown: the name that it is saved under.
func TestDesignsHaveOneTitle(t *testing.T) {
	a := newApp(t)
	saveDemo(t, a, "Tide Line", "tide-line.sheet")
	answered(t, a, `/project rename name:"Tide Line" to:"Ebb Line"`)
	for _, line := range []string{
		`/project show name:"Ebb Line"`, `/project print name:"Ebb Line"`, `/project resize name:"Ebb Line" thickness:3mm`,
		`/plan project:"Ebb Line" spool:100m`, `/dowel project:"Ebb Line"`, `/project share name:"Ebb Line"`,
	} {
		answer := render(answered(t, a, line))
		require.Contains(t, answer, "Ebb Line", line)
		require.NotContains(t, answer, "Tide Line", line)
		require.NotContains(t, answer, "tide-line", line)
	}
}

func TestProjectShowsItsSteps(t *testing.T) {
	a := newApp(t)
	keepDesign(t, a, "Tide Line")
	shown := render(answered(t, a, `/project show name:"Tide Line" steps:yes`))
	require.Contains(t, shown, "# Tide Line, step by step")
	require.Contains(t, shown, "2. 6 rows of alternating square knots: rows 1, 3 and 5: ")
	require.Contains(t, shown, "! ", "with its cautions")
	require.True(t, asked(t, a, `/project show name:"Tide Line" steps:perhaps`).Refused)
}
