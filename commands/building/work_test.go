package building_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
)

// Where a maker stopped is found again, with what was ticked off; an old message's
// button does nothing; two pieces are under way side by side.
func TestWorkIsTakenUpAgain(t *testing.T) {
	t.Parallel()
	p := &presser{t: t, a: commandstest.New(t)}
	p.now = commandstest.Asked(t, p.a, "/work demo:tide-line")
	old := p.now
	p.pick("Tick off what is cut", "tick B")
	p.button("done, next")
	p.button("done, next")
	here := p.now
	p.button("how is this knot tied?")
	require.Contains(t, commandstest.Render(p.now), "How to tie it")
	p.button("back to the piece")
	require.Equal(t, texts(here), texts(p.now))
	p.button("I stop here")
	require.Contains(t, commandstest.Render(p.now), "Your place is kept for 30 days")

	p.now = commandstest.Asked(t, p.a, "/work demo:moss-cradle")
	require.Contains(t, commandstest.Render(p.now), "Moss Cradle, 1 of")
	p.now = commandstest.Asked(t, p.a, "/work demo:tide-line")
	require.Contains(t, commandstest.Render(p.now), "You stopped here.")
	require.Contains(t, commandstest.Render(p.now), "Tide Line, 3 of")
	p.button("back")
	p.button("back")
	require.Contains(t, commandstest.Render(p.now), "[x] B")
	require.Contains(t, commandstest.Render(p.now), "[ ] A")

	p.now = old
	p.button("done, next")
	require.Contains(t, commandstest.Render(p.now), "You are further on than that message. Nothing was changed")
	require.Contains(t, commandstest.Render(p.now), "Tide Line, 1 of")
}
