package tight

import (
	"cmp"
	"context"
	"math"
	"math/cmplx"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// crossing is a place where one strand passes over another in the projection along view.
type crossing struct {
	over, under         int     // strands
	overPlace, undPlace float64 // segment number and place on it
	sign                int
}

var view = r3.NewRotation(0.7, r3.Vec{X: 0.31, Y: 0.83, Z: 0.47}) // in general position

func crossings(strands [][]r3.Vec) []crossing {
	flat := make([][]r3.Vec, len(strands))
	for i, s := range strands {
		for _, p := range s {
			flat[i] = append(flat[i], view.Rotate(p))
		}
	}
	var found []crossing
	for i := range flat {
		for a := range len(flat[i]) - 1 {
			for j := i; j < len(flat); j++ {
				first := 0
				if j == i {
					first = a + 2
				}
				for b := first; b < len(flat[j])-1; b++ {
					p, q, r, s := flat[i][a], flat[i][a+1], flat[j][b], flat[j][b+1]
					u, v, w := r3.Sub(q, p), r3.Sub(s, r), r3.Sub(r, p)
					det := u.X*v.Y - u.Y*v.X
					if det == 0 {
						continue
					}
					t, k := (w.X*v.Y-w.Y*v.X)/det, (w.X*u.Y-w.Y*u.X)/det
					if t < 0 || t >= 1 || k < 0 || k >= 1 {
						continue
					}
					c := crossing{i, j, float64(a) + t, float64(b) + k, 1}
					above := p.Z+t*u.Z > r.Z+k*v.Z
					if above == (det < 0) {
						c.sign = -1
					}
					if !above {
						c.over, c.under, c.overPlace, c.undPlace = j, i, c.undPlace, c.overPlace
					}
					found = append(found, c)
				}
			}
		}
	}
	return found
}

// linking is the Gauss linking number of two closed strands, by signed crossings.
func linking(a, b []r3.Vec) int {
	sum := 0
	for _, c := range crossings([][]r3.Vec{a, b}) {
		if c.over != c.under {
			sum += c.sign
		}
	}
	return sum / 2
}

// alexander is the modulus of the Alexander polynomial of a link of closed
// strands, from the Fox matrix of its diagram, each strand having its own
// variable on the unit circle: there the value is unique, as the polynomial is
// up to factors of modulus 1. For knots it is taken at variable. The method is in
// R. Crowell, R. Fox, Introduction to Knot Theory, 1963.
func alexander(strands [][]r3.Vec, variable func(strand int) complex128) float64 {
	all := crossings(strands)
	unders := make([][]float64, len(strands))
	for _, c := range all {
		unders[c.under] = append(unders[c.under], c.undPlace)
	}
	arcs := 0
	first := make([]int, len(strands))
	for i := range unders {
		slices.Sort(unders[i])
		first[i] = arcs
		arcs += max(1, len(unders[i]))
	}
	arc := func(strand int, place float64) int { // the one just after place
		n := len(unders[strand])
		if n == 0 {
			return first[strand]
		}
		k, exact := slices.BinarySearch(unders[strand], place)
		if exact {
			k++
		}
		return first[strand] + (k-1+n)%n
	}
	if len(strands) == 1 && len(all) < 3 {
		return 1
	}
	if arcs > len(all) {
		return 0 // a strand that lies over all others comes free
	}
	m := make([][]complex128, len(all))
	for row, c := range all {
		m[row] = make([]complex128, arcs)
		after := arc(c.under, c.undPlace)
		n := len(unders[c.under])
		before := first[c.under] + (after-first[c.under]-1+n)%n
		if c.sign < 0 {
			before, after = after, before
		}
		m[row][arc(c.over, c.overPlace)] += 1 - variable(c.under)
		m[row][before] += variable(c.over)
		m[row][after] -= 1
	}
	for row := range m {
		m[row] = m[row][1:] // an arc of the first strand
	}
	value := cmplx.Abs(eliminated(m[1:]))
	if len(strands) > 1 {
		value /= cmplx.Abs(variable(0) - 1)
	}
	return value
}

// eliminated is the determinant of a square matrix, which it spoils.
func eliminated(m [][]complex128) complex128 {
	det := complex(1, 0)
	for k := range m {
		pivot := k
		for i := k + 1; i < len(m); i++ {
			if cmplx.Abs(m[i][k]) > cmplx.Abs(m[pivot][k]) {
				pivot = i
			}
		}
		if cmplx.Abs(m[pivot][k]) < 1e-12 {
			return 0
		}
		if pivot != k {
			m[k], m[pivot] = m[pivot], m[k]
			det = -det
		}
		det *= m[k][k]
		for i := k + 1; i < len(m); i++ {
			f := m[i][k] / m[k][k]
			for j := k; j < len(m); j++ {
				m[i][j] -= f * m[k][j]
			}
		}
	}
	return det
}

// minusOne makes the Alexander polynomial of a knot its determinant: 1 for the
// unknot, 3 for the trefoil, 5 for the figure-eight (every table of knots, e.g.
// D. Rolfsen, Knots and Links, 1976, from memory).
func minusOne(int) complex128 { return -1 }

// apart gives every strand its own place on the unit circle.
func apart(strand int) complex128 { return cmplx.Rect(1, 1.1+0.7*float64(strand)) }

// closedUp returns a rope as closed strands. Open cords are led to far places
// and back there. Whatever runs along z, cords and cores, is led back to the top
// one place further to the left (the leftmost in front of all to the right), so
// that it makes one closed strand, a knot.
func closedUp(r *rope) [][]r3.Vec {
	var strands, through [][]r3.Vec
	for i, c := range r.cords {
		p := r.path(i)
		a, b := p[0], p[len(p)-1]
		const far = 60
		switch {
		case c.ending == chain:
			through = append(through, p)
			continue
		case c.ending == open && c.held == xAxis:
			p = append(p, r3.Vec{X: far, Y: b.Y}, r3.Vec{X: far, Y: far}, r3.Vec{X: -far, Y: far}, r3.Vec{X: -far, Y: a.Y}, a)
		case c.ending == open:
			p = append(p, r3.Vec{X: b.X, Y: b.Y - far}, r3.Vec{X: -far, Y: -far}, r3.Vec{X: -far, Y: far}, r3.Vec{X: a.X, Y: a.Y + far}, a)
		}
		strands = append(strands, p)
	}
	foot, height := -10.0, 10.0
	if r.periodic {
		foot, height = 0, r.repeat.pitch
	}
	for _, k := range r.cores {
		through = append(through, []r3.Vec{{X: k.x, Y: k.y, Z: foot}, {X: k.x, Y: k.y, Z: height}})
	}
	slices.SortStableFunc(through, func(a, b []r3.Vec) int { return cmp.Compare(b[0].X, a[0].X) })
	var knot []r3.Vec
	for rank, p := range through {
		next, front := (rank+1)%len(through), 0.0
		if next == 0 {
			front = 8
		}
		here, there, out := 15-10*float64(rank), 15-10*float64(next), 80+10*float64(next)
		top := through[next][0]
		knot = append(knot, p...)
		knot = append(knot,
			r3.Vec{X: here, Z: height + 20}, r3.Vec{X: here, Y: front, Z: height + 30},
			r3.Vec{X: there, Y: front, Z: height + 45}, r3.Vec{X: there, Z: height + 55},
			r3.Vec{X: there, Z: out}, r3.Vec{X: out, Z: out}, r3.Vec{X: out, Z: -out}, r3.Vec{X: there, Z: -out},
			r3.Vec{X: there, Z: foot - 20}, top)
	}
	if len(knot) > 0 {
		strands = append(strands, knot)
	}
	return strands
}

func TestKnotsSurviveTightening(t *testing.T) {
	if testing.Short() {
		t.Skip("many steps of one goroutine")
	}
	ring := curve(40, func(t float64) r3.Vec { return r3.Vec{X: 2 * math.Cos(t), Y: 2 * math.Sin(t)} })
	for _, c := range []struct {
		name     string
		rope     *rope
		variable func(int) complex128
		want     float64 // zero: whatever the start has
	}{
		{"round ring", &rope{cords: []cord{{points: ring}}}, minusOne, 1},
		{"Hopf link", hopfLink(), apart, 1},
		{"trefoil", trefoil(), minusOne, 3},
		{"figure-eight", figureEight(), minusOne, 5},
		{"overhand knot", overhand(1, 0, 0), minusOne, 3},
		{"double half hitch", doubleHalfHitch(rod(1)), apart, 0},
		{"square knot", atPitch(4, squareKnots(bundle(1, 0)))[0], minusOne, 0},
		{"square knot, two fillers", atPitch(3.4, squareKnots(bundle(2, 0)))[0], minusOne, 0},
		{"vertical lark's head", freePitch(seenFromBehind(verticalLarksHead(rod(1))))[0], minusOne, 0},
		{"half hitch", halfHitchUntwisted(), minusOne, 0},
		{"plait", atPitch(8, plait("three-strand plait"))[0], minusOne, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			before := alexander(closedUp(c.rope), c.variable)
			if c.want != 0 {
				require.InDelta(t, c.want, before, 1e-6)
			}
			require.True(t, math.Abs(before-1) > 0.3 || c.want != 0, "%v would not tell a knot from none", before)
			stages, err := tighten(context.Background(), c.rope, rough())
			require.NoError(t, err)
			for _, st := range stages {
				require.InDelta(t, before, alexander(closedUp(st.rope), c.variable), 1e-6*(1+before))
			}
			t.Log(before)
		})
	}
}

// halfHitchUntwisted keeps the hitches in one line, so that they can be closed up,
// and has the other hand, which closed up makes a knot.
func halfHitchUntwisted() *rope {
	r := halfHitches(1)
	r.repeat = repeat{pitch: high(drawn("half hitch", 0.5)[0]), twist: 2 * math.Pi}
	for i := range r.cords[0].points {
		r.cords[0].points[i].X *= -1
	}
	return r
}

// seenFromBehind turns a rope half a turn about z: it is closed up by what lies left
// and right, which must stay so while it turns a little.
func seenFromBehind(r *rope) *rope {
	for _, c := range r.cords {
		for i, p := range c.points {
			c.points[i] = r3.Vec{X: -p.X, Y: -p.Y, Z: p.Z}
		}
	}
	return r
}

func TestLinkingNumbersSurvive(t *testing.T) {
	for name, r := range map[string]*rope{
		"Hopf link": hopfLink(), "double half hitch": doubleHalfHitch(rod(2)),
	} {
		start := closedUp(r)
		before := linking(start[0], start[1])
		require.NotZero(t, before, name)
		stages, err := tighten(context.Background(), r, rough())
		require.NoError(t, err)
		end := closedUp(stages[len(stages)-1].rope)
		require.Equal(t, before, linking(end[0], end[1]), name)
	}
}

// TestNoStepPassesThrough takes the steps one by one and looks at all pairs of
// segments, not only at those the descent has listed.
func TestNoStepPassesThrough(t *testing.T) {
	if testing.Short() {
		t.Skip("many steps of one goroutine")
	}
	for name, r := range map[string]*rope{
		"trefoil": trefoil(), "square knot": squareKnots(bundle(2, 0)), "row": atPitch(2.4, rowOfHitches(0))[0], "half knots": halfKnots(2, 2),
	} {
		r = r.clone()
		r.resample(0.6)
		d := newDescent(newCost(r, 20))
		d.begin()
		previous := slices.Clone(d.at)
		for step := range 40 {
			if !d.step() {
				break
			}
			for i, p := range d.at {
				require.LessOrEqual(t, r3.Norm(r3.Sub(p, previous[i])), longestStep*1.0001, "%s, step %d", name, step)
			}
			copy(previous, d.at)
			for i, a := range d.segments {
				for j, b := range d.segments {
					for m := 0; m <= d.span; m++ {
						if m == 0 && j <= i || d.near[pair{i, j, m}] {
							continue
						}
						shift := m * d.points
						_, _, apart := closest(d.at[a.a], d.at[a.b], d.at[b.a+shift], d.at[b.b+shift])
						require.GreaterOrEqual(t, r3.Norm(apart), closestPass, "%s, step %d", name, step)
					}
				}
			}
		}
	}
	require.Less(t, 2*longestStep, closestPass, "two points of different strands must not be able to meet within a step")
}
