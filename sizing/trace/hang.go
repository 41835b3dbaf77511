package trace

import (
	"fmt"
	"math"
	"slices"

	"larkfold/sizing/cord"
	"larkfold/sizing/dowel"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
)

// fault records what cannot be tied, once: mounts are sized for their rod and again when
// they are hung.
func (t *tracer) fault(at sheet.Place, right, format string, args ...any) {
	f := sheet.Fault{Place: at, Text: fmt.Sprintf(format, args...), Right: right}
	if !slices.Contains(t.faults, f) {
		t.faults = append(t.faults, f)
	}
}

// note records what the maker should know.
func (t *tracer) note(at sheet.Place, format string, args ...any) {
	t.result.Notes = append(t.result.Notes, Note{Place: at, Text: fmt.Sprintf(format, args...)})
}

func (t *tracer) say(l length.Length) string { return t.maker.Style.Format(l) }

// up rounds up what would fit to a step that the maker measures in.
func (t *tracer) up(l, metric, imperial length.Length) length.Length {
	if t.maker.Style.System == length.Imperial {
		return l.RoundUp(imperial)
	}
	return l.RoundUp(metric)
}

// line is a step as the maker would write it.
func (t *tracer) line(s sheet.Step) string { return sheet.StepText(s, t.maker.Style.System) }

// cords turns the head's cord lines into cords.
func (t *tracer) cords() {
	for _, c := range t.sheet.Cords {
		made := cord.SingleStrand
		if c.Construction != "" {
			parsed, err := cord.ParseConstruction(c.Construction)
			if err != nil {
				t.fault(c.Place, "", "%v", err)
				continue
			}
			made = parsed
		}
		bought := cord.Cord{
			Name: c.Name, Nominal: c.Thickness, Construction: made,
			Squeeze: c.Squeeze, Colour: c.Colour,
			Spool: cord.Spool{Length: c.SpoolLength, Mass: c.SpoolMass, Price: c.SpoolPrice},
		}
		if bought.Squeeze == 0 {
			bought.Squeeze = t.maker.Hands[c.Name].Squeeze
		}
		if named, ok := cord.ColourNamed(c.Name); ok && bought.Colour == "" {
			bought.Colour = named
		}
		if err := bought.Check(); err != nil {
			t.fault(c.Place, "", "%v", err)
			continue
		}
		t.result.Cords = append(t.result.Cords, bought)
		t.result.Hands = append(t.result.Hands, t.maker.Hands[c.Name].Knots)
	}
	if len(t.result.Cords) == 0 && len(t.faults) == 0 {
		t.fault(sheet.Place{Line: 1, Column: 1}, "cord main 4 mm single-strand", "the sheet names no cord")
	}
}

// cord finds a cord of the head by name; the empty name is the first.
func (t *tracer) cord(at sheet.Place, name string) (int, bool) {
	if name == "" {
		return 0, true
	}
	for i, c := range t.result.Cords {
		if c.Name == name {
			return i, true
		}
	}
	t.fault(at, "", "no cord is called %q", name)
	return 0, false
}

// loaded is a rod with what hangs on it.
type loaded struct {
	rod             sheet.Rod
	named           bool // the sheet names it
	relaxed, pushed float64
	gaps            float64
	left            float64 // of the gaps, those at the left end
	closeness       float64 // how wide the cords hang, 1 for relaxed
}

// hang lays the mounts of every panel side by side along its rod, one rod after
// the other.
func (t *tracer) hang() {
	for i, p := range t.sheet.Panels {
		w := &work{t: t, index: i, def: p, lastSkip: -1, rod: t.result.Rod}
		t.works = append(t.works, w)
		t.result.Panels = append(t.result.Panels, Panel{Name: p.Name, Round: p.Round, BothWays: p.BothWays, JoinedBy: -1})
		if rod, ok := t.rodNamed(p.Place, p.On); ok {
			w.rod = rod
		}
	}
	rods := []*loaded{{rod: t.result.Rod, named: t.sheet.Rod != nil}}
	for _, r := range t.sheet.More {
		rods = append(rods, &loaded{rod: r, named: true})
	}
	x := 0.0
	for i, on := range rods {
		on.load(t)
		from := x
		x = on.hang(t, x)
		if i == 0 {
			t.result.Mounted, t.result.Relaxed, t.result.Pushed = nm(x), nm(on.relaxed+on.gaps), nm(on.pushed+on.gaps)
			t.result.Room = on.room()
		}
		if x > from {
			t.result.Rods = append(t.result.Rods, Loaded{Rod: on.rod, From: nm(from), Mounted: nm(x - from)})
			x += float64(betweenRods)
		}
		on.check(t, x-float64(betweenRods)-from)
	}
	for _, w := range t.works {
		if !w.def.BothWays {
			continue
		}
		w.hangFrom(x, 1)
		x += w.girth + float64(betweenRods)
	}
}

// betweenRods is how far apart the works on different rods are shown; they hang
// nowhere near each other.
const betweenRods = 10 * length.Centimetre

// carries tells whether a panel hangs on this rod.
func (on *loaded) carries(w *work) bool {
	return !w.def.BothWays && len(w.def.From) == 0 && w.rod.Place == on.rod.Place && w.rod.Name == on.rod.Name
}

// load adds up what hangs on the rod, and finds how close it has to hang.
func (on *loaded) load(t *tracer) {
	first := true
	for _, w := range t.works {
		if !on.carries(w) {
			continue
		}
		for _, s := range w.def.Steps {
			switch s := s.(type) {
			case sheet.Gap:
				on.gaps += float64(s.Length)
			case sheet.Mount:
				for _, h := range s.Hung {
					if _, size, ok := w.hanging(s.Place, h); ok {
						on.relaxed += float64(h.Count) * size.relaxed
						on.pushed += float64(h.Count) * size.pushed
					}
				}
			}
		}
		if first {
			on.left, first = on.gaps, false
		}
	}
	on.closeness = 1
	if on.relaxed == 0 {
		return
	}
	touching := on.pushed / on.relaxed
	known, free := on.rod.Length > 0, float64(on.room())-on.gaps
	switch t.result.Ways.Hang {
	case sheet.Touching:
		on.closeness = touching
		return
	case sheet.Spread:
		if !known && t.sheet.Hang == "" {
			return // the maker's way, where the sheet has nothing to spread over
		}
		if !known {
			t.fault(t.sheet.HangAt, "hang relaxed", "cords can be spread only over a dowel or ring whose length the sheet names")
			return
		}
		on.closeness = max(free/on.relaxed, touching)
		return
	}
	if known && on.relaxed > free && !t.maker.Loose { // they are pushed together as far as they must
		on.closeness = max(free/on.relaxed, touching)
	}
}

// room is how much of the rod the cords and the gaps can take. A gap at the left end
// says itself how much is left bare there.
func (on *loaded) room() length.Length {
	switch {
	case on.rod.Ring:
		return dowel.Round(on.rod.Length, on.rod.Thickness)
	case on.left > 0:
		return dowel.Room(on.rod.Length) + dowel.BareEnd
	}
	return dowel.Room(on.rod.Length)
}

// whole is all that the rod has, its ends too.
func (on *loaded) whole() length.Length {
	if on.rod.Ring {
		return on.room()
	}
	return on.rod.Length
}

// hang hangs all panels of the rod from x on, and tells where they end.
func (on *loaded) hang(t *tracer, x float64) float64 {
	for _, w := range t.works {
		if on.carries(w) {
			x = w.hangFrom(x, on.closeness)
		}
	}
	return x
}

// hangFrom hangs one panel, and tells where it ends.
func (w *work) hangFrom(x, closeness float64) float64 {
	for _, s := range w.def.Steps {
		if gap, ok := s.(sheet.Gap); ok {
			x += float64(gap.Length)
		}
	}
	from := x
	for i, s := range Unrolled(w.def.Steps) {
		if m, ok := s.(sheet.Mount); ok {
			w.now = i
			for _, h := range m.Hung {
				x = w.mount(m.Place, h, x, closeness)
			}
		}
	}
	w.pivot = (from + x) / 2
	w.girth = x - from
	w.hung = x > from
	w.uniform = w.oneCord()
	return x
}

// rodNamed finds a dowel or ring of the head by name; the empty name, or rod, is the first.
func (t *tracer) rodNamed(at sheet.Place, name string) (sheet.Rod, bool) {
	if name == "" || name == "rod" || name == t.result.Rod.Name {
		return t.result.Rod, true
	}
	for _, r := range t.sheet.More {
		if r.Name == name {
			return r, true
		}
	}
	t.fault(at, "", "no dowel or ring is called %q", name)
	return sheet.Rod{}, false
}

// The close cases that are worth a word: a ring less full than this, and a rod
// thinner than the book's numbers were derived for.
const (
	looseRing = 0.9
	thinRod   = 1 // working diameters of the cord; the book derives mounts on rods of 1 to 10
)

// check says when the mounts do not fit on the rod, and notes the close cases.
func (on *loaded) check(t *tracer, hung float64) {
	if !on.named || on.relaxed == 0 || len(t.faults) > 0 {
		return
	}
	room, whole := float64(on.room()), float64(on.whole())
	what := "dowel of " + t.say(on.rod.Length)
	if on.rod.Ring {
		what = "ring of " + t.say(on.rod.Length) + " (" + t.say(nm(room)) + " round)"
	}
	relaxed, pushed := on.relaxed+on.gaps, on.pushed+on.gaps
	switch {
	case whole <= 0:
	case pushed > whole:
		t.result.tooFull = append(t.result.tooFull, on.fault(t, what, pushed, room))
	case pushed > room:
		t.note(on.rod.Place, "the work is %s too wide for the %s even when pushed together, as it is sized: it takes %s of it; to hang it%s take one of %s or longer, or fewer cords", t.say(nm(pushed-room).RoundUp(length.Millimetre)), what, t.say(nm(pushed)), on.bareEnds(t), t.say(on.enough(t, pushed)))
	case relaxed > room && t.result.Ways.Hang != sheet.Touching:
		t.note(on.rod.Place, "the cords would hang over %s when relaxed; they are sized as pushed closer, over %s, to fit the %s%s", t.say(nm(relaxed)), t.say(nm(hung)), what, on.bareEnds(t))
	case on.rod.Ring && hung < looseRing*room:
		t.note(on.rod.Place, "the cords take %s of the %s, and are sized as they hang side by side; the line \"hang spread\" spreads them evenly over it", t.say(nm(hung)), what)
	}
	for _, w := range t.works {
		if d := w.thickest(w.all()); on.carries(w) && float64(on.rod.Thickness) < thinRod*d {
			t.note(on.rod.Place, "cord of %s in the knot is thicker than its rod of %s: the book's numbers for hanging it were worked out for rods at least as thick as the cord", t.say(nm(d)), t.maker.Style.Thickness(on.rod.Thickness))
			return
		}
	}
}

// fault is the fault of more cords than fit, with the rod that would take them.
func (on *loaded) fault(t *tracer, what string, pushed, room float64) sheet.Fault {
	right := on.rod
	right.Length = on.enough(t, pushed)
	fits := "none of them"
	if most := int((room - on.gaps) / on.pushed * float64(t.cordsOn(on))); most > 0 {
		fits = noun.Count(most, "cord")
	}
	return sheet.Fault{
		Place: on.rod.Place, Right: sheet.RodText(right, t.maker.Style.System),
		Text: fmt.Sprintf("the cords need %s even when pushed together and do not fit the %s: there is room for %s%s; take fewer cords, thinner cord or a longer rod", t.say(nm(pushed)), what, fits, on.bareEnds(t)),
	}
}

// enough is the length of a dowel, or the diameter of a ring, that has room for so much.
func (on *loaded) enough(t *tracer, wide float64) length.Length {
	grown := on.rod.Length + length.Length(math.Ceil(wide)) - on.room()
	if on.rod.Ring {
		grown = length.Length(math.Ceil(wide/pi) + float64(on.rod.Thickness))
	}
	return t.up(grown, length.Centimetre, length.Inch)
}

// bareEnds says what room is left out of a dowel.
func (on *loaded) bareEnds(t *tracer) string {
	switch {
	case on.rod.Ring:
		return ""
	case on.left > 0:
		return " with " + t.say(dowel.BareEnd) + " bare at its right end"
	}
	return " with bare ends of " + t.say(dowel.BareEnd)
}

// cordsOn is how many cords hang on a rod.
func (t *tracer) cordsOn(on *loaded) int {
	n := 0
	for _, w := range t.works {
		if on.carries(w) {
			for _, h := range w.def.HungBy() {
				n += h.Count
			}
		}
	}
	return n
}

// TooFull are the faults of rods that carry more cords than fit on them even
// pushed together. They are apart from the others, so that a design can be traced
// while a rod for it is still looked for.
func (r Result) TooFull() []sheet.Fault { return r.tooFull }

// MountName is the name in the knot book of what hangs a cord so; empty for a laid one.
func MountName(w sheet.Way) string {
	switch w {
	case sheet.Single:
		return "single mount"
	case sheet.Laid:
		return ""
	}
	return "lark's head"
}

// mountKnot is the knot that hangs a cord on the rod.
func (t *tracer) mountKnot(w sheet.Way) *knot.Knot {
	k, _ := t.maker.Book.Knot(MountName(w))
	return k
}

// mount hangs cords from x along the rod and returns where the next one hangs.
// Where they hang closer than relaxed, their width is in proportion.
func (w *work) mount(at sheet.Place, h sheet.Hung, x, closeness float64) (next float64) {
	t := w.t
	c, s, ok := w.hanging(at, h)
	if !ok {
		return x
	}
	ends := h.Way.Ends()
	if len(t.ends)+h.Count*ends > sheet.MostEnds {
		t.fault(at, "", "the sheet has more than %d ends", sheet.MostEnds)
		return x
	}
	d := float64(t.result.Cords[c].Diameter())
	width := s.relaxed * closeness
	t.ends = slices.Grow(t.ends, h.Ends())
	t.result.Strands = slices.Grow(t.result.Strands, h.Count)
	w.order, w.cols = slices.Grow(w.order, h.Ends()), slices.Grow(w.cols, h.Ends())
	numbers := make([]int, 0, h.Ends())
	for range h.Count {
		strand := len(t.result.Strands)
		hung := Strand{Panel: w.index, Cord: c, Way: h.Way, Step: w.now, X: nm(x + width/2), Width: nm(width)}
		for side := range ends {
			e := end{d: d, cord: c, panel: w.index, strand: strand, side: Side(side), number: len(w.order) + 1, leaves: at}
			e.x = x + width*(0.5+float64(side))/float64(ends)
			if w.def.BothWays {
				e.x = x + width/2
			}
			e.floor = s.below
			e.parts.Mount = s.takes
			numbers = append(numbers, len(t.ends))
			if side == 0 || !w.def.BothWays {
				w.order = append(w.order, int32(len(t.ends)))
				w.cols = append(w.cols, e.x)
			}
			t.ends = append(t.ends, e)
		}
		hung.Ends = numbers[len(numbers)-ends : len(numbers) : len(numbers)]
		t.result.Strands = append(t.result.Strands, hung)
		x += width
	}
	return x
}

// hangs is what one way of hanging a cord takes: of each end from the rod's axis,
// of the rod relaxed and pushed together, and how far below the axis work begins.
type hangs struct {
	takes           length.Length
	relaxed, pushed float64
	below           float64
}

// LaidWidth is the rod that a cord laid over it takes: as much as a lark's head when it
// hangs relaxed, so that knots have room below it; pushed together its two ends lie
// side by side.
func LaidWidth(d length.Length) (relaxed, pushed length.Length) { return 4 * d, 2 * d }

// hanging sizes one way of hanging a cord. A laid one goes over the rod by half a
// turn. Without a rod cords lie as far apart as a folded one's ends hang.
func (w *work) hanging(at sheet.Place, h sheet.Hung) (c int, s hangs, ok bool) {
	t := w.t
	c, ok = t.cord(at, h.Cord)
	if !ok || h.Count <= 0 {
		return 0, hangs{}, false
	}
	d := t.result.Cords[c].Diameter()
	switch {
	case w.def.BothWays:
		return c, hangs{relaxed: 2 * float64(d), pushed: float64(d)}, true
	case h.Way == sheet.Laid:
		over := float64(w.rod.Thickness + d)
		relaxed, pushed := LaidWidth(d)
		return c, hangs{takes: length.Length(math.Ceil(pi / 4 * over)), relaxed: float64(relaxed), pushed: float64(pushed), below: float64(w.rod.Thickness) / 2}, true
	}
	k := t.mountKnot(h.Way)
	size, err := t.size(k, knot.Gauge{Diameter: d, Rod: w.rod.Thickness, Ends: k.Ends}, c)
	if err != nil {
		t.fault(at, "", "%v", err)
		return 0, hangs{}, false
	}
	return c, hangs{takes: size.takes[0], relaxed: size.width, pushed: float64(size.size.Closer), below: size.height}, true
}

// oneCord tells whether all ends are of one cord.
func (w *work) oneCord() bool {
	for _, e := range w.order {
		if w.t.ends[e].cord != w.t.ends[w.order[0]].cord {
			return false
		}
	}
	return true
}
