package sheet

import (
	"strings"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"larkfold/sizing/length"
)

// verbs are all words that a line can begin with.
func verbs() []verb {
	return append([]verb{
		{"piece", head, "piece Tide Line", (*reader).piece},
		{"cord", head, "cord main 4 mm single-strand, spool 100 m 900 g 24.00", (*reader).cord},
		{"dowel", head, "dowel 60 cm x 20 mm birch", (*reader).rod},
		{"ring", head, "ring 25 cm x 5 mm", (*reader).rod},
		{"margin", head, "margin 8%", (*reader).margin},
		{"round", head, "round up to 5 cm", (*reader).roundUp},
		{"economy", head, "economy", (*reader).economy},
		{"panel", panelHead, "panel wave", (*reader).panelLine},
		{"fringe", after, "fringe 22 cm by 2 on left of wave", (*reader).fringe},
		{"swag", after, "swag 6 over 40 cm drop 25 cm", (*reader).swag},
		{"hanger", after, "hanger rise 15 cm", (*reader).hanger},
	}, stepVerbs()...)
}

func (r *reader) piece(l *line) {
	r.onceOnly(l, "piece")
	name, from := l.rest()
	if l.bad == nil && name == "" {
		l.fail(from, "the name of the piece is missing here")
	}
	if utf8.RuneCountInString(name) > 2*mostLetters {
		l.fail(from, "is too long for the name of a piece: the most is %d characters", 2*mostLetters)
	}
	r.sheet.Piece, r.sheet.PieceAt = norm.NFC.String(name), l.place()
}

// constructions are the ways a cord is made, with the spellings that are read.
var constructions = map[string]string{
	"single-strand": "single-strand", "single strand": "single-strand",
	"plied": "plied", "twisted": "plied", "braided": "braided",
}

func (r *reader) cord(l *line) {
	c := Cord{Place: l.place()}
	first := l.peek()
	c.Name = l.newName("cord", cordWords, "my-")
	if known := r.book.cords[fold(first.raw)]; l.bad == nil && known.line != l.number {
		l.fail(first, "is named already: line %d has a cord of that name", known.line)
	}
	second := l.peek()
	if _, err := length.Parse(first.raw+" "+second.raw, length.Millimetre); err == nil && l.bad == nil && isUnitLike(second.raw) {
		l.fail(l.spanTo(first, second), "stands where the cord's name was expected: the name comes before the thickness")
	}
	if isWood(second.raw) && second.raw != "" {
		l.failMend(l.spanTo(first, second), first.raw+"-"+second.raw, "is more than one word: a cord's name is one word, with hyphens if need be, and its thickness follows")
	}
	c.Thickness = l.length(cordThickness("the thickness of the cord"))
	c.Construction = l.construction()
	if l.accept(",") {
		l.expect("spool")
		c.SpoolLength, c.SpoolMass, c.SpoolPrice = l.spool()
	} else if l.accept("spool") {
		c.SpoolLength, c.SpoolMass, c.SpoolPrice = l.spool()
	}
	if c.Name != "" {
		r.sheet.Cords = append(r.sheet.Cords, c)
	}
}

// isUnitLike tells whether a word holds no digit, as a unit.
func isUnitLike(text string) bool {
	return text != "" && strings.IndexFunc(text, isDigit) < 0
}

func (l *line) spanTo(first, last word) word {
	return word{l.code[first.at:last.end()], first.at}
}

func (l *line) construction() string {
	w := l.peek()
	if l.bad != nil || w.raw == "" || w.raw == "," || w.plain() == "spool" {
		return ""
	}
	l.take()
	if found, ok := constructions[w.plain()]; ok {
		return found
	}
	next := l.peek()
	if found, ok := constructions[w.plain()+" "+next.plain()]; ok {
		l.take()
		return found
	}
	if near := nearest(w.plain(), []string{"single-strand", "plied", "twisted", "braided"}); near != "" {
		l.failMend(w, near, "is no way a cord is made; did you mean %s?", near)
	} else {
		l.fail(w, "is no way a cord is made: single-strand, plied or braided was expected, or a comma and the spool")
	}
	return ""
}

func (r *reader) rod(l *line) {
	r.onceOnly(l, "rod")
	rod := &Rod{Place: l.place(), Ring: l.verb.plain() == "ring"}
	long := boundsOf("the length of the dowel")
	if rod.Ring {
		long = boundsOf("the diameter of the ring")
	}
	first := l.peek()
	l.splitting(isCross, func() {
		rod.Length = l.length(long)
		if w := l.peek(); w.raw == "" {
			l.failMend(w, " x 20 mm", "the thickness of the rod is missing here")
		}
		l.expect("x", "×")
		rod.Thickness = l.length(rodThickness())
	})
	all := l.span(first)
	switch {
	case l.bad != nil:
		return
	case rod.Ring && 2*rod.Thickness >= rod.Length:
		l.fail(all, "leaves no hole in the ring: its diameter comes first, then the thickness of the rod")
	case rod.Thickness >= rod.Length:
		l.fail(all, "is thicker than long: the length comes first, then the thickness")
	}
	wood, from := l.rest()
	if wood != "" && !isWood(wood) || utf8.RuneCountInString(wood) > mostLetters {
		l.fail(from, "is no wood: a name such as birch was expected, or nothing")
	}
	rod.Wood = norm.NFC.String(wood)
	if l.bad == nil {
		r.sheet.Rod = rod
	}
}

// isCross finds the x of 60cmx20mm.
func isCross(r, next rune) bool { return strings.ContainsRune("xX×", r) && isDigit(next) }

// isWood tells whether a text may name what the rod is made of.
func isWood(text string) bool {
	for _, w := range strings.Fields(text) {
		if !isName(w) || isDigit(rune(w[0])) {
			return false
		}
	}
	return true
}

func (r *reader) margin(l *line) {
	r.onceOnly(l, "margin")
	w := l.take()
	if l.accept("%", "percent") {
		w = l.span(w)
	} else if w.raw != "" && !strings.HasSuffix(w.raw, "%") {
		l.failMend(w, w.raw+"%", "is no share: write it with a percent sign")
	}
	share := l.decimal(w, "the margin in percent", -2, "%", "percent")
	if l.bad == nil && share > 2 {
		l.fail(w, "is too much for a margin: the most is 200%%")
	}
	if l.bad == nil {
		r.sheet.Margin, r.sheet.MarginAt = &share, l.place()
	}
}

func (r *reader) roundUp(l *line) {
	r.onceOnly(l, "round")
	l.expect("up")
	l.expect("to")
	b := boundsOf("the step to round up to")
	b.high, b.doubt = 10*length.Metre, "the most is 10 m"
	r.sheet.RoundUp, r.sheet.RoundUpAt = l.length(b), l.place()
}

func (r *reader) economy(l *line) {
	r.onceOnly(l, "economy")
	r.sheet.Economy, r.sheet.EconomyAt = true, l.place()
}
