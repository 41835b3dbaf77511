package trace

import (
	"math"
	"slices"

	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
)

// joinedWith are the indices of the panels that will be joined with this one, itself
// among them; none when it is not to be joined.
func (w *work) joinedWith() []int {
	for _, p := range w.t.sheet.Panels {
		if slices.Contains(p.From, w.def.Name) {
			return w.t.froms(p)
		}
	}
	return nil
}

// wide is the width of a panel's columns.
func (w *work) wide() float64 {
	if len(w.cols) == 0 {
		return 0
	}
	first, last := 0, len(w.cols)-1
	return w.cols[last] - w.cols[first] + w.t.ends[w.order[first]].d + w.t.ends[w.order[last]].d
}

// meeting is where the bottoms of the panels that a join takes will stand: the
// middle of each. Together they hang below the middle of their mounts, weighed by
// their ends, where the pull to both sides is equal for equal drops.
func (t *tracer) meeting(from []int) []float64 {
	sum, ends, wide := 0.0, 0.0, 0.0
	for _, i := range from {
		w := t.works[i]
		sum += w.pivot * float64(len(w.order))
		ends += float64(len(w.order))
		wide += w.wide()
	}
	x := sum/ends - wide/2
	middles := make([]float64, len(from))
	for n, i := range from {
		middles[n] = x + t.works[i].wide()/2
		x += t.works[i].wide()
	}
	return middles
}

// froms are the indices of the panels that a panel joins.
func (t *tracer) froms(p sheet.Panel) []int {
	var from []int
	for _, name := range p.From {
		if i := t.find(name); i >= 0 {
			from = append(from, i)
		}
	}
	return from
}

// aside is how far the bottom of a panel moves sideways when it is joined.
func (w *work) aside() float64 {
	from := w.joinedWith()
	for n, middle := range w.t.meeting(from) {
		if from[n] == w.index {
			return middle - w.pivot
		}
	}
	return 0
}

// join takes up the ends of finished panels side by side. Each panel hangs as a
// strip from its own mount and leans until the bottoms meet, so its ends swing
// about the middle of the mount.
func (w *work) join() {
	t := w.t
	if w.hung {
		t.fault(w.def.Place, "", "panel %s joins others, so it has no mount of its own; use \"add\" for extra cords", w.def.Name)
		return
	}
	from := t.froms(w.def)
	middles := t.meeting(from)
	for n, i := range from {
		part := t.works[i]
		if j := t.result.Panels[i].JoinedBy; j >= 0 {
			t.fault(w.def.Place, "", "panel %s is joined already, by %s", part.def.Name, t.result.Panels[j].Name)
			return
		}
		t.result.Panels[i].JoinedBy = w.index
		t.result.Panels[w.index].From = append(t.result.Panels[w.index].From, i)
		all, _ := part.pick(w.def.Place, sheet.Ends{})
		strip := part.level(all)
		aside := middles[n] - part.pivot
		if math.Abs(aside) > mostLean*strip {
			t.fault(w.def.Place, "", "panel %s is %s long, but its bottom would have to move %s to the side: it cannot reach %s; make it %s long or more, or the gap smaller",
				part.def.Name, t.say(nm(strip)), t.say(nm(math.Abs(aside))), w.def.Name, t.say(t.up(nm(math.Abs(aside)/mostLean), length.Centimetre, length.Inch/2)))
			return
		}
		part.lean = math.Asin(aside / strip)
		part.swing()
		w.takeUp(part, middles[n])
	}
	w.pivot = (w.cols[0] + w.cols[len(w.cols)-1]) / 2
	w.girth = w.wide()
	w.uniform = w.oneCord()
	w.matches(from)
}

// mostLean is as far as a panel can be pulled aside, as a share of its length: 45
// degrees, beyond which its edges pucker (common practice, no source).
const mostLean = 0.7071

// swing turns the ends of a panel about the middle of its mount.
func (w *work) swing() {
	sin, cos := math.Sincos(w.lean)
	for _, n := range w.order {
		e := &w.t.ends[n]
		u := e.x - w.pivot
		e.x, e.y = w.pivot+u*cos+e.y*sin, e.y*cos-u*sin
		e.floor = e.y
	}
	p := &w.t.result.Panels[w.index]
	p.Drop = nm(float64(p.Drop) * cos)
}

// takeUp moves the ends of a panel into the join, in columns about the middle.
// A tail it had is what the join now works with.
func (w *work) takeUp(part *work, middle float64) {
	shift := middle - (part.cols[0]+part.cols[len(part.cols)-1])/2
	dropped := false
	for i, n := range part.order {
		e := &w.t.ends[n]
		if e.trimmed {
			e.trimmed, e.parts.Tail, dropped = false, 0, true
		}
		w.order = append(w.order, n)
		w.cols = append(w.cols, part.cols[i]+shift)
	}
	if dropped {
		w.t.note(w.def.Place, "%s takes up the tail of %s", w.def.Name, part.def.Name)
	}
}

// matches notes when the panels to be joined have different knots.
func (w *work) matches(from []int) {
	t := w.t
	for i := range len(from) / 2 {
		j := len(from) - 1 - i
		a, b := t.works[from[i]], t.works[from[j]]
		na, nb := a.total(), b.total()
		if na != nb {
			t.note(w.def.Place, "%s has %d knots and %s has %d: they are joined, so check that you want them to differ", a.def.Name, na, b.def.Name, nb)
		}
	}
}
