package trace

import (
	"fmt"
	"math"
	"slices"

	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
)

// groupKnot is a knot that groups of ends tie, and how many ends a group has.
func (w *work) groupKnot(at sheet.Place, name string, of int) (*knot.Knot, int, bool) {
	k, ok := w.t.maker.Book.Knot(name)
	if !ok {
		w.t.fault(at, "", "the knot book has no %q", name)
		return nil, 0, false
	}
	if k.Shape != knot.Group {
		w.t.fault(at, "row square", "the %s is not tied by groups of ends in rows", k.Name)
		return nil, 0, false
	}
	if of == 0 {
		of = k.Ends
	}
	if err := k.Fits(of); err != nil {
		w.t.fault(at, "", "%v", err)
		return nil, 0, false
	}
	return k, of, true
}

// groups is a knot that groups of ends tie, how many ends a group has, and the
// places whose ends tie it.
func (w *work) groups(at sheet.Place, name string, asked int, on sheet.Ends) (k *knot.Knot, of int, places []int, ok bool) {
	if k, of, ok = w.groupKnot(at, name, asked); ok {
		places, ok = w.pick(at, on)
	}
	return k, of, places, ok
}

// row ties one row of knots.
func (w *work) row(s sheet.Row) {
	k, of, places, ok := w.groups(s.Place, s.Knot, s.Of, s.On)
	if !ok {
		return
	}
	if w.tieRow(s.Place, k, of, places, s.Skip, s.Shift, 0) {
		w.lastSkip, w.lastOf = s.Skip, of
	}
}

// tieRow ties one row over the chosen places, leaving skip at both edges. On a
// round panel shift turns the grouping; on a flat one it moves it to the right.
func (w *work) tieRow(at sheet.Place, k *knot.Knot, of int, places []int, skip, shift int, apart float64) bool {
	n := len(places)
	groups := places[min(skip, n):max(n-skip, min(skip, n))]
	if w.round() && n == len(w.order) {
		if len(groups)%of != 0 {
			w.t.fault(at, "", "%d ends of round panel %s do not divide into groups of %d; change the number of ends or the group (\"of\")", len(groups), w.def.Name, of)
			return false
		}
		if turn := shift % of; turn != 0 && len(groups) > 0 {
			turned := append(append(make([]int, 0, n), places[turn:]...), places[:turn]...)
			groups = turned[skip : skip+len(groups)]
		}
	} else if shift > 0 {
		groups = groups[min(shift, len(groups)):]
		groups = groups[:len(groups)/of*of]
	}
	if len(groups) < of {
		w.t.fault(at, "", "the %s needs %d ends, and here %s left; change the number of ends or the edge (\"skip\")", k.Name, of, areLeft(len(groups)))
		return false
	}
	if over := len(groups) % of; over != 0 {
		w.t.fault(at, "", "%d ends make %s of %d and leave %d over; change the number of ends, the group (\"of\") or the edge (\"skip\")", len(groups), noun.Count(len(groups)/of, "group"), of, over)
		return false
	}
	if !w.free(at, groups) {
		return false
	}
	for i := 0; i < len(groups); i += of {
		if !w.tie(at, k, groups[i:i+of], apart) {
			return false
		}
	}
	return true
}

func areLeft(n int) string {
	switch n {
	case 0:
		return "none are"
	case 1:
		return "only 1 is"
	}
	return fmt.Sprintf("only %d are", n)
}

// tie ties one knot by the ends at the places, left to right; of a round panel
// the places may pass its seam.
func (w *work) tie(at sheet.Place, k *knot.Knot, places []int, apart float64) bool {
	t, n := w.t, len(places)
	if !t.count(at) {
		return false
	}
	first := &t.ends[w.order[places[0]]]
	gauge := knot.Gauge{Diameter: length.Length(first.d), Ends: n, Soft: t.soft(first.cord)}
	worker := first.cord
	if !w.uniform {
		gauge, worker = w.gauge(k, places)
	}
	s, err := t.size(k, gauge, worker)
	if err != nil {
		t.fault(at, "", "%v", err)
		return false
	}
	top := 0.0
	for _, p := range places {
		top = max(top, t.ends[w.order[p]].floor)
	}
	top += apart
	if !w.reaches(at, k, places, top) {
		return false
	}
	last := w.cols[places[n-1]]
	if places[n-1] < places[0] {
		last += w.girth
	}
	middle := (w.cols[places[0]] + last) / 2
	bottom := top + s.height
	from := len(t.arena)
	for i, p := range places {
		e := &t.ends[w.order[p]]
		x := middle + (float64(i)-float64(n-1)/2)*e.d
		dx := x - e.x
		if w.round() {
			dx = math.Remainder(dx, w.girth)
		}
		run := straight(dx, top-e.y)
		w.loop(p, run)
		e.parts.Run += run
		role := s.roles[i]
		e.charge(k, role, s.takes[role])
		e.x, e.y, e.floor = x, bottom, bottom
		e.knots++
		e.leaves = at
		t.tied(w.order[places[0]], w.order[p])
		t.arena = append(t.arena, w.order[p])
	}
	if k.Cross {
		a, b := places[0], places[n-1]
		l, r := &t.ends[w.order[a]], &t.ends[w.order[b]]
		l.x, r.x = r.x, l.x
		w.order[a], w.order[b] = w.order[b], w.order[a]
	}
	ends, stood := t.tying(from, places...)
	w.place(Placed{Knot: k, X: nm(middle), Y: nm(top), Width: nm(s.width), Height: nm(s.height), Ends: ends, Places: stood})
	return true
}

// reaches says when a knot's or a plait's ends would have to reach across open space or
// across ends that it leaves out, with too little bare cord above it to come together:
// flatter than 45 degrees (common practice, no source).
func (w *work) reaches(at sheet.Place, k *knot.Knot, places []int, top float64) bool {
	for i := 1; i < len(places); i++ {
		p, q := places[i-1], places[i]
		if q < p {
			continue // round the back of a round panel
		}
		a, b := &w.t.ends[w.order[p]], &w.t.ends[w.order[q]]
		apart, bare := w.cols[q]-w.cols[p], top-max(a.y, b.y)
		if need := apart/2 - (a.d+b.d)/2; bare < need && isOpen(apart, a, b) {
			between := "across open space"
			if q > p+1 {
				between = "with other ends between them"
			}
			w.t.fault(at, "", "the %s takes ends %d and %d, which stand %s apart %s and have no bare cord to come together: leave a space of %s or more above it, or take ends side by side",
				k.Name, p+1, q+1, w.t.say(nm(apart)), between, w.t.say(w.t.up(nm(need-bare), length.Centimetre, length.Inch/2)))
			return false
		}
	}
	return true
}

// isOpen tells whether two ends stand further apart than the knot that takes them draws
// together by itself: fourteen working diameters (common practice, no source).
func isOpen(apart float64, a, b *end) bool {
	const drawn = 7 // times both
	return apart > drawn*(a.d+b.d)
}

// tying closes the list of the ends of a knot, which begins in the arena, by the
// places where they stood.
func (t *tracer) tying(from int, places ...int) (ends, stood []int32) {
	mid := len(t.arena)
	for _, p := range places {
		t.arena = append(t.arena, int32(p+1))
	}
	return t.arena[from:mid:mid], t.arena[mid:len(t.arena):len(t.arena)]
}

// count counts a knot and says when there are too many.
func (t *tracer) count(at sheet.Place) bool {
	t.knots++
	if t.knots > sheet.MostKnots {
		t.fault(at, "", "the sheet has more than %d knots", sheet.MostKnots)
		return false
	}
	return true
}

// gauge is the thickest working cord, and the thickest core and the firmest, of a
// mixed group; where all work, the firmest of them.
func (w *work) gauge(k *knot.Knot, places []int) (g knot.Gauge, worker int) {
	g.Ends, g.Soft = len(places), 1
	roles, cores := k.Cast(g.Ends)
	for i, p := range places {
		e := &w.t.ends[w.order[p]]
		d := length.Length(e.d)
		if cores == 0 || !k.Roles[roles[i]].Works {
			g.Soft = min(g.Soft, w.t.soft(e.cord))
		}
		if !k.Roles[roles[i]].Works {
			g.Core = max(g.Core, d)
		} else if d > g.Diameter {
			g.Diameter, worker = d, e.cord
		}
	}
	if g.Core == g.Diameter {
		g.Core = 0
	}
	return g, worker
}

// place records a knot in its place. Its ends are the last in the arena.
func (w *work) place(p Placed) {
	if t := w.t; t.maker.Bare {
		t.arena = t.arena[:len(t.arena)-len(p.Ends)-len(p.Places)]
	} else {
		p.Panel, p.Step, p.Round = w.index, w.now, w.nth
		t.result.Placed = append(t.result.Placed, p)
	}
	w.count(p.Knot)
	w.low = max(w.low, float64(p.Y+p.Height))
	w.leftmost = min(w.leftmost, float64(p.X-p.Width/2))
	w.rightmost = max(w.rightmost, float64(p.X+p.Width/2))
}

// count adds a knot to its tally.
func (w *work) count(k *knot.Knot) {
	for i := range w.tallies {
		if w.tallies[i].knot == k {
			w.tallies[i].times++
			return
		}
	}
	w.tallies = append(w.tallies, tally{k, 1})
}

// total is how many knots the panel has.
func (w *work) total() int {
	n := 0
	for _, t := range w.tallies {
		n += t.times
	}
	return n
}

// loopRoom is how many diameters of free cord make an edge loop that a folded
// piece of fringe can be pulled through (common practice, no source).
const loopRoom = 3

// loop counts an edge loop when an outermost end has run free from one knot to the
// next: knots that lie close one below the other leave none.
func (w *work) loop(place int, run length.Length) {
	e := &w.t.ends[w.order[place]]
	if e.knots == 0 || float64(run) < loopRoom*e.d {
		return
	}
	if place == 0 {
		w.leftLoops++
	}
	if place == len(w.order)-1 {
		w.rightLoops++
	}
}

// repeat does one round after another on the places until the count is met. A
// silent count goes on until once says that no more fit.
func (w *work) repeat(at sheet.Place, c sheet.Count, what string, places []int, once func(i int) (tied, ok bool)) {
	target := math.Inf(1)
	switch {
	case c.For > 0:
		target = w.level(places) + float64(c.For)
	case c.Under != "":
		target = float64(w.t.result.Panels[w.t.find(c.Under)].Drop + c.By)
	}
	done, above := 0, 0.0
	placed, arena := len(w.t.result.Placed), len(w.t.arena)
	for ; c.N == 0 || done < c.N; done++ {
		switch done {
		case 1:
			above = w.level(places)
		case 2: // the rows of a net differ in turn
			left, level := float64(c.N-done), w.level(places)
			if !math.IsInf(target, 1) {
				left = (target - level) / (level - above)
			}
			w.t.reserve(left/2, len(w.t.result.Placed)-placed, len(w.t.arena)-arena)
		}
		if w.t.ctx.Err() != nil || !math.IsInf(target, 1) && w.depth(places, c.Under != "") >= target {
			break
		}
		w.nth = done
		tied, ok := once(done)
		if !ok {
			return
		}
		if !tied {
			if c != (sheet.Count{}) {
				w.t.fault(at, "", "after %d no ends are left for another", done)
				return
			}
			break
		}
	}
	switch {
	case c.For > 0:
		w.t.note(at, "%s: %s reach %s", w.def.Name, noun.Count(done, what), w.t.say(c.For))
	case c.Under != "":
		w.t.note(at, "%s: %s pass under %s", w.def.Name, noun.Count(done, what), c.Under)
	}
}

// reserve makes room at once for so many times as many knots and ends.
func (t *tracer) reserve(times float64, knots, ends int) {
	if times = math.Ceil(min(times, sheet.MostKnots/float64(max(knots, 1)))); times > 0 {
		t.result.Placed = slices.Grow(t.result.Placed, int(times)*knots)
		t.arena = slices.Grow(t.arena, int(times)*ends)
	}
}

// level is the depth down to which the ends at the places have been worked.
func (w *work) level(places []int) float64 {
	level := 0.0
	for _, p := range places {
		level = max(level, w.t.ends[w.order[p]].floor)
	}
	return level
}

// depth is how far down the places will hang: their level, less what the panel
// loses by leaning when it is to be joined.
func (w *work) depth(places []int, joined bool) float64 {
	level := w.level(places)
	if !joined {
		return level
	}
	aside := w.aside()
	return math.Sqrt(max(level*level-aside*aside, 0))
}

// net ties rows that are shifted by half a group in turn.
func (w *work) net(s sheet.Net) {
	k, of, places, ok := w.groups(s.Place, s.Knot, s.Of, s.On)
	if !ok {
		return
	}
	if of%2 != 0 {
		w.t.fault(s.Place, "net square rows 6", "a net shifts by half a group, and %d is odd", of)
		return
	}
	if len(places) < 2*of {
		w.t.fault(s.Place, "sinnet square times 6", "a net shifts its rows by half a group, and %d ends make only one group of %d; knots one below the other are a sinnet", len(places), of)
		return
	}
	skip, first := 0, 0
	if s.Shifted {
		first = 1
	}
	turns := w.round() && len(places) == len(w.order) // it has no edges to leave ends at
	w.repeat(s.Place, s.Rows, "row", places, func(i int) (tied, ok bool) {
		shift := (i + first) % 2 * of / 2
		if !turns {
			skip, shift = shift, 0
		}
		return true, w.tieRow(s.Place, k, of, places, skip, shift, apart(s.Apart, i))
	})
	w.lastSkip, w.lastOf = skip, of
}

// apart is the bare cord before round i of a step.
func apart(l length.Length, i int) float64 {
	if i == 0 {
		return 0
	}
	return float64(l)
}

// taper ties rows that start half a group further in, or out, at both edges. It
// goes on from the row above it when that was the same kind of group.
func (w *work) taper(s sheet.Taper, skip, lastOf int) {
	k, of, places, ok := w.groups(s.Place, s.Knot, s.Of, s.On)
	if !ok {
		return
	}
	if of%2 != 0 {
		w.t.fault(s.Place, "taper square", "a taper moves by half a group, and %d is odd", of)
		return
	}
	half := of / 2
	switch goesOn := skip >= 0 && lastOf == of; {
	case s.Widen && goesOn:
		skip -= half
	case s.Widen:
		skip = (len(places) - of) / 2
	case goesOn:
		skip += half
	default:
		skip = 0
	}
	tied := -1
	w.repeat(s.Place, s.Rows, "row", places, func(i int) (bool, bool) {
		if skip < 0 || len(places)-2*skip < of {
			return false, true
		}
		ok := w.tieRow(s.Place, k, of, places, skip, 0, apart(s.Apart, i))
		tied = skip
		if s.Widen {
			skip -= half
		} else {
			skip += half
		}
		return true, ok
	})
	if tied < 0 && len(w.t.faults) == 0 {
		w.t.fault(s.Place, "", "there is no room here for a row (%s)", k.Name)
	}
	w.lastSkip, w.lastOf = tied, of
}

// sinnet ties knots one below the other on the same ends.
func (w *work) sinnet(s sheet.Sinnet) {
	k, of, places, ok := w.groups(s.Place, s.Knot, s.Of, s.On)
	if !ok {
		return
	}
	w.repeat(s.Place, s.Times, "knot", places, func(i int) (tied, ok bool) {
		return true, w.tieRow(s.Place, k, of, places, 0, 0, apart(s.Apart, i))
	})
}
