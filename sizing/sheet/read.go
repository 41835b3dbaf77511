package sheet

import (
	"slices"
	"strings"
)

// readStep reads a step as its facts describe it: the amounts that stand in their
// place, then the others in any order. With the step come the facts, laid open.
func (r *reader) readStep(l *line, s Step) (Step, Facts) {
	f := s.lay()
	l.mark("", l.peek())
	fixed := 0
	for fixed < len(f.Amounts) && f.Amounts[fixed].Fixed {
		r.inPlace(l, &f.Amounts[fixed])
		fixed++
	}
	if loose := f.Amounts[fixed:]; l.bad == nil && (len(loose) > 0 || fixed == 0) {
		r.loose(l, loose)
	}
	if l.bad == nil && f.check != nil {
		f.check(r, l)
	}
	return f.Step(), f
}

// inPlace reads an amount that stands in its place, or passes over one that is
// not there and need not be.
func (r *reader) inPlace(l *line, a *Amount) {
	w := l.peek()
	if !a.Must && !a.begins(w) {
		return
	}
	switch {
	case a.Kind == Spot && a.Word == "at":
		r.beside(l, a)
		return
	case a.Kind == Spot && a.Word == "from":
		l.accept(a.Word)
	case a.Word != "":
		l.expect(a.Word)
	}
	r.amount(l, a)
}

// begins tells whether an amount that may be left out starts with a word.
func (a *Amount) begins(w word) bool {
	switch {
	case w.raw == "" || w.raw == ",":
		return false
	case a.Word != "":
		return w.plain() == a.Word
	case a.Kind == Whole:
		return startsWithDigit(w)
	}
	return !slices.Contains([]string{"left", "right", "at", "on", "with"}, w.plain())
}

// amount reads the value of an amount, whose word has been read.
func (r *reader) amount(l *line, a *Amount) {
	from := l.peek()
	switch a.Kind {
	case Whole:
		*a.Number = l.whole(a.What, a.Low, a.High)
	case Long:
		*a.Length = l.length(boundsOf(a.What))
	case Named:
		*a.Text = r.book.knot(l)
	case Some:
		*a.Ends = l.ends()
	case Spot:
		*a.Position = l.position()
	case Stuff:
		*a.Text = r.book.cord(l)
	case Stick:
		*a.Text = r.book.rod(l)
	case Choice:
		*a.Text = l.choice(a.Words)
	case Lots:
		*a.Hung = r.lots(l)
	}
	if a.After != "" {
		l.accept(a.After)
	}
	l.mark(a.Word, l.span(from))
}

// beside reads the place that cords are added at: left, right, or at a position.
func (r *reader) beside(l *line, a *Amount) {
	place := l.peek()
	switch {
	case l.accept("left"):
		*a.Position = Position{Anchor: Left}
	case l.accept("right"):
		*a.Position = Position{Anchor: Right}
	case l.accept("at"):
		*a.Position = l.position()
	default:
		l.expect("left", "right", "at")
	}
	if w := l.peek(); r.book.isCord(w) {
		side := l.span(place)
		l.failMend(l.spanTo(place, w), w.raw+" "+side.raw, "is the wrong way round: the cord stands before the side")
	}
}

// choice reads one of a few words.
func (l *line) choice(words []string) string {
	w := l.peek()
	if l.accept(words...) {
		return w.plain()
	}
	if w.raw == "" {
		l.fail(w, "%s is missing here", oneOf(words))
	} else {
		l.fail(w, "stands where %s was expected", oneOf(words))
	}
	return ""
}

// lots reads the cords of a mount: `N folded|single|laid [CORD]`, again and again
// behind commas. How they are hung may be left out where it is as before.
func (r *reader) lots(l *line) []Hung {
	var all []Hung
	ways := []string{string(Folded), string(Single), string(Laid)}
	for more := true; more && l.bad == nil; more = l.accept(",") {
		h := Hung{Count: l.whole("cords", 1, MostEnds)}
		w := l.peek()
		way, said := r.way(l)
		switch {
		case said:
			h.Way = way
		case len(all) > 0:
			h.Way = all[len(all)-1].Way
		case w.raw == "" || w.raw == ",":
			l.fail(w, "%s is missing here", oneOf(ways))
		default:
			l.fail(w, "stands where %s was expected", oneOf(ways))
		}
		if w := l.peek(); w.raw != "" && w.raw != "," {
			h.Cord = r.book.cord(l)
		}
		if h.Way == Folded {
			h.Way = ""
		}
		all = append(all, h)
	}
	return all
}

// loose reads the amounts that stand in any order, up to the end of the line.
func (r *reader) loose(l *line, amounts []Amount) {
	options := make([]option, len(amounts))
	for i := range amounts {
		options[i] = r.option(l, &amounts[i])
	}
	said := l.options(options...)
	for _, a := range amounts {
		if l.bad == nil && a.Must && !said[a.key()] {
			l.unsaid(a, amounts)
		}
	}
}

// key is what can be said once: the amount, or one of those it shares an only with.
func (a Amount) key() string {
	if a.Only != "" {
		return a.Only
	}
	return a.Word
}

// unsaid is the fault of an amount that the line needs and has not got.
func (l *line) unsaid(a Amount, amounts []Amount) {
	switch {
	case a.Kind == Often:
		l.failMend(l.peek(), " "+l.like(a.Like), "how many %s? say %s, for 20 cm, or until under a panel", a.What, a.Like)
	case a.Only != "":
		var like []string
		for _, b := range amounts {
			if b.Only == a.Only {
				like = append(like, b.Like)
			}
		}
		l.failMend(l.peek(), " "+l.like(a.Like), "%s? say %s", a.Only, oneOf(like))
	default:
		l.failMend(l.peek(), " "+l.like(a.Like), "%s is missing here: say %s", a.What, a.Like)
	}
}

// option is how one of the loose amounts is read.
func (r *reader) option(l *line, a *Amount) option {
	switch a.Kind {
	case Often:
		return l.counting(&r.book, a.Word, a.Count)
	case Incline:
		return option{key: a.Word, words: []string{"slope", "level"}, read: func(word string) { *a.Slope = l.incline(word) }}
	case Said:
		return one(a.Word, func() { *a.Flag = true })
	}
	return option{key: a.key(), words: []string{a.Word}, read: func(string) { r.amount(l, a) }}
}

// incline reads the slope of a bar.
func (l *line) incline(said string) *float64 {
	slope := 0.0
	if said == "level" {
		return &slope
	}
	w := l.peek()
	slope = l.degrees("the slope below the horizontal")
	if l.bad == nil && slope >= 90 {
		l.fail(l.span(w), "is too steep: less than 90 degrees below the horizontal was expected")
	}
	return &slope
}

// said is the text of an amount by its word, once it has been read; the empty word
// is everything behind the line's first.
func (l *line) said(amount string) word {
	w := l.marked(amount)
	if amount == "" {
		return word{strings.TrimSpace(l.code[w.at:]), w.at}
	}
	return w
}

// endOf is the empty place behind an amount.
func (l *line) endOf(amount string) word { return word{at: l.marked(amount).end()} }
