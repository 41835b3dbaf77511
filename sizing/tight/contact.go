package tight

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// skin is how far beyond touching a pair is still kept in the list of contacts.
const skin = 0.4

// closest returns the places s, t in [0,1] of the nearest points of the segments
// ab and cd, and the vector from the second to the first.
func closest(a, b, c, d r3.Vec) (s, t float64, apart r3.Vec) {
	u, v, w := r3.Sub(b, a), r3.Sub(d, c), r3.Sub(a, c)
	uu, vv, uv := r3.Dot(u, u), r3.Dot(v, v), r3.Dot(u, v)
	uw, vw := r3.Dot(u, w), r3.Dot(v, w)
	det := uu*vv - uv*uv
	if det > 1e-9*uu*vv {
		s = clamp((uv*vw - vv*uw) / det)
	} else {
		s = 0.5
	}
	t = (uv*s + vw) / vv
	if t < 0 {
		t = 0
		s = clamp(-uw / uu)
	} else if t > 1 {
		t = 1
		s = clamp((uv - uw) / uu)
	}
	apart = r3.Add(w, r3.Sub(r3.Scale(s, u), r3.Scale(t, v)))
	return s, t, apart
}

// norm is the length of a vector. The one of r3 guards against overflow, which
// takes several times as long and cannot happen here.
func norm(v r3.Vec) float64 { return math.Sqrt(r3.Norm2(v)) }

// closestToAxis returns the place t in [0,1] of the point of ab nearest to the
// core's axis, and the vector from the axis to it.
func closestToAxis(a, b r3.Vec, k core) (t float64, apart r3.Vec) {
	ax, ay := a.X-k.x, a.Y-k.y
	ux, uy := b.X-a.X, b.Y-a.Y
	if uu := ux*ux + uy*uy; uu > 0 {
		t = clamp(-(ax*ux + ay*uy) / uu)
	}
	return t, r3.Vec{X: ax + t*ux, Y: ay + t*uy}
}

func clamp(t float64) float64 { return max(0, min(1, t)) }

// cell is a place in the grid that finds near segments.
type cell struct{ x, y, z int }

// findContacts lists anew all pairs that touch or nearly touch.
func (g *cost) findContacts() {
	longest := 0.0
	for _, s := range g.segments {
		longest = max(longest, norm(r3.Sub(g.at[s.b], g.at[s.a])))
	}
	reach := 1 + skin + longest // of midpoints
	place := func(p r3.Vec) cell {
		return cell{int(math.Floor(p.X / reach)), int(math.Floor(p.Y / reach)), int(math.Floor(p.Z / reach))}
	}
	grid := map[cell][]pair{}
	for m := 0; m <= g.span; m++ {
		for j, s := range g.segments {
			mid := r3.Scale(0.5, r3.Add(g.at[s.a+m*g.points], g.at[s.b+m*g.points]))
			c := place(mid)
			grid[c] = append(grid[c], pair{j: j, image: m})
		}
	}
	g.contacts = g.contacts[:0]
	for i, s := range g.segments {
		c := place(r3.Scale(0.5, r3.Add(g.at[s.a], g.at[s.b])))
		for dx := -1; dx <= 1; dx++ {
			for dy := -1; dy <= 1; dy++ {
				for dz := -1; dz <= 1; dz++ {
					for _, q := range grid[cell{c.x + dx, c.y + dy, c.z + dz}] {
						q.i = i
						if q.image == 0 && q.j <= i || g.near[q] {
							continue
						}
						o, shift := g.segments[q.j], q.image*g.points
						_, _, apart := closest(g.at[s.a], g.at[s.b], g.at[o.a+shift], g.at[o.b+shift])
						if r3.Norm2(apart) < (1+skin)*(1+skin) {
							g.contacts = append(g.contacts, q)
						}
					}
				}
			}
		}
	}
	g.findCoreContacts()
}

func (g *cost) findCoreContacts() {
	g.coreContacts = g.coreContacts[:0]
	for i, s := range g.segments {
		for j, k := range g.rope.cores {
			if _, apart := closestToAxis(g.at[s.a], g.at[s.b], k); norm(apart) < (k.diameter+1)/2+skin {
				g.coreContacts = append(g.coreContacts, coreContact{i, j})
			}
		}
	}
}
