package trace

import (
	"math"

	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/noun"
	"larkfold/sizing/sheet"
)

// Lower is a rod or ring that the ends of a panel are hitched onto.
type Lower struct {
	Rod   sheet.Rod
	Panel int
	Step  int           // index into Panel.Done
	X, Y  length.Length // the middle of the row of hitches, and the axis of the rod
	Width length.Length // of the row of hitches; of a ring all round
}

// onto hitches every end onto a rod, level with the lowest of them. Ends are
// hitched as over a carrier of the rod's thickness. On a ring, a round panel then
// hangs by that ring: its ends run there from ring to ring, as far aside as their
// radii differ.
func (w *work) onto(s sheet.Onto) {
	t := w.t
	rod, ok := t.rodNamed(s.Place, s.Rod)
	if !ok {
		return
	}
	places, ok := w.held(s.Place, sheet.Ends{})
	if !ok {
		return
	}
	if w.round() != rod.Ring {
		t.fault(s.Place, "", "panel %s is %s and cannot be hitched onto %s", w.def.Name, shape(w.round()), rodKind(rod))
		return
	}
	at, size := make([]*sized, len(places)), 0.0
	for i, p := range places {
		e := &t.ends[w.order[p]]
		hitched, err := t.size(t.double, knot.Gauge{Diameter: length.Length(e.d), Core: rod.Thickness, Ends: 2}, e.cord)
		if err != nil {
			t.fault(s.Place, "", "%v", err)
			return
		}
		at[i] = hitched
		size += float64(hitched.size.Closer)
	}
	room := float64(rod.Length)
	if rod.Ring {
		room = float64(rod.Length-rod.Thickness) * pi
	}
	if room > 0 && size > room {
		t.fault(s.Place, "", "%s hitched onto %s need %s of it even when pushed together, and it has %s", noun.Count(len(places), "end"), rodKind(rod), t.say(nm(size)), t.say(nm(room)))
		return
	}
	cols, sideways := w.ontoColumns(places, at, rod, room)
	axis := 0.0
	for i, p := range places {
		e := &t.ends[w.order[p]]
		axis = max(axis, e.floor, e.y+math.Abs(sideways(i)))
	}
	axis += float64(rod.Thickness) / 2
	for i, p := range places {
		e := &t.ends[w.order[p]]
		if !t.count(s.Place) {
			return
		}
		w.loop(p, straight(sideways(i), axis-e.y))
		e.parts.Run += straight(sideways(i), axis-e.y)
		e.charge(t.double, hitchingEnd, at[i].takes[hitchingEnd])
		e.x, e.y = cols[i], axis+float64(rod.Thickness)/2+e.d
		e.parts.Run += nm(e.y - axis)
		e.floor = e.y
		e.knots++
		e.leaves = s.Place
		from := len(t.arena)
		t.arena = append(t.arena, w.order[p])
		ends, stood := t.tying(from, p)
		w.cols[p] = cols[i]
		t.tied(w.order[places[0]], w.order[p])
		w.place(Placed{
			Knot: t.double, X: nm(cols[i]), Y: nm(axis - float64(rod.Thickness)/2), Width: nm(at[i].width), Height: nm(float64(rod.Thickness) + e.d),
			Ends: ends, Places: stood,
		})
	}
	first, last := cols[0], cols[len(cols)-1]
	wide := last - first + at[0].width
	if w.round() {
		w.girth, wide = room, room
	}
	t.result.Lowers = append(t.result.Lowers, Lower{Rod: rod, Panel: w.index, Step: w.now, X: nm((first + last) / 2), Y: nm(axis), Width: nm(wide)})
}

// ontoColumns are where ends come to stand on a rod, and how far each runs aside
// to get there. On a ring they stand evenly over it; on a dowel they keep their
// columns, and stand wider only where the hitches would lie over each other.
func (w *work) ontoColumns(places []int, at []*sized, rod sheet.Rod, room float64) ([]float64, func(int) float64) {
	t := w.t
	cols := make([]float64, len(places))
	if rod.Ring {
		radius, was := float64(rod.Length-rod.Thickness)/2, w.girth/(2*pi)
		for i := range places {
			cols[i] = w.cols[places[0]] + room*float64(i)/float64(len(places))
		}
		return cols, func(int) float64 { return radius - was }
	}
	middle := (w.cols[places[0]] + w.cols[places[len(places)-1]]) / 2
	need := 0.0
	for i := range places {
		if i > 0 {
			need += max(w.cols[places[i]]-w.cols[places[i-1]], (float64(at[i-1].size.Closer)+float64(at[i].size.Closer))/2)
		}
		cols[i] = need
	}
	for i := range cols {
		cols[i] += middle - need/2
	}
	return cols, func(i int) float64 { return cols[i] - t.ends[w.order[places[i]]].x }
}

func shape(round bool) string {
	if round {
		return "round"
	}
	return "flat"
}

func rodKind(r sheet.Rod) string {
	if r.Ring {
		return "a ring"
	}
	return "a dowel"
}
