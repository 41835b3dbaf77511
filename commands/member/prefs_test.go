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
