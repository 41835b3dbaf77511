package trace

import (
	"math"
	"slices"

	"larkfold/sizing/knot"
	"larkfold/sizing/length"
)

// RunsOut is where an end runs out whose cord is too short.
type RunsOut struct {
	End    int
	Placed int           // the knot that it cannot tie any more, an index into Result.Placed; -1 for the mount
	Works  bool          // it ties that knot, and does not only fill or carry
	Used   length.Length // what it has used up to there
	Rest   length.Length // what it would still need, its tail included
}

// RunsOut tells where an end runs out when it is only so long and has to leave so much
// in the hand to tie with; ok is false when it suffices. What an end uses in each knot
// is the mean of what it uses in such knots, and its straight runs are spread over the
// way from knot to knot.
func (r Result) RunsOut(end int, long, tying length.Length) (out RunsOut, ok bool) {
	e := r.Ends[end]
	if e.Knots == 0 || e.Total()-e.Tail+tying <= long {
		return RunsOut{}, false
	}
	out = RunsOut{End: end, Placed: -1, Rest: e.Total()}
	if e.Mount+tying > long {
		return out, true
	}
	knots := r.tiedBy(end)
	way := make([]float64, len(knots))
	s := r.Strands[e.Strand]
	x, y, sum := float64(s.X), float64(s.Y), 0.0
	for i, n := range knots {
		p := r.Placed[n]
		sum += math.Hypot(float64(p.X)-x, float64(p.Y)-y)
		x, y, way[i] = float64(p.X), float64(p.Y), sum
	}
	used := e.Mount
	taken := length.Length(0)
	for i, n := range knots {
		takes, works := r.takes(e, r.Placed[n], end)
		taken += takes
		before := used
		used = e.Mount + taken
		if sum > 0 {
			used += length.Length(float64(e.Run) * way[i] / sum)
		}
		if used+tying > long || i == len(knots)-1 {
			out.Placed, out.Works, out.Used, out.Rest = n, works, before, e.Total()-before
			return out, true
		}
	}
	return out, true
}

// tiedBy are the knots that an end takes part in, in the order of tying.
func (r Result) tiedBy(end int) []int {
	var knots []int
	for i, p := range r.Placed {
		if slices.Contains(p.Ends, int32(end)) {
			knots = append(knots, i)
		}
	}
	return knots
}

// takes is what an end uses in a knot, and whether it ties it. What only closes round
// the end, as a wrap does, takes nothing of it.
func (r Result) takes(e End, p Placed, end int) (length.Length, bool) {
	at, role := slices.Index(p.Ends, int32(end)), 0
	switch p.Knot.Shape {
	case knot.Group:
		roles, _ := p.Knot.Cast(len(p.Ends))
		role = roles[at]
	case knot.Hitch: // its carrier comes first
		role = hitchingEnd
		if at == 0 && len(p.Ends) > 1 {
			role = carrierEnd
		}
	}
	for _, u := range e.Uses {
		if u.Knot == p.Knot.Name && u.Role == p.Knot.Roles[role].Name {
			return u.Takes / length.Length(u.Times), p.Knot.Roles[role].Works
		}
	}
	return 0, false
}
