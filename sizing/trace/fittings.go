package trace

import (
	"fmt"
	"math"

	"larkfold/sizing/cord"
	"larkfold/sizing/fringe"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
)

// Beaded is a bead in its place.
type Beaded struct {
	Panel  int
	Long   length.Length // along the cords
	Hole   length.Length // zero when not given
	Wide   length.Length // as drawn: as wide as long, and wider than what goes through
	X, Y   length.Length // middle of its top
	Ends   []int32
	Places []int32       // where those stood, counted from 1 at the left
	Step   int           // index into Panel.Done
	Bundle length.Length // how thick what goes through is, not squeezed
}

// groupsOf divides places into groups of so many, all when of is zero.
func (w *work) groupsOf(at sheet.Place, places []int, of int, what string) ([][]int, bool) {
	if of == 0 {
		of = len(places)
	}
	if len(places)%of != 0 {
		w.t.fault(at, "", "%s do not divide into groups of %d for %s; change the group (\"of\") or say which ends (\"on\")", noun.Count(len(places), "end"), of, what)
		return nil, false
	}
	var all [][]int
	for i := 0; i < len(places); i += of {
		all = append(all, places[i:i+of])
	}
	return all, true
}

// held are the places that a step names, none of them trimmed.
func (w *work) held(at sheet.Place, on sheet.Ends) ([]int, bool) {
	places, ok := w.pick(at, on)
	return places, ok && w.free(at, places)
}

// bead threads a bead on each group of ends. What goes through must be thinner
// than the hole, by the nominal thickness of the cords: nothing squeezes them there.
func (w *work) bead(s sheet.Bead) {
	places, ok := w.held(s.Place, s.On)
	if !ok {
		return
	}
	groups, ok := w.groupsOf(s.Place, places, s.Of, "beads")
	if !ok {
		return
	}
	for _, group := range groups {
		thick := length.Length(0)
		for _, p := range group {
			thick = max(thick, w.t.result.Cords[w.t.ends[w.order[p]].cord].Nominal)
		}
		through := cord.BundleDiameter(len(group), thick, 0)
		if s.Hole > 0 && through > s.Hole {
			right := s
			right.Hole = w.t.up(through, length.Millimetre, length.Inch/16)
			w.t.fault(s.Place, w.t.line(right), "%s of %s are %s thick together and do not go through a hole of %s", noun.Count(len(group), "end"), w.t.say(thick), w.t.say(through), w.t.say(s.Hole))
			return
		}
		middle, top := w.together(group, through)
		b := Beaded{Panel: w.index, Step: w.now, Long: s.Length, Hole: s.Hole, Wide: max(s.Length, through*3/2), X: nm(middle), Y: nm(top), Bundle: through}
		for _, p := range group {
			b.Ends = append(b.Ends, w.order[p])
			b.Places = append(b.Places, int32(p+1))
		}
		w.pass(s.Place, group, float64(s.Length))
		w.t.result.Beads = append(w.t.result.Beads, b)
		w.covers(middle, top, float64(b.Wide), float64(s.Length))
	}
}

// together runs the ends at the places down to where they lie in one bundle, no
// flatter than at 45 degrees (common practice, no source), and tells where that is.
func (w *work) together(places []int, bundle length.Length) (middle, top float64) {
	middle = (w.cols[places[0]] + w.cols[places[len(places)-1]]) / 2
	ring := w.round() && len(places) == len(w.order)
	aside := func(e *end) float64 {
		if ring {
			return w.girth / (2 * pi)
		}
		return math.Abs(middle - e.x)
	}
	radius := 0.0
	if len(places) > 1 {
		radius = float64(bundle)/2 - w.thickest(places)/2
	}
	for _, p := range places {
		e := &w.t.ends[w.order[p]]
		top = max(top, e.floor, e.y+aside(e))
	}
	for i, p := range places {
		e := &w.t.ends[w.order[p]]
		e.parts.Run += straight(max(aside(e)-radius, 0), top-e.y)
		e.y, e.floor = top, top
		if !ring && len(places) > 1 {
			e.x = middle + radius*(2*float64(i)/float64(len(places)-1)-1)
		}
	}
	return middle, top
}

// pass runs ends straight down through something.
func (w *work) pass(at sheet.Place, places []int, long float64) {
	for _, p := range places {
		e := &w.t.ends[w.order[p]]
		e.parts.Run += nm(long)
		e.y += long
		e.floor = e.y
		e.leaves = at
		w.t.tied(w.order[places[0]], w.order[p])
	}
}

// covers widens and lengthens the panel by what is not a knot.
func (w *work) covers(middle, top, wide, tall float64) {
	w.low = max(w.low, top+tall)
	w.leftmost, w.rightmost = min(w.leftmost, middle-wide/2), max(w.rightmost, middle+wide/2)
}

// wrapped is the turns and the cut of a wrap that a step asks for.
func (t *tracer) wrapped(s sheet.Wrap, w fringe.Wrap) (fringe.Wrapped, error) {
	switch {
	case s.Cut > 0:
		return w.FromCord(s.Cut)
	case s.Turns > 0:
		return w.ForTurns(s.Turns)
	}
	return w.ForTurns(int(math.Ceil(float64(s.Length) / float64(w.Cover))))
}

// tassel folds strands over the ends of a group and wraps them below. The wrap
// covers a tenth of the tassel (common practice, no source).
func (w *work) tassel(s sheet.Tassel) {
	t := w.t
	c, ok := t.cord(s.Place, s.Cord)
	if !ok {
		return
	}
	places, ok := w.held(s.Place, s.On)
	if !ok {
		return
	}
	strand := t.result.Cords[c].Diameter()
	tie := cord.BundleDiameter(len(places), length.Length(w.thickest(places)), w.firmest(places))
	middle, top := w.together(places, tie)
	made, err := fringe.Tassel{Strands: s.Strands, Strand: strand, Soft: t.soft(c), Tie: tie, Drop: s.Length, Spare: fringe.Trimmed}.Bundle()
	if err != nil {
		t.fault(s.Place, "tassel 10 cm with 12 strands on middle 2", "%v", err)
		return
	}
	wrap, _, err := t.winding(c, strand, made.Ends, t.soft(c))
	if err == nil {
		const covered = 10
		var wound fringe.Wrapped
		wound, err = wrap.ForTurns(max(3, int(s.Length/covered/wrap.Cover)))
		if err == nil {
			wide := cord.BundleDiameter(made.Ends, strand, t.soft(c))
			t.result.Extras = append(t.result.Extras,
				Extra{
					For: ForTassel, Panel: w.index, Cord: c, Count: s.Strands,
					Need:  Parts{Mount: made.Fold, Run: 2 * s.Length, Tail: 2 * fringe.Trimmed},
					About: fmt.Sprintf("a tassel of %s, %s long", noun.Count(s.Strands, "strand"), t.say(s.Length)),
					X:     nm(middle), Y: nm(top), Width: wide, Height: s.Length, Step: w.now,
				},
				Extra{
					For: ForWrap, Panel: w.index, Cord: c, Count: 1,
					Need:  Parts{TakeUp: wound.Cut - wrap.Tails, Tail: wrap.Tails},
					About: fmt.Sprintf("%s round a tassel of %s", noun.Count(wound.Turns, "turn"), noun.Count(s.Strands, "strand")),
					Step:  w.now,
				})
			w.pass(s.Place, places, float64(tie))
			w.covers(middle, top, float64(wide), float64(s.Length))
		}
	}
	if err != nil {
		t.fault(s.Place, "", "%v", err)
	}
}

// leaf knots pairs of short cords along a spine, one from each side, each by a
// lark's head; they touch along it. The pieces grow or shrink evenly.
func (w *work) leaf(s sheet.Leaf) {
	t := w.t
	c, ok := t.cord(s.Place, s.Cord)
	if !ok {
		return
	}
	places, ok := w.held(s.Place, s.On)
	if !ok {
		return
	}
	spine := cord.BundleDiameter(len(places), length.Length(w.thickest(places)), w.firmest(places))
	k, _ := t.maker.Book.Knot("fringe lark's head")
	size, err := t.size(k, knot.Gauge{Diameter: t.result.Cords[c].Diameter(), Rod: spine, Ends: 2}, c)
	if err != nil {
		t.fault(s.Place, "", "%v", err)
		return
	}
	middle, top := w.together(places, spine)
	tall := size.width * float64(s.Pairs)
	for i := range s.Pairs {
		reach := s.First
		if s.Pairs > 1 {
			reach += (s.Last - s.First) * length.Length(i) / length.Length(s.Pairs-1)
		}
		t.result.Extras = append(t.result.Extras, Extra{
			For: ForLeaf, Panel: w.index, Cord: c, Count: 2, Folded: true,
			Need:  Parts{Mount: 2 * size.takes[0], Run: 2 * reach, Tail: 2 * fringe.Trimmed},
			About: fmt.Sprintf("pairs along %s, from %s to %s", noun.Count(len(places), "end"), t.say(s.First), t.say(s.Last)),
			X:     nm(middle), Y: nm(top + size.width*float64(i)), Width: 2 * reach, Height: nm(size.width), Step: w.now,
		})
	}
	w.pass(s.Place, places, tall)
	w.covers(middle, top, 2*float64(max(s.First, s.Last)), tall)
}
