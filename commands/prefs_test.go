package commands

import (
	"testing"
	"time"

	"larkfold/commands/reply"

	"github.com/stretchr/testify/require"
)

func TestPrefsAnswers(t *testing.T) {
	golden(t, "prefs", conversation(t, newApp(t),
		"/prefs",
		"/prefs units:both step:2in",
		"/prefs margin:12% detail:short",
		"/prefs",
	))
}

// Preferences are taken to their very bounds and refused beyond them.
func TestPrefsBounds(t *testing.T) {
	a := newApp(t)
	for _, line := range []string{"/prefs margin:1", "/prefs margin:100", "/prefs step:1mm", "/prefs step:1m"} {
		answered(t, a, line)
	}
	for _, line := range []string{"/prefs margin:0", "/prefs margin:101", "/prefs step:0.9mm", "/prefs step:1.001m"} {
		require.True(t, asked(t, a, line).Refused, line)
	}
}

// Buttons work for a week, to the second.
func TestLifeOfButtons(t *testing.T) {
	a := newApp(t)
	answer := answered(t, a, "/cord width:20cm drop:40cm")
	var do reply.Action
	for _, block := range answer.Blocks {
		if found, ok := block.(reply.Actions); ok {
			do = found.Buttons[1].Do
		}
	}
	who := ana
	who.Now = now.Add(7*24*time.Hour - time.Second)
	require.Contains(t, render(act(t, a, who, do, nil, nil)), "The working sheet")
	who.Now = now.Add(7 * 24 * time.Hour)
	late := act(t, a, who, do, nil, nil)
	require.True(t, late.Refused)
	require.Contains(t, render(late), "more than a week old")
}
