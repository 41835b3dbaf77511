package drawn

import (
	"math"

	"larkfold/commands/picture/knots"
	"larkfold/commands/picture/paint"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// head draws a lark's head, or how else a cord is hung, about the origin of a
// frame: round something that lies along x and is twice as thick as rod, its ends
// leaving down at both sides.
func head(d *paint.Drawing, f paint.Frame, way sheet.Way, ends int, dye knots.Dye, rod, width, side paint.Points) {
	cord := func(p paint.Path) { dye.Lay(d, p, width) }
	top, foot := -rod-width*0.4, rod+width*0.9
	switch {
	case way == sheet.Laid:
		cord(paint.Smooth(f.All(-side*0.5, foot, -side*0.5, 0, 0, top)...))
		cord(paint.Smooth(f.All(side*0.5, foot, side*0.5, 0, 0, top)...))
	case ends == 1:
		cord(paint.Smooth(f.All(0, foot, -0.55*width, top*0.3, -0.2*width, top)...))
		cord(paint.Smooth(f.All(-0.9*width, rod*0.2, 0, rod*0.75, 0.9*width, rod*0.2, 0.7*width, top)...))
	default:
		cord(paint.Smooth(f.All(-side, foot, -side*0.95, 0, -side*0.9, top)...))
		cord(paint.Smooth(f.All(side, foot, side*0.95, 0, side*0.9, top)...))
		bar := rod*0.55 + width*0.2
		cord(paint.Smooth(f.All(-side-0.75*width, bar-width*0.35, -side*0.6, bar, side*0.6, bar, side+0.75*width, bar-width*0.35)...))
	}
}

// mounts draws how every cord of a panel hangs on the rod or on the work.
func (k *sketch) mounts(panel int) {
	for _, i := range k.r.Panels[panel].Strands {
		k.mount(i)
	}
}

// mount draws how one cord hangs.
func (k *sketch) mount(i int) {
	s := k.r.Strands[i]
	switch {
	case k.bothWays(s.Panel):
	case s.Added:
		k.tieOn()
		host := k.pt(k.r.Cords[k.cordOf(int32(s.Host))].Diameter()) / 2
		k.mountAt(i, k.page(k.tied[i].at), sideways(k.tied[i].left), s.Cord, host, legs*k.pt(k.r.Cords[s.Cord].Diameter()))
	default:
		k.mountAt(i, k.page(k.hung(s, float64(s.X))), paint.Upright(paint.Point{}), s.Cord, k.half(k.rodOf(s.Panel).Thickness), k.pt(s.Width)/4)
	}
}

// mountAt draws how a cord hangs on something of half the thickness rod, in a dye.
func (k *sketch) mountAt(i int, at paint.Point, f paint.Frame, dye int, rod, side paint.Points) {
	s := k.r.Strands[i]
	width := k.pt(k.r.Cords[s.Cord].Diameter())
	part := k.Open(AMount, i, at)
	k.Stamp(paint.Look("mount "+string(s.Way), f.Cos, f.Sin, rod, width, side, paint.Points(len(s.Ends)), paint.Points(dye)), at, func(d *paint.Drawing) {
		if k.detail == simple {
			k.dyes.Of(dye).Lay(d, paint.Polyline(f.All(0, -rod-width*0.4, 0, rod+width*0.9)...), width*1.6)
			return
		}
		head(d, f, s.Way, len(s.Ends), k.dyes.Of(dye), rod, width, side)
	})
	k.Close(part)
}

// rodOf is the rod that a panel hangs on.
func (k *sketch) rodOf(panel int) sheet.Rod {
	if p := k.r.Panels[panel]; len(p.Strands) > 0 {
		x := k.r.Strands[p.Strands[0]].X
		for i := len(k.r.Rods) - 1; i >= 0; i-- {
			if on := k.r.Rods[i]; x >= on.From {
				return on.Rod
			}
		}
	}
	return k.r.Rod
}

// legs is how far the ends of a head that is tied sideways stand from its middle, in
// cord widths.
const legs = 0.55

// sideways is the frame of a head round a hanging end, whose own ends leave to one side.
func sideways(left bool) paint.Frame {
	if left {
		return paint.Frame{Cos: 0, Sin: 1}
	}
	return paint.Frame{Cos: 0, Sin: -1}
}

// tiedOn is where an added cord is tied round an end of the work.
type tiedOn struct {
	at   spot
	left bool // its ends leave to the left
}

// tieOn finds, once, where added cords are tied round the ends that hold them, one
// below the other, and how their ends lead from there to their columns.
func (k *sketch) tieOn() {
	if k.tied != nil {
		return
	}
	k.tied, k.leads = map[int]tiedOn{}, map[int][]spot{}
	type place struct{ host, panel, step int }
	var places []place
	on := map[place][]int{}
	for i, s := range k.r.Strands {
		if !s.Added {
			continue
		}
		at := place{s.Host, s.Panel, s.Step}
		if len(on[at]) == 0 {
			places = append(places, at)
		}
		on[at] = append(on[at], i)
	}
	if len(places) == 0 {
		return
	}
	paths := make([][]spot, len(k.r.Ends))
	for i := range paths {
		paths[i] = []spot{k.start(i)}
	}
	for i := range k.r.Placed {
		k.through(i, paths)
	}
	for _, at := range places {
		k.tieRound(paths, at.host, on[at])
	}
}

// tieRound ties added cords round one end, given the ways of all ends from columns on.
func (k *sketch) tieRound(paths [][]spot, host int, strands []int) {
	first := k.r.Strands[strands[0]]
	panel := k.r.Panels[first.Panel]
	width := float64(k.r.Cords[first.Cord].Diameter())
	top := lean(panel, float64(first.X), float64(first.Y)).y
	pitch := 2.2 * width
	if free := below(paths[host], top) - top; free < pitch*float64(len(strands)) {
		pitch = math.Max(free/float64(len(strands)), 1.1*width)
	}
	for n, i := range strands {
		s := k.r.Strands[i]
		t := tiedOn{at: spot{y: top + pitch*(float64(n)+0.5)}}
		t.at.x = reaching(paths[host], t.at.y)
		t.left = lean(panel, float64(s.X), float64(s.Y)).x < t.at.x
		k.tied[i] = t
		out := k.diameter(int32(host))/2 + 0.9*width
		if t.left {
			out = -out
		}
		for side, e := range s.Ends {
			leg := legs * width
			if (side == 0) == t.left && len(s.Ends) > 1 {
				leg = -leg // the upper one goes to the farther column
			} else if len(s.Ends) == 1 {
				leg = 0
			}
			from, column := spot{t.at.x + out, t.at.y + leg}, paths[e][0]
			down := from.y + math.Abs(column.x-from.x)*0.6
			if len(paths[e]) > 1 {
				down = math.Min(down, paths[e][1].y)
			}
			k.leads[e] = []spot{from, {column.x, math.Max(down, from.y)}}
		}
	}
}

// reaching is the x at which a path that runs down reaches a depth; beyond its end,
// that of its last place.
func reaching(path []spot, y float64) float64 {
	for i := 1; i < len(path); i++ {
		a, b := path[i-1], path[i]
		if a.x != away && b.x != away && a.y <= y && y < b.y {
			return a.x + (b.x-a.x)*(y-a.y)/(b.y-a.y)
		}
	}
	return path[len(path)-1].x
}

// below is the depth of the next place of a path under y, without end if there is none.
func below(path []spot, y float64) float64 {
	for _, s := range path {
		if s.x != away && s.y > y {
			return s.y
		}
	}
	return math.Inf(1)
}

// tuft is one piece of fringe: where it is tied and how it hangs from there.
type tuft struct {
	at   paint.Point
	f    paint.Frame // its head's, without a place
	legs [2]paint.Point
}

// tufts are the pieces of a fringe on the page. On an edge they are tied round the
// end that runs down there, one below the other; on a foot or a rod they hang down.
func (k *sketch) tufts(x trace.Extra) []tuft {
	hooks := k.hooks(x)
	width := k.pt(k.r.Cords[x.Cord].Diameter())
	fringe, _ := k.fringeOf(x)
	hangs := fringe.Rod != "" || fringe.Side == sheet.Foot
	tufts := make([]tuft, len(hooks))
	same := 0
	for i, hook := range hooks {
		if same++; i == 0 || hook != hooks[i-1] {
			same = 0
		}
		t := tuft{at: k.page(hook), f: paint.Upright(paint.Point{})}
		if !hangs {
			left := x.Panel >= 0 && hook.x < float64(k.r.Panels[x.Panel].Left+k.r.Panels[x.Panel].Right)/2
			t.f = sideways(left)
			t.at.Y += paint.Points(same) * width * 2.2
		}
		t.f.At = t.at
		for side := range t.legs {
			t.legs[side] = t.f.To((2*paint.Points(side)-1)*width*legs, width*1.4)
		}
		t.f.At = paint.Point{}
		tufts[i] = t
	}
	return tufts
}

// fringes draws the pieces of fringe behind the work.
func (k *sketch) fringes() {
	for i, x := range k.r.Extras {
		if x.For == trace.ForFringe {
			k.fringe(i)
		}
	}
}

// fringe draws one fringe, the lowest pieces first.
func (k *sketch) fringe(i int) {
	x := k.r.Extras[i]
	width, drop := k.pt(k.r.Cords[x.Cord].Diameter()), k.pt(x.Need.Run/2)
	part := k.Open(AFringe, i, k.origin)
	tufts := k.tufts(x)
	for n := len(tufts) - 1; n >= 0; n-- {
		t := tufts[n]
		aside := paint.Points(0.9 * float64(n%3))
		for side, from := range t.legs {
			out := (2*paint.Points(side) - 1) * width * 0.05
			if t.f.Cos == 0 { // it leaves to the side and bends down
				out = t.f.To(0, width*(aside+0.3)).X
				if (side == 0) == (t.f.Sin > 0) {
					out = t.f.To(0, width*(aside+1.3)).X
				}
			}
			k.cord(paint.Smooth(from, paint.At(from.X+out, from.Y+min(drop*0.2, 2.5*width)), paint.At(from.X+out, t.at.Y+drop)), x.Cord, width)
		}
	}
	k.Close(part)
}

// heads draws the lark's heads by which fringe is tied to the work.
func (k *sketch) heads() {
	for i, x := range k.r.Extras {
		if x.For == trace.ForFringe {
			k.headsOf(i)
		}
	}
}

// headsOf draws the heads of one fringe.
func (k *sketch) headsOf(i int) {
	x := k.r.Extras[i]
	width := k.pt(k.r.Cords[x.Cord].Diameter())
	part := k.Open(AHead, i, k.origin)
	for _, t := range k.tufts(x) {
		k.Stamp(paint.Look("head", t.f.Cos, t.f.Sin, width, paint.Points(x.Cord)), t.at, func(d *paint.Drawing) {
			head(d, t.f, sheet.Folded, 2, k.dyes.Of(x.Cord), width*0.5, width, width*legs)
		})
	}
	k.Close(part)
}
