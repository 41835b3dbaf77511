package picture

import (
	"larkfold/sizing/knot"
	"larkfold/sizing/trace"
	"math"
	"slices"
)

// knot draws placed knot i.
func (k *sketch) knot(i int) {
	at := k.knots[i].at
	if k.upwards(k.r.Placed[i].Ends[0]) {
		at = k.knots[i].foot
	}
	k.tie(i, k.symbolOf(i), k.page(at))
}

// symbolOf is placed knot i about the origin.
func (k *sketch) symbolOf(i int) symbol {
	p := &k.r.Placed[i]
	turn, upward := k.knots[i].turn, k.upwards(p.Ends[0])
	if upward { // tied with the work turned round
		turn += math.Pi
	}
	s := symbol{
		f: turned(Point{}, turn), w: k.pt(p.Width), h: k.pt(p.Height),
		simple: k.detail == simple, dyes: k.dyes, cords: make([]int, len(p.Ends)), sides: make([]Points, len(p.Ends)),
	}
	for j, e := range p.Ends {
		s.cords[j] = k.cordOf(e)
		s.d = max(s.d, k.pt(k.r.Cords[s.cords[j]].Diameter()))
		s.sides[j] = (Points(j) - Points(len(p.Ends)-1)/2) * k.pt(k.r.Cords[s.cords[j]].Diameter())
	}
	if upward && p.Knot.Shape != knot.Hitch {
		slices.Reverse(s.cords)
	}
	if p.Knot.Shape == knot.Hitch {
		s.toLeft = runsLeft(p) != upward
		s.d = k.pt(k.r.Cords[s.last()].Diameter())
	}
	if p.Knot.Shape == knot.Wrap {
		s.cords = []int{k.wrapOf(p)}
		s.d = k.pt(k.r.Cords[s.first()].Diameter())
		s.turns = int(math.Round(float64(s.h / s.d)))
		if k.wrapsAll(p) {
			s.w = Points(k.girth(p.Panel, float64(p.Y)) * k.scale)
		}
	}
	return s
}

// tie draws placed knot i, as a symbol about the origin, at a place.
func (k *sketch) tie(i int, s symbol, at Point) {
	of := k.r.Placed[i].Knot
	part := k.open(AKnot, i, at)
	k.stamp(s.look(of.Name), at, func(d *Drawing) {
		s.Drawing = d
		s.draw(of)
	})
	k.close(part)
	k.Parts[part].Name = of.Name
}

// wrapOf is the cord of the extra that is wound where the knot sits.
func (k *sketch) wrapOf(p *trace.Placed) int {
	for _, x := range k.r.Extras {
		if x.For == trace.ForWrap && x.Panel == p.Panel && x.X == p.X && x.Y == p.Y {
			return x.Cord
		}
	}
	return 0
}
