package diagram

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// Meeting is one strand's side of a crossing.
type Meeting struct {
	Strand int     // index
	At     float64 // how many pieces of its line lie before
}

// Crossing is a place where the viewer sees one strand lie over another.
type Crossing struct {
	Over, Under Meeting
	Place       Point // on the page, midway in depth
	Depth       float64
	Sign        int // +1 if the lower strand, as it runs, comes from the right of the upper one
}

// Crossings finds all crossings of lines on the page, by where they lie.
func Crossings(lines [][]Point) []Crossing {
	type piece struct {
		strand, at             int
		left, right, top, foot float64
	}
	var pieces []piece
	for i, line := range lines {
		for k := 1; k < len(line); k++ {
			a, b := line[k-1], line[k]
			pieces = append(pieces, piece{i, k - 1, min(a.X, b.X), max(a.X, b.X), min(a.Y, b.Y), max(a.Y, b.Y)})
		}
	}
	slices.SortFunc(pieces, func(a, b piece) int { return cmp.Compare(a.left, b.left) })
	var all []Crossing
	for i, p := range pieces {
		for _, q := range pieces[i+1:] {
			if q.left > p.right {
				break
			}
			if q.top > p.foot || p.top > q.foot || p.strand == q.strand && max(p.at, q.at)-min(p.at, q.at) < 2 {
				continue
			}
			a, b := lines[p.strand][p.at], lines[p.strand][p.at+1]
			c, d := lines[q.strand][q.at], lines[q.strand][q.at+1]
			s, t, ok := meet(a, b, c, d)
			if !ok {
				continue
			}
			first, second := Meeting{p.strand, float64(p.at) + s}, Meeting{q.strand, float64(q.at) + t}
			on, under := r3.Add(a, r3.Scale(s, r3.Sub(b, a))), r3.Add(c, r3.Scale(t, r3.Sub(d, c)))
			along, across := r3.Sub(b, a), r3.Sub(d, c)
			if on.Z < under.Z {
				first, second, on, under, along, across = second, first, under, on, across, along
			}
			x := Crossing{Over: first, Under: second, Place: r3.Scale(0.5, r3.Add(on, under)), Depth: on.Z - under.Z, Sign: 1}
			if along.Y*across.X-along.X*across.Y < 0 { // y points down
				x.Sign = -1
			}
			all = append(all, x)
		}
	}
	slices.SortFunc(all, func(a, b Crossing) int {
		return cmp.Or(cmp.Compare(a.Over.Strand, b.Over.Strand), cmp.Compare(a.Over.At, b.Over.At))
	})
	return all
}

// meet tells where ab and cd cross on the page, as shares of both.
func meet(a, b, c, d Point) (s, t float64, ok bool) {
	ux, uy, vx, vy := b.X-a.X, b.Y-a.Y, d.X-c.X, d.Y-c.Y
	det := ux*vy - uy*vx
	if det == 0 {
		return 0, 0, false
	}
	wx, wy := c.X-a.X, c.Y-a.Y
	s, t = (wx*vy-wy*vx)/det, (wx*uy-wy*ux)/det
	return s, t, s >= 0 && s < 1 && t >= 0 && t < 1
}
