package trace

// mirror gives the second side of a panel that is worked both ways what the first
// one has: the same knots by the other end of each cord. The panel then lies with
// its second side above its first, and both below the start of the plane.
func (w *work) mirror() {
	t := w.t
	p := &t.result.Panels[w.index]
	half := float64(p.Drop)
	other := make([]int32, len(t.ends)) // the other end of each first end
	for _, s := range t.result.Strands {
		if s.Panel == w.index {
			other[s.Ends[0]] = int32(s.Ends[1])
		}
	}
	for i := range t.result.Strands {
		if s := &t.result.Strands[i]; s.Panel == w.index {
			s.Y = nm(half)
		}
	}
	for i, n := range w.order {
		e := &t.ends[n]
		o := &t.ends[other[n]]
		o.parts, o.knots, o.trimmed, o.leaves = e.parts, e.knots, e.trimmed, e.leaves
		o.uses = append([]use(nil), e.uses...)
		o.x, o.y = e.x, half-e.y
		e.y += half
		p.Ends = append(p.Ends, int(other[n]))
		p.Columns = append(p.Columns, nm(w.cols[i]))
	}
	w.mirrorPlaced(half, other)
	p.Drop, p.Worked = nm(2*half), nm(half+w.low)
	for name := range p.Knots {
		p.Knots[name] *= 2
	}
	p.LeftLoops, p.RightLoops = 2*p.LeftLoops, 2*p.RightLoops
}

// mirrorPlaced puts everything that has a place a second time on the other side.
func (w *work) mirrorPlaced(half float64, other []int32) {
	r := &w.t.result
	swap := func(ends []int32) []int32 {
		out := make([]int32, len(ends))
		for i, n := range ends {
			out[i] = other[n]
		}
		return out
	}
	down := nm(half)
	for i := range len(r.Placed) {
		k := &r.Placed[i]
		if k.Panel != w.index {
			continue
		}
		twin := *k
		twin.Y, twin.Slope, twin.Ends = down-k.Y-k.Height, -k.Slope, swap(k.Ends)
		k.Y += down
		r.Placed = append(r.Placed, twin)
	}
	for i := range len(r.Beads) {
		b := &r.Beads[i]
		if b.Panel != w.index {
			continue
		}
		twin := *b
		twin.Y, twin.Ends = down-b.Y-b.Long, swap(b.Ends)
		b.Y += down
		r.Beads = append(r.Beads, twin)
	}
	for i := range len(r.Extras) {
		x := &r.Extras[i]
		if x.Panel != w.index {
			continue
		}
		twin := *x
		if x.Height > 0 {
			twin.Y = down - x.Y - x.Height
			x.Y += down
		}
		r.Extras = append(r.Extras, twin)
	}
	for i := range len(r.Lowers) {
		l := &r.Lowers[i]
		if l.Panel != w.index {
			continue
		}
		twin := *l
		twin.Y = down - l.Y
		l.Y += down
		r.Lowers = append(r.Lowers, twin)
	}
}
