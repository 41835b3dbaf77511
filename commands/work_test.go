package commands

import (
	"context"
	"testing"

	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing"

	"github.com/stretchr/testify/require"
)

// Every step has a picture of its own, of what it does, and says how many knots are
// left: never more than before, and none when all is tied.
func TestEveryStepIsShown(t *testing.T) {
	t.Parallel()
	for _, demo := range demos() {
		sized, err := sizedDemo(demo.Value)
		require.NoError(t, err)
		last, pictures := len(sized.Placed), map[string]bool{}
		for _, s := range stations(sized, sitting.Prefs{}) {
			if !s.step {
				continue
			}
			left := leftAfter(sized, s.does)
			require.LessOrEqual(t, left, last, "%s: %s", demo.Value, s.text)
			last = left
			key := say.Step(sized, s.does, sitting.Prefs{}).Key
			require.NotEmpty(t, key)
			require.False(t, pictures[key], "%s: %s", demo.Value, s.text)
			pictures[key] = true
		}
		require.Zero(t, last, "%s: all is tied in the end", demo.Value)
	}
}

// Where a maker stopped is found again, with what was ticked off; an old message's
// button does nothing; two pieces are under way side by side.
func TestWorkIsTakenUpAgain(t *testing.T) {
	t.Parallel()
	p := &presser{t: t, a: newApp(t)}
	p.now = asked(t, p.a, "/work demo:tide-line")
	old := p.now
	p.pick("Tick off what is cut", "tick B")
	p.button("done, next")
	p.button("done, next")
	here := p.now
	p.button("how is this knot tied?")
	require.Contains(t, render(p.now), "How to tie it")
	p.button("back to the piece")
	require.Equal(t, texts(here), texts(p.now))
	p.button("I stop here")
	require.Contains(t, render(p.now), "Your place is kept for 30 days")

	p.now = asked(t, p.a, "/work demo:moss-cradle")
	require.Contains(t, render(p.now), "Moss Cradle, 1 of")
	p.now = asked(t, p.a, "/work demo:tide-line")
	require.Contains(t, render(p.now), "You stopped here.")
	require.Contains(t, render(p.now), "Tide Line, 3 of")
	p.button("back")
	p.button("back")
	require.Contains(t, render(p.now), "[x] B")
	require.Contains(t, render(p.now), "[ ] A")

	p.now = old
	p.button("done, next")
	require.Contains(t, render(p.now), "You are further on than that message. Nothing was changed")
	require.Contains(t, render(p.now), "Tide Line, 1 of")
}

// sizedDemo is a demo design sized by the book.
func sizedDemo(name string) (sizing.Sized, error) {
	text, err := demoSheet(name)
	if err != nil {
		return sizing.Sized{}, err
	}
	return sizing.Size(context.Background(), text, sizing.Maker{})
}
