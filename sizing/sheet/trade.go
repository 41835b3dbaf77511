package sheet

import (
	"slices"
	"strings"

	"larkfold/sizing/vocabulary"
)

// The names of the plaits in the knot book.
const (
	ThreeStrandPlait = "three-strand plait"
	FourStrandPlait  = "four-strand plait"
)

// knotSteps are the steps that are a knot of their own, by its name in the book: a
// line may begin with any name that the knot goes by.
var knotSteps = map[string]Step{
	"double half hitch": Bar{},
	"gathering wrap":    Wrap{},
	ThreeStrandPlait:    Plait{},
	FourStrandPlait:     Plait{Strands: 4},
	"alternating net":   Net{},
}

// knotWays are how cords are hung, by the knots that hang them.
var knotWays = map[string]Way{
	"lark's head": Folded, "reversed lark's head": Folded,
	"single mount": Single, "double half hitch": Single,
}

// mostTradeWords are the most that one name of the trade has.
const mostTradeWords = 4

// begin reads the first word of a line, which may be the trade's: another word for
// it, or the knot that the step ties.
func (r *reader) begin(l *line) {
	l.verb = l.take()
	l.word = l.verb.plain()
	if slices.ContainsFunc(r.verbs, func(v verb) bool { return v.word == l.word }) {
		return
	}
	if name, end := r.book.knotAt(l, l.verb.at); name != "" && knotSteps[name] != nil {
		l.verb = l.upTo(l.verb, end)
		l.pos, l.knot, l.word = end, name, knotSteps[name].lay().Word
		return
	}
	if meant := vocabulary.Line(l.word); meant != "" {
		l.word = meant
	}
}

// wordOf is the word of the sheet that a line begins with, whatever it says for it.
func (r *reader) wordOf(text string) string {
	l := &line{text: text, code: text}
	r.begin(l)
	return l.word
}

// blank is the empty step that a line begins.
func (l *line) blank() Step {
	if plait, ok := knotSteps[l.knot].(Plait); ok {
		plait.Place = l.place()
		return plait
	}
	return blank[l.word](l.place())
}

// way reads how cords are hung, in a word or as the knot that hangs them; false when
// neither stands here.
func (r *reader) way(l *line) (Way, bool) {
	w := l.peek()
	if w.raw == "" || w.raw == "," || r.book.isCord(w) {
		return "", false
	}
	name, end := r.book.knotAt(l, w.at)
	if way, ok := knotWays[name]; ok {
		l.pos = end
		return way, true
	}
	switch way := Way(w.plain()); way {
	case Folded, Single, Laid:
		l.take()
		return way, true
	}
	return "", false
}

// knotAt is the knot with the longest name that begins at a byte of a line, and where
// that name ends; it is empty where none does.
func (b *scope) knotAt(l *line, at int) (canonical string, end int) {
	var said []string
	for pos := at; len(said) < mostTradeWords; {
		w := l.wordFrom(pos)
		if w.raw == "" || w.raw == "," {
			break
		}
		said = append(said, w.plain())
		pos = w.end()
		if name, ok := b.knots.Find(strings.Join(said, " ")); ok {
			canonical, end = name, pos
		}
	}
	return canonical, end
}

// upTo is a word that goes on to a byte of its line.
func (l *line) upTo(w word, end int) word { return word{l.code[w.at:end], w.at} }
