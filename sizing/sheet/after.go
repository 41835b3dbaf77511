package sheet

import "larkfold/sizing/length"

// What the lengths of these lines may be.

func fringeDrop() bounds { return boundsOf("the finished drop of the fringe") }

func fringeEach() bounds { return boundsOf("the width that each of these pieces takes") }

func swagOver() bounds { return boundsOf("the width between both hanging points") }

func swagDrop() bounds { return boundsOf("how deep the arc hangs") }

func hangerRise() bounds {
	b := boundsOf("how high the hook is above the rod")
	b.high, b.doubt = 100*length.Metre, "the most is 100 m"
	return b
}

// fringe reads `L by N [each L] on SIDE of PANEL` or `... on DOWEL`.
func (r *reader) fringe(l *line) {
	r.closePanels(l)
	f := Fringe{Place: l.place(), Drop: l.length(fringeDrop())}
	l.expect("by")
	f.Pieces = l.whole("pieces to a loop", 1, 100)
	if l.accept("each") {
		f.Each = l.length(fringeEach())
	}
	on := l.peek()
	l.expect("on")
	sides := map[string]Side{"left": LeftEdge, "right": RightEdge, "both": BothEdges, "foot": Foot}
	w := l.peek()
	side, known := sides[w.plain()]
	switch {
	case known && l.wordFrom(w.end()).plain() != "of" && r.book.isRod(w):
		f.Rod = r.book.rod(l)
	case known:
		l.take()
		f.Side = side
		l.expect("of")
		f.Panel = r.book.panelNamed(l)
	case w.plain() == "rod" || r.book.isRod(w):
		f.Rod = r.book.rod(l)
	default:
		l.expect("left", "right", "both", "foot", "rod")
	}
	if l.bad == nil && f.Each == 0 && (f.Rod != "" || f.Side == Foot) {
		l.failMend(word{at: on.at}, l.like("each 1 cm "), "by how much of the width? there are no loops there: say each 1 cm behind the pieces")
	}
	l.options(one("with", func() { f.Cord = r.book.cord(l) }))
	if l.bad == nil {
		r.sheet.Fringes = append(r.sheet.Fringes, f)
	}
}

func (r *reader) swag(l *line) {
	r.closePanels(l)
	s := Swag{Place: l.place(), Count: l.whole("cords", 1, MostEnds)}
	if w := l.peek(); w.raw != "" && w.plain() != "over" {
		s.Cord = r.book.cord(l)
	}
	l.expect("over")
	s.Over = l.length(swagOver())
	l.expect("drop")
	s.Drop = l.length(swagDrop())
	if l.bad == nil {
		r.sheet.Swags = append(r.sheet.Swags, s)
	}
}

func (r *reader) hanger(l *line) {
	r.closePanels(l)
	r.onceOnly(l, "hanger")
	h := &Hanger{Place: l.place()}
	switch {
	case l.accept("rise"):
		h.Rise = l.length(hangerRise())
	case l.accept("angle"):
		at := l.peek()
		h.Angle = l.degrees("the angle from the horizontal")
		if l.bad == nil && (h.Angle <= 0 || h.Angle >= 90) {
			l.fail(l.span(at), "is no angle for a hanger: more than 0 and less than 90 was expected")
		}
	default:
		l.expect("rise", "angle")
	}
	if l.bad == nil {
		r.sheet.Hanger = h
	}
}

// degrees reads an angle; its sign or word may stand behind it.
func (l *line) degrees(what string) float64 {
	angle := l.decimal(l.take(), what+" in degrees", 0, "°")
	l.accept("°", "deg", "degrees")
	return angle
}
