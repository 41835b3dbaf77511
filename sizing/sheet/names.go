package sheet

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"

	"larkfold/sizing/caret"
	"larkfold/sizing/near"
)

// Knots is the knot book as far as a sheet needs it.
type Knots interface {
	// Find returns the canonical name of a knot called by any of its names.
	Find(name string) (canonical string, ok bool)
	// Nearest returns the names of knots that are written much like this one.
	Nearest(name string) []string
}

// scope holds the names that the lines of one sheet may use.
type scope struct {
	knots         Knots
	cords, panels names
	rods          names
	joinedIn      map[string]string // folded panel name to the panel that joins it
	panel         string            // the panel that is being read
}

// names are the declared names of one kind, folded, with how they were written
// and on which line.
type names map[string]declared

type declared struct {
	written string
	line    int
}

// fold makes two spellings of one name equal.
func fold(name string) string {
	if !strings.ContainsFunc(name, func(r rune) bool { return r > unicode.MaxASCII }) {
		return strings.ToLower(name)
	}
	return norm.NFC.String(cases.Fold().String(tidyName(name)))
}

// tidyName is the spelling of a name that is kept.
func tidyName(name string) string {
	return norm.NFC.String(strings.Map(func(r rune) rune {
		if isHyphen(r) {
			return '-'
		}
		return r
	}, name))
}

func isName(text string) bool {
	anyLetter := false
	for _, r := range text {
		switch {
		case unicode.IsLetter(r), isDigit(r):
			anyLetter = true
		case unicode.IsMark(r), unicode.IsDigit(r), isHyphen(r):
		default:
			return false
		}
	}
	return anyLetter
}

// cordWords, panelWords and rodWords are taken by the notation where such a name stands.
var (
	cordWords  = []string{"left", "right", "at", "over", "on", "laid", "folded", "single", "strands", "level", "with"}
	panelWords = []string{"round", "from", "on", "both", "ways"}
	rodWords   = []string{"rod", "left", "right", "both", "of", "x", "mm", "cm", "m", "in", "ft"}
)

// CordWords lists the words that cannot name a cord.
func CordWords() []string { return slices.Clone(cordWords) }

// PanelWords lists the words that cannot name a panel.
func PanelWords() []string { return slices.Clone(panelWords) }

// mostLetters is how long a name may be.
const mostLetters = 40

// newName reads the name of a cord or a panel where it is declared. What is put
// before a taken word mends the line.
func (l *line) newName(kind string, taken []string, before string) string {
	w := l.take()
	if l.bad != nil {
		return ""
	}
	if w.raw == "" {
		l.fail(w, "the %s has no name: one word of letters, digits and hyphens", kind)
		return ""
	}
	switch amiss := unfit(w.raw, kind, taken); {
	case amiss == "":
		return tidyName(w.raw)
	case slices.Contains(taken, w.plain()):
		l.failMend(w, before+w.raw, "%s", amiss)
	default:
		l.fail(w, "%s", amiss)
	}
	return ""
}

// unfit says why a word cannot be the name of a cord, a panel or a rod; empty for one
// that can.
func unfit(word, kind string, taken []string) string {
	switch {
	case !isName(word):
		return fmt.Sprintf("cannot be the name of a %s: one word of letters, digits and hyphens", kind)
	case utf8.RuneCountInString(word) > mostLetters:
		return fmt.Sprintf("is too long for the name of a %s: the most is %d characters", kind, mostLetters)
	case slices.Contains(taken, plain(word)):
		return fmt.Sprintf("cannot be the name of a %s: it is a word of the sheet", kind)
	}
	return ""
}

// known finds a name that was declared, and says which ones there are when not.
func (n names) known(l *line, kind string, w word) string {
	if l.bad != nil {
		return ""
	}
	if w.raw == "" {
		l.fail(w, "the name of a %s is missing here", kind)
		return ""
	}
	found, ok := n[fold(w.raw)]
	if ok {
		return found.written
	}
	folded := make([]string, 0, len(n))
	for name := range n {
		folded = append(folded, name)
	}
	slices.Sort(folded)
	if meant := near.Word(fold(w.raw), folded); meant != "" {
		l.failMend(w, n[meant].written, "is no %s of this sheet; did you mean %s?", kind, n[meant].written)
	} else {
		l.fail(w, "is no %s of this sheet: no line says %s %s", kind, kind, w.raw)
	}
	return ""
}

// cord reads the name of a declared cord.
func (b *scope) cord(l *line) string {
	return b.cords.known(l, "cord", l.take())
}

// isCord tells whether a word is the name of a declared cord.
func (b *scope) isCord(w word) bool {
	_, ok := b.cords[fold(w.raw)]
	return ok
}

// firstRod is the word for a rod that may have no name.
const firstRod = "rod"

// rod reads the name of a declared dowel or ring; rod is the first.
func (b *scope) rod(l *line) string {
	if l.accept(firstRod) {
		return firstRod
	}
	return b.rods.known(l, "dowel or ring", l.take())
}

// isRod tells whether a word is the name of a declared dowel or ring.
func (b *scope) isRod(w word) bool {
	_, ok := b.rods[fold(w.raw)]
	return ok
}

// panelNamed reads the name of a declared panel.
func (b *scope) panelNamed(l *line) string {
	return b.panels.known(l, "panel", l.take())
}

// panelUnder reads the panel that another one passes under.
func (b *scope) panelUnder(l *line) string {
	w := l.peek()
	name := b.panelNamed(l)
	if l.bad == nil && name == b.panel {
		l.fail(w, "is this panel itself: name another one that hangs beside it")
	}
	return name
}

// panelsJoined reads the list of finished panels after from.
func (b *scope) panelsJoined(l *line) []string {
	var joined []string
	for more := true; more && l.bad == nil; more = l.accept(",") {
		w := l.take()
		found, ok := b.panels[fold(w.raw)]
		if !ok {
			b.finished(l.number).known(l, "panel", w)
			return joined
		}
		by, again := b.joinedIn[fold(found.written)]
		switch {
		case found.written == b.panel && found.line == l.number:
			l.fail(w, "is this panel itself: join panels that are finished")
		case found.line > l.number:
			l.fail(w, "is not finished yet: its panel comes later, on line %d", found.line)
		case again && by == b.panel:
			l.fail(w, "is joined twice: its ends are there only once")
		case again:
			l.fail(w, "is joined already in panel %s: its ends are there only once", by)
		default:
			b.joinedIn[fold(found.written)] = b.panel
			joined = append(joined, found.written)
		}
	}
	return joined
}

// finished are the panels above a line that no other one has joined.
func (b *scope) finished(line int) names {
	free := names{}
	for name, d := range b.panels {
		if _, taken := b.joinedIn[name]; !taken && d.line < line {
			free[name] = d
		}
	}
	return free
}

// knotStops end a knot's name.
var knotStops = map[string]bool{
	"of": true, "skip": true, "shift": true, "on": true, "rows": true, "times": true, "apart": true, "for": true, "until": true, "shifted": true,
}

// CheckKnotName returns an error that says why a knot of this name could not be
// written in a sheet, or nil when it can.
func CheckKnotName(name string) error {
	words := strings.Fields(name)
	if len(words) == 0 || len(words) > mostWords {
		return fmt.Errorf("the name of a knot has one to %d words: %s has %d", mostWords, caret.Quote(name), len(words))
	}
	if i := strings.IndexAny(name, ",#"); i >= 0 {
		return fmt.Errorf("the name of a knot cannot hold %s: in a sheet the name would end there", caret.Quote(name[i:i+1]))
	}
	for _, w := range words {
		if knotStops[plain(w)] {
			return fmt.Errorf("the name of a knot cannot hold %s: in a sheet that word ends the name", caret.Quote(w))
		}
	}
	return nil
}

// CheckCordName returns an error that says why a sheet could not name a cord so, or
// nil when it can.
func CheckCordName(name string) error {
	if amiss := unfit(name, "cord", cordWords); amiss != "" {
		return errors.New(caret.Quote(name) + " " + amiss)
	}
	return nil
}

// knot reads a knot's name, every word up to an option, and returns the name in
// the book.
func (b *scope) knot(l *line) string {
	first := l.peek()
	var ends []int
	var spelled []string
	for l.bad == nil && len(ends) < mostWords {
		w := l.peek()
		if w.raw == "" || w.raw == "," || knotStops[w.plain()] {
			break
		}
		spelled = append(spelled, w.plain())
		ends = append(ends, l.take().end())
	}
	if l.bad != nil {
		return ""
	}
	if len(ends) == 0 {
		if first.raw == "" {
			l.fail(first, "which knot? its name is missing here")
		} else {
			l.fail(first, "stands where the name of a knot was expected")
		}
		return ""
	}
	for i := len(ends); i > 0; i-- {
		if canonical, ok := b.knots.Find(strings.Join(spelled[:i], " ")); ok {
			l.pos = ends[i-1]
			return canonical
		}
	}
	w := l.span(first)
	meant := b.knots.Nearest(strings.Join(spelled, " "))
	if len(meant) == 0 {
		l.fail(w, "is no knot in the book")
	} else {
		l.failMend(w, meant[0], "is no knot in the book; did you mean %s?", oneOf(meant[:min(3, len(meant))]))
	}
	return ""
}
