package drawn

import (
	"math"
	"slices"
	"sort"

	"larkfold/commands/picture/paint"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// work draws everything that hangs from the rod, and the rod.
func (k *sketch) work() {
	k.swags()
	k.fringes()
	k.rods()
	if k.detail == outlined {
		k.outline()
		for _, panel := range k.layers() {
			k.lowers(panel)
		}
		return
	}
	paths := k.paths()
	k.Expect(3*len(k.r.Ends)+len(k.r.Strands)+len(k.r.Placed), len(k.r.Ends)+len(k.r.Strands)+len(k.r.Placed))
	for _, panel := range k.layers() {
		for _, s := range k.r.Panels[panel].Strands {
			for _, e := range k.r.Strands[s].Ends {
				k.end(e, paths[e], k.r.Ends[e].Tail)
			}
		}
		k.mounts(panel)
		k.lowers(panel)
		for i := range k.r.Placed {
			if k.r.Placed[i].Panel == panel {
				k.knot(i)
			}
		}
		k.tassels(panel)
		k.beads(panel)
	}
	k.heads()
	k.ties()
}

// layers are the panels from the back to the front: one that passes under another
// lies behind it, and one that joins others is worked with their ends.
func (k *sketch) layers() []int {
	behind := make([][]int, len(k.r.Panels)) // of every panel, those behind it
	for i, p := range k.r.Panels {
		behind[i] = append(behind[i], p.From...)
		for _, s := range p.Done {
			if c := sheet.FactsOf(s).Count(); c != nil && c.Under != "" {
				over := slices.IndexFunc(k.r.Panels, func(o trace.Panel) bool { return o.Name == c.Under })
				if over >= 0 {
					behind[over] = append(behind[over], i)
				}
			}
		}
	}
	layers := make([]int, 0, len(k.r.Panels))
	reached := make([]bool, len(k.r.Panels))
	var reach func(int)
	reach = func(panel int) {
		if reached[panel] {
			return
		}
		reached[panel] = true
		for _, b := range behind[panel] {
			reach(b)
		}
		layers = append(layers, panel)
	}
	for i := range k.r.Panels {
		reach(i)
	}
	return layers
}

// paths are the places that every end runs through, from its mount to its tail.
func (k *sketch) paths() [][]spot {
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
		paths[i] = append(paths[i], foot)
	}
	return paths
}

// starts are the ways of all ends as far as their mounts.
func (k *sketch) starts() [][]spot {
	k.tieOn()
	paths := make([][]spot, len(k.r.Ends))
	for i := range k.r.Ends {
		paths[i] = []spot{k.start(i)}
		if k.r.Strands[k.r.Ends[i].Strand].Added {
			paths[i] = slices.Clone(k.leads[i])
		}
	}
	return paths
}

// through leads the ways of its ends through placed knot i.
func (k *sketch) through(i int, paths [][]spot) {
	p := &k.r.Placed[i]
	var roles []int // of an open knot, where the bare cord of what works in it would be seen
	if k.detail == full && p.Knot.Look().Open {
		roles, _ = p.Knot.Cast(len(p.Ends))
	}
	for j, e := range p.Ends {
		in, out := k.knots[i].in[j], k.knots[i].out[j]
		last := paths[e][len(paths[e])-1]
		paths[e] = append(paths[e], k.beyond(p.Panel, last, in, float64(p.Y+p.Height))...)
		paths[e] = append(paths[e], in)
		if roles != nil && p.Knot.Roles[roles[j]].Works {
			paths[e] = append(paths[e], spot{away, away})
		}
		paths[e] = append(paths[e], out)
	}
}

// away marks a break of a path: an end that runs over the seam of a round panel.
var away = math.Inf(1)

// beyond is the detour of a run over the seam of an unrolled round panel: to
// half way out at one side, and in again from the other. Down is how far down the
// knot reaches that it runs to.
func (k *sketch) beyond(panel int, from, to spot, down float64) []spot {
	if panel < 0 || !k.r.Panels[panel].Round {
		return nil
	}
	before, after := k.girth(panel, from.y), k.girth(panel, down)
	if before <= 0 || after <= 0 {
		return nil
	}
	left := float64(k.r.Panels[panel].Left)
	over := (to.x-left)/after - (from.x-left)/before // once round is 1
	if math.Abs(over) <= 0.5 {
		return nil
	}
	over = math.Remainder(over, 1)
	middle := (from.y + to.y) / 2
	in := to.x - over*after/2
	if k.chart {
		in += k.aside(down) - k.aside(middle)
	}
	return []spot{{from.x + over*before/2, middle}, {away, away}, {in, middle}}
}

// start is where an end leaves its mount.
func (k *sketch) start(i int) spot {
	e := k.r.Ends[i]
	s := k.r.Strands[e.Strand]
	n := float64(len(s.Ends))
	x := float64(s.X) + float64(s.Width)*((0.5+float64(e.Side))/n-0.5)
	at := k.hung(s, x)
	if !s.Added && !k.bothWays(s.Panel) {
		at.y += float64(k.rodOf(s.Panel).Thickness) / 2
	}
	return at
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
	width := paint.Points(k.diameter(int32(i)) * k.scale)
	foot := k.page(path[len(path)-1])
	part := k.Open(AnEnd, i, k.page(path[0]))
	p := make(paint.Path, 0, len(path)+1)
	for n, s := range path {
		switch {
		case s.x == away:
		case n == 0 || path[n-1].x == away:
			at := k.page(s)
			p.Move(at.X, at.Y)
		default:
			at := k.page(s)
			p.Line(at.X, at.Y)
		}
	}
	if tail := k.pt(free); tail > 0 {
		if k.upwards(int32(i)) {
			tail = -tail
		}
		tailOf(&p, i, foot, tail, width)
	}
	k.cord(p, cord, width)
	k.Close(part)
}

// tailOf goes on with the tail of an end: loose cord hangs with a little life.
func tailOf(p *paint.Path, end int, foot paint.Point, tail, width paint.Points) {
	sway := paint.Points(math.Sin(float64(end)*2.4)) * min(0.5*width, max(tail, -tail)*0.02)
	p.Curve(paint.At(foot.X+sway, foot.Y+tail*0.35), paint.At(foot.X-sway, foot.Y+tail*0.7), paint.At(foot.X+sway/2, foot.Y+tail))
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

// outline draws panels as plain areas when their knots would be too small to see:
// ruled across where they are knotted, downwards where they hang free.
func (k *sketch) outline() {
	for i, p := range k.r.Panels {
		var left, right []paint.Point
		var across, down paint.Path
		rows := k.profile(i)
		for n, row := range rows {
			a, b := k.page(row.left), k.page(row.right)
			left, right = append(left, a), append(right, b)
			if row.knotted && n%2 == 1 {
				across.Move(a.X, a.Y)
				across.Line(b.X, b.Y)
			}
			if n > 0 && !row.knotted {
				c, d := k.page(rows[n-1].left), k.page(rows[n-1].right)
				const threads = 36
				for thread := range threads {
					t := (paint.Points(thread) + 0.5) / threads
					down.Move(c.X+(d.X-c.X)*t, c.Y+(d.Y-c.Y)*t)
					down.Line(a.X+(b.X-a.X)*t, a.Y+(b.Y-a.Y)*t)
				}
			}
		}
		if len(left) == 0 {
			continue
		}
		slices.Reverse(right)
		part := k.Open(APanel, i, k.page(lean(p, float64(p.Left+p.Right)/2, float64(p.Worked)/2)))
		k.Fill(paint.Polygon(append(left, right...)...), paint.PanelInk())
		k.Line(across, paint.GrainInk(), 0.5)
		k.Line(down, paint.GrainInk(), 0.5)
		k.Line(paint.Polygon(append(left, right...)...), paint.DarkInk(), 1)
		k.Close(part)
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
