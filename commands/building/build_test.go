package building_test

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/making"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
	"larkfold/store"
)

// presser presses through a design in the making, each press delivered twice, and
// counts.
type presser struct {
	t              testing.TB
	a              *commandstest.App
	now            reply.Reply // the answer at hand
	presses, forms int
}

func (p *presser) send(do reply.Action, values []string, fields map[string]string) {
	p.t.Helper()
	who := commandstest.Ana
	who.ID, who.Action, who.Values, who.Fields = rand.Text(), &do, values, fields
	first, err := p.a.Do(context.Background(), who)
	require.NoError(p.t, err)
	if fields != nil {
		p.forms++
	} else {
		p.presses++
	}
	again, err := p.a.Do(context.Background(), who)
	require.NoError(p.t, err)
	if _, isForm := formIn(first); !isForm {
		require.Equal(p.t, texts(first), texts(again), "a press delivered twice answers the same")
	}
	p.now = first
}

// texts are the words of a reply that the moment of asking does not change.
func texts(r reply.Reply) []string {
	var out []string
	for _, b := range r.Blocks {
		switch b := b.(type) {
		case reply.Heading:
			out = append(out, string(b))
		case reply.Text:
			if !strings.HasPrefix(string(b), "Saved as") {
				out = append(out, string(b))
			}
		case reply.Verbatim:
			out = append(out, string(b))
		}
	}
	return out
}

func formIn(r reply.Reply) (reply.Form, bool) {
	if len(r.Blocks) == 1 {
		f, ok := r.Blocks[0].(reply.Form)
		return f, ok
	}
	return reply.Form{}, false
}

func (p *presser) button(label string) {
	p.t.Helper()
	for _, b := range commandstest.ButtonsOf(p.now) {
		if b.Label == label {
			p.send(b.Do, nil, nil)
			return
		}
	}
	require.Fail(p.t, "no such button: "+label, commandstest.Render(p.now))
}

func (p *presser) pick(placeholder, value string) {
	p.t.Helper()
	for _, m := range commandstest.MenusOf(p.now) {
		if m.Placeholder == placeholder {
			require.True(p.t, slices.ContainsFunc(m.Choices, func(c reply.Choice) bool { return c.Value == value }), "%s offers no %q\n%v", placeholder, value, m.Choices)
			p.send(m.Do, []string{value}, nil)
			return
		}
	}
	require.Fail(p.t, "no such menu: "+placeholder, commandstest.Render(p.now))
}

func (p *presser) fill(changes map[string]string) {
	p.t.Helper()
	f, ok := formIn(p.now)
	require.True(p.t, ok, commandstest.Render(p.now))
	fields := map[string]string{}
	for _, field := range f.Fields {
		fields[field.Name] = field.Value
	}
	for name, value := range changes {
		require.Contains(p.t, fields, name, "%s", f.Title)
		fields[name] = value
	}
	p.send(f.Do, nil, fields)
}

// design is the design in the making that was touched last.
func (p *presser) design() making.Design {
	p.t.Helper()
	var d making.Design
	err := p.a.Room.Store.View(context.Background(), commandstest.Ana.Member, commandstest.Ana.Now, func(tx *store.Tx) error {
		all, err := tx.Drafts(sitting.Build)
		require.NoError(p.t, err)
		require.NotEmpty(p.t, all)
		return json.Unmarshal(all[0].Payload, &d)
	})
	require.NoError(p.t, err)
	return d
}

// step adds a step by the menu and its form: one press, one form.
func (p *presser) step(line string) {
	p.t.Helper()
	word, _, _ := strings.Cut(line, " ")
	offered := false
	for _, m := range commandstest.MenusOf(p.now) {
		offered = offered || slices.ContainsFunc(m.Choices, func(c reply.Choice) bool { return c.Value == "step "+word })
	}
	require.True(p.t, offered, "the menu offers no %s\n%s", word, commandstest.Render(p.now))
	p.pick("Next step", "step "+word)
	p.fill(filledAs(p.t, headOf(p.design().Sheet), p.now, line))
	require.False(p.t, p.now.Refused, "%s\n%s", line, commandstest.Render(p.now))
}

// filledAs are the fields of a form that make a line: found as a maker would, by
// reading the line and putting each of its amounts where the form asks for it.
func filledAs(t testing.TB, head string, r reply.Reply, line string) map[string]string {
	t.Helper()
	form, ok := formIn(r)
	require.True(t, ok, commandstest.Render(r))
	s, faults := sheet.Parse(head+"panel middle\nmount 2 folded\npanel x round\nmount 200 folded\n"+line+"\n", knot.Standard())
	if faults.Any() { // a mount or a bare rod, which come first
		s, faults = sheet.Parse(head+"panel middle\nmount 2 folded\npanel x\n"+line+"\n", knot.Standard())
	}
	require.False(t, faults.Any(), "%v", faults)
	panel := s.Panels[len(s.Panels)-1]
	step := panel.Steps[len(panel.Steps)-1]
	var choices making.Lists
	for _, f := range form.Fields {
		if f.Name == "the knot" {
			for _, c := range f.Choices {
				choices.Knots = append(choices.Knots, c.Value)
			}
		}
	}
	fields := map[string]string{}
	for _, b := range making.BlanksOf(sheet.FactsOf(step), s.Says, choices, false) {
		fields[b.Name] = b.Value
	}
	return fields
}

// headOf is what stands before the panels.
func headOf(text string) string {
	head, _, _ := strings.Cut(text, "\npanel ")
	return head + "\n"
}

// The screens of one whole design, as text.
func TestBuildScreens(t *testing.T) {
	t.Parallel()
	p := &presser{t: t, a: commandstest.New(t)}
	p.now = commandstest.Asked(t, p.a, "/build new:yes")
	screens := []string{screen(p.now)}
	show := func() { screens = append(screens, screen(p.now)) }
	p.fill(map[string]string{"count": "10", "cord": "5 mm plied"})
	show()
	p.pick("Next step", "step net")
	show()
	p.fill(map[string]string{"rows": "6"})
	show()
	p.step("tail 15 cm")
	p.pick("Change a step", "step 2")
	show()
	p.button("back to the design")
	p.button("panels")
	show()
	p.button("back to the design")
	p.button("cord and rod")
	show()
	p.button("back to the design")
	p.button("finish")
	show()
	p.finishAs("hanger", map[string]string{"size": "rise 12 cm"})
	p.button("save")
	show()
	p.fill(map[string]string{"name": "Ebb"})
	show()
	commandstest.Golden(t, "build", strings.Join(screens, "\n----\n\n"))
}

// screen is a reply as text, with what its menus and forms offer.
func screen(r reply.Reply) string {
	var b strings.Builder
	b.WriteString(commandstest.Render(r))
	list := func(of string, choices []reply.Choice) {
		for _, c := range choices {
			fmt.Fprintf(&b, "  %s | %s | %s\n", of, c.Name, c.Note)
		}
	}
	for _, m := range commandstest.MenusOf(r) {
		list(m.Placeholder, m.Choices)
	}
	if f, ok := formIn(r); ok {
		for _, field := range f.Fields {
			list(field.Label, field.Choices)
		}
	}
	return b.String()
}

func (p *presser) finishAs(word string, fields map[string]string) {
	p.pick("Add", "finish "+word)
	p.fill(fields)
}

// BenchmarkPress is one press on a design of 40 cords, answered in words: a step is
// added by its form, what can come next is sized, and the design is kept.
func BenchmarkPress(b *testing.B) {
	p := &presser{t: b, a: commandstest.New(b)}
	p.now = commandstest.Asked(b, p.a, "/build new:yes")
	p.fill(map[string]string{"count": "40", "size": "1 m x 25 mm"})
	p.step("net square rows 24")
	p.pick("Change a step", "step 2")
	p.button("change it")
	form, ok := formIn(p.now)
	require.True(b, ok)
	for i := 0; b.Loop(); i++ {
		fields := map[string]string{}
		for _, f := range form.Fields {
			fields[f.Name] = f.Value
		}
		fields["rows"] = fmt.Sprint(23 + i%2)
		answer := commandstest.Act(b, p.a, commandstest.Ana, form.Do, nil, fields)
		require.False(b, answer.Refused)
		// The next form is that of today's turn.
		b.StopTimer()
		p.now = answer
		p.pick("Change a step", "step 2")
		p.button("change it")
		form, _ = formIn(p.now)
		b.StartTimer()
	}
}

// A hanger as it is offered stands steep enough on any dowel.
func TestOfferedHangers(t *testing.T) {
	t.Parallel()
	p := &presser{t: t, a: commandstest.New(t)}
	for _, size := range []string{"15 cm x 10 mm", "50 cm x 20 mm", "61 cm x 20 mm", "3 m x 35 mm"} {
		p.now = commandstest.Asked(t, p.a, "/build new:yes")
		p.fill(map[string]string{"size": size, "count": "4"})
		p.button("finish")
		p.finishAs("hanger", nil)
		require.Contains(t, p.design().Sheet, "\nhanger rise ")
		require.NotContains(t, strings.Join(texts(p.now), "\n"), "degrees: below", size)
	}
}

// The form that begins a design is refused like any other, and opens again with what
// was typed.
func TestTheFirstFormIsMendedToo(t *testing.T) {
	a := commandstest.New(t)
	opened := commandstest.Asked(t, a, "/build new:yes")
	refused := commandstest.Fill(t, a, commandstest.Ana, opened, map[string]string{"size": "-50 cm"})
	require.True(t, refused.Refused)
	again := commandstest.Press(t, a, refused, "mend it")
	f, ok := formIn(again)
	require.True(t, ok)
	require.Equal(t, "-50 cm", fieldsOf(f)["size"])
	mended := commandstest.Fill(t, a, commandstest.Ana, again, map[string]string{"size": "50 cm x 20 mm"})
	require.False(t, mended.Refused, "%s", commandstest.Render(mended))
	require.Contains(t, commandstest.Render(mended), "12 cords")
}

// What a design hangs on is one of three; a slip is refused with the nearest of them,
// and what was typed is kept.
func TestWhatADesignHangsOn(t *testing.T) {
	a := commandstest.New(t)
	for hung, line := range map[string]string{"dowel": "dowel 50 cm", "a dowel": "dowel 50 cm", "Ring": "ring 50 cm", "ring": "panel front round", "both ways": "panel front both ways", "": "dowel 50 cm"} {
		answer := commandstest.Fill(t, a, commandstest.Ana, commandstest.Asked(t, a, "/build new:yes"), map[string]string{"hung": hung, "way": map[bool]string{true: "laid", false: "folded"}[hung == "both ways"]})
		require.False(t, answer.Refused, hung)
		require.Contains(t, commandstest.Render(commandstest.Press(t, a, answer, "the sheet")), line, hung)
	}
	for hung, said := range map[string]string{
		"rign": "did you mean ring?", "dowl": "did you mean dowel?", "both": "did you mean both ways?",
		"9": "one of the choices: dowel, ring, both ways", "banana": "one of the choices: dowel, ring, both ways",
	} {
		answer := commandstest.Fill(t, a, commandstest.Ana, commandstest.Asked(t, a, "/build new:yes"), map[string]string{"hung": hung, "count": "14"})
		require.True(t, answer.Refused, hung)
		require.Contains(t, commandstest.Render(answer), said, hung)
		require.Contains(t, commandstest.Render(answer), "hung: "+hung)
		again := commandstest.Press(t, a, answer, "mend it")
		f, ok := formIn(again)
		require.True(t, ok)
		require.Equal(t, hung, fieldsOf(f)["hung"])
		require.Equal(t, "14", fieldsOf(f)["count"])
		mended := commandstest.Fill(t, a, commandstest.Ana, again, map[string]string{"hung": "ring"})
		require.False(t, mended.Refused, hung)
		require.Contains(t, commandstest.Render(mended), "14 cords")
	}
}

// A word of the head that says it all is there or not, and no is no.
func TestAWordOfTheHeadIsThereOrNot(t *testing.T) {
	a := commandstest.New(t)
	answer := commandstest.Asked(t, a, "/build demo:tide-line")
	say := func(said string) reply.Reply {
		menus := commandstest.MenusOf(commandstest.Press(t, a, answer, "cord and rod"))
		form := commandstest.Act(t, a, commandstest.Ana, menus[len(menus)-1].Do, []string{"head economy"}, nil)
		return commandstest.Fill(t, a, commandstest.Ana, form, map[string]string{"said": said})
	}
	for _, test := range []struct {
		said  string
		there bool
	}{{"yes", true}, {"no", false}, {"y", true}, {"", false}, {"no", false}} {
		answer = say(test.said)
		require.False(t, answer.Refused, test.said)
		sheet := commandstest.Render(commandstest.Press(t, a, answer, "the sheet"))
		require.Equal(t, test.there, strings.Contains(sheet, "\n    economy\n"), "%q: %s", test.said, sheet)
	}
	refused := say("banana")
	require.True(t, refused.Refused)
	require.Contains(t, commandstest.Render(refused), "neither yes nor no")
}

// A form about a step that is not there now, for another panel is in hand, changes
// nothing, gives back what was typed and shows the design as it stands.
func TestAFormAboutAStepOfAnotherPanel(t *testing.T) {
	a := commandstest.New(t)
	opened := commandstest.Asked(t, a, "/build demo:tide-runner")
	menus := commandstest.MenusOf(opened)
	steps := menus[len(menus)-1]
	last := steps.Choices[len(steps.Choices)-1]
	form := commandstest.Press(t, a, commandstest.Act(t, a, commandstest.Ana, steps.Do, []string{last.Value}, nil), "change it")
	panel := commandstest.Press(t, a, commandstest.Press(t, a, opened, "panels"), "another beside")
	commandstest.Fill(t, a, commandstest.Ana, panel, nil)
	late := commandstest.Fill(t, a, commandstest.Ana, form, map[string]string{"the tail": "13 cm"})
	require.Contains(t, commandstest.Render(late), "moved on since")
	require.Contains(t, commandstest.Render(late), "the tail: 13 cm")
}
