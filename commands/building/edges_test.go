package building_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
	"larkfold/sizing/length"
)

// menu is the menu of a reply with this placeholder.
func (p *presser) menu(placeholder string) reply.Menu {
	p.t.Helper()
	for _, m := range commandstest.MenusOf(p.now) {
		if m.Placeholder == placeholder {
			return m
		}
	}
	require.Fail(p.t, "no such menu: "+placeholder, commandstest.Render(p.now))
	return reply.Menu{}
}

// A menu holds 25 steps; of a panel with more it shows the last 23, and leads from there
// to each of the others and back.
func TestEveryStepIsReached(t *testing.T) {
	t.Parallel()
	const page = 23
	for _, steps := range []int{25, 26, 47} {
		p := startedWith(t, "cord main 4 mm\ndowel 50 cm x 20 mm\npanel front\nmount 4 folded\n"+strings.Repeat("space 1 cm\n", steps-1))
		reached := map[string]bool{}
		look := func() (earlier, later string) {
			m := p.menu("Change a step")
			require.LessOrEqual(t, len(m.Choices), 25)
			for _, c := range m.Choices {
				switch c.Name {
				case "earlier steps":
					earlier = c.Value
				case "later steps":
					later = c.Value
				default:
					reached[c.Value] = true
				}
			}
			return earlier, later
		}
		earlier, later := look()
		require.Empty(t, later, "the last ones first")
		require.Equal(t, steps > 25, earlier != "", steps)
		require.Len(t, reached, map[bool]int{true: page, false: steps}[steps > 25])
		require.True(t, reached[fmt.Sprintf("step %d", steps)])
		for range 3 {
			if earlier == "" {
				break
			}
			p.pick("Change a step", earlier)
			earlier, later = look()
			require.NotEmpty(t, later)
		}
		require.Len(t, reached, steps)
		if later != "" {
			p.pick("Change a step", later)
			earlier, _ = look()
			require.NotEmpty(t, earlier)
		}
	}
}

// Whole numbers of a form have bounds, which its refusal names; the number may be said
// with its word.
func TestHowOftenStepsAreRepeated(t *testing.T) {
	t.Parallel()
	p := startedWith(t, "cord main 4 mm\ndowel 50 cm x 20 mm\npanel front\nmount 4 folded\nrow square\nspace 1 cm\n")
	p.pick("Change a step", "step 2")
	p.button("repeat from here")
	form := p.now
	for _, one := range []struct{ to, times, says string }{
		{"1", "2", "from 2 to 200"}, {"201", "2", "from 2 to 200"}, {"200", "2", "has no step 200"}, {"x", "2", "from 2 to 200"}, {"", "2", "from 2 to 200"},
		{"2", "1", "from 2 to 1000"}, {"2", "1001", "from 2 to 1000"}, {"2", "many", "from 2 to 1000"},
		{"3", "3 times", "repeat 3 times"},
	} {
		p.now = form
		p.fill(map[string]string{"to": one.to, "times": one.times})
		refused := strings.Contains(one.says, "from") || strings.Contains(one.says, "has no")
		require.Equal(t, refused, p.now.Refused, one)
		if refused {
			require.Contains(t, commandstest.Render(p.now), one.says)
		} else {
			require.Contains(t, p.design().Sheet, one.says)
		}
	}
}

// What is typed into a form of an older message is given back, and changes nothing.
func TestWhatWasTypedTooLateIsGivenBack(t *testing.T) {
	t.Parallel()
	p := startedWith(t, "cord main 4 mm\ndowel 50 cm x 20 mm\npanel front\nmount 4 folded\nrow square\n")
	opened := p.now
	p.pick("Next step", "step space")
	step := p.now
	p.now = opened
	p.button("panels")
	p.button("copy this one")
	copied := p.now
	p.now = opened
	p.step("tail 9 cm")
	before := p.design().Sheet
	p.now = step
	p.fill(map[string]string{"the drop to leave unknotted": "7 cm"})
	require.Contains(t, strings.Join(texts(p.now), "\n"), "You had typed: space 7 cm")
	p.now = copied
	p.fill(map[string]string{"name": "stern"})
	require.Contains(t, strings.Join(texts(p.now), "\n"), "You had typed: name of the copy: stern")
	require.Equal(t, before, p.design().Sheet)
}

// A work is as wide as all that hangs on its rod, from the leftmost end to the rightmost.
func TestHowWideADesignIs(t *testing.T) {
	t.Parallel()
	wide := func(sheet string) length.Length {
		p := startedWith(t, sheet)
		found := regexp.MustCompile(`; (.+?) wide, `).FindStringSubmatch(strings.Join(texts(p.now), "\n"))
		require.Len(t, found, 2)
		l, err := length.Parse(found[1], 0)
		require.NoError(t, err)
		return l
	}
	one := wide("cord main 4 mm\ndowel 50 cm x 20 mm\npanel front\nmount 6 folded\n")
	two := wide("cord main 4 mm\ndowel 50 cm x 20 mm\npanel front\nmount 6 folded\npanel middle\ngap 3 cm\nmount 6 folded\n")
	require.InDelta(t, float64(2*one+3*length.Centimetre), float64(two), float64(length.Centimetre))
}

// A panel that joins others has no step yet, and no menu of none.
func TestAPanelWithoutAStep(t *testing.T) {
	t.Parallel()
	p := startedWith(t, "cord main 4 mm\ndowel 50 cm x 20 mm\npanel front\nmount 4 folded\nnet square rows 6\npanel middle\nmount 4 folded\nnet square rows 6\n")
	p.button("panels")
	p.button("join panels")
	p.fill(map[string]string{"name": "point"})
	said := strings.Join(texts(p.now), "\n")
	require.Contains(t, said, "Takes up the ends of front and middle.")
	require.Contains(t, said, "No step yet.")
	for _, m := range commandstest.MenusOf(p.now) {
		require.NotEmpty(t, m.Choices, m.Placeholder)
	}
}

// Another size is refused like any form: with nothing filled in, with what is no length,
// with what the design cannot be.
func TestAnotherSizeIsRefused(t *testing.T) {
	t.Parallel()
	p := startedWith(t, "cord main 4 mm\ndowel 50 cm x 20 mm\npanel front\nmount 12 folded\nnet square rows 6\ntail 20 cm\n")
	p.button("print, make, share")
	p.button("another size")
	form := p.now
	before := p.design().Sheet
	for field, says := range map[string]string{"": "nothing is to be changed", "width": "banana", "drop": "banana"} {
		p.now = form
		fields := map[string]string{}
		if field != "" {
			fields[field] = says
		}
		p.fill(fields)
		require.True(t, p.now.Refused, field)
		require.Contains(t, commandstest.Render(p.now), says)
		require.Equal(t, before, p.design().Sheet)
	}
	p.now = form
	p.fill(map[string]string{"width": "40 cm"})
	require.False(t, p.now.Refused, commandstest.Render(p.now))
	require.NotEqual(t, before, p.design().Sheet)
}

// Cord of which nobody said how thick it is cannot be offered; the colours of the other
// page are one press away; a second rod gets a name.
func TestWhatTheHeadOffers(t *testing.T) {
	t.Parallel()
	p := &presser{t: t, a: commandstest.Quick(t)}
	commandstest.Answered(t, p.a, "/shelf add pieces:45cm cord:jute")
	p.now = commandstest.Asked(t, p.a, "/build new:yes")
	form, ok := formIn(p.now)
	require.True(t, ok)
	require.Equal(t, "4 mm single-strand", fieldsOf(form)["cord"])
	p.fill(nil)
	p.button("cord and rod")
	head := p.now
	for _, m := range commandstest.MenusOf(head) {
		require.NotEqual(t, "One of my own cords", m.Placeholder)
	}
	p.pick("Colour of a cord", "colours 1 1")
	first := commandstest.MenusOf(p.now)[0].Placeholder
	p.button("other colours")
	second := commandstest.MenusOf(p.now)[0].Placeholder
	require.NotEqual(t, first, second)
	p.button("other colours")
	require.Equal(t, first, commandstest.MenusOf(p.now)[0].Placeholder)
	for word, says := range map[string]string{"dowel": "50 cm x 20 mm", "ring": "foot 20 cm x 5 mm"} {
		p.now = head
		p.pick("Change or add", "head "+word)
		form, ok := formIn(p.now)
		require.True(t, ok)
		require.Equal(t, says, fieldsOf(form)["says"], word)
	}
}

// What is shared is the saved design: a button of before the last change shares nothing.
func TestAnOldShareButtonSharesNothing(t *testing.T) {
	t.Parallel()
	p := &presser{t: t, a: commandstest.New(t)}
	p.now = commandstest.Asked(t, p.a, "/build new:yes")
	p.fill(nil)
	p.button("save")
	p.fill(map[string]string{"name": "Trio"})
	saved := p.now
	p.button("print, make, share")
	old, ok := buttonIn(p.now, "share it here")
	require.True(t, ok)
	p.now = saved
	p.step("tail 9 cm")
	p.button("save")
	p.send(old.Do, nil, nil)
	require.Contains(t, strings.Join(texts(p.now), "\n"), "moved on since")
}
