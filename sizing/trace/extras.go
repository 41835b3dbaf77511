package trace

import (
	"fmt"
	"math"

	"larkfold/sizing/dowel"
	"larkfold/sizing/fringe"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
)

// extras sizes what is cut besides the hung cords and belongs to no step.
func (t *tracer) extras() {
	for _, f := range t.sheet.Fringes {
		t.fringe(f)
	}
	for _, s := range t.sheet.Swags {
		t.swag(s)
	}
	if t.sheet.Hanger != nil {
		t.hanger(*t.sheet.Hanger)
	}
}

// edge is where fringe hangs.
type edge struct {
	panel  int // -1 for a rod
	pieces int
	thick  length.Length // of what it hangs on
	about  string
}

// fringe hangs folded pieces on the edge loops of a panel, on its foot, or on a rod.
func (t *tracer) fringe(f sheet.Fringe) {
	c, ok := t.cord(f.Place, f.Cord)
	if !ok {
		return
	}
	var on edge
	switch {
	case f.Rod != "":
		on, ok = t.rodEdge(f)
	case f.Side == sheet.Foot:
		on, ok = t.footEdge(f)
	default:
		on, ok = t.loopEdge(f)
	}
	if !ok {
		return
	}
	if on.pieces > fringe.MostPieces {
		t.fault(f.Place, "", "that makes %d pieces of fringe; the most is %d", on.pieces, fringe.MostPieces)
		return
	}
	k, _ := t.maker.Book.Knot("fringe lark's head")
	d := t.result.Cords[c].Diameter()
	size, err := t.size(k, knot.Gauge{Diameter: d, Rod: on.thick, Ends: 2}, c)
	if err != nil {
		t.fault(f.Place, "", "%v", err)
		return
	}
	t.result.Extras = append(t.result.Extras, Extra{
		For: ForFringe, Panel: on.panel, Cord: c, Count: on.pieces, Folded: true,
		Need:  Parts{Mount: 2 * size.takes[0], Run: 2 * f.Drop, Tail: 2 * fringe.Trimmed},
		About: on.about,
	})
}

// panelOf is the panel that a fringe hangs on.
func (t *tracer) panelOf(f sheet.Fringe) (int, bool) {
	i := t.find(f.Panel)
	if i < 0 {
		t.fault(f.Place, "", "no panel is called %q", f.Panel)
	}
	return i, i >= 0
}

// loopEdge is a side of a panel, with its loops.
func (t *tracer) loopEdge(f sheet.Fringe) (edge, bool) {
	i, ok := t.panelOf(f)
	if !ok {
		return edge{}, false
	}
	w, p := t.works[i], t.result.Panels[i]
	if p.Round {
		t.fault(f.Place, "", "panel %s is round and has no edge to hang fringe on", p.Name)
		return edge{}, false
	}
	loops, where := 0, [...]string{"the left edge", "the right edge", "both edges"}[f.Side]
	if f.Side != sheet.RightEdge {
		loops += p.LeftLoops
	}
	if f.Side != sheet.LeftEdge {
		loops += p.RightLoops
	}
	on := edge{panel: i, pieces: max(f.Pieces, 1) * loops, thick: nm(w.thickest([]int{0, len(w.order) - 1}))}
	on.about = fmt.Sprintf("%s on %s of %s, %d to a loop", noun.Count(loops, "loop"), where, p.Name, max(f.Pieces, 1))
	if f.Each > 0 {
		on.pieces, on.about = along(f, p.Worked, where+" of "+p.Name, t)
		if f.Side == sheet.BothEdges {
			on.pieces *= 2
		}
	}
	if on.pieces == 0 {
		t.fault(f.Place, "", "there are no loops on %s of panel %s: fringe hangs where an edge end runs free from one knot to the next", where, p.Name)
		return edge{}, false
	}
	return on, true
}

// along is how many pieces hang along a width, and in words. What is left over of
// the last bit of width has its pieces too.
func along(f sheet.Fringe, width length.Length, where string, t *tracer) (pieces int, about string) {
	bits := max(int((width+f.Each-1)/f.Each), 1)
	return bits * max(f.Pieces, 1), fmt.Sprintf("%s of %s, %d to each %s", t.say(width), where, max(f.Pieces, 1), t.say(f.Each))
}

// footEdge is the lower edge of a panel: the rod that its ends were hitched onto
// last, else what its lowest ends are tied into.
func (t *tracer) footEdge(f sheet.Fringe) (edge, bool) {
	i, ok := t.panelOf(f)
	if !ok {
		return edge{}, false
	}
	w, p := t.works[i], t.result.Panels[i]
	on := edge{panel: i, thick: nm(w.thickest(w.all()))}
	width := p.Width
	for _, l := range t.result.Lowers {
		if l.Panel == i {
			width, on.thick = l.Width, l.Rod.Thickness
		}
	}
	on.pieces, on.about = along(f, width, "the foot of "+p.Name, t)
	return on, true
}

// rodEdge is a rod or ring: its whole length between the bare ends, or all round.
func (t *tracer) rodEdge(f sheet.Fringe) (edge, bool) {
	rod, ok := t.rodNamed(f.Place, f.Rod)
	if !ok {
		return edge{}, false
	}
	name := f.Rod
	if name == "rod" {
		name = "the rod"
	}
	width := dowel.Room(rod.Length)
	if rod.Ring {
		width = dowel.Round(rod.Length, rod.Thickness)
	}
	if width <= 0 {
		t.fault(f.Place, "", "%s is too short to hang fringe on", name)
		return edge{}, false
	}
	on := edge{panel: -1, thick: rod.Thickness}
	on.pieces, on.about = along(f, width, name, t)
	return on, true
}

// swag hangs cords in an arc: a catenary between two single mounts.
func (t *tracer) swag(s sheet.Swag) {
	c, ok := t.cord(s.Place, s.Cord)
	if !ok {
		return
	}
	tie, ok := t.tieToRod(s.Place, c)
	if !ok {
		return
	}
	if rod := t.result.Rod; t.sheet.Rod != nil && rod.Length > 0 && s.Over > rod.Length {
		right := s
		right.Over = rod.Length
		t.fault(s.Place, sheet.SwagText(right, t.maker.Style.System), "the swag is %s wide, and the rod it is tied to has only %s", t.say(s.Over), t.say(rod.Length))
		return
	}
	t.result.Extras = append(t.result.Extras, Extra{
		For: ForSwag, Panel: -1, Cord: c, Count: s.Count,
		Need:  Parts{Mount: 2 * tie, Run: Catenary(s.Over, s.Drop)},
		About: fmt.Sprintf("an arc over %s, %s deep", t.say(s.Over), t.say(s.Drop)),
	})
}

// tieToRod is what tying one end of a cord to the rod takes.
func (t *tracer) tieToRod(at sheet.Place, c int) (length.Length, bool) {
	k := t.mountKnot(sheet.Single)
	size, err := t.size(k, knot.Gauge{Diameter: t.result.Cords[c].Diameter(), Rod: t.result.Rod.Thickness, Ends: 1}, c)
	if err != nil {
		t.fault(at, "", "%v", err)
		return 0, false
	}
	return size.takes[0], true
}

// Catenary is the length of a cord that hangs freely over a span with the given
// sag in its middle, rounded up to the nanometre: 2 a sinh(span/2a), where a
// solves sag = a (cosh(span/2a) - 1).
func Catenary(span, sag length.Length) length.Length {
	w, h := float64(span), float64(sag)
	if w <= 0 {
		return 2 * sag
	}
	// With u = span/2a the sag over the span is (cosh u - 1)/2u, which grows with u,
	// and is beyond any that can be hung where cosh is still a number.
	low, high := 0.0, 700.0
	ratio := func(u float64) float64 { s := math.Sinh(u / 2); return s * s / u }
	for range 200 {
		u := (low + high) / 2
		if ratio(u) < h/w {
			low = u
		} else {
			high = u
		}
	}
	return length.Length(math.Ceil(w * math.Sinh(high) / high))
}

// hanger is the cord that the rod hangs from: two legs to one point.
func (t *tracer) hanger(h sheet.Hanger) {
	tie, ok := t.tieToRod(h.Place, 0)
	if !ok {
		return
	}
	between := t.result.Mounted
	switch rod := t.result.Rod; {
	case rod.Ring:
		between = rod.Length
	case rod.Length > 0:
		ties := dowel.TieHangers(rod.Length)
		between = ties.Right - ties.Left
		if t.sheet.Rod != nil && t.result.Mounted > max(between, t.result.Room) {
			t.note(h.Place, "the hanger is reckoned as tied %s apart, and the work takes %s of the dowel: too little of its ends is left bare for that", t.say(between), t.say(t.result.Mounted))
		}
	}
	cord := dowel.Hanger{Between: between}
	hung, err := cord.ForRise(h.Rise)
	if h.Rise == 0 {
		hung, err = cord.ForAngle(dowel.Degrees(h.Angle))
	}
	if err != nil {
		t.fault(h.Place, "hanger rise 15 cm", "%v", err)
		return
	}
	if hung.TooFlat {
		t.note(h.Place, "the hanger's two sides stand at %.0f degrees: below %.0f each pulls with more than the whole weight; give it a rise of %s or more", hung.Angle, dowel.FlattestAngle, t.maker.Style.Cut(hung.LeastRise))
	}
	t.result.Extras = append(t.result.Extras, Extra{
		For: ForHanger, Panel: -1, Cord: 0, Count: 1,
		Need:  Parts{Mount: 2 * tie, Run: 2 * hung.Leg},
		About: fmt.Sprintf("a rise of %s over %s", t.say(hung.Rise), t.say(between)),
	})
}
