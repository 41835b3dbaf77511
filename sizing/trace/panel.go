package trace

import (
	"maps"
	"math"
	"slices"

	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
)

const pi = math.Pi

// work is a panel in hand.
type work struct {
	t     *tracer
	index int
	def   sheet.Panel

	order []int32   // ends, left to right today
	cols  []float64 // where their columns stand

	pivot   float64 // x of the middle of the mount
	girth   float64 // width of the mount; of a round panel once round
	hung    bool    // it has a mount of its own
	uniform bool    // all ends are of one cord
	state   state

	rod     sheet.Rod // what it hangs on
	lastBar *tiedBar  // the bar just tied; nil after anything else
	now     int       // the step in hand, and which row or repetition of it
	nth     int

	lastSkip, lastOf int // the edge of the row just tied; -1 after anything else
	tallies          []tally
	leftLoops        int
	rightLoops       int
	low              float64 // bottom of the lowest knot
	leftmost         float64 // outermost sides of its knots
	rightmost        float64
	lean             float64
}

// tally counts the knots of one kind.
type tally struct {
	knot  *knot.Knot
	times int
}

// state tells how far a panel has come.
type state int

const (
	waiting state = iota
	inHand
	finished
	failed
)

// panels traces every panel after those it joins and those it must pass under.
func (t *tracer) panels() {
	if len(t.faults) > 0 {
		return
	}
	for i := range t.works {
		t.panel(i)
	}
}

func (t *tracer) find(name string) int {
	for i, p := range t.sheet.Panels {
		if p.Name == name {
			return i
		}
	}
	return -1
}

// panel traces one panel; it tells whether that is possible.
func (t *tracer) panel(i int) bool {
	w := t.works[i]
	switch w.state {
	case finished:
		return true
	case failed:
		return false
	case inHand:
		t.fault(w.def.Place, "", "panel %s waits for itself: it joins or passes under a panel that depends on it", w.def.Name)
		return false
	}
	w.state = inHand
	if !w.ready() || !w.tieAll() {
		w.state = failed
		return false
	}
	w.state = finished
	return true
}

// ready traces the panels that must be finished first.
func (w *work) ready() bool {
	t := w.t
	for _, name := range w.needs() {
		j := t.find(name)
		if j < 0 {
			t.fault(w.def.Place, "", "no panel is called %q", name)
			return false
		}
		if !t.panel(j) {
			return false
		}
	}
	return true
}

// tieAll does the lines of the panel one after the other.
func (w *work) tieAll() bool {
	t := w.t
	before := len(t.faults)
	if len(w.def.From) > 0 {
		w.join()
	} else if !w.hung && len(t.faults) == before {
		t.fault(w.def.Place, "mount 12 folded", "panel %s has no cords: it needs a mount, or \"from\" and the panels it joins", w.def.Name)
	}
	w.leftmost, w.rightmost = math.Inf(1), math.Inf(-1)
	t.result.Panels[w.index].Done = Unrolled(w.def.Steps)
	return len(t.faults) == before && w.tieFrom(0)
}

// tieFrom does the steps of the panel from one on, and measures what has come of it.
func (w *work) tieFrom(first int) bool {
	t := w.t
	before := len(t.faults)
	done := t.result.Panels[w.index].Done
	for i := first; i <= len(done) && len(t.faults) == before && t.ctx.Err() == nil; i++ {
		if s := t.watched; s != nil && s.panel == w.index && s.done == i {
			s.at = t.clone()
		}
		if i < len(done) {
			w.now, w.nth = i, 0
			w.step(done[i])
		}
	}
	w.settle()
	if w.def.BothWays && len(t.faults) == before {
		w.mirror()
	}
	return len(t.faults) == before
}

// Unrolled are the steps with those that repeat written out.
func Unrolled(steps []sheet.Step) []sheet.Step {
	var all, block []sheet.Step
	times := 0
	for _, s := range steps {
		switch s := s.(type) {
		case sheet.Repeat:
			times = s.Times
		case sheet.End:
			for range times {
				all = append(all, block...)
			}
			block, times = nil, 0
		default:
			if times > 0 {
				block = append(block, s)
			} else {
				all = append(all, s)
			}
		}
	}
	return all
}

// needs names the panels that must be finished first.
func (w *work) needs() []string {
	names := append([]string(nil), w.def.From...)
	for _, s := range w.def.Steps {
		if c := sheet.FactsOf(s).Count(); c != nil && c.Under != "" {
			names = append(names, c.Under)
		}
	}
	return names
}

// step does one line of the sheet.
func (w *work) step(s sheet.Step) {
	skip, of := w.lastSkip, w.lastOf
	w.lastSkip = -1
	if _, bar := s.(sheet.Bar); !bar {
		w.lastBar = nil
	}
	switch s := s.(type) {
	case sheet.Mount, sheet.Gap: // hung already
		w.lastSkip, w.lastOf = skip, of
	case sheet.Row:
		w.row(s)
	case sheet.Net:
		w.net(s)
	case sheet.Taper:
		w.taper(s, skip, of)
	case sheet.Sinnet:
		w.sinnet(s)
	case sheet.Bar:
		w.bar(s)
	case sheet.Onto:
		w.onto(s)
	case sheet.Plait:
		w.plait(s)
	case sheet.Add:
		w.add(s)
	case sheet.Bead:
		w.bead(s)
	case sheet.Wrap:
		w.wrap(s)
	case sheet.Tassel:
		w.tassel(s)
	case sheet.Leaf:
		w.leaf(s)
	case sheet.Space:
		w.space(s)
	case sheet.Tail:
		w.tail(s)
	}
}

// settle runs every end down to where it stands and measures the panel.
func (w *work) settle() {
	t := w.t
	p := &t.result.Panels[w.index]
	drop := w.low
	for i, n := range w.order {
		e := &t.ends[n]
		e.run(e.x, max(e.floor, e.y))
		drop = max(drop, e.y+float64(e.parts.Tail))
		if !w.round() {
			w.leftmost, w.rightmost = min(w.leftmost, w.cols[i]-e.d/2), max(w.rightmost, w.cols[i]+e.d/2)
		}
	}
	p.Knots = map[string]int{}
	for _, n := range w.tallies {
		p.Knots[n.knot.Name] = n.times
	}
	p.Worked, p.Drop = nm(w.low), nm(drop)
	p.Pivot = nm(w.pivot)
	if len(w.order) > 0 {
		p.Left, p.Right = nm(w.leftmost), nm(w.rightmost)
		p.Width = p.Right - p.Left
		if w.round() {
			p.Left, p.Width = nm(w.cols[0]), nm(w.girth)
			p.Right = p.Left + p.Width
		}
	}
	if !w.round() {
		p.LeftLoops, p.RightLoops = w.leftLoops, w.rightLoops
	}
	for i, n := range w.order {
		p.Ends = append(p.Ends, int(n))
		p.Columns = append(p.Columns, nm(w.cols[i]))
	}
}

func (w *work) round() bool { return w.def.Round }

// pick resolves the ends that a step works on to places of today's order.
func (w *work) pick(at sheet.Place, on sheet.Ends) ([]int, bool) {
	n := len(w.order)
	if len(on.Parts) == 0 {
		return w.all(), true
	}
	chosen := make([]bool, n)
	for _, part := range on.Parts {
		from, to := part.From, part.To
		switch part.Kind {
		case sheet.Leftmost:
			from, to = 1, part.To
		case sheet.Rightmost:
			from, to = n-part.To+1, n
		case sheet.Middlemost:
			if n%2 != part.To%2 {
				w.t.fault(at, "", "panel %s has %d ends, so %d of them cannot stand in the exact middle", w.def.Name, n, part.To)
				return nil, false
			}
			from, to = (n-part.To)/2+1, (n+part.To)/2
		}
		if from < 1 || to > n || from > to {
			w.t.fault(at, "", "panel %s has %d ends here, counted 1 to %d from the left; the step asks for others", w.def.Name, n, n)
			return nil, false
		}
		for i := from; i <= to; i++ {
			chosen[i-1] = true
		}
	}
	var picked []int
	for i, yes := range chosen {
		if yes {
			picked = append(picked, i)
		}
	}
	return picked, true
}

// all are all places of today's order.
func (w *work) all() []int {
	all := make([]int, len(w.order))
	for i := range all {
		all[i] = i
	}
	return all
}

// free says when ends that a step needs have been given their tail.
func (w *work) free(at sheet.Place, places []int) bool {
	for _, i := range places {
		if w.t.ends[w.order[i]].trimmed {
			w.t.fault(at, "", "end %d of panel %s has its tail already; give the tail after the last step that uses the end", i+1, w.def.Name)
			return false
		}
	}
	return true
}

// finish turns the ends in hand into the result.
func (t *tracer) finish() {
	r := &t.result
	r.Ends = make([]End, len(t.ends))
	for i := range t.ends {
		e := &t.ends[i]
		out := End{Parts: e.parts, Panel: e.panel, Strand: e.strand, Side: e.side, Number: e.number, Knots: e.knots, X: nm(e.x), Y: nm(e.y)}
		out.Uses = make([]Use, 0, len(e.uses))
		for _, u := range e.uses {
			out.Uses = append(out.Uses, Use{Knot: u.knot.Name, Role: u.knot.Roles[u.role].Name, Family: u.knot.Kin(), Times: u.times, Takes: u.takes})
		}
		r.Ends[i] = out
	}
	for i := range r.Strands {
		p := &r.Panels[r.Strands[i].Panel]
		p.Strands = append(p.Strands, i)
	}
	for i := range r.Panels {
		r.Panels[i].Lean = Angle(t.works[i].lean)
	}
	t.shortTails()
}

// tyingTail is what hands need to tie the last knot (common practice, no source).
const tyingTail = 12 * length.Centimetre

// TyingTail is the shortest tail that hands can still tie with; shorter ones are
// cut longer and trimmed.
func TyingTail() length.Length { return tyingTail }

// shortTails notes panels whose tails are too short to tie the last knot with.
func (t *tracer) shortTails() {
	shortest := map[int]*end{} // by panel
	for i := range t.ends {
		e := &t.ends[i]
		if e.knots == 0 || !e.trimmed || e.parts.Tail >= tyingTail {
			continue
		}
		if have := shortest[e.panel]; have == nil || e.parts.Tail < have.parts.Tail {
			shortest[e.panel] = e
		}
	}
	for _, panel := range slices.Sorted(maps.Keys(shortest)) {
		e := shortest[panel]
		t.note(e.leaves, "a tail of %s is too short to tie with; the cut leaves %s in hand, to be trimmed at the end", t.say(e.parts.Tail), t.say(tyingTail))
	}
}
