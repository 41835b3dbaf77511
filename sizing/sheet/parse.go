package sheet

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"larkfold/sizing/length"
	"larkfold/sizing/near"
	"larkfold/sizing/vocabulary"
)

// The limits of one sheet, of all its panels together.
const (
	MostLines = 200
	MostBytes = 16 << 10
	MostEnds  = 2000
	MostKnots = 200_000
)

// verb is the first word of a line with how the line is read.
type verb struct {
	word  string
	part  vocabulary.Part
	right string // an example of a right line
	read  func(*reader, *line)
}

// readers are how the lines of each first word are read, where they are no steps.
var readers = map[string]func(*reader, *line){
	"piece": (*reader).piece, "copies": (*reader).copies, "cord": (*reader).cord, "dowel": (*reader).rod, "ring": (*reader).rod,
	"margin": (*reader).margin, "round": (*reader).roundUp, "economy": (*reader).economy, "tie": (*reader).tie, "hang": (*reader).hang,
	"panel": (*reader).panelLine, "fringe": (*reader).fringe, "swag": (*reader).swag, "hanger": (*reader).hanger,
}

// verbs are all words that a line can begin with.
func verbs() []verb {
	var all []verb
	for _, w := range vocabulary.Words() {
		read := readers[w.Name]
		switch {
		case w.Part == vocabulary.Detail:
			continue
		case w.Part == vocabulary.InPanel:
			read = (*reader).step
		}
		all = append(all, verb{w.Name, w.Part, w.Example, read})
	}
	return all
}

// reader gathers what the lines of one text say.
type reader struct {
	sheet  Sheet
	book   scope
	verbs  []verb
	faults []Fault
	inches bool           // whoever reads the faults measures in inches
	once   map[string]int // verbs that may stand once, with their line

	repeat   *Repeat // the one that is open in the panel; nil when none is
	panel    *Panel  // the one being read; nil before the first and after the last
	unsure   bool    // a line of this panel could not be read
	closedBy string  // the verb that ended the panels
	lost     bool    // lines are missing that could not be read at all

	panelEnds map[string]int // folded panel name to its ends
	totalEnds int
	knots     int
}

// Parse reads a working sheet. It returns whatever could be read together with
// the faults found; the sheet is fit for tracing when there are none. Knots are
// looked up in the book and kept by their canonical names.
func Parse(text string, knots Knots) (Sheet, Faults) { return ParseFor(text, knots, length.Metric) }

// ParseFor is Parse for a reader of its faults who measures in a system: examples and
// bounds are told in inches for imperial units, and where the sheet is written in them.
func ParseFor(text string, knots Knots, system length.System) (Sheet, Faults) {
	r, faults := parse(text, knots, system)
	return r.sheet, faults
}

func parse(text string, knots Knots, system length.System) (*reader, Faults) {
	r := newReader(knots)
	r.inches = system == length.Imperial || vocabulary.WrittenInInches(text)
	lines := r.lines(text)
	for _, l := range lines {
		r.declare(l)
	}
	for _, l := range lines {
		r.line(l)
	}
	r.endPanel()
	r.complete(text, lines)
	if len(r.faults) > 0 {
		r.mend(text, knots)
	}
	return r, NewFaults(text, r.faults)
}

func newReader(knots Knots) *reader {
	return &reader{
		book:      scope{knots: knots, cords: names{}, panels: names{}, rods: names{}, joinedIn: map[string]string{}},
		verbs:     verbs(),
		once:      map[string]int{},
		panelEnds: map[string]int{},
	}
}

// lines splits the text into the lines that say something, keeps the comments,
// and reports what is over the limits or cannot be shown.
func (r *reader) lines(text string) []*line {
	var out []*line
	bytes := 0
	all := Lines(text)
	for i, typed := range all {
		bytes += len(typed) + 1
		tooLong := bytes > MostBytes+1
		if i >= MostLines && strings.TrimSpace(typed) != "" || tooLong {
			why := fmt.Sprintf("the sheet is too long: the most is %d lines", MostLines)
			if tooLong {
				why = fmt.Sprintf("the sheet is too long: the most is %d KiB", MostBytes>>10)
			}
			r.faults = append(r.faults, Fault{Place: Place{i + 1, 1}, Text: why, Line: typed, mended: true})
			r.lost = true
			break
		}
		l := &line{number: i + 1, inches: r.inches, text: typed, code: typed}
		if at := unprintable(typed); at >= 0 {
			l.code = typed[:at]
			l.fail(word{at: at}, "a character stands here that cannot be seen: type the line again")
			out = append(out, l)
			r.lost = true
			continue
		}
		if at := remarkAt(typed); at >= 0 {
			l.code = typed[:at]
			r.sheet.Remarks = append(r.sheet.Remarks, Remark{i + 1, strings.TrimRightFunc(typed[at:], unicode.IsSpace)})
		}
		if r.begin(l); l.verb.raw != "" {
			out = append(out, l)
		}
	}
	return out
}

var colourForm = regexp.MustCompile(`(?i)^\s*cord\s.*\scolou?r\s*$`)

// remarkAt returns the byte at which the remark of a line begins, or -1. A "#" and
// six hexadecimal digits directly after the word colour of a cord are its colour.
func remarkAt(typed string) int {
	const digits = 6
	at := strings.IndexByte(typed, '#')
	if at < 0 || !colourForm.MatchString(typed[:at]) {
		return at
	}
	hex := strings.TrimLeft(typed[at+1:], "0123456789abcdefABCDEF")
	next, _ := utf8.DecodeRuneInString(hex)
	if len(typed)-len(hex) != at+1+digits || hex != "" && next != ',' && !unicode.IsSpace(next) {
		return at
	}
	if again := strings.IndexByte(hex, '#'); again >= 0 {
		return len(typed) - len(hex) + again
	}
	return -1
}

// unprintable returns the byte at which a line holds something that is no text,
// or -1.
func unprintable(typed string) int {
	for i, c := range typed {
		if c == utf8.RuneError || c != '\t' && unicode.IsControl(c) || c > unicode.MaxLatin1 && strings.ContainsRune("\u2028\u2029\u202A\u202B\u202C\u202D\u202E\u2066\u2067\u2068\u2069", c) {
			return i
		}
	}
	return -1
}

// leads are words from inside of lines that people begin one with.
var leads = map[string]string{"rows": "net", "times": "sinnet", "turns": "wrap", "knot": "row", "knots": "row", "cords": "mount"}

// meant is the verb of a line, or the one nearest to a misspelt word.
func (r *reader) meant(l *line) (v verb, exact, ok bool) {
	typed := l.word
	lead, led := leads[typed]
	if led {
		typed = lead
	}
	for _, v := range r.verbs {
		if v.word == typed {
			return v, !led, true
		}
	}
	words := make([]string, len(r.verbs))
	for i, v := range r.verbs {
		words[i] = v.word
	}
	if i := slices.Index(words, near.Word(typed, words)); i >= 0 {
		return r.verbs[i], false, true
	}
	return verb{}, false, false
}

// declare notes the name of a cord, a panel, a dowel or a ring, so that every line can use it.
func (r *reader) declare(l *line) {
	v, _, _ := r.meant(l)
	kind := map[string]names{"cord": r.book.cords, "panel": r.book.panels, "dowel": r.book.rods, "ring": r.book.rods}[v.word]
	name := l.peek().raw
	if kind == nil || !isName(name) || v.part == vocabulary.Head && v.word != "cord" && startsLength(name) {
		return
	}
	if _, again := kind[fold(name)]; !again {
		kind[fold(name)] = declared{tidyName(name), l.number}
	}
}

// line reads one line.
func (r *reader) line(l *line) {
	v, exact, ok := r.meant(l)
	l.right = l.like(v.right)
	switch {
	case l.bad != nil:
		if r.panel == nil && r.closedBy == "" {
			r.openPanel(&Panel{})
		}
	case !ok:
		l.right = "row square"
		l.fail(l.verb, "is no word that a line begins with: a panel's step was expected, such as mount, row, net, sinnet, bar, wrap or tail")
	case !exact:
		l.failMend(l.verb, v.word, "is no word that a line begins with; did you mean %s?", v.word)
		if name := l.wordFrom(l.pos).raw; v.part == vocabulary.PanelHead && isName(name) {
			r.openPanel(&Panel{Place: l.place(), Name: tidyName(name)})
		}
	default:
		v.read(r, l)
		if l.bad == nil {
			l.end()
		}
	}
	if l.bad != nil {
		r.faults = append(r.faults, *l.bad)
		r.unsure = r.unsure || v.part != vocabulary.Head
	}
}

// onceOnly is the fault of a second line of a kind of which there is one.
func (r *reader) onceOnly(l *line, kind string) {
	if first, again := r.once[kind]; again {
		l.failLike("", l.verb, "stands a second time: line %d says it already", first)
		return
	}
	r.once[kind] = l.number
}

// complete finds what is missing from the whole sheet.
func (r *reader) complete(text string, lines []*line) {
	if r.lost {
		return
	}
	if len(lines) == 0 {
		r.faults = append(r.faults, Fault{
			Place: Place{1, 1}, Line: Lines(text)[0], Whole: true, Right: (&line{inches: r.inches}).like("cord main 4 mm single-strand"),
			Text: "the sheet is empty: a cord was expected, then a panel with its steps",
		})
		return
	}
	has := func(word string) bool {
		return slices.ContainsFunc(lines, func(l *line) bool { v, _, _ := r.meant(l); return v.word == word })
	}
	if first := lines[0]; !has("cord") {
		r.faults = append(r.faults, Fault{
			Place: first.place(), Line: first.text, Whole: true, Right: first.like("cord main 4 mm single-strand"),
			Text: "no cord is named: a line with the cord's name and thickness was expected before the panels",
		})
	}
	if last := lines[len(lines)-1]; !has("panel") {
		r.faults = append(r.faults, Fault{
			Place: last.placeAt(len(strings.TrimRightFunc(last.code, unicode.IsSpace))), Line: last.text, Whole: true, Right: "panel wave",
			Text: "no panel follows: a line with a panel's name was expected, then its steps",
		})
	}
}
