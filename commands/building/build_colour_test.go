package building_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/building"
	"larkfold/commands/commandstest"
	"larkfold/sizing/cord"
)

// Every colour that has a name is three presses from the design, fits its menus, and
// is written into the cord's line; it is taken off again and undone like any change.
func TestColoursByMenu(t *testing.T) {
	t.Parallel()
	p := &presser{t: t, a: commandstest.New(t)}
	p.now = commandstest.Asked(t, p.a, "/build demo:tide-line")
	before := p.design().Sheet
	offered := 0
	p.button("cord and rod")
	head := p.now
	for page := range building.HuePages() {
		p.now = head
		p.pick("Colour of a cord", []string{"colours 1 1", "colours 1 2"}[page])
		require.LessOrEqual(t, len(commandstest.MenusOf(p.now)), 4, "with the buttons, a message holds no more")
		for _, m := range commandstest.MenusOf(p.now) {
			require.LessOrEqual(t, len(m.Choices), 25)
			offered += len(m.Choices)
		}
	}
	all := 0
	for _, h := range cord.Hues() {
		all += len(h.Colours)
	}
	require.Equal(t, all, offered)

	presses := p.presses
	p.now = head
	p.pick("Colour of a cord", "colours 1 1")
	p.pick("brown, orange", "colour 1 sienna")
	require.Equal(t, 2, p.presses-presses)
	require.Contains(t, p.design().Sheet, "colour sienna")
	p.button("cord and rod")
	p.pick("Colour of a cord", "colours 1 2")
	require.Contains(t, commandstest.Render(p.now), "It is sienna now.")
	p.button("no colour")
	require.NotContains(t, p.design().Sheet, "colour")
	p.button("undo")
	p.button("undo")
	require.Equal(t, before, p.design().Sheet)
}

// A member's own cords come first: those of swatches, the latest before the earlier,
// then what lies on the shelf. They take the place of the first cord or come besides.
func TestOwnCordsComeFirst(t *testing.T) {
	t.Parallel()
	p := &presser{t: t, a: commandstest.New(t)}
	cordAsked := func() string {
		p.now = commandstest.Asked(t, p.a, "/build new:yes")
		f, ok := formIn(p.now)
		require.True(t, ok)
		return fieldsOf(f)["cord"]
	}
	require.Equal(t, "4 mm single-strand", cordAsked())
	commandstest.Answered(t, p.a, `/shelf add pieces:"2 x 5m" cord:"6 mm braided"`)
	require.Equal(t, "6 mm braided", cordAsked())
	commandstest.Answered(t, p.a, "/swatch add knot:square count:10 sample:12cm before:2m after:1.2m thickness:3mm construction:plied")
	require.Equal(t, "3 mm plied", cordAsked())

	p.fill(nil)
	require.Contains(t, p.design().Sheet, "cord main 3 mm plied\n")
	p.button("cord and rod")
	require.Equal(t, "One of my own cords", commandstest.MenusOf(p.now)[0].Placeholder, "before everything else")
	p.pick("One of my own cords", "own 2")
	require.Contains(t, p.design().Sheet, "cord main 6 mm braided\n")
	p.button("cord and rod")
	p.pick("One of my own cords", "besides 1")
	require.Contains(t, p.design().Sheet, "cord cord-2 3 mm plied\n")
	require.Equal(t, 2, strings.Count(p.design().Sheet, "\ncord ")+strings.Count(p.design().Sheet[:5], "cord "))
}
