package drawn

import (
	"math"

	"larkfold/commands/picture/paint"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// swagOf is the swag of the sheet behind an extra.
func (k *sketch) swagOf(x trace.Extra) []sheet.Swag {
	n := -1
	for i := range k.r.Extras {
		if k.r.Extras[i].For == trace.ForSwag {
			n++
			if k.r.Extras[i] == x && n < len(k.r.Sheet.Swags) {
				return k.r.Sheet.Swags[n : n+1]
			}
		}
	}
	return nil
}

// mostSwag is how many cords of a swag are drawn one by one.
const mostSwag = 40

// hangs is an arc below the rod, in nanometres.
type hangs struct{ wide, deep float64 }

// nested are the arcs of the cords of a swag, each within the one before it.
func (k *sketch) nested(s sheet.Swag, cord int) []hangs {
	var arcs []hangs
	for n := range min(s.Count, mostSwag) {
		inset := float64(n) * float64(k.r.Cords[cord].Diameter())
		arc := hangs{float64(s.Over) - 2*inset, float64(s.Drop) - 1.2*inset}
		if arc.wide <= 0 || arc.deep <= 0 {
			break
		}
		arcs = append(arcs, arc)
	}
	return arcs
}

// swags draws cords hung in an arc from the rod, as catenaries.
func (k *sketch) swags() {
	for i := range k.r.Extras {
		k.swag(i)
	}
}

func (k *sketch) swag(i int) {
	x := k.r.Extras[i]
	for _, s := range k.swagOf(x) {
		part := k.Open(ASwag, i, k.page(spot{float64(k.r.Mounted) / 2, float64(s.Drop)}))
		for _, arc := range k.nested(s, x.Cord) {
			const steps = 24
			points := make([]paint.Point, steps+1)
			for n := range points {
				points[n] = k.page(k.along(arc, 2*float64(n)/steps-1))
			}
			k.cord(paint.Smooth(points...), x.Cord, k.pt(k.r.Cords[x.Cord].Diameter()))
		}
		k.Close(part)
	}
}

// along is a place of a catenary below the rod, from -1 at its left end to 1.
func (k *sketch) along(arc hangs, t float64) spot {
	// With u = over/2a the sag over the span is (cosh u - 1)/2u.
	low, high := 1e-6, 60.0
	for range 60 {
		u := (low + high) / 2
		if s := math.Sinh(u / 2); s*s/u < arc.deep/arc.wide {
			low = u
		} else {
			high = u
		}
	}
	u := high
	y := arc.deep * (math.Cosh(u) - math.Cosh(u*t)) / (math.Cosh(u) - 1)
	return spot{float64(k.r.Mounted)/2 + t*arc.wide/2, y}
}

// swagTags are the places on a swag where its label can stand, the best first: those
// where no panel hangs before it, from its middle outwards.
func (k *sketch) swagTags(s sheet.Swag) []paint.Point {
	arc := hangs{float64(s.Over), float64(s.Drop)}
	var clear, covered []paint.Point
	for _, t := range []float64{0, 1.0 / 4, -1.0 / 4, 1.0 / 2, -1.0 / 2, 2.0 / 3, -2.0 / 3, 5.0 / 6, -5.0 / 6} {
		at := k.along(arc, t)
		before := false
		for _, p := range k.r.Panels {
			upright := lean(trace.Panel{Lean: -p.Lean, Pivot: p.Pivot}, at.x, at.y)
			before = before || upright.x > float64(p.Left) && upright.x < float64(p.Right) && upright.y < float64(p.Drop)
		}
		if before {
			covered = append(covered, k.page(at))
		} else {
			clear = append(clear, k.page(at))
		}
	}
	return append(clear, covered...)
}
