package sheet

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"strings"

	"larkfold/sizing/sheet/mend"
	"larkfold/sizing/vocabulary"
)

// mender reads lines in the place of a faulty one, see [mend.Line].
type mender struct {
	before *reader // as it stood before the line
	number int

	cords, panels, rods names // declared by other lines
}

// mend replaces the right lines of the first faults by ones that are accepted.
func (r *reader) mend(text string, knots Knots) {
	slices.SortStableFunc(r.faults, func(a, b Fault) int { return cmp.Compare(a.Place.Line, b.Place.Line) })
	for i := range r.faults[:min(len(r.faults), MostFaults)] {
		f := &r.faults[i]
		if f.Whole || f.Line == "" {
			continue
		}
		before := newReader(knots)
		before.inches = r.inches
		lines := before.lines(text)
		for _, l := range lines {
			before.declare(l)
		}
		for _, l := range lines {
			if l.number >= f.Place.Line {
				break
			}
			before.line(l)
		}
		m := mender{before: before, number: f.Place.Line}
		m.cords, m.panels, m.rods = m.others(before.book.cords), m.others(before.book.panels), m.others(before.book.rods)
		like := f.Right
		if f.Right = mend.Line(f.Line, *f.forMending(), m); f.Right == "" && !f.mended {
			f.Like = like
		}
	}
}

// forMending is what the search for a right line asks of a fault.
func (f *Fault) forMending() *mend.Fault {
	if f == nil {
		return nil
	}
	return &mend.Fault{Column: f.Column, Word: f.Word, Right: f.Right, Meant: f.mended}
}

// First implements [mend.Reader].
func (m mender) First(text string) string { return m.before.wordOf(text) }

// Firsts implements [mend.Reader].
func (m mender) Firsts() []string {
	all := make([]string, len(m.before.verbs))
	for i, v := range m.before.verbs {
		all[i] = v.word
	}
	return all
}

// Units implements [mend.Reader].
func (m mender) Units(first string) []string {
	switch {
	case m.before.inches:
		return []string{"in", "ft", "mm", "cm", "m"}
	case vocabulary.PartOf(first) == vocabulary.Head:
		return []string{"mm", "cm", "m", "in"}
	}
	return []string{"cm", "mm", "m", "in"}
}

// Words implements [mend.Reader].
func (mender) Words(first string) []string {
	all := []string{"all", "left", "right", "middle"}
	for _, w := range vocabulary.Words() {
		if w.Part == vocabulary.Detail && slices.Contains(w.In, first) {
			all = append(all, w.Name)
		}
	}
	return all
}

// Knows implements [mend.Reader].
func (mender) Knows(word string) bool {
	return stops[word] || word == "left" || word == "right" || word == "middle" ||
		slices.ContainsFunc(vocabulary.Words(), func(w vocabulary.Word) bool { return w.Name == word })
}

// Plain implements [mend.Reader].
func (mender) Plain(text string) string { return plain(text) }

// Measures implements [mend.Reader].
func (mender) Measures(text string) bool { return startsLength(text) }

// Unseen implements [mend.Reader].
func (mender) Unseen(text string) int { return unprintable(text) }

// Read implements [mend.Reader].
func (m mender) Read(text string) *mend.Fault {
	r := *m.before
	r.faults, r.once, r.panelEnds, r.book.joinedIn = nil, maps.Clone(r.once), maps.Clone(r.panelEnds), maps.Clone(r.book.joinedIn)
	r.book.cords, r.book.panels, r.book.rods = maps.Clone(m.cords), maps.Clone(m.panels), maps.Clone(m.rods)
	if r.panel != nil {
		p := *r.panel
		p.Steps = slices.Clip(p.Steps)
		r.panel = &p
	}
	if unprintable(text) >= 0 {
		return &mend.Fault{}
	}
	l := &line{number: m.number, inches: r.inches, text: text, code: text}
	if at := remarkAt(text); at >= 0 {
		l.code = text[:at]
	}
	if r.begin(l); l.verb.raw == "" {
		return &mend.Fault{}
	}
	r.declare(l)
	r.line(l)
	return l.bad.forMending()
}

// others are names without those that the line itself declares.
func (m mender) others(all names) names {
	out := maps.Clone(all)
	maps.DeleteFunc(out, func(_ string, d declared) bool { return d.line == m.number })
	return out
}

// Samples implements [mend.Reader].
func (m mender) Samples(verb, said string, bounds bool) []string {
	var all []string
	add := func(samples ...string) {
		for _, s := range samples {
			if word, value, found := strings.Cut(s, " "); found && !startsLength(word) {
				all = append(all, word, s, value)
				continue
			}
			all = append(all, s)
		}
	}
	var last []string // bounds, where no number that was typed will do
	if lay := blank[verb]; lay != nil {
		amounts := lay(Place{}).lay().Amounts
		slices.SortStableFunc(amounts, func(a, b Amount) int { return matches(b, said) - matches(a, said) })
		for _, a := range amounts {
			if len(a.Words) > 0 {
				add(a.Words...)
			}
			switch {
			case a.Kind == Stuff && a.Word != "":
				add(a.Word + " " + m.name(m.before.book.cords))
			case a.Kind == Stuff:
				add(m.name(m.before.book.cords))
			case a.Kind == Stick:
				add(firstRod)
			case a.Kind == Lots:
				add("12", "folded", "single", m.name(m.before.book.cords))
			case a.Kind == Often && a.Word == "times":
				add(a.Like, "for 20 cm")
			case a.Kind == Spot && a.Word == "at":
				add("left", "at 1")
			case a.Kind == Some:
				add(a.Like, "all", "1-4")
			case a.Kind == Whole:
				add(a.Like)
				if !bounds {
					continue
				}
				last = append(last, strconv.Itoa(max(a.Low, 1)), strconv.Itoa(a.High))
			default:
				add(a.Like)
			}
		}
	}
	panel := m.name(m.before.book.panels)
	add(map[string][]string{
		"piece":  {"Tide Line"},
		"copies": {"4"},
		"cord":   {"main", "second", "third", "second 4 mm", "100 m", "4 mm", "single-strand", "colour teal", "squeeze 0.75", ", spool 100 m"},
		"dowel":  {"60 cm", "x 20 mm", "x", "foot"},
		"ring":   {"20 cm", "x 5 mm", "x", "low"},
		"margin": {"8%"},
		"round":  {"up to 5 cm", "to 5 cm", "5 cm"},
		"tie":    {"pushed up", "up", "relaxed"},
		"hang":   {"touching", "relaxed", "spread"},
		"panel":  {"wave", "on rod", "round", "both ways", "ways", "from " + panel, panel},
		"fringe": {"22 cm", "by 2", "2", "each 1 cm", "on left of " + panel, "left of " + panel, "of " + panel, panel, "on rod", "with " + m.name(m.before.book.cords)},
		"swag":   {"6", "over 40 cm", "drop 25 cm", m.name(m.before.book.cords)},
		"hanger": {"rise 15 cm", "angle 45", "45"},
	}[verb]...)
	all = append(all, last...)
	for i, s := range all {
		all[i] = (&line{inches: m.before.inches}).like(s)
	}
	return slices.DeleteFunc(all, func(s string) bool { return s == "" })
}

// matches is 1 for an amount that goes with a word, and 0 for others.
func matches(a Amount, word string) int {
	if a.Word == word && word != "" {
		return 1
	}
	return 0
}

// name is the first declared name of a kind.
func (m mender) name(of names) string {
	best, line := "", 0
	for _, d := range of {
		if d.line != m.number && (line == 0 || d.line < line) {
			best, line = d.written, d.line
		}
	}
	return best
}
