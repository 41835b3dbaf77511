package commands

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/length"

	"github.com/stretchr/testify/require"
)

// Every demo design is worked along from the first press to the last; the steps are
// those of the printed sheet, and the last one hangs it with its cautions.
func TestDemosAreWorkedAlong(t *testing.T) {
	t.Parallel()
	for _, demo := range demos() {
		t.Run(demo.Value, func(t *testing.T) {
			t.Parallel()
			p := &presser{t: t, a: newApp(t)}
			p.now = asked(t, p.a, "/work demo:"+demo.Value)
			sized, err := sizedDemo(demo.Value)
			require.NoError(t, err)
			for _, c := range sized.List.Cuts {
				p.pick("Tick off what is cut", "tick "+c.Label)
			}
			require.Empty(t, menusOf(p.now), "everything is cut")
			require.NotContains(t, render(p.now), "[ ]")
			for _, in := range say.Instructions(sized.Result, length.Style{}) {
				for _, sentence := range in.Steps {
					p.button("done, next")
					require.Contains(t, render(p.now), sentence)
				}
			}
			p.button("done, next")
			require.Contains(t, render(p.now), "Hang it up")
			require.True(t, hasCaution(p.now))
			p.button("it hangs")
			require.Contains(t, render(asked(t, p.a, "/work")), "not making a piece")
		})
	}
}

// The picture and the count of a step are of the work when it is done: fewer knots are
// left after each, none at the end, and the picture's text says how many are tied.
func TestAStepShowsTheWorkSoFar(t *testing.T) {
	t.Parallel()
	sized, err := sizedDemo("tide-line")
	require.NoError(t, err)
	last, pictures := len(sized.Placed)+1, map[string]bool{}
	for _, s := range stations(sized, sitting.Prefs{}) {
		if s.panel < 0 {
			continue
		}
		after, left := soFar(sized, s)
		require.LessOrEqual(t, left, last)
		require.Equal(t, len(sized.Placed), len(after.Placed)+left)
		last = left
		p, ok := pictured(after, left, sitting.Prefs{}).(reply.Picture)
		require.True(t, ok)
		if left > 0 && len(after.Placed) > 0 {
			pictures[p.Key] = true
			img, err := p.Draw()
			require.NoError(t, err)
			require.Contains(t, img.Alt, fmt.Sprintf("%d of %d knots tied", len(after.Placed), len(sized.Placed)))
		}
	}
	require.Zero(t, last, "all is tied in the end")
	require.Greater(t, len(pictures), 3, "each step has a picture of its own")
}

func hasCaution(r reply.Reply) bool {
	for _, b := range r.Blocks {
		if c, ok := b.(reply.Caution); ok && strings.Contains(string(c), "rated for several times the load") {
			return true
		}
	}
	return false
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
