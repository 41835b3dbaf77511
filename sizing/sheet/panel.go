package sheet

import "larkfold/sizing/near"

// panelLine reads `panel NAME [round] [from A, B]`.
func (r *reader) panelLine(l *line) {
	first := l.peek()
	p := &Panel{Place: l.place(), Name: l.newName("panel", panelWords, "point ")}
	r.openPanel(p)
	if known := r.book.panels[fold(first.raw)]; l.bad == nil && known.line != l.number {
		l.fail(first, "is named already: line %d has a panel of that name", known.line)
	}
	p.Round = l.accept("round")
	if l.accept("from") {
		l.right = "panel point from wave, reed"
		l.splitting(isComma, func() { p.From = r.book.panelsJoined(l) })
		for _, name := range p.From {
			r.panelEnds[fold(p.Name)] += r.panelEnds[fold(name)]
		}
	}
	if w := l.peek(); w.raw != "" {
		afterName(l, first, w, p)
	}
}

func isComma(r, _ rune) bool { return r == ',' }

// afterName is the fault of what follows the name of a panel and is not understood.
func afterName(l *line, name, w word, p *Panel) {
	options := []option{{words: []string{"round", "from"}}}
	if p.Round || len(p.From) > 0 || near.Word(w.plain(), options[0].words) != "" || !isName(w.raw) {
		l.strange(w, options)
		return
	}
	both := l.spanTo(name, w)
	l.failMend(both, name.raw+"-"+w.raw, "is more than one word: a panel's name is one word, with hyphens if need be")
}

// openPanel begins a panel; one without a name only swallows its steps.
func (r *reader) openPanel(p *Panel) {
	r.endPanel()
	r.panel, r.unsure, r.book.panel = p, false, p.Name
}

// endPanel keeps the panel that was read, and finds what it lacks as a whole.
func (r *reader) endPanel() {
	p := r.panel
	r.panel = nil
	if p == nil || p.Name == "" {
		return
	}
	r.sheet.Panels = append(r.sheet.Panels, *p)
	if !r.unsure && len(p.From) == 0 && !p.mounted() {
		r.faults = append(r.faults, Fault{
			Place: p.Place, Right: "mount 12 folded",
			Text: "panel " + p.Name + " has no cords: a mount was expected as its first step, or from and the panels it joins",
		})
	}
}

// closePanels ends the panels at a line that stands after them.
func (r *reader) closePanels(l *line) {
	r.endPanel()
	r.closedBy = l.verb.plain()
}

func (p *Panel) mounted() bool {
	for _, s := range p.Steps {
		if _, ok := s.(Mount); ok {
			return true
		}
	}
	return false
}

// step reads one step and adds it to the panel at hand.
func (r *reader) step(l *line, read func(*reader, *line) Step) {
	if r.panel == nil {
		if r.closedBy != "" {
			l.failLike("panel wave", l.verb, "belongs to a panel, but %s ended them: a line with the panel's name was expected above", r.closedBy)
		} else {
			l.failLike("panel wave", l.verb, "belongs to a panel: a line with the panel's name was expected above the first step")
		}
		r.openPanel(&Panel{})
		return
	}
	s := read(r, l)
	l.end()
	if l.bad != nil {
		return
	}
	r.order(l, s)
	r.limit(l, s)
	r.panel.Steps = append(r.panel.Steps, s)
}

// order checks that mounts come first and bare rod before them.
func (r *reader) order(l *line, s Step) {
	var last Step
	if n := len(r.panel.Steps); n > 0 {
		last = r.panel.Steps[n-1]
	}
	joined := len(r.panel.From) > 0
	switch s.(type) {
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
	case Gap:
		if joined {
			l.failLike("", l.verb, "does not fit a panel that joins others: it does not hang on the rod")
		} else if last != nil {
			l.failLike("panel reed", l.verb, "comes too late: the bare rod before a panel is its first step; cords apart from these are a panel of their own")
		}
	}
}

// limit counts ends and knots, and refuses what is over the limits of a sheet.
func (r *reader) limit(l *line, s Step) {
	name := fold(r.panel.Name)
	brought, tied := 0, 0
	switch s := s.(type) {
	case Mount:
		brought = endsOf(s.Count, s.Single)
	case Add:
		brought = endsOf(s.Count, s.Single)
	case Row:
		tied = groups(s.On, s.Of, r.panelEnds[name])
	case Net:
		tied = groups(s.On, s.Of, r.panelEnds[name]) * s.Rows.N
	case Taper:
		tied = groups(s.On, s.Of, r.panelEnds[name]) * s.Rows.N
	case Sinnet:
		tied = groups(s.On, s.Of, r.panelEnds[name]) * s.Times.N
	case Bar:
		tied = max(1, s.Times.N)
		if s.From.Anchor == Absolute && s.To.Anchor == Absolute {
			tied *= max(s.From.Number-s.To.Number, s.To.Number-s.From.Number)
		}
	}
	endsBefore, knotsBefore := r.totalEnds, r.knots
	r.panelEnds[name] += brought
	r.totalEnds += brought
	r.knots += tied
	switch {
	case r.totalEnds > mostEnds && endsBefore <= mostEnds:
		l.failLike("", l.verb, "makes %d ends in the whole sheet: the most is %d", r.totalEnds, mostEnds)
	case r.knots > mostKnots && knotsBefore <= mostKnots:
		l.failLike("", l.verb, "makes more than %d knots in the whole sheet, which is the most", mostKnots)
	}
}

func endsOf(cords int, single bool) int {
	if single {
		return cords
	}
	return 2 * cords
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
