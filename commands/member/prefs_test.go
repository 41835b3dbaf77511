package member_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
)

func TestPrefsAnswers(t *testing.T) {
	commandstest.Golden(t, "prefs", commandstest.Conversation(t, commandstest.New(t),
		"/prefs",
		"/prefs units:both step:2in",
		"/prefs margin:12% detail:short",
		"/prefs",
	))
}

// Preferences are taken to their very bounds and refused beyond them.
func TestPrefsBounds(t *testing.T) {
	a := commandstest.New(t)
	for _, line := range []string{"/prefs margin:1", "/prefs margin:100", "/prefs step:1mm", "/prefs step:1m"} {
		commandstest.Answered(t, a, line)
	}
	for _, line := range []string{"/prefs margin:0", "/prefs margin:101", "/prefs step:0.9mm", "/prefs step:1.001m"} {
		require.True(t, commandstest.Asked(t, a, line).Refused, line)
	}
}

// Buttons work for a week, to the second.
func TestLifeOfButtons(t *testing.T) {
	a := commandstest.New(t)
	answer := commandstest.Answered(t, a, "/cord width:20cm drop:40cm")
	var do reply.Action
	for _, block := range answer.Blocks {
		if found, ok := block.(reply.Actions); ok {
			do = found.Buttons[1].Do
		}
	}
	who := commandstest.Ana
	who.Now = commandstest.Now.Add(7*24*time.Hour - time.Second)
	require.Contains(t, commandstest.Render(commandstest.Act(t, a, who, do, nil, nil)), "The working sheet")
	who.Now = commandstest.Now.Add(7 * 24 * time.Hour)
	late := commandstest.Act(t, a, who, do, nil, nil)
	require.True(t, late.Refused)
	require.Contains(t, commandstest.Render(late), "more than a week old")
}

// What a member chooses is shown as chosen, and the usual as the usual; a construction
// alone says nothing.
func TestPrefsAreShownAsChosen(t *testing.T) {
	a := commandstest.Quick(t)
	for _, tt := range []struct{ line, label, value string }{
		{"/prefs hang:touching", "hung", "touching"}, {"/prefs hang:relaxed", "hung", "relaxed as usual"}, {"/prefs hang:usual", "hung", "relaxed as usual"},
		{"/prefs margin:12%", "margin", "12 %"}, {"/prefs margin:%", "margin", "12 %"}, {"/prefs", "margin", "12 %"},
	} {
		require.Equal(t, tt.value, commandstest.FactOf(commandstest.Answered(t, a, tt.line), tt.label), tt.line)
	}
	// What knots press a cord to: 0.70, 0.82 and 0.88 of the label (common practice, no source).
	set := commandstest.FactOf(commandstest.Answered(t, a, "/prefs squeeze:0.75"), "when knotted")
	require.Contains(t, set, "single-strand 0.75, ")
	require.Contains(t, set, "plied 0.82 as usual")
	both := commandstest.FactOf(commandstest.Answered(t, a, "/prefs squeeze:0.8 construction:plied"), "when knotted")
	require.Contains(t, both, "single-strand 0.75, ")
	require.Contains(t, both, "plied 0.80,")
	require.Contains(t, commandstest.FactOf(commandstest.Answered(t, a, "/prefs squeeze:usual"), "when knotted"), "single-strand 0.70 as usual")
	alone := commandstest.Asked(t, a, "/prefs construction:plied")
	require.True(t, alone.Refused)
	require.Contains(t, commandstest.Render(alone), "/prefs squeeze:0.75 construction:plied")
	wrong := commandstest.Render(commandstest.Asked(t, a, "/prefs construction:woven"))
	require.NotContains(t, wrong, "not what of it", "the first slip is told")
}
