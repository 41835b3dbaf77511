package sheet

import (
	"fmt"

	"larkfold/sizing/length"
	"larkfold/sizing/near"
)

// stepVerbs are the words that a step of a panel begins with.
func stepVerbs() []verb {
	stepVerb := func(word, right string, read func(*reader, *line) Step) verb {
		return verb{word, step, right, func(r *reader, l *line) { r.step(l, read) }}
	}
	return []verb{
		stepVerb("mount", "mount 12 folded main", (*reader).mount),
		stepVerb("gap", "gap 4 cm", (*reader).gap),
		stepVerb("row", "row square on middle 8", (*reader).row),
		stepVerb("net", "net square rows 6", (*reader).net),
		stepVerb("taper", "taper square rows 4", (*reader).taper),
		stepVerb("widen", "widen square rows 4", (*reader).taper),
		stepVerb("sinnet", "sinnet half times 12 on 1-4", (*reader).sinnet),
		stepVerb("bar", "bar left to middle", (*reader).bar),
		stepVerb("gather", "gather left to middle", (*reader).bar),
		stepVerb("plait", "plait for 20 cm on left 3", (*reader).plait),
		stepVerb("add", "add 4 folded main left", (*reader).add),
		stepVerb("wrap", "wrap turns 6", (*reader).wrap),
		stepVerb("space", "space 3 cm", (*reader).space),
		stepVerb("tail", "tail 18 cm", (*reader).tail),
	}
}

func (r *reader) mount(l *line) Step {
	s := Mount{Place: l.place(), Count: l.whole("cords", 1, mostEnds), Single: l.foldedOrSingle()}
	if l.peek().raw != "" {
		s.Cord = r.book.cord(l)
	}
	return s
}

func (l *line) foldedOrSingle() (single bool) {
	w := l.peek()
	meant := near.Word(w.plain(), []string{"folded", "single"})
	switch {
	case l.accept("folded"):
		return false
	case l.accept("single"):
		return true
	case w.raw == "":
		l.failMend(w, " folded", "folded or single is missing here")
	case meant != "":
		l.failMend(w, meant, "stands where folded or single was expected")
	default:
		l.failMend(w, "folded "+w.raw, "stands where folded or single was expected")
	}
	return false
}

func (r *reader) gap(l *line) Step {
	return Gap{l.place(), l.length(boundsOf("the bare rod before the panel"))}
}

func (r *reader) row(l *line) Step {
	s := Row{Place: l.place(), Knot: r.book.knot(l)}
	l.options(
		l.of(&s.Of, 1),
		one("skip", "skip 2", func() { s.Skip = l.whole("ends to skip at both edges", 0, mostEnds) }),
		one("shift", "shift 2", func() {
			w := l.peek()
			s.Shift = l.whole("ends to shift by", 0, mostEnds)
			if l.bad == nil && s.Shift > 0 && !r.panel.Round {
				l.failLike("row "+s.Knot+" skip 2", w, "shifts a flat panel: only a round one can be turned, a flat one can skip")
			}
		}),
		l.on(&s.On),
	)
	return s
}

func (r *reader) net(l *line) Step {
	s := Net{Place: l.place(), Knot: r.book.knot(l)}
	rows := l.counting(&r.book, "rows", &s.Rows)
	rows.must = true
	l.options(rows, l.of(&s.Of, 1), l.apart(&s.Apart), l.on(&s.On))
	l.counted(s.Rows, rows)
	return s
}

func (r *reader) taper(l *line) Step {
	s := Taper{Place: l.place(), Widen: l.verb.plain() == "widen", Knot: r.book.knot(l)}
	l.options(l.counting(&r.book, "rows", &s.Rows), l.of(&s.Of, 1), l.apart(&s.Apart), l.on(&s.On))
	return s
}

func (r *reader) sinnet(l *line) Step {
	s := Sinnet{Place: l.place(), Knot: r.book.knot(l)}
	times := l.counting(&r.book, "times", &s.Times)
	times.must = true
	l.options(times, l.of(&s.Of, 1), l.apart(&s.Apart), l.on(&s.On))
	l.counted(s.Times, times)
	return s
}

func (r *reader) bar(l *line) Step {
	s := Bar{Place: l.place(), Gather: l.verb.plain() == "gather"}
	l.accept("from")
	first := l.peek()
	s.From = l.position()
	l.expect("to")
	s.To = l.position()
	if l.bad == nil && s.From == s.To {
		l.fail(l.span(first), "goes nowhere: the carrier ends where it began")
	}
	l.options(
		l.counting(&r.book, "times", &s.Times),
		one("slope", "slope 30", func() {
			w := l.peek()
			slope := l.degrees("the slope below the horizontal")
			if l.bad == nil && slope >= 90 {
				l.fail(l.span(w), "is too steep: less than 90 degrees below the horizontal was expected")
			}
			s.Slope = &slope
		}),
		l.apart(&s.Apart),
	)
	return s
}

func (r *reader) plait(l *line) Step {
	s := Plait{Place: l.place()}
	long := one("for", "for 20 cm", func() { s.Length = l.length(boundsOf("the braided length")) })
	long.must = true
	l.options(l.of(&s.Of, 3), long, l.on(&s.On))
	if l.bad == nil && s.Length == 0 {
		l.failMend(l.peek(), " for 20 cm", "how long? say for 20 cm")
	}
	return s
}

func (r *reader) add(l *line) Step {
	s := Add{Place: l.place(), Count: l.whole("cords", 1, mostEnds), Single: l.foldedOrSingle()}
	switch l.peek().plain() {
	case "left", "right", "at", "":
	default:
		s.Cord = r.book.cord(l)
	}
	place := l.peek()
	switch {
	case l.accept("left"):
		s.Where = Position{Anchor: Left}
	case l.accept("right"):
		s.Where = Position{Anchor: Right}
	case l.accept("at"):
		s.Where = l.position()
	default:
		l.expect("left", "right", "at")
	}
	if w := l.peek(); s.Cord == "" && r.book.isCord(w) {
		side := l.span(place)
		l.failMend(l.spanTo(place, w), w.raw+" "+side.raw, "is the wrong way round: the cord stands before the side")
	}
	return s
}

func (r *reader) wrap(l *line) Step {
	s := Wrap{Place: l.place()}
	switch {
	case l.turned("turns"):
		s.Turns = l.whole("turns", 1, 1000)
		l.take()
	case l.accept("turns"):
		s.Turns = l.whole("turns", 1, 1000)
	case l.accept("length"):
		s.Length = l.length(boundsOf("the length of the wrap"))
	default:
		l.expect("turns", "length")
	}
	l.options(l.on(&s.On), one("with", "with main", func() { s.Cord = r.book.cord(l) }))
	return s
}

func (r *reader) space(l *line) Step {
	s := Space{Place: l.place(), Length: l.length(boundsOf("the drop to leave unknotted"))}
	l.options(l.on(&s.On))
	return s
}

func (r *reader) tail(l *line) Step {
	s := Tail{Place: l.place(), Length: l.length(boundsOf("the tail"))}
	l.options(l.on(&s.On))
	return s
}

// of is the option of a group's size.
func (l *line) of(size *int, least int) option {
	return one("of", fmt.Sprintf("of %d", max(4, least)), func() { *size = l.whole("ends in a group", least, mostEnds) })
}

// on is the option of the ends that a step takes.
func (l *line) on(ends *Ends) option {
	return one("on", "on 1-4, 9-12", func() { *ends = l.ends() })
}

// apart is the option of the bare cord between one row and the next.
func (l *line) apart(bare *length.Length) option {
	return one("apart", "apart 2 cm", func() { *bare = l.length(boundsOf("the bare cord between two rows")) })
}
