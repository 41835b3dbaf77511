package drawn

import (
	"math"
	"slices"

	"larkfold/commands/picture/knots"
	"larkfold/commands/picture/paint"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/trace"
)

// detail is how much of a knot can be seen at the size of the picture.
type detail int

const (
	outlined detail = iota // panels only
	simple                 // knots as plain shapes
	full                   // every bend of the cord
)

// sketch draws a traced sheet at one scale.
type sketch struct {
	*paint.Drawing
	r      trace.Result
	dyes   knots.Dyes
	scale  float64     // points to a nanometre
	origin paint.Point // of the rod's axis at the left edge of the mounted work
	detail detail
	knots  []seen
	low    paint.Points // below the lowest tip and label
	right  paint.Points // right of everything

	tied  map[int]tiedOn // where added cords are tied on, by strand
	leads map[int][]spot // and how their ends lead from there, by end

	chart     bool        // the work is cut open beside a view of it
	wholeRod  bool        // there is room for all of the rod
	hangerTag paint.Point // where the hanger's label goes
}

// pt turns a length of the work into one on the page.
func (k *sketch) pt(l length.Length) paint.Points { return paint.Points(float64(l) * k.scale) }

// spot is a place in the work, after leaning, in nanometres.
type spot struct{ x, y float64 }

// lean turns a place in a panel's plane about its mount.
func lean(p trace.Panel, x, y float64) spot {
	if p.Lean == 0 {
		return spot{x, y}
	}
	sin, cos := math.Sincos(float64(p.Lean))
	u := x - float64(p.Pivot)
	return spot{float64(p.Pivot) + u*cos + y*sin, y*cos - u*sin}
}

func (k *sketch) page(s spot) paint.Point {
	if k.chart {
		s.x += k.aside(s.y)
	}
	return paint.At(k.origin.X+paint.Points(s.x*k.scale), k.origin.Y+paint.Points(s.y*k.scale))
}

// aside is how far to the left a chart shows the work at a depth, so that what is wider
// below a ring, or narrower, stands in the middle below what is above.
func (k *sketch) aside(y float64) float64 {
	const panel = 0 // a chart has one
	girth := k.girth(panel, 0)
	for _, l := range k.r.Lowers {
		if y >= float64(l.Y-l.Rod.Thickness) {
			girth = float64(l.Width)
		}
	}
	return (k.girth(panel, 0) - girth) / 2
}

// seen is a placed knot with where its ends come in and go out.
type seen struct {
	at      spot // middle of its top
	foot    spot // and of its lower side
	turn    float64
	in, out []spot // in the order of Placed.Ends
}

// see finds the places of all knots and their ends.
func (k *sketch) see() {
	n := 0
	for i := range k.r.Placed {
		n += len(k.r.Placed[i].Ends)
	}
	k.knots = make([]seen, len(k.r.Placed))
	in, out := make([]spot, n), make([]spot, n)
	for i := range k.r.Placed {
		n := len(k.r.Placed[i].Ends)
		k.knots[i].in, k.knots[i].out = in[:n:n], out[:n:n]
		in, out = in[n:], out[n:]
		k.look(&k.r.Placed[i], &k.knots[i])
	}
}

// inOf is where the ends of a knot come in, found in hand where they have not been
// found for all knots.
func (k *sketch) inOf(i int, hand *seen) []spot {
	if len(k.knots) > 0 {
		return k.knots[i].in
	}
	p := &k.r.Placed[i]
	hand.in, hand.out = slices.Grow(hand.in, len(p.Ends)), slices.Grow(hand.out, len(p.Ends))
	k.look(p, hand)
	return hand.in
}

func (k *sketch) diameter(end int32) float64 {
	return float64(k.r.Cords[k.cordOf(end)].Diameter())
}

func (k *sketch) cordOf(end int32) int { return k.r.Strands[k.r.Ends[end].Strand].Cord }

// runsLeft tells of a hitch over a carrier that the carrier runs to the left.
func runsLeft(p *trace.Placed) bool { return len(p.Places) == 2 && p.Places[1] < p.Places[0] }

// look finds the places of one knot and its ends. There is room for them in s.
func (k *sketch) look(p *trace.Placed, s *seen) {
	panel := k.r.Panels[p.Panel]
	x, y, h := float64(p.X), float64(p.Y), float64(p.Height)
	s.at, s.foot, s.turn = lean(panel, x, y), lean(panel, x, y+h), float64(p.Slope)-float64(panel.Lean)
	n := len(p.Ends)
	s.in, s.out = s.in[:n], s.out[:n]
	if p.Knot.Shape == "hitch" && n == 2 {
		thick := h / math.Max(math.Cos(float64(p.Slope)), 0.05)
		half := float64(p.Width) / 2
		dx, dy := half*math.Cos(float64(p.Slope)), half*math.Sin(float64(p.Slope))
		if runsLeft(p) {
			dx, dy = -dx, -dy
		}
		s.in[0], s.out[0] = lean(panel, x-dx, y+thick/2-dy), lean(panel, x+dx, y+thick/2+dy)
		s.in[1], s.out[1] = lean(panel, x, y), lean(panel, x, y+thick)
		return
	}
	if k.wrapsAll(p) {
		for i, place := range p.Places {
			at := x + (float64(place)-float64(n+1)/2)*k.girth(p.Panel, y)/float64(n)
			s.in[i], s.out[i] = spot{at, y}, spot{at, y + h}
		}
		return
	}
	for i, e := range p.Ends {
		side := (float64(i) - float64(n-1)/2) * k.diameter(e)
		if most := float64(p.Width); math.Abs(side) > most/2 && n > 1 {
			side = most * (float64(i)/float64(n-1) - 0.5)
		}
		if p.Knot.Look().Lies == knot.Woven { // half of its ends to each of two strands
			side = math.Copysign(float64(p.Width)*knots.JosephineLegs, side)
		}
		s.in[i], s.out[i] = lean(panel, x+side, y), lean(panel, x+side, y+h)
	}
	if p.Knot.Cross && n > 1 {
		s.out[0], s.out[n-1] = s.out[n-1], s.out[0]
	}
	if n > 0 && k.upwards(p.Ends[0]) {
		s.in, s.out = s.out, s.in
	}
}

// wrapsAll tells whether a knot is a wrap round the whole of a round panel: cut open,
// it is a band as wide as the panel.
func (k *sketch) wrapsAll(p *trace.Placed) bool {
	return p.Knot.Shape == knot.Wrap && k.r.Panels[p.Panel].Round && len(p.Ends) == len(k.r.Panels[p.Panel].Ends)
}

// extent is the work's outermost places.
type extent struct{ left, top, right, bottom float64 }

func (e *extent) put(s spot, by float64) {
	e.left, e.right = math.Min(e.left, s.x-by), math.Max(e.right, s.x+by)
	e.top, e.bottom = math.Min(e.top, s.y-by), math.Max(e.bottom, s.y+by)
}

// extent measures all that hangs from the rod, the rod's own length apart.
func (k *sketch) extent() extent {
	e := extent{0, 0, float64(k.r.Mounted), 0}
	for _, s := range k.r.Strands {
		by := float64(s.Width)/2 + float64(k.r.Cords[s.Cord].Diameter())
		if s.Added {
			e.put(k.hung(s, float64(s.X)), by)
		}
	}
	var hand seen
	for i := range k.r.Placed {
		p := &k.r.Placed[i]
		panel := k.r.Panels[p.Panel]
		x, y, w, h := float64(p.X), float64(p.Y), float64(p.Width)/2, float64(p.Height)
		if p.Slope != 0 {
			h /= math.Max(math.Cos(float64(p.Slope)), 0.05)
		}
		for _, s := range []spot{lean(panel, x-w, y), lean(panel, x+w, y), lean(panel, x-w, y+h), lean(panel, x+w, y+h)} {
			e.put(s, 0)
		}
		for _, s := range k.inOf(i, &hand) {
			e.put(s, 0)
		}
	}
	for i := range k.r.Ends {
		e.put(k.tip(i), k.diameter(int32(i)))
	}
	k.fitted(&e)
	if k.chart { // no wider than its widest ring
		left, d := float64(k.r.Panels[0].Left), float64(k.r.Rod.Thickness)
		e.left, e.right = left-d, left+k.girth(0, 0)+d
		for _, l := range k.r.Lowers {
			over := -k.aside(float64(l.Y))
			e.left, e.right = math.Min(e.left, left-over-d), math.Max(e.right, left+k.girth(0, 0)+over+d)
		}
	}
	for _, x := range k.r.Extras {
		k.trimming(&e, x)
	}
	return e
}

// trimming widens an extent by the fringe or the swag that an extra is.
func (k *sketch) trimming(e *extent, x trace.Extra) {
	switch x.For {
	case trace.ForFringe:
		for _, h := range k.hooks(x) {
			e.put(h, 0)
			e.put(spot{h.x, h.y + float64(x.Need.Run)/2}, 0)
		}
	case trace.ForSwag:
		for _, s := range k.swagOf(x) {
			half, middle := float64(s.Over)/2, float64(k.r.Mounted)/2
			e.put(spot{middle - half, 0}, 0)
			e.put(spot{middle + half, float64(s.Drop)}, 0)
		}
	}
}

// tip is where the tail of an end finishes.
func (k *sketch) tip(i int) spot {
	e := k.r.Ends[i]
	if k.upwards(int32(i)) {
		return spot{float64(e.X), float64(e.Y - e.Tail)}
	}
	return spot{float64(e.X), float64(e.Y + e.Tail)}
}

// cord lays one piece of cord along a path: edge, body and pattern.
func (k *sketch) cord(p paint.Path, cord int, width paint.Points) {
	k.dyes.Of(cord).Lay(k.Drawing, p, width)
}
