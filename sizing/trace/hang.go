package trace

import (
	"fmt"

	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
)

// fault records what cannot be tied.
func (t *tracer) fault(at sheet.Place, right, format string, args ...any) {
	t.faults = append(t.faults, sheet.Fault{Place: at, Text: fmt.Sprintf(format, args...), Right: right})
}

// note records what the maker should know.
func (t *tracer) note(at sheet.Place, format string, args ...any) {
	t.result.Notes = append(t.result.Notes, Note{Place: at, Text: fmt.Sprintf(format, args...)})
}

func (t *tracer) say(l length.Length) string { return t.bench.Style.Format(l) }

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
			bought.Squeeze = t.bench.Hands[c.Name].Squeeze
		}
		if named, err := cord.ParseColour(c.Name); err == nil && bought.Colour == "" {
			bought.Colour = named
		}
		if err := bought.Check(); err != nil {
			t.fault(c.Place, "", "%v", err)
			continue
		}
		t.result.Cords = append(t.result.Cords, bought)
		t.result.Hands = append(t.result.Hands, t.bench.Hands[c.Name].Knots)
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

// hang lays the mounts of every panel side by side along the rod.
func (t *tracer) hang() {
	x, pushed := 0.0, 0.0
	for i, p := range t.sheet.Panels {
		w := &work{t: t, index: i, def: p, lastSkip: -1}
		t.works = append(t.works, w)
		t.result.Panels = append(t.result.Panels, Panel{Name: p.Name, Round: p.Round, JoinedBy: -1})
		for _, s := range p.Steps {
			if gap, ok := s.(sheet.Gap); ok {
				x += float64(gap.Length)
				pushed += float64(gap.Length)
			}
		}
		from := x
		for _, s := range p.Steps {
			if m, ok := s.(sheet.Mount); ok {
				x, pushed = w.mount(m, x, pushed)
			}
		}
		w.pivot = (from + x) / 2
		w.girth = x - from
		w.hung = x > from
		w.uniform = w.oneCord()
	}
	t.result.Mounted, t.result.Pushed = nm(x), nm(pushed)
	t.checkRod()
}

// checkRod says when the mounts do not fit on the rod.
func (t *tracer) checkRod() {
	if t.sheet.Rod == nil || len(t.faults) > 0 {
		return
	}
	rod := *t.sheet.Rod
	room := rod.Length
	what := "dowel of " + t.say(rod.Length)
	if rod.Ring {
		room = nm(float64(rod.Length-rod.Thickness) * pi)
		what = "ring of " + t.say(rod.Length) + ", " + t.say(room) + " round"
	}
	switch {
	case room <= 0 || t.result.Mounted <= room:
	case t.result.Pushed <= room:
		t.note(rod.Place, "the cords hang over %s when relaxed; pushed together they fit the %s (%s)", t.say(t.result.Mounted), what, t.say(t.result.Pushed))
	default:
		t.note(rod.Place, "the cords need %s even when pushed together and do not fit the %s: take fewer cords, thinner cord or a longer rod", t.say(t.result.Pushed), what)
	}
}

// mountKnot is the knot that hangs a cord on the rod.
func (t *tracer) mountKnot(single bool) *knot.Knot {
	name := "lark's head"
	if single {
		name = "single mount"
	}
	k, _ := t.bench.Book.Knot(name)
	return k
}

// mount hangs cords from x along the rod and returns where the next one hangs.
func (w *work) mount(m sheet.Mount, x, pushed float64) (next, nextPushed float64) {
	t := w.t
	c, ok := t.cord(m.Place, m.Cord)
	if !ok || m.Count <= 0 {
		return x, pushed
	}
	k := t.mountKnot(m.Single)
	d := t.result.Cords[c].Diameter()
	s, err := t.size(k, knot.Gauge{Diameter: d, Rod: t.result.Rod.Thickness, Ends: k.Ends}, c)
	if err != nil {
		t.fault(m.Place, "", "%v", err)
		return x, pushed
	}
	ends := k.Ends
	if len(t.ends)+m.Count*ends > maxEnds {
		t.fault(m.Place, "", "the sheet has more than %d ends", maxEnds)
		return x, pushed
	}
	for range m.Count {
		strand := len(t.result.Strands)
		hung := Strand{Panel: w.index, Cord: c, X: nm(x + s.width/2), Width: nm(s.width)}
		for side := range ends {
			e := end{d: float64(d), cord: c, panel: w.index, strand: strand, side: Side(side), number: len(w.order) + 1, leaves: m.Place}
			e.x = x + s.width*(0.5+float64(side))/float64(ends)
			e.floor = s.height
			e.parts.Mount = s.takes[0]
			hung.Ends = append(hung.Ends, len(t.ends))
			w.order = append(w.order, int32(len(t.ends)))
			w.cols = append(w.cols, e.x)
			t.ends = append(t.ends, e)
		}
		t.result.Strands = append(t.result.Strands, hung)
		x += s.width
		pushed += float64(s.size.Closer)
	}
	return x, pushed
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
