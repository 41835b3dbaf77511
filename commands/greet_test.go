package commands

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"
)

// A member is greeted once: not in a refusal, not in help, not the second time.
func TestAMemberIsGreetedOnce(t *testing.T) {
	t.Parallel()
	a := newApp(t)
	const line = "Three things to try"
	require.NotContains(t, render(asked(t, a, "/convert what:3m")), line, "only where the app greets")
	a.greets = true
	require.NotContains(t, render(asked(t, a, "/convert what:nonsense")), line)
	require.NotContains(t, render(asked(t, a, "/help")), line)
	first := render(asked(t, a, "/convert what:3m"))
	require.Contains(t, first, line)
	require.NotContains(t, render(asked(t, a, "/convert what:3m")), line)
	require.Contains(t, render(askedBy(t, a, mara, "/convert what:3m")), line)
	for _, try := range []string{"/build", "/help", "/prefs units:imperial"} {
		require.Contains(t, first, try)
		answer, err := a.Do(context.Background(), typed(t, a, mara, try))
		require.NoError(t, err)
		require.False(t, answer.Refused, try)
	}
}

// What a refusal suggests is done by its button, by whoever was refused, and by
// nobody else.
func TestASuggestionIsAButton(t *testing.T) {
	t.Parallel()
	a := newApp(t)
	wrong := asked(t, a, "/cord width:40cm drop:40km")
	require.True(t, wrong.Refused)
	button := buttonsOf(wrong)[0]
	require.Equal(t, "do that", button.Label)
	require.Contains(t, render(act(t, a, ana, button.Do, nil, nil)), "40 cm wide, 40 cm long")
	require.Contains(t, render(act(t, a, mara, button.Do, nil, nil)), "somebody else's answer")
}

// Every button of help's pages runs, and the first page is short.
func TestHelpBeginsWithButtons(t *testing.T) {
	t.Parallel()
	a := newApp(t)
	first := asked(t, a, "/help")
	for _, b := range buttonsOf(first) {
		require.False(t, act(t, a, ana, b.Do, nil, nil).Refused, b.Label)
	}
	menu := menusOf(first)[0]
	require.Len(t, menu.Choices, len(tasks()))
	for _, c := range menu.Choices {
		page := act(t, a, ana, menu.Do, []string{c.Value}, nil)
		require.Contains(t, render(page), c.Name)
		for _, b := range buttonsOf(page) {
			require.False(t, act(t, a, ana, b.Do, nil, nil).Refused, b.Label)
		}
	}
}
