package sheet

import (
	"fmt"
	"slices"
)

var spanKinds = map[string]SpanKind{"left": Leftmost, "right": Rightmost, "middle": Middlemost}

// ends reads ENDS: all, or a list of numbers, ranges and left, right or middle N.
func (l *line) ends() Ends {
	if l.accept("all") {
		return Ends{}
	}
	var ends Ends
	var taken [MostEnds + 1]bool
	l.splitting(isHyphenOrComma, func() {
		for more := true; more && l.bad == nil; {
			ends.Parts = append(ends.Parts, l.onePart(taken[:]))
			next := l.peek()
			if more = next.raw == "," && !stops[l.wordFrom(next.end()).plain()]; more {
				l.take()
			}
		}
	})
	return ends
}

func isHyphenOrComma(r, _ rune) bool { return r == ',' || isHyphen(r) }

func (l *line) onePart(taken []bool) Span {
	if kind, ok := spanKinds[l.peek().plain()]; ok {
		l.take()
		return Span{Kind: kind, To: l.whole("ends", 1, MostEnds)}
	}
	w := l.take()
	if !startsWithDigit(w) {
		l.fail(w, "%s", missing(w, "ends were expected here: numbers counted from the left such as 1-4, or all, left 4, right 4, middle 4"))
		return Span{}
	}
	span := Span{From: l.wholeOf(w, "ends", 1, MostEnds)}
	span.To = span.From
	if l.accept("-") {
		span.To = l.whole("ends", 1, MostEnds)
	}
	if l.bad != nil {
		return Span{}
	}
	if span.To < span.From {
		mended := fmt.Sprintf("%d-%d", span.To, span.From)
		l.failMend(l.span(w), mended, "runs backwards: write %s", mended)
		return Span{}
	}
	if i := slices.Index(taken[span.From:span.To+1], true); i >= 0 {
		l.fail(l.span(w), "names end %d a second time", span.From+i)
	}
	for i := span.From; i <= span.To; i++ {
		taken[i] = true
	}
	return span
}

// missing is a text that stands alone at the end of a line and after a quoted word.
func missing(w word, text string) string {
	if w.raw == "" {
		return text
	}
	return "does not fit: " + text
}

var anchors = map[string]Anchor{"left": Left, "right": Right, "middle": Middle}

func isSign(r, _ rune) bool { return r == '+' || isHyphen(r) }

// position reads a number, left, right, middle, or middle with an offset.
func (l *line) position() (p Position) {
	l.splitting(isSign, func() {
		w := l.take()
		anchor, ok := anchors[w.plain()]
		switch {
		case !ok && !startsWithDigit(w):
			l.fail(w, "%s", missing(w, "a place was expected here: left, right, middle, middle+1 or the number of an end"))
		case !ok:
			p = Position{Number: l.wholeOf(w, "ends", 1, MostEnds)}
		default:
			p = Position{Anchor: anchor}
			if anchor == Middle {
				p.Number = l.offset()
			}
		}
	})
	return p
}

// offset reads how far from the middle, or nothing.
func (l *line) offset() int {
	switch {
	case l.accept("+"):
		return l.whole("ends from the middle", 0, MostEnds)
	case l.accept("-"):
		return -l.whole("ends from the middle", 0, MostEnds)
	}
	return 0
}

func startsWithDigit(w word) bool { return w.raw != "" && isDigit(rune(w.raw[0])) }

// What the lengths of a count may be.

func countFor() bounds { return boundsOf("how far the knots shall reach") }

func countBy() bounds { return boundsOf("how far to pass under it") }

// counting is the option that says how often a step repeats; the usual word is
// named first.
func (l *line) counting(b *scope, usual string, count *Count) option {
	words := []string{"rows", "times", "for", "until"}
	if usual == "times" {
		words[0], words[1] = words[1], words[0]
	}
	return option{key: usual, words: words, read: func(word string) {
		switch word {
		case "rows", "times":
			count.N = l.whole(word, 1, MostKnots)
		case "for":
			count.For = l.length(countFor())
		case "until":
			l.expect("under")
			count.Under = b.panelUnder(l)
			if l.accept("by") {
				count.By = l.length(countBy())
			}
		}
	}}
}
