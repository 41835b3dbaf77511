package building

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"larkfold/commands/making"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/sizing"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
	"larkfold/sizing/vocabulary"
	"larkfold/store"
)

// title is what the design is called.
func (b *building) title() string {
	switch {
	case b.Name != "":
		return b.Name
	case b.sized.Sheet.Piece != "":
		return b.sized.Sheet.Piece
	}
	return "Your design"
}

// titled is the plan under the design's name.
func (b *building) titled() sizing.Sized { return b.titledAs(b.title()) }

func (b *building) titledAs(name string) sizing.Sized {
	plan := b.sized
	plan.Sheet.Piece = name
	return plan
}

// control is an action of the design as it is shown.
func (b *building) control(action, what string) reply.Action {
	return b.wip.control(b.Turn, action, what)
}

// backButton leads to the design as it stands.
func (b *building) backButton() reply.Button {
	return reply.Button{Label: "back to the design", Do: b.control("build.view", "today")}
}

func (b *building) back() reply.Block {
	return reply.Actions{Buttons: []reply.Button{b.backButton()}}
}

// view is the design as it stands: picture, one line of sums, the last steps, and
// what can be done.
func (b *building) view(note string) reply.Reply {
	var blocks []reply.Block
	title := b.title()
	if len(b.sized.Sheet.Panels) > 1 {
		title += ": panel " + b.inHand().Name + " in hand"
	}
	blocks = append(blocks, reply.Heading(title))
	if note != "" {
		blocks = append(blocks, reply.Text(note))
	}
	blocks = append(blocks,
		say.Piece(b.titled(), b.sit.Prefs), reply.Text(b.sums()), reply.Text(b.lastSteps()))
	if len(b.sized.Notes) > 0 {
		var lines []string
		for _, n := range b.sized.Notes {
			lines = append(lines, "· "+n.Text)
		}
		blocks = append(blocks, reply.Text(strings.Join(lines, "\n")))
	}
	if b.hangs() {
		blocks = append(blocks, say.Cautions(b.sized)...)
	}
	return reply.Reply{Blocks: append(blocks, b.controls())}
}

// hangs tells whether the design is far enough to be hung, so that its cautions are due.
func (b *building) hangs() bool {
	return b.sized.Sheet.Hanger != nil || len(b.sized.Sheet.Fringes) > 0
}

// sums is the design in one line.
func (b *building) sums() string {
	style := b.sit.Prefs.Style
	var cords int
	for _, c := range b.sized.List.Cuts {
		cords += c.Count
	}
	var width, drop length.Length
	var left, right length.Length
	for i, p := range b.sized.Panels {
		if i == 0 || p.Left < left {
			left = p.Left
		}
		if i == 0 || p.Right > right {
			right = p.Right
		}
		drop = max(drop, p.Drop)
	}
	width = right - left
	return fmt.Sprintf("%s, %s to buy; %s wide, %s long; %s", noun.Count(cords, "cord"), b.sized.List.Sum(style, b.sized.List.Totals...).Total(),
		style.Format(width.Tidy()), style.Format(drop.Tidy()), b.unsaved())
}

func (b *building) unsaved() string {
	said := "not saved yet"
	switch {
	case !b.Unsaved():
		said = "saved as " + reply.Quoted(b.Name)
	case b.Name != "":
		said = "not saved since the last change"
	}
	if since := b.since(); since != "" {
		said += "; " + since
	}
	return said
}

// since is what became of the saved design after it was opened or saved here, in words
// that can stand alone; empty for nothing.
func (b *building) since() string {
	if b.ID == "" {
		return ""
	}
	saved := b.sit.Designs()
	i := slices.IndexFunc(saved, func(p store.ProjectSummary) bool { return p.ID == b.ID })
	switch {
	case i < 0:
		return reply.Quoted(b.Name) + " has been deleted since"
	case saved[i].Revision != b.Revision:
		return reply.Quoted(b.Name) + " has changed since"
	}
	return ""
}

// mostLast is how many of the last steps are shown.
const mostLast = 5

// lastSteps are the last steps of the panel at hand in words, numbered: the last in
// full, those before it as far as a phone holds them.
func (b *building) lastSteps() string {
	steps := b.told()
	first := max(0, len(steps)-mostLast)
	lines := []string{}
	if from := b.inHand().From; first == 0 && len(from) > 0 {
		lines = append(lines, "Takes up the ends of "+noun.List(from)+".")
	}
	if first > 0 {
		lines = append(lines, fmt.Sprintf("… %s before these", noun.Count(first, "step")))
	}
	for i := first; i < len(steps); i++ {
		said := steps[i].Sentence
		if begins, _, long := strings.Cut(said, ": "); long && i < len(steps)-1 {
			said = begins + "."
		}
		lines = append(lines, fmt.Sprintf("%d. %s", i+1, said))
	}
	if len(steps) == 0 {
		lines = append(lines, "No step yet.")
	}
	return strings.Join(lines, "\n")
}

// inHand is the panel at hand.
func (b *building) inHand() sheet.Panel { return b.sized.Sheet.Panels[b.panelIndex()] }

func (b *building) panelIndex() int {
	return max(0, slices.IndexFunc(b.sized.Sheet.Panels, func(p sheet.Panel) bool { return p.Name == b.Panel }))
}

// told are the steps of the panel at hand in words.
func (b *building) told() []say.Telling {
	return say.Told(b.sized.Result, b.panelIndex(), b.sit.Prefs.Style)
}

// lines are the steps of the panel at hand as the sheet writes them.
func (b *building) lines() []string {
	var lines []string
	for _, s := range b.inHand().Steps {
		lines = append(lines, b.sized.Sheet.Line(s))
	}
	return lines
}

// controls are what can be done with the design.
func (b *building) controls() reply.Block {
	page, err := b.page()
	if err != nil {
		return b.back()
	}
	next := reply.Menu{Placeholder: "Next step", Do: b.control("build.ask", "")}
	for _, o := range page.Next(b.sized, b.lists(), b.size(context.Background()), b.ahead(context.Background()), b.book) {
		next.Choices = append(next.Choices, reply.Choice{Name: o.Word, Value: "step " + o.Word, Note: b.does(o)})
	}
	change := reply.Menu{Placeholder: "Change a step", Do: b.control("build.view", ""), Choices: b.lastStepChoices()}
	buttons := []reply.Button{}
	if b.Behind() > 0 {
		buttons = append(buttons, reply.Button{Label: "undo", Do: b.control("build.do", "undo")})
	}
	if b.Ahead() > 0 {
		buttons = append(buttons, reply.Button{Label: "redo", Do: b.control("build.do", "redo")})
	}
	buttons = append(buttons,
		reply.Button{Label: "panels", Do: b.control("build.view", "panels")},
		reply.Button{Label: "cord and rod", Do: b.control("build.view", "head")},
		reply.Button{Label: "finish", Do: b.control("build.view", "finish")},
		reply.Button{Label: "cut list", Do: b.control("build.view", "cuts")},
		reply.Button{Label: "the sheet", Do: b.control("build.view", "sheet")},
		reply.Button{Label: "print, make, share", Do: b.control("build.view", "use")},
	)
	save := reply.Button{Label: "save", Do: b.control("build.do", "save"), Main: true}
	if b.Name == "" {
		save.Do = b.control("build.ask", "save")
	}
	a := reply.Actions{Buttons: append(buttons, save)}
	for _, m := range []reply.Menu{next, change} {
		if len(m.Choices) > 0 {
			a.Menus = append(a.Menus, m)
		}
	}
	return a
}

// does says what a step would do.
func (b *building) does(o making.Offer) string {
	means := meaning(o.Word)
	if len(o.Then.Panels) == 0 {
		return means
	}
	var more []string
	if n := o.Then.Tied() - b.sized.Tied(); n > 0 {
		more = append(more, "+"+noun.Count(n, "knot"))
	}
	for i, p := range o.Then.Panels {
		if p.Name == b.inHand().Name && i < len(b.sized.Panels) {
			if longer := (p.Drop - b.sized.Panels[i].Drop).Tidy(); longer > 0 {
				more = append(more, b.sit.Prefs.Style.Format(longer)+" longer")
			}
		}
	}
	if len(more) == 0 {
		return means
	}
	return strings.Join(more, ", ") + ": " + means
}

// stepsAtOnce is how many steps a menu offers where it leads to earlier and later ones.
const stepsAtOnce = mostChoices - 2

// lastStepChoices are the last steps of the panel at hand.
func (b *building) lastStepChoices() []reply.Choice {
	return b.stepChoices(max(0, len(b.inHand().Steps)-stepsAtOnce))
}

// stepChoices are the steps of the panel at hand from an index on, with the way to
// those before and behind; all of them where a menu holds them.
func (b *building) stepChoices(from int) []reply.Choice {
	steps, told := b.lines(), b.told()
	to := min(len(steps), from+stepsAtOnce)
	if len(steps) <= mostChoices {
		from, to = 0, len(steps)
	}
	var choices []reply.Choice
	if from > 0 {
		choices = append(choices, reply.Choice{Name: "earlier steps", Value: fmt.Sprintf("change %d", max(1, from-stepsAtOnce+1))})
	}
	for i := from; i < to; i++ {
		choices = append(choices, reply.Choice{Name: fmt.Sprintf("%d  %s", i+1, steps[i]), Value: fmt.Sprintf("step %d", i+1), Note: told[i].Sentence})
	}
	if to < len(steps) {
		choices = append(choices, reply.Choice{Name: "later steps", Value: fmt.Sprintf("change %d", to+1)})
	}
	return choices
}

// steps lists the steps from one on, to be chosen from.
func (b *building) steps(_ making.Page, from int) reply.Reply {
	return reply.Reply{Blocks: []reply.Block{
		reply.Heading("Steps of panel " + b.inHand().Name),
		reply.Actions{Buttons: []reply.Button{b.backButton()}, Menus: []reply.Menu{{Placeholder: "Change a step", Do: b.control("build.view", ""), Choices: b.stepChoices(from - 1)}}},
	}}
}

// step is one step with what can be done to it.
func (b *building) step(page making.Page, n int) reply.Reply {
	steps := b.lines()
	if n < 1 || n > len(steps) {
		return b.view(fmt.Sprintf("There is no step %d.", n))
	}
	which := func(what string) string { return fmt.Sprintf("%s %d", what, n) }
	buttons := []reply.Button{{Label: "change it", Do: b.control("build.ask", which("edit")), Main: true}, {Label: "take it out", Do: b.control("build.do", which("out")), Danger: true}}
	if n > 1 {
		buttons = append(buttons, reply.Button{Label: "move up", Do: b.control("build.do", which("up"))})
	}
	if n < len(steps) {
		buttons = append(buttons, reply.Button{Label: "move down", Do: b.control("build.do", which("down"))})
	}
	buttons = append(buttons,
		reply.Button{Label: "once more", Do: b.control("build.do", which("twice"))},
		reply.Button{Label: "repeat from here", Do: b.control("build.ask", which("repeat"))}, b.backButton())
	word, _, _ := strings.Cut(steps[n-1], " ")
	told := b.told()[n-1]
	blocks := []reply.Block{reply.Heading(fmt.Sprintf("Step %d of panel %s", n, page.Panel().Name)), reply.Text(told.Sentence)}
	if told.Does.To > told.Does.From {
		blocks = append(blocks, say.Step(b.titled(), told.Does, b.sit.Prefs))
	}
	blocks = append(blocks, reply.Verbatim(steps[n-1]))
	if means := meaning(word); means != "" {
		blocks = append(blocks, reply.Text(means))
	}
	return reply.Reply{Blocks: append(blocks, reply.Actions{Buttons: buttons})}
}

// meaning is what a word of the sheet means.
func meaning(word string) string {
	for _, w := range vocabulary.Words() {
		if w.Name == word {
			return w.Means
		}
	}
	return ""
}

// panels are the panels with what can be done to the one in hand.
func (b *building) panels(page making.Page) reply.Reply {
	var lines []string
	use := reply.Menu{Placeholder: "Take another panel in hand", Do: b.control("build.do", "")}
	for i, p := range page.Sheet.Panels {
		text := strings.TrimSpace(page.Lines[p.Line-1])
		if p.Name == page.Panel().Name {
			text += "  (in hand)"
		} else if len(use.Choices) < mostChoices {
			use.Choices = append(use.Choices, reply.Choice{Name: p.Name, Value: fmt.Sprintf("use %d", i+1)})
		}
		lines = append(lines, fmt.Sprintf("%s, %s", text, noun.Count(len(p.Steps), "step")))
	}
	a := reply.Actions{Buttons: []reply.Button{
		{Label: "another beside", Do: b.control("build.ask", "panel")},
		{Label: "copy this one", Do: b.control("build.ask", "copy")},
		{Label: "mirror this one", Do: b.control("build.do", "mirror")},
		{Label: "name and shape", Do: b.control("build.ask", "line")},
	}}
	if len(page.Sheet.Panels) > 1 {
		a.Buttons = append(a.Buttons,
			reply.Button{Label: "join panels", Do: b.control("build.ask", "join")},
			reply.Button{Label: "move it left", Do: b.control("build.do", "before")},
			reply.Button{Label: "move it right", Do: b.control("build.do", "behind")},
			reply.Button{Label: "take it out", Do: b.control("build.do", "leave"), Danger: true})
		a.Menus = append(a.Menus, use)
	}
	a.Buttons = append(a.Buttons, b.backButton())
	return reply.Reply{Blocks: []reply.Block{reply.Heading("Panels"), reply.Verbatim(strings.Join(lines, "\n")), a}}
}

// finish is what stands behind the panels, with what can be added or taken out.
func (b *building) finish(page making.Page) reply.Reply {
	a := reply.Actions{Buttons: []reply.Button{b.backButton()}}
	add := reply.Menu{Placeholder: "Add", Do: b.control("build.ask", "")}
	for _, w := range vocabulary.Words() {
		if w.Part == vocabulary.AfterPanel {
			add.Choices = append(add.Choices, reply.Choice{Name: w.Name, Value: "finish " + w.Name, Note: w.Means})
		}
	}
	a.Menus = append(a.Menus, add)
	lines := page.Finish()
	out := reply.Menu{Placeholder: "Take out", Do: b.control("build.do", "")}
	for i, l := range lines {
		if len(out.Choices) < mostChoices {
			out.Choices = append(out.Choices, reply.Choice{Name: l, Value: fmt.Sprintf("unfinish %d", i+1)})
		}
	}
	if len(lines) == 0 {
		lines = []string{"nothing yet"}
	} else {
		a.Menus = append(a.Menus, out)
	}
	return reply.Reply{Blocks: []reply.Block{reply.Heading("Finishing"), reply.Verbatim(strings.Join(lines, "\n")),
		reply.Text("A wrap, a tassel and the tail are steps of a panel."), a}}
}

// head is what stands before the panels, with what can be changed.
func (b *building) head(page making.Page) reply.Reply {
	change := reply.Menu{Placeholder: "Change or add", Do: b.control("build.ask", "")}
	add := func(name, value string) {
		if len(change.Choices) < mostChoices && !slices.ContainsFunc(change.Choices, func(c reply.Choice) bool { return c.Value == value }) {
			word, _, _ := strings.Cut(strings.TrimPrefix(value, "head "), " ")
			change.Choices = append(change.Choices, reply.Choice{Name: name, Value: value, Note: meaning(word)})
		}
	}
	for i, c := range page.Sheet.Cords {
		add("cord "+c.Name, fmt.Sprintf("head cord %d", i+1))
	}
	add("another cord", "head cord")
	for _, w := range []string{"dowel", "ring", "piece", "copies", "tie", "hang", "margin", "round", "economy"} {
		name := w
		if w == "round" {
			name = "round up to"
		}
		add(name, "head "+w)
	}
	a := reply.Actions{Buttons: []reply.Button{b.backButton()}}
	if mine := b.ownMenu(); len(mine.Choices) > 0 {
		a.Menus = append(a.Menus, mine)
	}
	a.Menus = append(a.Menus, b.colourMenu(), change)
	return reply.Reply{Blocks: []reply.Block{reply.Heading("Cords, rod and rules"), reply.Verbatim(strings.Join(page.Head(), "\n")), a}}
}
