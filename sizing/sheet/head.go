package sheet

import (
	"errors"
	"slices"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"larkfold/sizing/cord"
	"larkfold/sizing/length"
	"larkfold/sizing/near"
)

// MostCopies of one piece can be asked for.
const MostCopies = 1000

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
	l.options(
		option{key: "colour", words: []string{"colour", "color"}, read: func(string) { c.Colour = l.colour() }},
		one("squeeze", func() { c.Squeeze = l.squeeze() }),
		one("spool", func() { c.SpoolLength, c.SpoolMass, c.SpoolPrice = l.spool() }),
	)
	if c.Name != "" {
		r.sheet.Cords = append(r.sheet.Cords, c)
	}
}

// isUnitLike tells whether a word holds no digit, as a unit.
func isUnitLike(text string) bool {
	return text != "" && !strings.ContainsFunc(text, isDigit)
}

func (l *line) spanTo(first, last word) word {
	return word{l.code[first.at:last.end()], first.at}
}

// construction reads how a cord is made, in one word or more.
func (l *line) construction() string {
	w := l.peek()
	if l.bad != nil || w.raw == "" || w.raw == "," || isCordOption(w) {
		return ""
	}
	const mostWords = 2
	start := l.pos
	var ends []int
	for len(ends) < mostWords && l.peek().raw != "" && l.peek().raw != "," {
		ends = append(ends, l.take().end())
	}
	for i := len(ends) - 1; i >= 0; i-- {
		if made, err := cord.ParseConstruction(plain(l.code[w.at:ends[i]])); err == nil {
			l.pos = ends[i]
			return made.String()
		}
	}
	l.pos = start
	var names []string
	for _, made := range cord.Constructions() {
		names = append(names, made.String())
	}
	_, err := cord.ParseColour(w.raw)
	switch meant := near.Word(w.plain(), append(names, "twisted", "colour", "squeeze", "spool")); {
	case meant != "":
		l.failMend(w, meant, "is not understood behind a cord's thickness; did you mean %s?", meant)
	case err == nil:
		l.failMend(w, "colour "+w.raw, "is a colour: write colour in front of it")
	default:
		l.fail(w, "is no way a cord is made: %s was expected, or a comma and the spool", oneOf(names))
	}
	return ""
}

func isCordOption(w word) bool {
	return slices.Contains([]string{"colour", "color", "squeeze", "spool"}, w.plain())
}

// colour reads a colour of one word or two.
func (l *line) colour() cord.Colour {
	w := l.take()
	if l.bad != nil {
		return ""
	}
	if w.raw == "" {
		l.fail(w, "the colour is missing here: a name such as teal was expected, or # and six hexadecimal digits")
		return ""
	}
	if next := l.peek(); next.raw != "" && next.raw != "," && !isCordOption(next) {
		if c, err := cord.ParseColour(w.raw + next.raw); err == nil {
			l.take()
			return c
		}
	}
	c, err := cord.ParseColour(w.raw)
	var input *length.InputError
	if errors.As(err, &input) {
		if meant := near.Word(w.plain(), cord.ColourNames()); meant != "" {
			l.failMend(w, meant, "is no colour that the web has a name for; did you mean %s?", meant)
		} else {
			l.fail(w, "is no colour that the web has a name for: a name such as teal was expected, or # and six hexadecimal digits")
		}
	}
	return c
}

// squeeze reads how thick a cord is in a knot, as a share of its label.
func (l *line) squeeze() cord.Ratio {
	w := l.take()
	squeeze := cord.Ratio(l.decimal(w, "the thickness in a knot as a share of the label's", 0))
	if l.bad == nil && (squeeze < cord.LeastSqueeze || squeeze > cord.MostSqueeze) {
		l.fail(w, "is out of range for a squeeze: from %v to %v times the thickness on the label was expected", cord.LeastSqueeze, cord.MostSqueeze)
	}
	return squeeze
}

func (r *reader) copies(l *line) {
	r.onceOnly(l, "copies")
	n := l.whole("copies", 1, MostCopies)
	if n > 1 {
		r.sheet.Copies, r.sheet.CopiesAt = n, l.place()
	}
}

func (r *reader) tie(l *line) {
	r.onceOnly(l, "tie")
	switch {
	case l.accept("pushed"):
		l.expect("up")
		r.sheet.Tie = PushedUp
	case l.accept("relaxed"):
		r.sheet.Tie = Slack
	default:
		l.expect("pushed up", "relaxed")
	}
	r.sheet.TieAt = l.place()
}

func (r *reader) hang(l *line) {
	r.onceOnly(l, "hang")
	r.sheet.Hang = Hanging(l.choice([]string{string(Touching), string(Relaxed), string(Spread)}))
	r.sheet.HangAt = l.place()
}

// rod reads a dowel or a ring. The first may do without a name.
func (r *reader) rod(l *line) {
	rod := Rod{Place: l.place(), Ring: l.word == "ring"}
	if w := l.peek(); r.book.rods[fold(w.raw)].line == l.number {
		rod.Name = l.newName(l.word, rodWords, "my-")
	} else if known := r.book.rods[fold(w.raw)]; known.line > 0 {
		l.fail(w, "is named already: line %d has a dowel or ring of that name", known.line)
	}
	first := l.peek()
	l.splitting(isCross, func() {
		rod.Length = l.length(rod.long())
		if w := l.peek(); w.raw == "" {
			l.failMend(w, l.like(" x 20 mm"), "the thickness of the rod is missing here")
		}
		l.expect("x", "×")
		rod.Thickness = l.length(rodThickness())
	})
	all := l.span(first)
	if l.bad != nil {
		return
	}
	if amiss := rod.amiss(); amiss != "" {
		l.fail(all, "%s", amiss)
	}
	wood, from := l.rest()
	if wood != "" && !isWood(wood) || utf8.RuneCountInString(wood) > mostLetters {
		l.fail(from, "is no wood: a name such as birch was expected, or nothing")
	}
	rod.Wood = norm.NFC.String(wood)
	if rod.Name == "" && r.sheet.Rod != nil {
		l.failMend(word{at: first.at}, "foot ", "has no name: only the first dowel or ring of a sheet may do without one")
	}
	switch {
	case l.bad != nil:
	case r.sheet.Rod == nil:
		r.sheet.Rod = &rod
	default:
		r.sheet.More = append(r.sheet.More, rod)
	}
}

// long is what the length of a dowel or the diameter of a ring may be.
func (r Rod) long() bounds {
	if r.Ring {
		return boundsOf("the diameter of the ring")
	}
	return boundsOf("the length of the dowel")
}

// amiss says of a rod whose length and thickness do not go together why; empty for one
// where they do.
func (r Rod) amiss() string {
	switch {
	case r.Ring && 2*r.Thickness >= r.Length:
		return "leaves no hole in the ring: its diameter comes first, then the thickness of the rod"
	case r.Thickness >= r.Length:
		return "is thicker than long: the length comes first, then the thickness"
	}
	return ""
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
