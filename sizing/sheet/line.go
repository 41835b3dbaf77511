package sheet

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/rivo/uniseg"

	"larkfold/sizing/caret"
	"larkfold/sizing/length"
	"larkfold/sizing/near"
)

// word is one word of a line as it was typed, and the byte it starts at.
type word struct {
	raw string
	at  int
}

// plain is the word in small letters, with straight apostrophes and hyphens.
func (w word) plain() string { return plain(w.raw) }

func plain(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case isHyphen(r):
			return '-'
		case isApostrophe(r):
			return '\''
		}
		return unicode.ToLower(r)
	}, text)
}

func isHyphen(r rune) bool {
	switch r {
	case '-', '‐', '‑', '‒', '–', '—', '−':
		return true
	}
	return false
}

func isApostrophe(r rune) bool {
	switch r {
	case '’', '‘', 'ʼ', '`', '´', '′':
		return true
	}
	return false
}

// line is one line of the text while it is read. Its readers are sticky: after
// the first fault they return zero values and the rest of the line is left.
type line struct {
	number int
	inches bool   // whoever reads its faults measures in inches
	text   string // the line as it was typed
	code   string // the line without its comment
	verb   word
	word   string                  // the word of the sheet that verb says, or what it says instead
	knot   string                  // the knot that verb says, where the line begins with one
	right  string                  // an example of a right line of this kind
	splits func(r, next rune) bool // see splitting
	pos    int
	marks  []mark // the amounts of a step that have been read
	bad    *Fault
}

// mark is where an amount of a step stands, by its word; the empty word is everything
// behind the line's first.
type mark struct {
	amount string
	word
}

// mark notes where an amount stands.
func (l *line) mark(amount string, at word) { l.marks = append(l.marks, mark{amount, at}) }

// marked is where an amount stands that has been read.
func (l *line) marked(amount string) word {
	for _, m := range slices.Backward(l.marks) {
		if m.amount == amount {
			return m.word
		}
	}
	return word{}
}

func (l *line) place() Place { return l.placeAt(l.verb.at) }

// placeAt turns a byte of the line into a place.
func (l *line) placeAt(at int) Place {
	before := l.text[:at]
	column := len(before)
	if strings.ContainsFunc(before, func(r rune) bool { return r >= utf8.RuneSelf || r == '\r' }) {
		column = uniseg.GraphemeClusterCount(before)
	}
	return Place{Line: l.number, Column: column + 1}
}

// fail records the fault of the line; only the first counts. It quotes the word
// in front of the text, when there is one.
func (l *line) fail(w word, format string, values ...any) {
	if l.bad != nil {
		return
	}
	text := l.like(fmt.Sprintf(format, values...))
	if w.raw != "" {
		text = caret.Quote(w.raw) + " " + text
	}
	l.bad = &Fault{Place: l.placeAt(w.at), Word: w.raw, Text: text, Right: l.right, Line: l.text}
}

// step is a step as it should be written.
func (l *line) step(s Step) string {
	if l.inches {
		return StepText(s, length.Imperial)
	}
	return StepText(s, length.Metric)
}

// unit is one unit or the other, for whoever measures in inches.
func (l *line) unit(metric, imperial string) string {
	if l.inches {
		return imperial
	}
	return metric
}

// like is a text with its examples in the units of whoever reads it; what was typed is
// in quotation marks and stays.
func (l *line) like(text string) string {
	if !l.inches {
		return text
	}
	parts := strings.SplitAfter(text, "“")
	for i, part := range parts {
		typed, said, closed := strings.Cut(part, "”")
		switch {
		case i == 0:
			parts[i] = length.Handy(part)
		case closed:
			parts[i] = typed + "”" + length.Handy(said)
		}
	}
	return strings.Join(parts, "")
}

// failMend is fail with the typed line, mended, as the right one: the word is
// replaced by another text.
func (l *line) failMend(w word, instead, format string, values ...any) {
	const longest = 80
	mended := strings.Join(strings.Fields(l.code[:w.at]+instead+l.code[w.end():]), " ")
	if uniseg.GraphemeClusterCount(mended) > longest {
		mended = l.right
	}
	l.failLike(mended, w, format, values...)
}

// failLike is fail with a right line of its own.
func (l *line) failLike(right string, w word, format string, values ...any) {
	if l.bad == nil {
		l.right = right
		l.fail(w, format, values...)
		l.bad.mended = true
	}
}

// failWhole is fail for a line that lacks another one above it.
func (l *line) failWhole(missing, format string, values ...any) {
	l.failLike(missing, l.verb, format, values...)
	l.bad.Whole = true
}

// peek returns the next word and leaves it; it is empty at the end of the line.
// A comma between two digits belongs to its word, any other is a word itself.
func (l *line) peek() word {
	if l.bad != nil {
		return word{at: len(l.code)}
	}
	return l.wordFrom(l.pos)
}

func (l *line) wordFrom(pos int) word {
	rest := strings.TrimLeftFunc(l.code[pos:], unicode.IsSpace)
	if rest == "" {
		return word{at: len(strings.TrimRightFunc(l.code, unicode.IsSpace))}
	}
	at := len(l.code) - len(rest)
	if rest[0] == ',' {
		return word{",", at}
	}
	var before rune
	for i, r := range rest {
		size := utf8.RuneLen(r)
		next, _ := utf8.DecodeRuneInString(rest[i+size:])
		splits := l.splits != nil && l.splits(r, next)
		switch {
		case splits && i == 0:
			return word{rest[:size], at}
		case splits, unicode.IsSpace(r), r == ',' && !(isDigit(before) && isDigit(next)):
			return word{rest[:i], at}
		}
		before = r
	}
	return word{rest, at}
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

func (w word) end() int { return w.at + len(w.raw) }

// take returns the next word and steps over it.
func (l *line) take() word {
	w := l.peek()
	l.pos = w.end()
	return w
}

// splitting reads with words split at some characters too, which become words
// of their own.
func (l *line) splitting(at func(r, next rune) bool, read func()) {
	l.splits = at
	read()
	l.splits = nil
}

// accept steps over the next word when it is one of these.
func (l *line) accept(words ...string) bool {
	if w := l.peek(); w.raw != "" && slices.Contains(words, w.plain()) {
		l.take()
		return true
	}
	return false
}

// expect steps over a word that has to stand here.
func (l *line) expect(words ...string) {
	if l.accept(words...) {
		return
	}
	if w := l.peek(); w.raw == "" {
		l.fail(w, "%s is missing here", oneOf(words))
	} else {
		l.fail(w, "stands where %s was expected", oneOf(words))
	}
}

// end makes sure that the line says nothing more.
func (l *line) end() {
	if w := l.peek(); w.raw != "" {
		rest := word{strings.TrimRightFunc(l.code[w.at:], unicode.IsSpace), w.at}
		l.failMend(rest, "", "is too much: the line is complete before it")
	}
}

// span is the typed text from one word to where the line has been read, as one word.
func (l *line) span(from word) word {
	return word{strings.TrimRightFunc(l.code[from.at:max(l.pos, from.at)], unicode.IsSpace), from.at}
}

// rest takes all words that are left, joined by single blanks.
func (l *line) rest() (text string, from word) {
	from = l.peek()
	if l.bad != nil {
		return "", from
	}
	l.pos = len(l.code)
	from = l.span(from)
	return strings.Join(strings.Fields(from.raw), " "), from
}

// whole reads a whole number from low to high; what names it in a fault ("rows").
func (l *line) whole(what string, low, high int) int {
	return l.wholeOf(l.take(), what, low, high)
}

func (l *line) wholeOf(w word, what string, low, high int) int {
	if l.bad != nil {
		return 0
	}
	if w.raw == "" {
		l.fail(w, "a number is missing here: how many %s?", what)
		return 0
	}
	n, err := strconv.Atoi(w.raw)
	if errors.Is(err, strconv.ErrSyntax) || !startsWithDigit(w) {
		l.fail(w, "is not a whole number: how many %s?", what)
		return 0
	}
	if amiss := outside(n, what, low, high); amiss != "" {
		l.fail(w, "%s", amiss)
		return 0
	}
	return n
}

// outside says of a number that it is not from low to high; empty for one that is.
func outside(n int, what string, low, high int) string {
	switch {
	case n > high:
		return fmt.Sprintf("is too many %s: the most is %d", what, high)
	case n < low:
		return fmt.Sprintf("is too few %s: the least is %d", what, low)
	}
	return ""
}

// option is one `word value` that may follow in any order. Of those with one key
// only one can be said, and only once.
type option struct {
	key   string
	words []string
	read  func(word string)
}

// one is an option with a single word.
func one(word string, read func()) option {
	return option{key: word, words: []string{word}, read: func(string) { read() }}
}

// options reads the options that follow, up to the end of the line, and tells the
// keys of those that were said. A comma before an option is let pass, and a number
// may stand before rows, times or turns.
func (l *line) options(all ...option) (said map[string]bool) {
	said = map[string]bool{}
	for l.bad == nil {
		if w := l.peek(); w.raw == "," && isOption(all, l.wordFrom(w.end()).plain()) {
			l.take()
		}
		w := l.peek()
		if w.raw == "" {
			break
		}
		typed := w.plain()
		turned := l.turned("rows", "times", "turns")
		if turned {
			typed = l.wordFrom(w.end()).plain()
		}
		i := slices.IndexFunc(all, func(o option) bool { return slices.Contains(o.words, typed) })
		switch {
		case i < 0:
			l.strange(w, all)
		case said[all[i].key]:
			l.failLike(strings.TrimRight(l.code[:w.at], " ,"), w, "is said twice: %s can stand only once", all[i].key)
		default:
			said[all[i].key] = true
			if !turned {
				l.take()
			}
			all[i].read(typed)
			if turned {
				l.take()
			}
			l.mark(all[i].words[0], l.span(w))
		}
	}
	return said
}

// turned tells whether a number and one of these words follow, as in "6 rows".
func (l *line) turned(words ...string) bool {
	w := l.peek()
	return startsWithDigit(w) && slices.Contains(words, l.wordFrom(w.end()).plain())
}

func isOption(all []option, text string) bool {
	return slices.ContainsFunc(all, func(o option) bool { return slices.Contains(o.words, text) })
}

// former are words that a line was written with before, and what is said now.
var former = map[string]map[string]string{"wrap": {"length": "for"}}

// strange is the fault of a word that is none of the options.
func (l *line) strange(w word, all []option) {
	var words []string
	for _, o := range all {
		words = append(words, o.words...)
	}
	now := former[l.word][w.plain()]
	switch meant := near.Word(w.plain(), words); {
	case now != "":
		l.failMend(w, now, "is said otherwise now: write %s", now)
	case meant != "":
		l.failMend(w, meant, "is not understood here; did you mean %s?", meant)
	case len(words) == 0:
		l.end()
	default:
		l.fail(w, "is not understood here; what may follow is %s", oneOf(words))
	}
}

// oneOf joins words as "a, b or c".
func oneOf(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}
