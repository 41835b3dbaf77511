package picture

import (
	"math"
	"slices"
	"sort"

	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// work draws everything that hangs from the rod, and the rod.
func (k *sketch) work() {
	k.swags()
	k.fringes()
	if k.detail == outlined {
		k.outline()
		k.rod()
		k.lowers()
		return
	}
	k.runs()
	k.rod()
	k.mounts()
	k.lowers()
	for i := range k.r.Placed {
		k.knot(i)
	}
	k.tassels()
	k.beads()
}

// runs draws the bare cord of every end, from mount to tip.
func (k *sketch) runs() {
	paths, wrapped := k.starts(), make([]bool, len(k.r.Ends)) // whether the last knot is a wrap
	for i := range k.r.Placed {
		k.through(i, paths)
		for _, e := range k.r.Placed[i].Ends {
			wrapped[e] = k.r.Placed[i].Knot.Shape == knot.Wrap
		}
	}
	for i := range k.r.Ends {
		e := &k.r.Ends[i]
		foot := spot{float64(e.X), float64(e.Y)}
		if wrapped[i] { // a wrap round a whole round panel leaves the ends' columns where they were
			foot = paths[i][len(paths[i])-1]
		}
		paths[i] = append(paths[i], k.beyond(-1, paths[i][len(paths[i])-1], foot)...)
		paths[i] = append(paths[i], foot)
	}
	for i, path := range paths {
		k.end(i, path, k.r.Ends[i].Tail)
	}
}

// starts are the ways of all ends as far as their mounts.
func (k *sketch) starts() [][]spot {
	paths := make([][]spot, len(k.r.Ends))
	for i := range k.r.Ends {
		paths[i] = []spot{k.start(i)}
	}
	return paths
}

// through leads the ways of its ends through placed knot i.
func (k *sketch) through(i int, paths [][]spot) {
	for j, e := range k.r.Placed[i].Ends {
		in, out := k.knots[i].in[j], k.knots[i].out[j]
		last := paths[e][len(paths[e])-1]
		paths[e] = append(paths[e], k.beyond(k.r.Placed[i].Panel, last, in)...)
		paths[e] = append(paths[e], in, out)
	}
}

// away marks a break of a path: an end that runs over the seam of a round panel.
var away = math.Inf(1)

// beyond is the detour of a run over the seam of an unrolled round panel: to
// half way out at one side, and in again from the other.
func (k *sketch) beyond(panel int, from, to spot) []spot {
	if panel < 0 || !k.r.Panels[panel].Round {
		return nil
	}
	girth := k.girth(panel, from.y)
	dx := to.x - from.x
	if girth <= 0 || math.Abs(dx) <= girth/2 {
		return nil
	}
	short := math.Remainder(dx, girth)
	middle := (from.y + to.y) / 2
	return []spot{{from.x + short/2, middle}, {away, away}, {to.x - short/2, middle}}
}

// start is where an end leaves its mount.
func (k *sketch) start(i int) spot {
	e := k.r.Ends[i]
	s := k.r.Strands[e.Strand]
	n := float64(len(s.Ends))
	x := float64(s.X) + float64(s.Width)*((0.5+float64(e.Side))/n-0.5)
	return k.hung(s, x)
}

// hung is a place of a strand's mount: on the rod it does not lean with its panel.
func (k *sketch) hung(s trace.Strand, x float64) spot {
	switch {
	case k.bothWays(s.Panel):
		return spot{float64(s.X), float64(s.Y)}
	case !s.Added:
		return spot{x, 0}
	}
	return lean(k.r.Panels[s.Panel], x, float64(s.Y))
}

// end draws the runs of one end and what hangs free of it.
func (k *sketch) end(i int, path []spot, free length.Length) {
	cord := k.cordOf(int32(i))
	width := Points(k.diameter(int32(i)) * k.scale)
	foot := k.page(path[len(path)-1])
	part := k.open(AnEnd, i, k.page(path[0]))
	var p Path
	for n, s := range path {
		switch {
		case s.x == away:
		case n == 0 || path[n-1].x == away:
			at := k.page(s)
			p.move(at.X, at.Y)
		default:
			at := k.page(s)
			p.line(at.X, at.Y)
		}
	}
	if tail := k.pt(free); tail > 0 {
		if k.upwards(int32(i)) {
			tail = -tail
		}
		// Loose cord is rounder than knotted cord and hangs with a little life.
		sway := Points(math.Sin(float64(i)*2.4)) * min(0.5*width, max(tail, -tail)*0.02)
		p.curve(Point{foot.X + sway, foot.Y + tail*0.35}, Point{foot.X - sway, foot.Y + tail*0.7}, Point{foot.X + sway/2, foot.Y + tail})
	}
	k.cord(p, cord, width)
	k.close(part)
}

// breakOff is how much of a rod is drawn beyond the work when it is very long.
const breakOff = 40 * length.Millimetre

// rodEnds are the x of the rod's ends, and whether it goes on beyond them.
func (k *sketch) rodEnds() (left, right float64, broken bool) {
	wide := float64(k.r.Mounted)
	long := float64(k.r.Rod.Length)
	if k.r.Rod.Ring || k.r.Rod.Length == 0 {
		over := 0.0
		if k.r.Rod.Length == 0 {
			over = float64(25 * length.Millimetre)
		}
		return -over, wide + over, false
	}
	over := (long - wide) / 2
	most := math.Max(float64(breakOff), 0.12*wide)
	for _, g := range k.r.Sheet.Swags { // tied within what is shown
		most = math.Max(most, (float64(g.Over)-wide)/2+float64(10*length.Millimetre))
	}
	if over > most && !k.wholeRod {
		over, broken = most, true
	}
	return math.Min(-over, 0), math.Max(wide+over, wide), broken
}

// rod draws the dowel, or the ring unrolled.
func (k *sketch) rod() {
	if len(k.r.Rods) == 0 { // nothing hangs on one
		return
	}
	left, right, broken := k.rodEnds()
	a, b := k.page(spot{left, 0}), k.page(spot{right, 0})
	r := max(k.pt(k.r.Rod.Thickness)/2, 1.2)
	part := k.open(ARod, -1, Point{(a.X + b.X) / 2, a.Y})
	body := Box{a.X, a.Y - r, b.X, b.Y + r}
	if broken || k.r.Rod.Ring {
		k.fill(rectangle(body), woodInk())
		k.rule(Point{body.Left, body.Top}, Point{body.Right, body.Top}, grainInk(), 0.8)
		k.rule(Point{body.Left, body.Bottom}, Point{body.Right, body.Bottom}, grainInk(), 0.8)
		for _, x := range []Points{body.Left, body.Right} {
			k.line(smooth(Point{x, body.Top - r*0.5}, Point{x + r*0.4, a.Y - r*0.4}, Point{x - r*0.4, a.Y + r*0.4}, Point{x, body.Bottom + r*0.5}), grainInk(), 1)
		}
	} else {
		k.add(Shape{Path: rounded(body, r*0.7), Fill: woodInk(), Stroke: grainInk(), Width: 0.8})
	}
	for i, at := range []Points{-0.45, 0.1, 0.5} {
		inset := (body.Right - body.Left) * Points(0.02+0.03*float64(i))
		k.rule(Point{body.Left + inset, a.Y + at*r}, Point{body.Right - inset*1.4, a.Y + at*r}, grainInk(), 0.35)
	}
	k.close(part)
}

// mounts draws how every cord hangs on the rod or on the work.
func (k *sketch) mounts() {
	for i := range k.r.Strands {
		k.mount(i)
	}
}

// mount draws how one cord hangs.
func (k *sketch) mount(i int) {
	s := k.r.Strands[i]
	if k.bothWays(s.Panel) {
		return
	}
	width := k.pt(k.r.Cords[s.Cord].Diameter())
	panel := k.r.Panels[s.Panel]
	at := k.page(k.hung(s, float64(s.X)))
	f := turned(at, -float64(panel.Lean))
	rod := max(k.pt(k.r.Rod.Thickness)/2, 1.2)
	if !s.Added {
		f = upright(at)
	} else {
		rod = width / 2
	}
	part := k.open(AMount, i, at)
	f.at = Point{}
	side := k.pt(s.Width) / 4
	k.stamp(look("mount "+string(s.Way), f.cos, f.sin, rod, width, side, Points(len(s.Ends)), Points(s.Cord)), at, func(d *Drawing) {
		cord := func(p Path, width Points) { d.lay(p, d.dye(s.Cord), width) }
		top, foot := -rod-width*0.4, rod+width*0.9
		switch {
		case k.detail == simple:
			cord(polyline(f.all(0, top, 0, foot)...), width*1.6)
		case s.Way == sheet.Laid:
			cord(smooth(f.all(-side*0.5, foot, -side*0.5, 0, 0, top)...), width)
			cord(smooth(f.all(side*0.5, foot, side*0.5, 0, 0, top)...), width)
		case len(s.Ends) == 1:
			cord(smooth(f.all(0, foot, -0.55*width, top*0.3, -0.2*width, top)...), width)
			cord(smooth(f.all(-0.9*width, rod*0.2, 0, rod*0.75, 0.9*width, rod*0.2, 0.7*width, top)...), width)
		default:
			cord(smooth(f.all(-side, foot, -side*0.95, 0, -side*0.9, top)...), width)
			cord(smooth(f.all(side, foot, side*0.95, 0, side*0.9, top)...), width)
			bar := rod*0.55 + width*0.2
			cord(smooth(f.all(-side-0.75*width, bar-width*0.35, -side*0.6, bar, side*0.6, bar, side+0.75*width, bar-width*0.35)...), width)
		}
	})
	k.close(part)
}

// hooks are the edge loops that a fringe hangs on, one for every piece.
func (k *sketch) hooks(x trace.Extra) []spot {
	if x.Panel >= len(k.r.Panels) || x.Count <= 0 {
		return nil
	}
	if f, ok := k.fringeOf(x); ok && f.Each > 0 {
		return k.spaced(x, f)
	}
	if x.Panel < 0 {
		return nil
	}
	p := k.r.Panels[x.Panel]
	sides := k.fringeSides(x)
	left, right := p.LeftLoops, p.RightLoops
	if !sides[0] {
		left = 0
	}
	if !sides[1] {
		right = 0
	}
	if left+right == 0 {
		return nil
	}
	pieces := x.Count / (left + right)
	var hooks []spot
	for side, loops := range []int{left, right} {
		for _, at := range k.edge(x.Panel, side == 1, loops) {
			for range max(pieces, 1) {
				hooks = append(hooks, at)
			}
		}
	}
	return hooks
}

// fringeSides tells which edges the fringe behind an extra hangs on: left, right.
func (k *sketch) fringeSides(x trace.Extra) [2]bool {
	f, ok := k.fringeOf(x)
	return [2]bool{ok && f.Side != sheet.RightEdge, ok && f.Side != sheet.LeftEdge}
}

// fringeOf is the fringe of the sheet behind an extra.
func (k *sketch) fringeOf(x trace.Extra) (sheet.Fringe, bool) {
	n := -1 // which fringe of the sheet it is
	for i := range k.r.Extras {
		if k.r.Extras[i].For == trace.ForFringe {
			n++
		}
		if k.r.Extras[i] == x {
			break
		}
	}
	if n < 0 || n >= len(k.r.Sheet.Fringes) {
		return sheet.Fringe{}, false
	}
	return k.r.Sheet.Fringes[n], true
}

// edge is where the loops of a panel's edge are, from the top down: between one
// knot of the edge and the next. The edge's knots are the outermost ones.
func (k *sketch) edge(panel int, right bool, loops int) []spot {
	p := k.r.Panels[panel]
	var outer []spot // side of a knot, and its middle height
	for _, n := range k.r.Placed {
		if n.Panel != panel {
			continue
		}
		x := float64(n.X - n.Width/2)
		if right {
			x = -float64(n.X + n.Width/2)
		}
		outer = append(outer, spot{x, float64(n.Y) + float64(n.Height)/2})
	}
	sort.SliceStable(outer, func(i, j int) bool { return outer[i].x < outer[j].x })
	outer = outer[:min(len(outer), loops+1)]
	sort.SliceStable(outer, func(i, j int) bool { return outer[i].y < outer[j].y })
	var edge []spot
	for i := 1; i < len(outer); i++ {
		x, y := (outer[i-1].x+outer[i].x)/2, (outer[i-1].y+outer[i].y)/2
		if right {
			x = -x
		}
		edge = append(edge, lean(p, x, y))
	}
	return edge
}

// fringes draws the pieces of fringe behind the work.
func (k *sketch) fringes() {
	for i, x := range k.r.Extras {
		if x.For == trace.ForFringe {
			k.fringe(i)
		}
	}
}

func (k *sketch) fringe(i int) {
	x := k.r.Extras[i]
	hooks := k.hooks(x)
	width := k.pt(k.r.Cords[x.Cord].Diameter())
	drop := k.pt(x.Need.Run / 2)
	part := k.open(AFringe, i, k.origin)
	for n := range hooks {
		at := k.page(hooks[len(hooks)-1-n])
		out := width * Points(0.55+0.9*float64(n%3))
		if x.Panel >= 0 && hooks[len(hooks)-1-n].x < float64(k.r.Panels[x.Panel].Left+k.r.Panels[x.Panel].Right)/2 {
			out = -out
		}
		for _, leg := range []Points{-0.5, 0.5} {
			x := at.X + out + leg*width
			k.cord(smooth(at, Point{x, at.Y + min(drop*0.3, 3*width)}, Point{x, at.Y + drop}), k.r.Extras[i].Cord, width)
		}
	}
	k.close(part)
}

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

// swags draws cords hung in an arc from the rod, as catenaries.
func (k *sketch) swags() {
	for i := range k.r.Extras {
		k.swag(i)
	}
}

func (k *sketch) swag(i int) {
	x := k.r.Extras[i]
	for _, s := range k.swagOf(x) {
		width := k.pt(k.r.Cords[x.Cord].Diameter())
		part := k.open(ASwag, i, k.page(spot{float64(k.r.Mounted) / 2, float64(s.Drop)}))
		for n := range min(s.Count, 40) {
			inset := float64(n) * float64(k.r.Cords[x.Cord].Diameter())
			over, drop := float64(s.Over)-2*inset, float64(s.Drop)-1.2*inset
			if over <= 0 || drop <= 0 {
				break
			}
			k.cord(k.arc(float64(k.r.Mounted)/2, over, drop), x.Cord, width)
		}
		k.close(part)
	}
}

// arc is a catenary below the rod.
func (k *sketch) arc(middle, over, drop float64) Path {
	// With u = over/2a the sag over the span is (cosh u - 1)/2u.
	low, high := 1e-6, 60.0
	for range 80 {
		u := (low + high) / 2
		if s := math.Sinh(u / 2); s*s/u < drop/over {
			low = u
		} else {
			high = u
		}
	}
	u := high
	const steps = 24
	points := make([]Point, steps+1)
	for i := range points {
		t := 2*float64(i)/steps - 1
		y := drop * (math.Cosh(u) - math.Cosh(u*t)) / (math.Cosh(u) - 1)
		points[i] = k.page(spot{middle + t*over/2, y})
	}
	return smooth(points...)
}

// outline draws panels as plain areas when their knots would be too small to see:
// ruled across where they are knotted, downwards where they hang free.
func (k *sketch) outline() {
	for i, p := range k.r.Panels {
		var left, right []Point
		var across, down Path
		rows := k.profile(i)
		for n, row := range rows {
			a, b := k.page(row.left), k.page(row.right)
			left, right = append(left, a), append(right, b)
			if row.knotted && n%2 == 1 {
				across.move(a.X, a.Y)
				across.line(b.X, b.Y)
			}
			if n > 0 && !row.knotted {
				c, d := k.page(rows[n-1].left), k.page(rows[n-1].right)
				const threads = 36
				for thread := range threads {
					t := (Points(thread) + 0.5) / threads
					down.move(c.X+(d.X-c.X)*t, c.Y+(d.Y-c.Y)*t)
					down.line(a.X+(b.X-a.X)*t, a.Y+(b.Y-a.Y)*t)
				}
			}
		}
		if len(left) == 0 {
			continue
		}
		slices.Reverse(right)
		part := k.open(APanel, i, k.page(lean(p, float64(p.Left+p.Right)/2, float64(p.Worked)/2)))
		k.fill(polygon(append(left, right...)...), panelInk())
		k.line(across, grainInk(), 0.5)
		k.line(down, grainInk(), 0.5)
		k.line(polygon(append(left, right...)...), darkInk(), 1)
		k.close(part)
	}
}

// band is a level of a panel in outline.
type band struct {
	left, right spot
	knotted     bool
}

// profile is the left and right edge of a panel's work and tails, from the top down.
func (k *sketch) profile(panel int) []band {
	p := k.r.Panels[panel]
	const bands = 48
	deep := math.Max(float64(p.Drop), float64(p.Worked))
	if p.JoinedBy >= 0 {
		deep = float64(p.Worked)
	}
	if deep <= 0 {
		return nil
	}
	var left, right [bands]float64
	for i := range left {
		left[i], right[i] = away, -away
	}
	first := bands
	for _, n := range k.r.Placed {
		if n.Panel != panel {
			continue
		}
		from := max(0, min(bands-1, int(float64(n.Y)/deep*bands)))
		to := max(0, min(bands-1, int(float64(n.Y+n.Height)/deep*bands)))
		first = min(first, from)
		for b := from; b <= to; b++ {
			left[b], right[b] = math.Min(left[b], float64(n.X-n.Width/2)), math.Max(right[b], float64(n.X+n.Width/2))
		}
	}
	var rows []band
	l, r := float64(p.Left), float64(p.Right)
	if len(p.From) > 0 && first < bands {
		l, r = left[first], right[first]
	}
	for b := range bands {
		if len(p.From) > 0 && b < first { // a join begins where the panels it takes up end
			continue
		}
		knotted := left[b] <= right[b]
		if knotted {
			l, r = left[b], right[b]
		}
		for _, y := range []float64{float64(b), float64(b + 1)} {
			y *= deep / bands
			rows = append(rows, band{lean(p, l, y), lean(p, r, y), knotted})
		}
	}
	return rows
}

// hanger draws the cord that the rod hangs from, cut short when its rise is more
// than there is room for.
func (k *sketch) hanger(rise, room float64) {
	left, right, broken := k.rodEnds()
	inset := float64(25 * length.Millimetre)
	if !broken && right-left > 4*inset {
		left, right = left+inset, right-inset
	}
	middle := (left + right) / 2
	width := max(k.pt(k.r.Cords[0].Diameter()), 0.8)
	short := rise > room
	up := math.Min(rise, room)
	part := k.open(AHanger, -1, k.page(spot{middle, -up}))
	if !short {
		top := k.page(spot{middle, -up})
		for _, x := range []float64{left, right} {
			k.cord(polyline(k.page(spot{x, 0}), top), 0, width)
		}
		k.add(Shape{Path: circle(Point{top.X, top.Y - 1}, max(2, width*0.9)), Fill: paperInk(), Stroke: darkInk(), Width: 1.2})
	} else {
		for _, x := range []float64{left, right} {
			t := up / rise
			at := k.page(spot{x + (middle-x)*t, -up})
			k.cord(polyline(k.page(spot{x, 0}), at), 0, width)
			k.line(smooth(Point{at.X - 5, at.Y - 1}, Point{at.X - 2, at.Y - 3}, Point{at.X + 2, at.Y + 1}, Point{at.X + 5, at.Y - 1}), darkInk(), 1)
		}
	}
	k.close(part)
	k.hangerTag = k.page(spot{right + (middle-right)*0.5*math.Min(up/rise, 1), -up / 2})
	k.hangerTag.X += 15
	for _, x := range []float64{left, right} {
		at := k.page(spot{x, 0})
		r := max(k.pt(k.r.Rod.Thickness)/2, 1.2) + width*0.3
		k.cord(polyline(Point{at.X, at.Y - r}, Point{at.X, at.Y + r}), 0, width)
	}
}

// riseOf is how far above the rod its fixing is; zero without a hanger.
func (k *sketch) riseOf() float64 {
	h := k.r.Sheet.Hanger
	if h == nil {
		return 0
	}
	if h.Rise > 0 {
		return float64(h.Rise)
	}
	left, right, _ := k.rodEnds()
	if !k.r.Rod.Ring && k.r.Rod.Length > 50*length.Millimetre {
		left, right = 0, float64(k.r.Rod.Length-50*length.Millimetre)
	}
	return (right - left) / 2 * math.Tan(h.Angle*math.Pi/180)
}

// byX are the indices of the strands on the rod, left to right.
func (k *sketch) byX() []int {
	var order []int
	for i, s := range k.r.Strands {
		if !s.Added {
			order = append(order, i)
		}
	}
	sort.SliceStable(order, func(a, b int) bool { return k.r.Strands[order[a]].X < k.r.Strands[order[b]].X })
	return order
}
