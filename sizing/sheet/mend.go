package sheet

import (
	"maps"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"larkfold/sizing/caret"
	"larkfold/sizing/near"
	"larkfold/sizing/vocabulary"
)

// mender finds the right line for a fault: the one nearest to what was typed that
// the reader accepts in its place. Everything it proposes has been read, so a
// right line is right, and it keeps the numbers and words that were.
type mender struct {
	before *reader // as it stood before the line
	number int
	typed  []string // the words of the line

	cords, panels, rods names // declared by other lines
}

// The search for a right line: how many changes deep, and how many unfinished
// lines are taken up at each depth.
const (
	mostChanges = 3
	mostTaken   = 4
	mostTried   = 400 // lines read for one fault

	longestMended = 300 // bytes
)

// mend replaces the right lines of the first faults by ones that are accepted.
func (r *reader) mend(text string, knots Knots) {
	slices.SortStableFunc(r.faults, func(a, b Fault) int { return a.Place.Line - b.Place.Line })
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
		m := mender{before: before, number: f.Place.Line, typed: strings.Fields(f.Line)}
		m.cords, m.panels, m.rods = m.others(before.book.cords), m.others(before.book.panels), m.others(before.book.rods)
		f.Right = m.right(f)
	}
}

// attempt is a line on the way to being right.
type attempt struct {
	text  string
	bad   *Fault // nil when it is accepted
	score int
}

// right is the best line found, or nothing.
func (m mender) right(f *Fault) string {
	if f.mended && (f.Right == "" || m.read(f.Right) == nil) {
		return f.Right
	}
	start := attempt{text: f.Line, bad: f}
	if unprintable(f.Line) >= 0 {
		start.text = printable(f.Line)
		if start.bad = m.read(start.text); start.bad == nil {
			return strings.Join(strings.Fields(start.text), " ")
		}
	}
	open := []attempt{start}
	tries := 0
	for changes := 0; changes < mostChanges && len(f.Line) < longestMended; changes++ {
		var next []attempt
		var best *attempt
		for _, a := range open {
			for _, text := range m.changes(a) {
				if tries++; tries > mostTried {
					break
				}
				tried := attempt{text: text, bad: m.read(text), score: m.kept(text)}
				if tried.bad == nil && (best == nil || tried.score > best.score) {
					best = &tried
				}
				if tried.bad != nil && tried.bad.Column > a.bad.Column {
					next = append(next, tried)
				}
			}
		}
		if best != nil && best.score <= 0 {
			break // nothing of what was typed is left
		}
		if best != nil {
			return best.text
		}
		slices.SortStableFunc(next, func(a, b attempt) int { return b.score - a.score })
		open = next[:min(len(next), mostTaken)]
	}
	for _, text := range append([]string{f.Right}, fallbacks...) {
		text = (&line{inches: m.before.inches && text != f.Right}).like(text)
		if text != "" && m.read(text) == nil {
			return text
		}
	}
	return ""
}

// fallbacks are right lines where nothing of what was typed can be kept.
var fallbacks = []string{"row square", "panel wave", "cord main 4 mm single-strand", "mount 12 folded"}

// read is the fault of a line in its place, or nil.
func (m mender) read(text string) *Fault {
	r := *m.before
	r.faults, r.once, r.panelEnds, r.book.joinedIn = nil, maps.Clone(r.once), maps.Clone(r.panelEnds), maps.Clone(r.book.joinedIn)
	r.book.cords, r.book.panels, r.book.rods = maps.Clone(m.cords), maps.Clone(m.panels), maps.Clone(m.rods)
	if r.panel != nil {
		p := *r.panel
		p.Steps = slices.Clip(p.Steps)
		r.panel = &p
	}
	if unprintable(text) >= 0 {
		return &Fault{}
	}
	l := &line{number: m.number, inches: r.inches, text: text, code: text}
	if at := remarkAt(text); at >= 0 {
		l.code = text[:at]
	}
	if r.begin(l); l.verb.raw == "" {
		return &Fault{}
	}
	r.declare(l)
	r.line(l)
	return l.bad
}

// others are names without those that the line itself declares.
func (m mender) others(all names) names {
	out := maps.Clone(all)
	maps.DeleteFunc(out, func(_ string, d declared) bool { return d.line == m.number })
	return out
}

// kept weighs how much of the typed line another one keeps: a number is worth more
// than a word, and what is new costs.
func (m mender) kept(text string) int {
	const number, said, new = 6, 3, 1
	left := map[string]int{}
	for _, w := range m.typed {
		left[strings.Trim(plain(w), ",")]++
	}
	score := 0
	for _, w := range strings.Fields(plain(text)) {
		w = strings.Trim(w, ",")
		switch {
		case left[w] == 0 && slices.Contains(units, w):
			continue
		case left[w] == 0:
			score -= new
			continue
		case startsLength(w):
			score += number
		default:
			score += said
		}
		left[w]--
	}
	return score
}

// tidy joins the parts of a line by single blanks.
func tidy(parts ...string) string {
	return strings.TrimRight(strings.ReplaceAll(strings.Join(strings.Fields(strings.Join(parts, " ")), " "), " ,", ","), ",")
}

// printable is a text without the characters that cannot be seen.
func printable(text string) string {
	for at := unprintable(text); at >= 0; at = unprintable(text) {
		_, size := utf8.DecodeRuneInString(text[at:])
		text = text[:at] + text[at+size:]
	}
	return text
}

// changes are lines that differ in one thing from an attempt, the likeliest first.
func (m mender) changes(a attempt) []string {
	f := a.bad
	at := byteAt(a.text, f.Column)
	end := min(at+len(f.Word), len(a.text))
	head, wrong, tail := a.text[:at], a.text[at:end], a.text[end:]
	var all []string
	if f.Right != "" && f.mended {
		all = append(all, f.Right)
	}
	if trimmed := strings.TrimRight(head, " ,-"); trimmed != strings.TrimSpace(head) {
		all = append(all, tidy(trimmed, wrong, tail), tidy(trimmed, tail))
	}
	verb := m.before.wordOf(a.text)
	if at == len(a.text)-len(strings.TrimLeftFunc(a.text, unicode.IsSpace)) {
		for _, w := range m.before.verbs {
			if near.Word(plain(wrong), []string{w.word}) != "" || vocabulary.Behind(plain(wrong), w.word) {
				all = append(all, tidy(w.word, tail))
			}
		}
		if words := strings.Fields(a.text); len(words) > 1 { // the first two the wrong way round
			all = append(all, strings.Join(slices.Concat(words[1:2], words[:1], words[2:]), " "))
		}
		for _, w := range m.before.verbs { // the first one left out
			if w.word != "piece" { // which any text may follow
				all = append(all, tidy(w.word, a.text))
			}
		}
		return all
	}
	if wrong != "" {
		all = append(all, tidy(head, strings.Fields(wrong)[0]+"-2", tail))
	}
	all = append(all, turned(head, wrong+tail)...)
	said := ""
	if words := strings.Fields(head); len(words) > 0 {
		said = plain(words[len(words)-1])
	}
	for _, s := range m.samples(verb, said, startsLength(wrong)) {
		all = append(all, tidy(head, s, wrong, tail), tidy(head, s, tail))
		if wrong != "" {
			all = append(all, tidy(head, s))
		}
	}
	if wrong != "" {
		first := strings.Fields(wrong)[0]
		all = append(all, tidy(head, tail), tidy(head, strings.TrimPrefix(wrong, first), tail), tidy(head))
		all = append(all, withUnits(head, wrong, tail, m.likely(verb))...)
	}
	all = append(all, swapped(a.text)...)
	return all
}

// turned are two words the other way round: the first that is wrong with the one
// before it, and with the one behind it.
func turned(head, tail string) []string {
	before, after := strings.Fields(head), strings.Fields(tail)
	var all []string
	if n := len(before); n > 1 && len(after) > 0 && !strings.HasPrefix(after[0], "#") {
		all = append(all, tidy(strings.Join(before[:n-1], " "), after[0], before[n-1], strings.Join(after[1:], " ")))
	}
	if len(after) > 1 && !slices.Contains(units, plain(after[1])) && !strings.HasPrefix(after[1], "#") {
		all = append(all, tidy(head, after[1], after[0], strings.Join(after[2:], " ")))
	}
	return all
}

// byteAt is the byte at which a column of a line begins.
func byteAt(text string, column int) int {
	at := 0
	for _, c := range caret.Characters(text) {
		if column--; column == 0 {
			break
		}
		at += len(c.Text)
	}
	return min(at, len(text))
}

var units = []string{"cm", "mm", "m", "in"}

// likely are the units in the order in which a number without one is likely to have them.
func (m mender) likely(verb string) []string {
	switch {
	case m.before.inches:
		return []string{"in", "ft", "mm", "cm", "m"}
	case vocabulary.PartOf(verb) == vocabulary.Head:
		return []string{"mm", "cm", "m", "in"}
	}
	return units
}

// withUnits are the numbers of a text with other units, or by a whole number.
func withUnits(head, wrong, tail string, units []string) []string {
	digits := strings.TrimLeft(wrong, "-−+")
	i := strings.IndexFunc(digits, func(r rune) bool { return !isDigit(r) && r != '.' && r != ',' })
	if i < 0 {
		i = len(digits)
	}
	if digits = digits[:i]; digits == "" {
		return nil
	}
	var all []string
	for _, unit := range units {
		all = append(all, tidy(head, digits, unit, tail))
	}
	all = append(all, tidy(head, digits, tail), tidy(head, digits+"%", tail))
	if x, err := strconv.ParseFloat(strings.ReplaceAll(digits, ",", "."), 64); err == nil && x < MostKnots {
		all = append(all, tidy(head, strconv.Itoa(int(x+0.5)), tail))
	}
	return all
}

// swapped is a dowel's line with both its lengths the other way round.
func swapped(text string) []string {
	word, rest, _ := strings.Cut(strings.TrimSpace(text), " ")
	a, b, found := strings.Cut(rest, "x")
	if !found {
		return nil
	}
	return []string{strings.Join(strings.Fields(word+" "+b+" x "+a), " ")}
}

// samples are the things that can be said in a line with this first word, those
// that go with the word said last before the others, and the bounds of numbers
// where a number was wrong.
func (m mender) samples(verb, said string, bounds bool) []string {
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
				add("12", "folded", "single")
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
		"cord":   {"main", "second", "third", "4 mm", "single-strand", "colour teal", "squeeze 0.75", ", spool 100 m"},
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
