package trace

import (
	"fmt"
	"math"
	"slices"

	"larkfold/sizing/cord"
	"larkfold/sizing/fringe"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
)

// plait braids groups of ends for a length.
func (w *work) plait(s sheet.Plait) {
	t := w.t
	k, of := t.plaitKnot(s)
	if err := k.Fits(of); err != nil {
		right := s
		right.Of = max(k.Fewest, of/k.Step*k.Step)
		if four, _ := t.maker.Book.Knot(sheet.FourStrandPlait); s.Strands == 0 && four.Fits(of) == nil {
			right.Strands, right.Of = 4, of
		}
		if right.Of == max(right.Strands, 3) {
			right.Of = 0
		}
		t.fault(s.Place, t.line(right), "%v", err)
		return
	}
	places, ok := w.pick(s.Place, s.On)
	if !ok || !w.free(s.Place, places) {
		return
	}
	groups, ok := w.groupsOf(s.Place, places, of, "plaits")
	if !ok {
		return
	}
	for _, group := range groups {
		gauge, worker := w.gauge(k, group)
		gauge.Ends = of
		size, err := t.plaited(s, k, gauge, worker)
		if err != nil {
			t.fault(s.Place, "", "%v", err)
			return
		}
		top := w.level(group)
		if !w.reaches(s.Place, k, group, top) {
			return
		}
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
			t.tied(w.order[group[0]], w.order[p])
		}
		w.placeOver(k, group, middle, top, size.width, float64(s.Length))
	}
}

// plaited is the size of a plait as the step says it is drawn, else as the maker does.
func (t *tracer) plaited(s sheet.Plait, k *knot.Knot, g knot.Gauge, of int) (*sized, error) {
	as := Ways{Plait: Loose}
	switch {
	case s.Tight:
		as.Plait = Tight
	case !s.Loose:
		return t.size(k, g, of)
	}
	size, err := k.Size(g)
	if err != nil {
		return nil, err
	}
	g.Pitch = as.Pitch(k, size)
	return t.size(k, g, of)
}

// PlaitOf is the step that braids groups of so many ends by a plait of the knot book.
func PlaitOf(name string, of int, long length.Length) sheet.Plait {
	s := sheet.Plait{Of: of, Length: long}
	if name == sheet.FourStrandPlait {
		s.Strands = 4
	}
	return s
}

// plaitKnot is the knot of a plait and how many ends one takes.
func (t *tracer) plaitKnot(s sheet.Plait) (*knot.Knot, int) {
	k, _ := t.maker.Book.Knot(sheet.FactsOf(s).Ties)
	if s.Of > 0 {
		return k, s.Of
	}
	return k, k.Ends
}

// placeOver records one knot over a group.
func (w *work) placeOver(k *knot.Knot, group []int, x, top, width, height float64) {
	from := len(w.t.arena)
	for _, p := range group {
		w.t.arena = append(w.t.arena, w.order[p])
	}
	ends, stood := w.t.tying(from, group...)
	w.place(Placed{Knot: k, X: nm(x), Y: nm(top), Width: nm(width), Height: nm(height), Ends: ends, Places: stood})
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
	k := t.mountKnot(s.Way)
	d := t.result.Cords[c].Diameter()
	size, err := t.size(k, knot.Gauge{Diameter: d, Rod: nm(host.d), Ends: k.Ends}, c)
	if err != nil {
		t.fault(s.Place, "", "%v", err)
		return
	}
	count := s.Count * k.Ends
	if s.Count > mostAdded {
		right := s
		right.Count = mostAdded
		t.fault(s.Place, t.line(right), "one end cannot hold %s: the most is %d; add the others beside another end", noun.Count(s.Count, "more cord"), mostAdded)
		return
	}
	if s.Count <= 0 || len(t.ends)+count > sheet.MostEnds {
		t.fault(s.Place, "", "the sheet has more than %d ends", sheet.MostEnds)
		return
	}
	each := size.width / float64(k.Ends)
	wide := each * float64(count)
	start := w.makeRoom(at, wide)
	top := host.floor
	ends, cols := make([]int32, count), make([]float64, count)
	for i := range s.Count {
		strand := len(t.result.Strands)
		hung := Strand{Panel: w.index, Cord: c, Added: true, Host: int(w.order[after]), Step: w.now, Place: at + 1 + i*k.Ends, X: nm(start + size.width*(float64(i)+0.5)), Y: nm(top), Width: nm(size.width)}
		for side := range k.Ends {
			j := i*k.Ends + side
			x := start + each*(float64(j)+0.5)
			e := end{x: x, y: top, floor: top + size.height, d: float64(d), cord: c, panel: w.index, strand: strand, side: Side(side), number: len(w.order) + j + 1, leaves: s.Place}
			e.parts.Mount = size.takes[0]
			ends[j], cols[j] = int32(len(t.ends)), x
			t.tied(w.order[after], int32(len(t.ends)))
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

// mostAdded is how many cords one end holds: side by side they take up some 15 cm
// of an end of 4 mm (common practice, no source).
const mostAdded = 8

// makeRoom moves columns apart for new ones of the given width at a place, and
// tells where they start: beside an edge, or between two halves that give way.
func (w *work) makeRoom(at int, wide float64) (start float64) {
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
// degrees.
func (w *work) wrap(s sheet.Wrap) {
	t := w.t
	k, _ := t.maker.Book.Knot("gathering wrap")
	c, ok := t.cord(s.Place, s.Cord)
	if !ok {
		return
	}
	places, ok := w.held(s.Place, s.On)
	if !ok {
		return
	}
	core := length.Length(w.thickest(places))
	winding, size, err := t.winding(c, core, len(places), w.firmest(places))
	if err != nil {
		t.fault(s.Place, "", "%v", err)
		return
	}
	made, err := t.wrapped(s, winding)
	if err != nil {
		t.fault(s.Place, "wrap turns 6", "%v", err)
		return
	}
	middle, top := w.together(places, cord.BundleDiameter(len(places), core, w.firmest(places)))
	height := size.height * float64(made.Turns)
	w.pass(s.Place, places, height)
	for _, p := range places {
		t.ends[w.order[p]].knots++
	}
	w.placeOver(k, places, middle, top, size.width, height)
	x := Extra{
		For: ForWrap, Panel: w.index, Cord: c, Count: 1, Turns: made.Turns, Need: Parts{TakeUp: made.Cut - winding.Tails, Tail: winding.Tails},
		About: fmt.Sprintf("%s round %s", noun.Count(made.Turns, "turn"), noun.Count(len(places), "end")),
		X:     nm(middle), Y: nm(top), Width: nm(size.width), Height: nm(height), Step: w.now,
	}
	switch {
	case s.Cut > 0:
		x.Exact, x.Need.Tail = true, s.Cut-x.Need.TakeUp
		t.note(s.Place, "%s: a cord of %s makes %s and covers %s", w.def.Name, t.say(s.Cut), noun.Count(made.Turns, "turn"), t.say(nm(height)))
	case s.Length > 0:
		t.note(s.Place, "%s: %s cover %s", w.def.Name, noun.Count(made.Turns, "turn"), t.say(nm(height)))
	}
	t.result.Extras = append(t.result.Extras, x)
}

// winding is the gathering wrap by a cord of the head round so many ends as thick as
// core, as the maker winds it.
func (t *tracer) winding(c int, core length.Length, ends int, soft cord.Ratio) (fringe.Wrap, *sized, error) {
	k, _ := t.maker.Book.Knot("gathering wrap")
	size, err := t.size(k, knot.Gauge{Diameter: t.result.Cords[c].Diameter(), Core: core, Ends: ends + 1, Soft: soft}, c)
	if err != nil {
		return fringe.Wrap{}, nil, err
	}
	return fringe.Wrap{Turn: size.takes[0], Tails: k.Take(size.size, "tails"), Cover: nm(size.height)}, size, nil
}

// thickest is the largest working diameter among the places.
func (w *work) thickest(places []int) float64 {
	d := 0.0
	for _, p := range places {
		d = max(d, w.t.ends[w.order[p]].d)
	}
	return d
}

// firmest is the least softness among the places.
func (w *work) firmest(places []int) cord.Ratio {
	soft := cord.Ratio(1)
	for _, p := range places {
		soft = min(soft, w.t.soft(w.t.ends[w.order[p]].cord))
	}
	return soft
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
	w.freed(places, false)
}

// freed records the ends at the places as those of a step that ties nothing.
func (w *work) freed(places []int, trims bool) {
	ends := make([]int32, len(places))
	for i, p := range places {
		ends[i] = w.order[p]
	}
	w.t.result.Freed = append(w.t.result.Freed, Freed{Panel: w.index, Step: w.now, Ends: ends, Trims: trims})
}

// tail is what hangs free of the ends when trimmed.
func (w *work) tail(s sheet.Tail) {
	places, ok := w.pick(s.Place, s.On)
	if !ok || !w.free(s.Place, places) {
		return
	}
	for _, p := range places {
		e := &w.t.ends[w.order[p]]
		e.parts.Tail = w.tailAt(s, places, p)
		e.trimmed = true
	}
	w.freed(places, true)
}

// tailAt is how long the tail of one of the places is: of a sloping one in
// proportion to where its column stands between the outermost.
func (w *work) tailAt(s sheet.Tail, places []int, p int) length.Length {
	first, last := w.cols[places[0]], w.cols[places[len(places)-1]]
	if s.To == 0 || first == last {
		return s.Length
	}
	across := (w.cols[p] - first) / (last - first)
	share := map[sheet.Peak]float64{
		sheet.AtRight: across, sheet.AtLeft: 1 - across,
		sheet.AtMiddle: 1 - math.Abs(2*across-1), sheet.AtEdges: math.Abs(2*across - 1),
	}[s.Peak]
	return s.Length + nm(float64(s.To-s.Length)*share)
}
