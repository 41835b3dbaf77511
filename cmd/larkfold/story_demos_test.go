package main

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"larkfold/bot/platformtest"
	"larkfold/commands/making"
	"larkfold/commands/say"
	"larkfold/sizing"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"

	"github.com/stretchr/testify/require"
)

// TestDemosByPressing builds every demo design from nothing by presses and forms alone,
// and works it along from the first press to the last, as members of one bot. No step
// takes more than three presses and one form; the sheet comes out as it is written,
// the steps are those of the printed sheet. Everything is delivered twice.
func TestDemosByPressing(t *testing.T) {
	t.Parallel()
	s := raise(t)
	s.app.undrawn = true
	files, err := filepath.Glob("../../testdata/sheets/*.sheet")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 17)
	for _, file := range some(files) {
		name := strings.TrimSuffix(filepath.Base(file), ".sheet")
		sized, err := sizing.Size(context.Background(), demo(t, "sheets/"+name+".sheet"), sizing.Maker{})
		require.NoError(t, err)
		t.Run("build "+name, func(t *testing.T) {
			t.Parallel()
			b := &builder{presser: presser{Member: s.Member("builder of " + name), t: t}, sheet: sized.Sheet, steps: map[string]int{}}
			b.whole()
			t.Logf("%d presses and %d forms", b.presses, b.forms)
		})
		t.Run("work "+name, func(t *testing.T) {
			t.Parallel()
			worked(t, s.Member("worker of "+name), name, sized)
		})
	}
}

// presser is a member whose presses and forms are counted, and delivered twice.
type presser struct {
	*platformtest.Member
	t              *testing.T
	now            *platformtest.Exchange
	presses, forms int
}

func (p *presser) press(label string) {
	p.t.Helper()
	p.presses++
	p.now = p.Click(p.now, label)
	p.Again(p.now)
}

func (p *presser) choose(placeholder, value string) {
	p.t.Helper()
	p.presses++
	p.now = p.Choose(p.now, placeholder, value)
	p.Again(p.now)
}

// fill fills in the form at hand. Fields that it does not have are left out when they
// say nothing.
func (p *presser) fill(fields map[string]string) {
	p.t.Helper()
	p.forms++
	require.NotNil(p.t, p.now.Modal, "no form but %q", p.now.Text())
	p.now = p.Submit(p.now, fields)
	p.Again(p.now)
	require.NotNil(p.t, p.now.Message)
}

// took insists on what a change took at most.
func (p *presser) took(most int, what string, change func()) {
	p.t.Helper()
	presses, forms := p.presses, p.forms
	change()
	require.NotContains(p.t, plain(p.now), "That does not fit yet", what)
	require.LessOrEqual(p.t, p.presses-presses, most, what)
	require.LessOrEqual(p.t, p.forms-forms, 1, what)
}

// shownSheet is the sheet of the design at hand, asked for by its button.
func (p *presser) shownSheet() string {
	p.t.Helper()
	_, text, found := strings.Cut(p.Click(p.now, "the sheet").Text(), "```\n")
	require.True(p.t, found)
	text, _, found = strings.Cut(text, "\n```")
	require.True(p.t, found)
	return text
}

// mostPresses are the presses that a step may take, beside one form.
const mostPresses = 3

// builder is a member who builds a sheet that is written already.
type builder struct {
	presser
	sheet sheet.Sheet
	hand  string         // the panel in hand
	made  []string       // the panels that are there, in their order
	steps map[string]int // how many steps each of them has
}

// line is one change: what is written, as far as the menus that lead to it go.
func (b *builder) line(what string, change func()) {
	b.t.Helper()
	b.took(mostPresses, what, change)
}

func (b *builder) whole() {
	want := spoken(sheet.Format(b.sheet))
	b.begin(want)
	for _, l := range want {
		if word, rest, _ := strings.Cut(l, " "); word == "panel" {
			break
		} else if !b.isBegun(word, rest) {
			b.line(l, func() { b.head(word, rest) })
		}
	}
	for i, p := range b.sheet.Panels {
		if i > 0 && len(p.From) == 0 {
			b.beside(p)
		}
	}
	for _, p := range b.sheet.Panels {
		b.panel(p)
	}
	for _, l := range want {
		if word, rest, _ := strings.Cut(l, " "); slices.Contains([]string{"fringe", "swag", "hanger"}, word) {
			b.line(l, func() { b.finish(word, rest) })
		}
	}
	require.Equal(b.t, strings.Join(want, "\n"), strings.Join(spoken(b.shownSheet()), "\n"))
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

// begin fills in the first form: what it hangs on, the first cord, the first cords of
// the first panel; then that panel's name, and whatever else its first line says.
func (b *builder) begin(want []string) {
	first := b.sheet.Panels[0]
	mount := first.HungBy()
	fields := map[string]string{"hung": "both ways", "count": fmt.Sprint(mount[0].Count), "way": "folded"}
	if mount[0].Way != "" {
		fields["way"] = string(mount[0].Way)
	}
	for _, l := range want {
		word, rest, _ := strings.Cut(l, " ")
		if word == "cord" && fields["cord"] == "" {
			_, fields["cord"], _ = strings.Cut(rest, " ")
		}
		if (word == "dowel" || word == "ring") && fields["size"] == "" {
			fields["hung"], fields["size"] = word, rest
		}
	}
	b.now = b.Slash("/build new:yes")
	b.fill(fields)
	says(b.t, b.now, "not saved yet")
	b.made, b.hand, b.steps["front"] = []string{"front"}, "front", 1
	if name := b.sheet.Cords[0].Name; name != "main" {
		b.line("cord "+name, func() {
			b.press("cord and rod")
			b.choose("Change or add", "head cord 1")
			b.fill(map[string]string{"name": name})
		})
	}
	b.line("panel "+first.Name, func() {
		b.press("panels")
		b.press("name and shape")
		head, _, _ := b.panelLines(first)
		b.fill(map[string]string{"line": head})
	})
	b.made, b.hand, b.steps = []string{first.Name}, first.Name, map[string]int{first.Name: 1}
	for _, s := range first.Steps {
		if sheet.FactsOf(s).Word == "gap" {
			b.step(s)
		}
	}
}

// isBegun tells whether a line of the head came about with the first form.
func (b *builder) isBegun(word, rest string) bool {
	switch word {
	case "cord":
		return strings.HasPrefix(rest, b.sheet.Cords[0].Name+" ")
	case "dowel", "ring":
		return b.sheet.Rod != nil && strings.ContainsAny(rest[:1], "0123456789")
	}
	return false
}

// head writes a line of the head.
func (b *builder) head(word, rest string) {
	b.press("cord and rod")
	b.choose("Change or add", "head "+word)
	switch word {
	case "cord":
		name, said, _ := strings.Cut(rest, " ")
		c := b.sheet.Cords[slices.IndexFunc(b.sheet.Cords, func(c sheet.Cord) bool { return c.Name == name })]
		thickness, more, _ := strings.Cut(said, ",")
		thickness, _, _ = strings.Cut(thickness, " colour ")
		thickness = strings.TrimSpace(strings.TrimSuffix(thickness, " "+c.Construction))
		b.fill(map[string]string{"name": name, "thickness": thickness, "made": c.Construction, "colour": string(c.Colour), "more": strings.TrimSpace(more)})
	case "dowel", "ring":
		b.fill(map[string]string{"says": rest})
	case "economy":
		b.fill(map[string]string{"said": "yes"})
	default:
		b.fill(map[string]string{"said": rest})
	}
}

// panelLines are a panel's head line and what it begins with, as they are written.
func (b *builder) panelLines(p sheet.Panel) (head, gap, mount string) {
	in := false
	for _, l := range spoken(sheet.Format(b.sheet)) {
		word, rest, _ := strings.Cut(l, " ")
		switch {
		case word == "panel":
			if in = strings.Fields(rest)[0] == p.Name; in {
				head = rest
			}
		case in && word == "gap":
			gap = rest
		case in && word == "mount" && mount == "":
			mount = rest
		}
	}
	return head, gap, mount
}

// beside adds a panel that hangs.
func (b *builder) beside(p sheet.Panel) {
	head, gap, mount := b.panelLines(p)
	b.line("panel "+head, func() {
		b.press("panels")
		b.press("another beside")
		b.fill(map[string]string{"name": p.Name, "gap": gap, "mount": mount, "more": strings.TrimSpace(strings.TrimPrefix(head, p.Name))})
	})
	b.made, b.hand = append(b.made, p.Name), p.Name
	b.steps[p.Name] = 1
	if gap != "" {
		b.steps[p.Name]++
	}
}

// panel takes a panel in hand, or joins others to it, and works its steps.
func (b *builder) panel(p sheet.Panel) {
	switch {
	case len(p.From) > 0:
		b.line("panel "+p.Name, func() {
			b.press("panels")
			b.press("join panels")
			b.fill(map[string]string{"name": p.Name, "from": strings.Join(p.From, ", ")})
		})
		b.made, b.hand = append(b.made, p.Name), p.Name
	case b.hand != p.Name:
		b.line("panel "+p.Name+" in hand", func() {
			b.press("panels")
			b.choose("Take another panel in hand", fmt.Sprintf("use %d", 1+slices.Index(b.made, p.Name)))
		})
		b.hand = p.Name
	}
	mounted, from := false, 0
	var again sheet.Repeat
	for _, s := range p.Steps {
		switch step := s.(type) {
		case sheet.Gap:
		case sheet.Mount:
			if mounted || len(p.From) > 0 {
				b.step(s)
			} else if p.Name == b.sheet.Panels[0].Name && b.sheet.Line(s) != fmt.Sprintf("mount %d %s", step.Hung[0].Count, step.Hung[0].Way) {
				b.mend(b.steps[p.Name], s)
			}
			mounted = true
		case sheet.Repeat:
			again, from = step, b.steps[p.Name]+1
		case sheet.End:
			b.line(fmt.Sprintf("repeat %d", again.Times), func() {
				b.choose("Change a step", fmt.Sprintf("step %d", from))
				b.press("repeat from here")
				b.fill(map[string]string{"to": fmt.Sprint(b.steps[p.Name]), "times": fmt.Sprint(again.Times)})
			})
			b.steps[p.Name] += 2
		default:
			b.step(s)
		}
	}
}

// filled are the fields of a form for a step, each amount where it is asked for.
func (b *builder) filled(s sheet.Step) map[string]string {
	fields := map[string]string{}
	for _, blank := range making.BlanksOf(sheet.FactsOf(s), b.sheet.Says, making.Lists{}, false) {
		fields[blank.Name] = blank.Value
	}
	return fields
}

// step adds a step by the menu and its form.
func (b *builder) step(s sheet.Step) {
	b.line(b.sheet.Line(s), func() {
		b.choose("Next step", "step "+sheet.FactsOf(s).Word)
		b.fill(b.filled(s))
	})
	b.steps[b.hand]++
}

// mend writes a step anew.
func (b *builder) mend(n int, s sheet.Step) {
	b.line(b.sheet.Line(s), func() {
		b.choose("Change a step", fmt.Sprintf("step %d", n))
		b.press("change it")
		b.fill(b.filled(s))
	})
}

// finish adds a line behind the panels.
func (b *builder) finish(word, rest string) {
	b.press("finish")
	b.choose("Add", "finish "+word)
	fields := map[string]string{}
	switch word {
	case "hanger":
		fields["size"] = rest
	case "fringe":
		fields["drop"], rest, _ = strings.Cut(rest, " by ")
		fields["by"], rest, _ = strings.Cut(rest, " on ")
		fields["on"], fields["with"], _ = strings.Cut(rest, " with ")
	case "swag":
		fields["count"], rest, _ = strings.Cut(rest, " over ")
		fields["count"], fields["cord"], _ = strings.Cut(fields["count"], " ")
		fields["over"], fields["drop"], _ = strings.Cut(rest, " drop ")
	}
	b.fill(fields)
}

// worked makes a demo design from the first press to the last.
func worked(t *testing.T, m *platformtest.Member, name string, sized sizing.Sized) {
	p := &presser{Member: m, t: t, now: m.Slash("/work demo:" + name)}
	for _, c := range sized.List.Cuts {
		p.choose("Tick off what is cut", "tick "+c.Label)
	}
	require.NotContains(t, plain(p.now), "[ ]")
	require.Empty(t, p.now.Message.Menus, "everything is cut")
	for _, in := range say.Instructions(sized.Result, length.Style{}) {
		for _, sentence := range in.Steps {
			p.press("done, next")
			says(t, p.now, sentence)
		}
	}
	p.press("done, next")
	caution := "rated for several times the load"
	if sized.Sheet.Lies() {
		caution = "strangle" // a runner needs no hook
	}
	says(t, p.now, "Hang it up", "Caution:", caution)
	p.press("it hangs")
	says(t, m.Slash("/work"), "not making a piece")
	t.Logf("%d presses", p.presses)
}
