package drawn

import (
	"math"
	"slices"

	"larkfold/commands/picture/knots"
	"larkfold/commands/picture/paint"
	"larkfold/sizing/knot"
	"larkfold/sizing/trace"
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
func (k *sketch) symbolOf(i int) knots.Symbol {
	p := &k.r.Placed[i]
	turn, upward := k.knots[i].turn, k.upwards(p.Ends[0])
	if upward { // tied with the work turned round
		turn += math.Pi
	}
	s := knots.Symbol{
		Frame: paint.Turned(paint.Point{}, turn), Wide: k.pt(p.Width), High: k.pt(p.Height),
		Simple: k.detail == simple, Dyes: k.dyes, Cords: make([]int, len(p.Ends)), Sides: make([]paint.Points, len(p.Ends)),
	}
	for j, e := range p.Ends {
		s.Cords[j] = k.cordOf(e)
		s.Thick = max(s.Thick, k.pt(k.r.Cords[s.Cords[j]].Diameter()))
		s.Sides[j] = (paint.Points(j) - paint.Points(len(p.Ends)-1)/2) * k.pt(k.r.Cords[s.Cords[j]].Diameter())
	}
	if upward && p.Knot.Shape != knot.Hitch {
		slices.Reverse(s.Cords)
	}
	if p.Knot.Shape == knot.Hitch {
		s.ToLeft = runsLeft(p) != upward
		s.Thick = k.pt(k.r.Cords[s.Last()].Diameter())
	}
	if p.Knot.Shape == knot.Wrap {
		s.Cords = []int{k.wrapOf(p)}
		s.Thick = k.pt(k.r.Cords[s.First()].Diameter())
		s.Turns = int(math.Round(float64(s.High / s.Thick)))
		if k.wrapsAll(p) {
			s.Wide = paint.Points(k.girth(p.Panel, float64(p.Y)) * k.scale)
		}
	}
	return s
}

// tie draws placed knot i, as a symbol about the origin, at a place.
func (k *sketch) tie(i int, s knots.Symbol, at paint.Point) {
	of := k.r.Placed[i].Knot
	part := k.Open(AKnot, i, at)
	k.Stamp(s.Look(of.Name), at, func(d *paint.Drawing) {
		s.Drawing = d
		s.Draw(of)
	})
	k.Close(part)
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
