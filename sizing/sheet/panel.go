package sheet

import (
	"fmt"
	"slices"
	"strings"

	"larkfold/sizing/caret"
	"larkfold/sizing/near"
)

// panelLine reads `panel NAME [on DOWEL] [round | both ways] [from A, B]`.
func (r *reader) panelLine(l *line) {
	first := l.peek()
	p := &Panel{Place: l.place(), Name: l.newName("panel", panelWords, "the-")}
	r.openPanel(p)
	if known := r.book.panels[fold(first.raw)]; l.bad == nil && known.line != l.number {
		l.fail(first, "is named already: line %d has a panel of that name", known.line)
	}
	if l.accept("on") {
		p.On = r.book.rod(l)
		if p.On == firstRod {
			p.On = ""
		}
	}
	p.Round = l.accept("round")
	if ways := l.peek(); l.accept("both") {
		l.expect("ways")
		p.BothWays = true
		switch {
		case p.Round:
			l.failMend(l.span(ways), "", "does not fit a round panel: it hangs, and cannot be worked to two sides")
		case p.On != "":
			l.failMend(l.span(ways), "", "does not fit a panel on a rod: its cords lie with their middles at the start")
		}
	}
	if from := l.peek(); l.accept("from") {
		l.splitting(isComma, func() { p.From = r.book.panelsJoined(l) })
		r.joins(p)
		switch {
		case p.BothWays:
			l.failMend(l.span(from), "", "does not fit a panel that is worked both ways: it has its own cords")
		case p.On != "":
			l.failMend(l.span(from), "", "does not fit a panel on a rod: it hangs from the panels it joins")
		}
	}
	if w := l.peek(); w.raw != "" {
		afterName(l, first, w, p)
	}
}

// joins gives a panel the ends of those that it joins.
func (r *reader) joins(p *Panel) {
	for _, name := range p.From {
		r.panelEnds[fold(p.Name)] += r.panelEnds[fold(name)]
	}
}

func isComma(r, _ rune) bool { return r == ',' }

// afterName is the fault of what follows the name of a panel and is not understood.
func afterName(l *line, name, w word, p *Panel) {
	options := []option{{words: []string{"on", "round", "both", "from"}}}
	if p.Round || p.BothWays || p.On != "" || len(p.From) > 0 || near.Word(w.plain(), options[0].words) != "" || !isName(w.raw) {
		l.strange(w, options)
		return
	}
	both := l.spanTo(name, w)
	l.failMend(both, name.raw+"-"+w.raw, "is more than one word: a panel's name is one word, with hyphens if need be")
}

// openPanel begins a panel; one without a name only swallows its steps.
func (r *reader) openPanel(p *Panel) {
	r.endPanel()
	r.panel, r.unsure, r.book.panel, r.repeat = p, false, p.Name, nil
}

// endPanel keeps the panel that was read, and finds what it lacks as a whole.
func (r *reader) endPanel() {
	p := r.panel
	r.panel = nil
	if p == nil || p.Name == "" {
		return
	}
	r.sheet.Panels = append(r.sheet.Panels, *p)
	if open := r.repeat; open != nil {
		r.repeat = nil
		if !r.unsure {
			r.faults = append(r.faults, Fault{Place: open.Place, Word: "repeat", Right: "end", Whole: true, Text: caret.Quote("repeat") + " is not closed: end was expected below the steps to be repeated"})
		}
	}
	if !r.unsure && len(p.From) == 0 && !p.mounted() {
		right := "mount 12 folded"
		if p.BothWays {
			right = "mount 12 laid"
		}
		r.faults = append(r.faults, Fault{
			Place: p.Place, Right: right, Whole: true,
			Text: "panel " + p.Name + " has no cords: a mount was expected as its first step, or from and the panels it joins",
		})
	}
}

// closePanels ends the panels at a line that stands after them.
func (r *reader) closePanels(l *line) {
	r.endPanel()
	r.closedBy = l.word
}

func (p *Panel) mounted() bool {
	return len(p.HungBy()) > 0
}

// step reads one step and adds it to the panel at hand.
func (r *reader) step(l *line) {
	if r.panel == nil {
		if r.closedBy != "" {
			l.failWhole("panel "+r.newPanel(), "belongs to a panel, but %s ended them: a line with the panel's name was expected above", r.closedBy)
		} else {
			l.failWhole("panel "+r.newPanel(), "belongs to a panel: a line with the panel's name was expected above the first step")
		}
		r.openPanel(&Panel{})
		return
	}
	s, f := r.readStep(l, l.blank())
	l.end()
	if l.bad != nil {
		return
	}
	r.order(l, s)
	r.limit(l, s, f)
	r.panel.Steps = append(r.panel.Steps, s)
}

// newPanel is a name that no panel has yet.
func (r *reader) newPanel() string {
	name := "wave"
	for n := 2; r.book.panels[name].line > 0; n++ {
		name = fmt.Sprintf("wave-%d", n)
	}
	return name
}

// order checks that mounts come first, bare rod before them, and that what is
// repeated is closed.
func (r *reader) order(l *line, s Step) {
	var last Step
	if n := len(r.panel.Steps); n > 0 {
		last = r.panel.Steps[n-1]
	}
	joined := len(r.panel.From) > 0
	switch s := s.(type) {
	case Mount:
		if joined {
			l.failLike("add 4 folded left", l.verb, "does not fit a panel that joins others: it has their ends, and add brings in more cords")
			return
		}
		switch last.(type) {
		case nil, Gap, Mount:
		default:
			l.failLike("add 4 folded left", l.verb, "comes too late: cords are mounted before the first knot, and add brings in more later")
		}
		r.laid(l, s)
	case Gap:
		switch {
		case joined:
			l.failLike("", l.verb, "does not fit a panel that joins others: it does not hang on the rod")
		case r.panel.BothWays:
			l.failLike("", l.verb, "does not fit a panel that is worked both ways: it does not hang on a rod")
		case last != nil:
			l.failLike("panel reed", l.verb, "comes too late: the bare rod before a panel is its first step; cords apart from these are a panel of their own")
		}
	case Add:
		if r.panel.BothWays {
			l.failLike("", l.verb, "does not fit a panel that is worked both ways: both sides have the ends that are laid at its start")
		}
	case Repeat:
		if r.repeat != nil {
			l.failLike("end", l.verb, "stands inside another repeat, from line %d on: close that one first with end", r.repeat.Line)
			return
		}
		r.repeat = &s
	case End:
		switch {
		case r.repeat == nil:
			l.failLike("repeat 3", l.verb, "closes nothing: a repeat was expected above it")
		case last == Step(*r.repeat):
			l.fail(l.verb, "closes a repeat with nothing in it")
		}
		r.repeat = nil
	}
}

// laid checks that the cords of a panel that is worked both ways are laid.
func (r *reader) laid(l *line, m Mount) {
	for _, h := range m.Hung {
		if r.panel.BothWays && h.Way != Laid {
			right := Mount{Hung: slices.Clone(m.Hung)}
			for i := range right.Hung {
				right.Hung[i].Way = Laid
			}
			l.failLike(strings.Join((&writer{}).step(right), " "), l.verb, "hangs cords, but a panel that is worked both ways has no rod: its cords are laid")
			return
		}
	}
}

// limit counts ends and knots, and refuses what is over the limits of a sheet.
func (r *reader) limit(l *line, s Step, f Facts) {
	name := fold(r.panel.Name)
	brought, tied := r.panel.amount(s, f, r.panelEnds[name], 0, 0)
	if r.repeat != nil {
		brought, tied = brought*r.repeat.Times, tied*r.repeat.Times
	}
	endsBefore, knotsBefore := r.totalEnds, r.knots
	r.panelEnds[name] += brought
	r.totalEnds += brought
	r.knots += tied
	switch {
	case r.totalEnds > MostEnds && endsBefore <= MostEnds:
		l.failLike("", l.verb, "makes %d ends in the whole sheet: the most is %d", r.totalEnds, MostEnds)
	case r.knots > MostKnots && knotsBefore <= MostKnots:
		l.failLike("", l.verb, "makes more than %d knots in the whole sheet, which is the most", MostKnots)
	}
}

// groups estimates from below how many knots one row of a step has.
func groups(on Ends, of, all int) int {
	const usual = 4
	if of == 0 {
		of = usual
	}
	ends := all
	if len(on.Parts) > 0 {
		ends = 0
		for _, part := range on.Parts {
			if part.Kind == Numbers {
				ends += part.To - part.From + 1
			} else {
				ends += part.To
			}
		}
	}
	return max(1, ends/of)
}
