package trace

import (
	"fmt"
	"math"
	"slices"

	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
)

// plait braids groups of ends for a length.
func (w *work) plait(s sheet.Plait) {
	t := w.t
	k, _ := t.bench.Book.Knot("three-strand plait")
	of := s.Of
	if of == 0 {
		of = k.Ends
	}
	if err := k.Fits(of); err != nil {
		t.fault(s.Place, "plait of 6 for 20 cm", "%v", err)
		return
	}
	places, ok := w.pick(s.Place, s.On)
	if !ok || !w.free(s.Place, places) {
		return
	}
	if len(places)%of != 0 {
		t.fault(s.Place, "", "%d ends do not divide into plaits of %d; say which (`on`)", len(places), of)
		return
	}
	for i := 0; i < len(places); i += of {
		group := places[i : i+of]
		gauge, worker := w.gauge(k, group)
		gauge.Ends = of
		size, err := t.size(k, gauge, worker)
		if err != nil {
			t.fault(s.Place, "", "%v", err)
			return
		}
		top := w.level(group)
		repeats := float64(s.Length) / size.height
		middle := (w.cols[group[0]] + w.cols[group[of-1]]) / 2
		for j, p := range group {
			e := &t.ends[w.order[p]]
			x := middle + (float64(j)-float64(of-1)/2)*e.d
			w.loop(p, straight(x-e.x, top-e.y))
			e.run(x, top)
			e.charge(k, 0, length.Length(math.Ceil(float64(size.takes[0])*repeats)))
			e.y, e.floor = top+float64(s.Length), top+float64(s.Length)
			e.knots++
			e.leaves = s.Place
		}
		w.placeOver(k, group, middle, top, size.width, float64(s.Length))
	}
}

// placeOver records one knot over a group.
func (w *work) placeOver(k *knot.Knot, group []int, x, top, width, height float64) {
	from := len(w.t.arena)
	for _, p := range group {
		w.t.arena = append(w.t.arena, w.order[p])
	}
	w.place(Placed{Knot: k, X: nm(x), Y: nm(top), Width: nm(width), Height: nm(height), Ends: w.t.arena[from:len(w.t.arena):len(w.t.arena)]})
}

// add knots extra cords onto the work in hand, by lark's heads or single mounts
// round the end that stands there.
func (w *work) add(s sheet.Add) {
	t := w.t
	c, ok := t.cord(s.Place, s.Cord)
	if !ok {
		return
	}
	after, ok := w.position(s.Place, s.Where, -1)
	if !ok {
		return
	}
	host := t.ends[w.order[after]]
	at := after + 1
	if s.Where.Anchor == sheet.Left {
		at = 0
	}
	k := t.mountKnot(s.Single)
	d := t.result.Cords[c].Diameter()
	size, err := t.size(k, knot.Gauge{Diameter: d, Rod: nm(host.d), Ends: k.Ends}, c)
	if err != nil {
		t.fault(s.Place, "", "%v", err)
		return
	}
	count := s.Count * k.Ends
	if s.Count <= 0 || len(t.ends)+count > maxEnds {
		t.fault(s.Place, "", "the sheet has more than %d ends", maxEnds)
		return
	}
	each := size.width / float64(k.Ends)
	wide := each * float64(count)
	start := w.makeRoom(s.Where.Anchor, at, wide)
	top := host.floor
	ends, cols := make([]int32, count), make([]float64, count)
	for i := range s.Count {
		strand := len(t.result.Strands)
		hung := Strand{Panel: w.index, Cord: c, Added: true, X: nm(start + size.width*(float64(i)+0.5)), Y: nm(top), Width: nm(size.width)}
		for side := range k.Ends {
			j := i*k.Ends + side
			x := start + each*(float64(j)+0.5)
			e := end{x: x, y: top, floor: top + size.height, d: float64(d), cord: c, panel: w.index, strand: strand, side: Side(side), number: len(w.order) + j + 1, leaves: s.Place}
			e.parts.Mount = size.takes[0]
			ends[j], cols[j] = int32(len(t.ends)), x
			hung.Ends = append(hung.Ends, len(t.ends))
			t.ends = append(t.ends, e)
		}
		t.result.Strands = append(t.result.Strands, hung)
	}
	w.order = slices.Insert(w.order, at, ends...)
	w.cols = slices.Insert(w.cols, at, cols...)
	if w.round() {
		w.girth += wide
	}
	w.uniform = w.oneCord()
}

// makeRoom moves columns apart for new ones of the given width at a place, and
// tells where they start: beside an edge, or between two halves that give way.
func (w *work) makeRoom(anchor sheet.Anchor, at int, wide float64) (start float64) {
	half := (w.cols[len(w.cols)-1] - w.cols[0]) / float64(max(len(w.cols)-1, 1)) / 2
	switch {
	case at == 0:
		return w.cols[0] - half - wide
	case at == len(w.cols):
		return w.cols[at-1] + half
	}
	between := (w.cols[at-1] + w.cols[at]) / 2
	for i := range w.cols {
		if i < at {
			w.cols[i] -= wide / 2
		} else {
			w.cols[i] += wide / 2
		}
	}
	return between - wide/2
}

// wrap winds a separate cord round the ends, which come in no flatter than at 45
// degrees (common practice, no source).
func (w *work) wrap(s sheet.Wrap) {
	t := w.t
	k, _ := t.bench.Book.Knot("gathering wrap")
	c, ok := t.cord(s.Place, s.Cord)
	if !ok {
		return
	}
	places, ok := w.pick(s.Place, s.On)
	if !ok || !w.free(s.Place, places) {
		return
	}
	d := t.result.Cords[c].Diameter()
	core := w.thickest(places)
	gauge := knot.Gauge{Diameter: d, Core: length.Length(core), Ends: len(places) + 1}
	size, err := t.size(k, gauge, c)
	if err != nil {
		t.fault(s.Place, "", "%v", err)
		return
	}
	turns := s.Turns
	if turns == 0 {
		turns = int(math.Ceil(float64(s.Length) / size.height))
	}
	if turns < 1 || turns > maxKnots {
		t.fault(s.Place, "wrap turns 6", "that makes a wrap of %d turns; the most is %d", turns, maxKnots)
		return
	}
	middle := (w.cols[places[0]] + w.cols[places[len(places)-1]]) / 2
	ring := w.round() && len(places) == len(w.order)
	aside := func(e *end) float64 {
		if ring {
			return w.girth / (2 * pi)
		}
		return math.Abs(middle - e.x)
	}
	top := 0.0
	for _, p := range places {
		e := &t.ends[w.order[p]]
		top = max(top, max(e.floor, e.y+aside(e)))
	}
	height := size.height * float64(turns)
	radius := float64(cord.BundleDiameter(len(places), length.Length(core)))/2 - core/2
	for i, p := range places {
		e := &t.ends[w.order[p]]
		e.parts.Run += straight(max(aside(e)-radius, 0), top-e.y) + nm(height)
		e.y, e.floor = top+height, top+height
		if !ring && len(places) > 1 {
			e.x = middle + radius*(2*float64(i)/float64(len(places)-1)-1)
		}
		e.knots++
		e.leaves = s.Place
	}
	w.placeOver(k, places, middle, top, size.width, height)
	need := Parts{TakeUp: size.takes[0] * length.Length(turns), Tail: k.Take(size.size, "tails")}
	t.result.Extras = append(t.result.Extras, Extra{
		For: ForWrap, Panel: w.index, Cord: c, Count: 1, Need: need,
		About: fmt.Sprintf("%s round %s", noun.Count(turns, "turn"), noun.Count(len(places), "end")),
		X:     nm(middle), Y: nm(top), Width: nm(size.width), Height: nm(height),
	})
}

// thickest is the largest working diameter among the places.
func (w *work) thickest(places []int) float64 {
	d := 0.0
	for _, p := range places {
		d = max(d, w.t.ends[w.order[p]].d)
	}
	return d
}

// space leaves ends unknotted for a drop.
func (w *work) space(s sheet.Space) {
	places, ok := w.pick(s.Place, s.On)
	if !ok || !w.free(s.Place, places) {
		return
	}
	for _, p := range places {
		e := &w.t.ends[w.order[p]]
		e.floor = max(e.floor, e.y) + float64(s.Length)
	}
}

// tail is what hangs free of the ends when trimmed.
func (w *work) tail(s sheet.Tail) {
	places, ok := w.pick(s.Place, s.On)
	if !ok || !w.free(s.Place, places) {
		return
	}
	for _, p := range places {
		e := &w.t.ends[w.order[p]]
		e.parts.Tail = s.Length
		e.trimmed = true
	}
}
