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

// fringe hangs folded pieces on the edge loops of a panel.
func (t *tracer) fringe(f sheet.Fringe) {
	i := t.find(f.Panel)
	if i < 0 {
		t.fault(f.Place, "", "no panel is called %q", f.Panel)
		return
	}
	c, ok := t.cord(f.Place, f.Cord)
	if !ok {
		return
	}
	w, p := t.works[i], t.result.Panels[i]
	if p.Round {
		t.fault(f.Place, "", "panel %s is round and has no edge to hang fringe on", p.Name)
		return
	}
	loops, where := 0, [...]string{"the left edge", "the right edge", "both edges"}[f.Side]
	if f.Side != sheet.RightEdge {
		loops += p.LeftLoops
	}
	if f.Side != sheet.LeftEdge {
		loops += p.RightLoops
	}
	if loops == 0 {
		t.fault(f.Place, "", "there are no loops on %s of panel %s: fringe hangs where an edge end runs free from one knot to the next", where, p.Name)
		return
	}
	pieces := max(f.Pieces, 1) * loops
	if pieces > maxPieces {
		t.fault(f.Place, "", "%d pieces to each of %s make %d pieces of fringe; the most is %d", max(f.Pieces, 1), noun.Count(loops, "loop"), pieces, maxPieces)
		return
	}
	edge := w.thickest([]int{0, len(w.order) - 1})
	k, _ := t.bench.Book.Knot("fringe lark's head")
	d := t.result.Cords[c].Diameter()
	size, err := t.size(k, knot.Gauge{Diameter: d, Rod: nm(edge), Ends: 2}, c)
	if err != nil {
		t.fault(f.Place, "", "%v", err)
		return
	}
	t.result.Extras = append(t.result.Extras, Extra{
		For: ForFringe, Panel: i, Cord: c, Count: pieces, Folded: true,
		Need:  Parts{Mount: 2 * size.takes[0], Run: 2 * f.Drop, Tail: 2 * fringe.Trimmed},
		About: fmt.Sprintf("%s on %s of %s, %d to a loop", noun.Count(loops, "loop"), where, p.Name, max(f.Pieces, 1)),
	})
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
	t.result.Extras = append(t.result.Extras, Extra{
		For: ForSwag, Panel: -1, Cord: c, Count: s.Count,
		Need:  Parts{Mount: 2 * tie, Run: Catenary(s.Over, s.Drop)},
		About: fmt.Sprintf("an arc over %s, %s deep", t.say(s.Over), t.say(s.Drop)),
	})
}

// tieToRod is what tying one end of a cord to the rod takes.
func (t *tracer) tieToRod(at sheet.Place, c int) (length.Length, bool) {
	k := t.mountKnot(true)
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
	if h <= 0 || w <= 0 {
		return length.Length(math.Max(w, 2*h))
	}
	// With u = span/2a the sag over the span is (cosh u - 1)/2u, which grows with u.
	low, high := 0.0, 1.0
	ratio := func(u float64) float64 { s := math.Sinh(u / 2); return s * s / u }
	for ratio(high) < h/w && high < 700 {
		high *= 2
	}
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
	case rod.Length > 2*dowel.HangerInset:
		between = rod.Length - 2*dowel.HangerInset
	}
	cord := dowel.Hanger{Between: between, Knot: tie}
	hung, err := cord.ForRise(h.Rise)
	if h.Rise == 0 {
		hung, err = cord.ForAngle(dowel.Degrees(h.Angle))
	}
	if err != nil {
		t.fault(h.Place, "hanger rise 15 cm", "%v", err)
		return
	}
	if hung.TooFlat {
		t.note(h.Place, "the hanger's legs stand at %.0f degrees: below %.0f each pulls with more than the whole weight; give it a rise of %s or more", hung.Angle, dowel.FlattestAngle, t.say(hung.LeastRise))
	}
	t.result.Extras = append(t.result.Extras, Extra{
		For: ForHanger, Panel: -1, Cord: 0, Count: 1,
		Need:  Parts{Mount: 2 * tie, Run: 2 * hung.Leg},
		About: fmt.Sprintf("a rise of %s over %s", t.say(hung.Rise), t.say(between)),
	})
}
