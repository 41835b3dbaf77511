package commands

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"larkfold/commands/making"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/sheet"
	"larkfold/store"

	"github.com/stretchr/testify/require"
)

// presser presses through a design in the making, each press delivered twice, and
// counts.
type presser struct {
	t              testing.TB
	a              *App
	now            reply.Reply // the answer at hand
	presses, forms int
}

func (p *presser) send(do reply.Action, values []string, fields map[string]string) {
	p.t.Helper()
	who := ana
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
	for _, b := range buttonsOf(p.now) {
		if b.Label == label {
			p.send(b.Do, nil, nil)
			return
		}
	}
	require.Fail(p.t, "no such button: "+label, render(p.now))
}

func (p *presser) pick(placeholder, value string) {
	p.t.Helper()
	for _, m := range menusOf(p.now) {
		if m.Placeholder == placeholder {
			require.True(p.t, slices.ContainsFunc(m.Choices, func(c reply.Choice) bool { return c.Value == value }), "%s offers no %q\n%v", placeholder, value, m.Choices)
			p.send(m.Do, []string{value}, nil)
			return
		}
	}
	require.Fail(p.t, "no such menu: "+placeholder, render(p.now))
}

func (p *presser) fill(changes map[string]string) {
	p.t.Helper()
	f, ok := formIn(p.now)
	require.True(p.t, ok, render(p.now))
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

func buttonsOf(r reply.Reply) (all []reply.Button) {
	for _, b := range r.Blocks {
		if a, ok := b.(reply.Actions); ok {
			all = append(all, a.Buttons...)
		}
	}
	return all
}

func menusOf(r reply.Reply) (all []reply.Menu) {
	for _, b := range r.Blocks {
		if a, ok := b.(reply.Actions); ok {
			all = append(all, a.Menus...)
		}
	}
	return all
}

// design is the design in the making that was touched last.
func (p *presser) design() making.Design {
	p.t.Helper()
	var d making.Design
	err := p.a.room.Store.View(context.Background(), ana.Member, ana.Now, func(tx *store.Tx) error {
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
	for _, m := range menusOf(p.now) {
		offered = offered || slices.ContainsFunc(m.Choices, func(c reply.Choice) bool { return c.Value == "step "+word })
	}
	require.True(p.t, offered, "the menu offers no %s\n%s", word, render(p.now))
	p.pick("Next step", "step "+word)
	p.fill(filledAs(p.t, headOf(p.design().Sheet), p.now, line))
	require.False(p.t, p.now.Refused, "%s\n%s", line, render(p.now))
}

// filledAs are the fields of a form that make a line: found as a maker would, by
// reading the line and putting each of its amounts where the form asks for it.
func filledAs(t testing.TB, head string, r reply.Reply, line string) map[string]string {
	t.Helper()
	form, ok := formIn(r)
	require.True(t, ok, render(r))
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

// Every demo design is built by presses and forms alone, and comes out as it is
// written; no step takes more than three presses and one form.
func TestDemosAreBuiltByPressing(t *testing.T) {
	t.Parallel()
	for _, demo := range demos() {
		t.Run(demo.Value, func(t *testing.T) {
			t.Parallel()
			text, err := demoSheet(demo.Value)
			require.NoError(t, err)
			sized, err := sizing.Size(context.Background(), text, sizing.Maker{})
			require.NoError(t, err)
			want := spoken(sheet.Format(sized.Sheet))
			p := &presser{t: t, a: newApp(t)}
			p.whole(sized.Sheet, want)
			require.Equal(t, strings.Join(want, "\n"), strings.Join(spoken(p.design().Sheet), "\n"))
		})
	}
}

// spoken are the lines of a sheet without its name and remarks.
func spoken(text string) []string {
	var out []string
	for _, l := range strings.Split(text, "\n") {
		l, _, _ = strings.Cut(l, "  #")
		l = strings.TrimSpace(l)
		if l != "" && !strings.HasPrefix(l, "#") && !strings.HasPrefix(l, "piece ") {
			out = append(out, l)
		}
	}
	return out
}

// whole builds a sheet from nothing.
func (p *presser) whole(s sheet.Sheet, lines []string) {
	var head, finish []string
	panels := map[string][]string{}
	name := ""
	for _, l := range lines {
		word, _, _ := strings.Cut(l, " ")
		switch {
		case word == "panel":
			name = strings.Fields(l)[1]
			panels[name] = []string{l}
		case name == "":
			head = append(head, l)
		case word == "fringe" || word == "swag" || word == "hanger":
			finish = append(finish, l)
		default:
			panels[name] = append(panels[name], l)
		}
	}
	p.now = asked(p.t, p.a, "/build new:yes")
	p.begin(s, head, panels)
	for _, l := range head {
		word, rest, _ := strings.Cut(l, " ")
		rod := (word == "dowel" || word == "ring") && s.Rod != nil && s.Rod.Name == "" && !strings.ContainsAny(rest[:1], "abcdefghijklmnopqrstuvwxyz")
		if first := strings.HasPrefix(rest, s.Cords[0].Name+" "); !rod && !(word == "cord" && first) {
			p.head(s, l)
		}
	}
	first := panels[s.Panels[0].Name]
	if i := slices.IndexFunc(first, func(l string) bool { return strings.HasPrefix(l, "mount") }); strings.Contains(first[i], ",") || s.Panels[0].HungBy()[0].Cord != "" {
		p.pick("Change a step", fmt.Sprintf("step %d", i))
		p.button("change it")
		p.fill(filledAs(p.t, headOf(p.design().Sheet), p.now, first[i]))
		require.False(p.t, p.now.Refused, render(p.now))
	}
	for i, panel := range s.Panels {
		if i > 0 && len(panel.From) == 0 {
			p.beside(panel, panels[panel.Name])
		}
	}
	for _, panel := range s.Panels {
		if len(panel.From) == 0 && len(s.Panels) > 1 {
			p.use(panel.Name)
		}
		if len(panel.From) > 0 {
			p.button("panels")
			p.button("join panels")
			p.fill(map[string]string{"name": panel.Name, "from": strings.Join(panel.From, ", ")})
			require.False(p.t, p.now.Refused, render(p.now))
		}
		skipped, from, repeated := 0, 0, ""
		for _, l := range panels[panel.Name][1:] {
			if word, _, _ := strings.Cut(l, " "); len(panel.From) == 0 && (word == "gap" || word == "mount" && skipped == 0) {
				if word == "mount" {
					skipped++
				}
				continue
			}
			word, rest, _ := strings.Cut(l, " ")
			if word == "repeat" {
				repeated, from = rest, len(p.steps())+1
				continue
			}
			if word == "end" {
				p.repeat(from, len(p.steps()), repeated)
				continue
			}
			before := p.presses + p.forms
			p.step(l)
			require.LessOrEqual(p.t, p.presses+p.forms-before, 4, "%s", l)
		}
	}
	for _, l := range finish {
		p.finish(l)
	}
}

// steps are the steps of the panel in hand.
func (p *presser) steps() []sheet.Step {
	d := p.design()
	page, err := d.Open(knot.Standard())
	require.NoError(p.t, err)
	return page.Panel().Steps
}

func (p *presser) repeat(from, to int, times string) {
	p.pick("Change a step", fmt.Sprintf("step %d", from))
	p.button("repeat from here")
	p.fill(map[string]string{"to": fmt.Sprint(to), "times": times})
	require.False(p.t, p.now.Refused, render(p.now))
}

func (p *presser) begin(s sheet.Sheet, head []string, panels map[string][]string) {
	first := s.Panels[0]
	mount := first.HungBy()
	main := head[slices.IndexFunc(head, func(l string) bool { return strings.HasPrefix(l, "cord ") })]
	fields := map[string]string{"hung": "both ways", "cord": strings.TrimPrefix(main, "cord "+s.Cords[0].Name+" "), "count": fmt.Sprint(mount[0].Count), "way": "folded"}
	if mount[0].Way != "" {
		fields["way"] = string(mount[0].Way)
	}
	for _, l := range head {
		word, rest, _ := strings.Cut(l, " ")
		if word == "dowel" || word == "ring" {
			fields["hung"], fields["size"] = word, rest
			break
		}
	}
	p.fill(fields)
	require.False(p.t, p.now.Refused, render(p.now))
	if name := s.Cords[0].Name; name != "main" {
		p.button("cord and rod")
		p.pick("Change or add", "head cord 1")
		p.fill(map[string]string{"name": name})
		require.False(p.t, p.now.Refused, render(p.now))
	}
	p.button("panels")
	p.button("name and shape")
	p.fill(map[string]string{"line": strings.TrimPrefix(panels[first.Name][0], "panel ")})
	require.False(p.t, p.now.Refused, render(p.now))
	for _, l := range panels[first.Name][1:] {
		if strings.HasPrefix(l, "gap ") {
			p.step(l)
		}
	}
}

// head writes a line of the head.
func (p *presser) head(s sheet.Sheet, l string) {
	word, rest, _ := strings.Cut(l, " ")
	p.button("cord and rod")
	switch word {
	case "cord":
		name, said, _ := strings.Cut(rest, " ")
		c := s.Cords[slices.IndexFunc(s.Cords, func(c sheet.Cord) bool { return c.Name == name })]
		thickness, more, _ := strings.Cut(said, ",")
		thickness = strings.TrimSpace(strings.TrimSuffix(strings.Split(thickness, " colour ")[0], " "+c.Construction))
		p.pick("Change or add", "head cord")
		p.fill(map[string]string{"name": name, "thickness": thickness, "made": c.Construction, "colour": string(c.Colour), "more": strings.TrimSpace(more)})
	case "dowel", "ring":
		p.pick("Change or add", "head "+word)
		p.fill(map[string]string{"says": rest})
	case "economy":
		p.pick("Change or add", "head economy")
		p.fill(map[string]string{"said": "yes"})
	default:
		p.pick("Change or add", "head "+word)
		p.fill(map[string]string{"said": rest})
	}
	require.False(p.t, p.now.Refused, "%s\n%s", l, render(p.now))
}

// beside adds a panel that hangs.
func (p *presser) beside(panel sheet.Panel, lines []string) {
	p.button("panels")
	p.button("another beside")
	fields := map[string]string{"name": panel.Name, "gap": ""}
	mounts := 0
	for _, l := range lines[1:] {
		word, rest, _ := strings.Cut(l, " ")
		switch {
		case word == "gap":
			fields["gap"] = rest
		case word == "mount" && mounts == 0:
			fields["mount"] = rest
			mounts++
		}
	}
	head := strings.TrimPrefix(lines[0], "panel "+panel.Name)
	fields["more"] = strings.TrimSpace(head)
	p.fill(fields)
	require.False(p.t, p.now.Refused, "%s\n%s", lines[0], render(p.now))
}

func (p *presser) use(name string) {
	if p.design().Panel == name {
		return
	}
	p.button("panels")
	d := p.design()
	page, err := d.Open(knot.Standard())
	require.NoError(p.t, err)
	i := slices.IndexFunc(page.Sheet.Panels, func(panel sheet.Panel) bool { return panel.Name == name })
	p.pick("Take another panel in hand", fmt.Sprintf("use %d", i+1))
}

func (p *presser) finish(l string) {
	word, rest, _ := strings.Cut(l, " ")
	p.button("finish")
	p.pick("Add", "finish "+word)
	f, ok := formIn(p.now)
	require.True(p.t, ok)
	fields := map[string]string{}
	switch word {
	case "hanger":
		fields["size"] = rest
	case "fringe":
		drop, rest, _ := strings.Cut(rest, " by ")
		by, rest, _ := strings.Cut(rest, " on ")
		on, with, _ := strings.Cut(rest, " with ")
		fields["drop"], fields["by"], fields["on"], fields["with"] = drop, by, on, with
	case "swag":
		count, rest, _ := strings.Cut(rest, " over ")
		n, cord, _ := strings.Cut(count, " ")
		over, drop, _ := strings.Cut(rest, " drop ")
		fields["count"], fields["cord"], fields["over"], fields["drop"] = n, cord, over, drop
	}
	for name := range fields {
		if !slices.ContainsFunc(f.Fields, func(one reply.Field) bool { return one.Name == name }) {
			delete(fields, name)
		}
	}
	p.fill(fields)
	require.False(p.t, p.now.Refused, "%s\n%s", l, render(p.now))
}

// The screens of one whole design, as text.
func TestBuildScreens(t *testing.T) {
	t.Parallel()
	p := &presser{t: t, a: newApp(t)}
	p.now = asked(t, p.a, "/build new:yes")
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
	golden(t, "build", strings.Join(screens, "\n----\n\n"))
}

// screen is a reply as text, with what its menus and forms offer.
func screen(r reply.Reply) string {
	var b strings.Builder
	b.WriteString(render(r))
	list := func(of string, choices []reply.Choice) {
		for _, c := range choices {
			fmt.Fprintf(&b, "  %s | %s | %s\n", of, c.Name, c.Note)
		}
	}
	for _, m := range menusOf(r) {
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
	p := &presser{t: b, a: newApp(b)}
	p.now = asked(b, p.a, "/build new:yes")
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
		answer := act(b, p.a, ana, form.Do, nil, fields)
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
