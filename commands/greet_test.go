package commands_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands"
	"larkfold/commands/commandstest"
)

// A member is greeted once: not in a refusal, not in help, not the second time.
func TestAMemberIsGreetedOnce(t *testing.T) {
	t.Parallel()
	a := commandstest.New(t)
	const line = "Three things to try"
	require.NotContains(t, commandstest.Render(commandstest.Asked(t, a, "/convert what:3m")), line, "only where the app greets")
	a = commandstest.On(commands.Config{Store: a.Room.Store, Greets: true})
	require.NotContains(t, commandstest.Render(commandstest.Asked(t, a, "/convert what:nonsense")), line)
	require.NotContains(t, commandstest.Render(commandstest.Asked(t, a, "/help")), line)
	first := commandstest.Render(commandstest.Asked(t, a, "/convert what:3m"))
	require.Contains(t, first, line)
	require.NotContains(t, commandstest.Render(commandstest.Asked(t, a, "/convert what:3m")), line)
	require.Contains(t, commandstest.Render(commandstest.AskedBy(t, a, commandstest.Mara, "/convert what:3m")), line)
	for _, try := range []string{"/build", "/help", "/prefs units:imperial"} {
		require.Contains(t, first, try)
		answer, err := a.Do(context.Background(), commandstest.Typed(t, commandstest.Mara, try))
		require.NoError(t, err)
		require.False(t, answer.Refused, try)
	}
}

// What a refusal suggests is done by its button, by whoever was refused, and by
// nobody else.
func TestASuggestionIsAButton(t *testing.T) {
	t.Parallel()
	a := commandstest.New(t)
	wrong := commandstest.Asked(t, a, "/cord width:40cm drop:40km")
	require.True(t, wrong.Refused)
	button := commandstest.ButtonsOf(wrong)[0]
	require.Equal(t, "do that", button.Label)
	require.Contains(t, commandstest.Render(commandstest.Act(t, a, commandstest.Ana, button.Do, nil, nil)), "40 cm wide, 40 cm long")
	require.Contains(t, commandstest.Render(commandstest.Act(t, a, commandstest.Mara, button.Do, nil, nil)), "somebody else's answer")
}

// Every button of help's pages runs, and the first page is short.
func TestHelpBeginsWithButtons(t *testing.T) {
	t.Parallel()
	a := commandstest.New(t)
	first := commandstest.Asked(t, a, "/help")
	for _, b := range commandstest.ButtonsOf(first) {
		require.False(t, commandstest.Act(t, a, commandstest.Ana, b.Do, nil, nil).Refused, b.Label)
	}
	menu := commandstest.MenusOf(first)[0]
	require.Len(t, menu.Choices, len(commands.Tasks()))
	for _, c := range menu.Choices {
		page := commandstest.Act(t, a, commandstest.Ana, menu.Do, []string{c.Value}, nil)
		require.Contains(t, commandstest.Render(page), c.Name)
		for _, b := range commandstest.ButtonsOf(page) {
			require.False(t, commandstest.Act(t, a, commandstest.Ana, b.Do, nil, nil).Refused, b.Label)
		}
	}
}
