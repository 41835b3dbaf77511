package trace

import (
	"cmp"
	"math"

	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
)

// bar runs a carrier across the work; every end on its way ties a double half
// hitch over it and, in a gather, joins the core.
func (w *work) bar(s sheet.Bar) {
	count := s.Times
	if count == (sheet.Count{}) {
		count.N = 1
	}
	all, _ := w.pick(s.Place, sheet.Ends{})
	w.edgeToEdge(s)
	w.repeat(s.Place, count, "bar", all, func(i int) (tied, ok bool) {
		return true, w.tieBar(s, apart(s.Apart, i))
	})
}

// edgeToEdge says of a bar from one edge to the other how far it falls, when it
// does not say how it runs: a level one is what is mostly meant.
func (w *work) edgeToEdge(s sheet.Bar) {
	crosses := s.From.Anchor == sheet.Left && s.To.Anchor == sheet.Right || s.From.Anchor == sheet.Right && s.To.Anchor == sheet.Left
	if s.Slope != nil || s.Gather || !crosses || len(w.order) < 2 {
		return
	}
	l, ok := w.line(s, w.all())
	if !ok {
		return
	}
	level := s
	level.Slope = new(float64)
	w.t.note(s.Place, "the bar from edge to edge falls %s on its way, as steeply as makes its hitches just touch; for a level one write \"%s\"",
		w.t.say(nm(l.fall(l.x(l.cols[len(l.cols)-1])))), w.t.line(level))
}

// tieBar ties one bar.
func (w *work) tieBar(s sheet.Bar, apart float64) bool {
	t := w.t
	from, ok := w.position(s.Place, s.From, -1)
	if !ok {
		return false
	}
	to, ok := w.position(s.Place, s.To, from)
	if !ok {
		return false
	}
	if from == to {
		t.fault(s.Place, "bar left to right", "the bar starts and ends at end %d, so it goes nowhere", from+1)
		return false
	}
	step := cmp.Compare(to, from)
	span := make([]int, 0, len(w.order))
	for p := from; p != to+step; p += step {
		span = append(span, p)
	}
	if !w.free(s.Place, span) {
		return false
	}
	line, ok := w.line(s, span)
	if !ok {
		return false
	}
	carrier := &t.ends[w.order[from]]
	line.top = carrier.floor
	for j, p := range span[1:] {
		line.top = max(line.top, t.ends[w.order[p]].floor-line.fall(line.hitch(j)))
	}
	line.top += apart
	if s.Gather && !w.gathers(s, line, span) {
		return false
	}
	axis := line.height / line.cos / 2 // below the bar's top
	start := line.x(w.cols[from])
	w.loop(from, straight(start-carrier.x, line.top+axis-carrier.y))
	carrier.run(start, line.top+axis)
	for j, p := range span[1:] {
		x := line.hitch(j)
		w.loop(p, straight(x-t.ends[w.order[p]].x, line.top+line.fall(x)-t.ends[w.order[p]].y))
		if !w.hitch(s, line, j, from, p) {
			return false
		}
	}
	end := line.x(w.cols[to])
	carrier.run(end, line.top+axis+line.fall(end))
	carrier.floor = carrier.y
	carrier.knots++
	carrier.leaves = s.Place
	w.cross(from, to, step)
	w.meets(s, to, step)
	if s.Gather {
		for _, p := range span {
			e := &t.ends[w.order[p]]
			e.x, e.y, e.floor = carrier.x, carrier.y, carrier.y
		}
	}
	return true
}

// gathers says when a gather would draw ends together across open space flatter than at
// 45 degrees (common practice, no source): its core would have to hold itself up there.
// With enough bare cord above they come together on their way down, as in [work.reaches].
func (w *work) gathers(s sheet.Bar, l line, span []int) bool {
	for j, p := range span[1:] {
		q := span[j]
		a, b := &w.t.ends[w.order[q]], &w.t.ends[w.order[p]]
		apart, bare := math.Abs(l.cols[j+1]-l.cols[j]), l.top-max(a.y, b.y)
		if need := apart/2 - (a.d+b.d)/2; bare < need && l.tan < 1-1e-9 && isOpen(apart, a, b) {
			steep := 45.0
			right := s
			right.Slope = &steep
			w.t.fault(s.Place, w.t.line(right), "the gather takes ends %d and %d, which stand %s apart across open space and have no bare cord to come together: leave a space of %s or more above it, let it fall at 45 degrees or more, or gather ends side by side",
				min(p, q)+1, max(p, q)+1, w.t.say(nm(apart)), w.t.say(w.t.up(nm(need-bare), length.Centimetre, length.Inch/2)))
			return false
		}
	}
	return true
}

// cross moves the carrier to its new place; the others close up.
func (w *work) cross(from, to, step int) {
	carrier := w.order[from]
	for p := from; p != to; p += step {
		w.order[p] = w.order[p+step]
	}
	w.order[to] = carrier
}

// line is where a bar runs.
type line struct {
	cols   []float64 // columns of the span from the carrier's to the last
	spread float64   // how much wider than its columns the bar stands
	middle float64   // x about which it spreads
	tan    float64   // fall for every step aside
	cos    float64
	pitch  float64 // from hitch to hitch along the carrier
	height float64 // height of the bar, measured square to it
	top    float64 // y where the carrier comes in
	slope  Angle
}

// x is where the bar meets a column.
func (l line) x(col float64) float64 { return l.middle + (col-l.middle)*l.spread }

// hitch is the x of hitch j: halfway between the columns that its end leaves and enters.
func (l line) hitch(j int) float64 { return l.x((l.cols[j] + l.cols[j+1]) / 2) }

// fall is how far the bar has come down at x.
func (l line) fall(x float64) float64 { return math.Abs(x-l.x(l.cols[0])) * l.tan }

// line finds slope, pitch and spread of a bar. Without a slope the bar falls as
// steeply as makes its hitches just touch; with one, hitches are pushed together
// at most as hands can, and the bar stands wider than its columns if it must.
func (w *work) line(s sheet.Bar, span []int) (line, bool) {
	t := w.t
	var l line
	thickest, mean, worker := 0.0, 0.0, 0
	for _, p := range span {
		l.cols = append(l.cols, w.cols[p])
		e := &t.ends[w.order[p]]
		mean += e.d / float64(len(span))
		if e.d > thickest {
			thickest, worker = e.d, e.cord
		}
	}
	size, err := t.size(t.double, knot.Gauge{Diameter: length.Length(thickest), Ends: 2}, worker)
	if err != nil {
		t.fault(s.Place, "", "%v", err)
		return l, false
	}
	hitches := float64(len(span) - 1)
	across := math.Abs(l.cols[len(l.cols)-1]-l.cols[0]) / hitches
	l.middle = (l.cols[0] + l.cols[len(l.cols)-1]) / 2
	l.spread = 1
	if s.Slope == nil {
		closest := size.size.Pitch
		if tied := t.result.Ways.Pitch(t.double, size.size); tied > 0 {
			closest = tied
		}
		l.pitch = max(float64(closest)*mean/thickest, across)
		l.cos = across / l.pitch
	} else {
		l.cos = math.Cos(*s.Slope * pi / 180)
		l.pitch = across / l.cos
		closest := float64(size.size.Closer) * mean / thickest
		l.spread = max(1, closest/l.pitch)
		l.pitch = max(l.pitch, closest)
	}
	l.tan = math.Sqrt(1-l.cos*l.cos) / l.cos
	l.height = size.height
	l.slope = Angle(math.Copysign(math.Acos(l.cos), float64(span[1]-span[0])))
	return l, true
}

// hitch ties hitch j of a bar.
func (w *work) hitch(s sheet.Bar, l line, j int, from, p int) bool {
	t := w.t
	carrier, hitching := w.order[from], w.order[p]
	if !t.count(s.Place) {
		return false
	}
	c, e := &t.ends[carrier], &t.ends[hitching]
	core := 1
	if s.Gather {
		core = j + 1
	}
	gauge := knot.Gauge{Diameter: length.Length(e.d), Core: length.Length(c.d), Ends: core + 1, Pitch: nm(l.pitch), Soft: t.soft(c.cord)}
	size, err := t.size(t.double, gauge, e.cord)
	if err != nil {
		t.fault(s.Place, "", "%v", err)
		return false
	}
	x := l.hitch(j)
	y := l.top + l.fall(x)
	e.run(x, y)
	if s.Gather { // it turns in along the core instead of passing it
		along := math.Abs(l.x(l.cols[len(l.cols)-1]) - x)
		e.parts.Run += nm(l.height/2) + straight(along, along*l.tan)
	} else { // it leaves square to the carrier
		e.run(x-l.height*math.Sin(float64(l.slope)), y+l.height*l.cos)
	}
	e.floor = e.y
	e.charge(t.double, hitchingEnd, size.takes[hitchingEnd])
	c.charge(t.double, carrierEnd, size.takes[carrierEnd])
	e.knots++
	e.leaves = s.Place
	t.tied(carrier, hitching)
	begin := len(t.arena)
	t.arena = append(t.arena, carrier, hitching)
	ends, stood := t.tying(begin, from, p)
	w.place(Placed{
		Knot: t.double, X: nm(x), Y: nm(y), Width: nm(l.pitch), Height: nm(size.height), Slope: l.slope,
		Ends: ends, Places: stood,
	})
	return true
}

// The roles of the double half hitch, in the order of its row.
const (
	hitchingEnd = 0
	carrierEnd  = 1
)

// position resolves a place of today's order, counted from 0. From is the
// carrier's place, or -1 when the position is the carrier's own.
func (w *work) position(at sheet.Place, p sheet.Position, from int) (int, bool) {
	n := len(w.order)
	i := p.Among(n, from)
	if i < 0 || i >= n {
		w.t.fault(at, "", "panel %s has %d ends here, counted 1 to %d from the left; the step asks for end %d", w.def.Name, n, n, i+1)
		return 0, false
	}
	return i, true
}
