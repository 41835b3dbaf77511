package tight

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"
)

// The starting shapes are loose: waypoints set out about a diameter and a half
// apart, over and under as the maker lays the cord. z runs along the fillers,
// the carrier or the rod; x is to the right, y towards the maker for sinnets.

// rod is one round core that stays where it is.
func rod(diameter float64) (cores []core, radius float64) {
	return []core{{diameter: diameter, fixed: true}}, diameter / 2
}

// bundle places k cores of diameter 1 loosely on the sites of a triangular
// lattice nearest to a middle, turned by some degrees, and returns the radius
// that clears them.
func bundle(k int, degrees float64) (cores []core, radius float64) {
	const loose = 1.06
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	for _, s := range nearestSites(k) {
		cores = append(cores, core{x: loose * (cos*s.X - sin*s.Y), y: loose * (sin*s.X + cos*s.Y), diameter: 1})
		radius = max(radius, loose*r3.Norm(s)+0.5)
	}
	return cores, radius
}

// ringed places k cores loosely in a ring, one of them in the middle from six on.
func ringed(k int) (cores []core, radius float64) {
	around := k
	if k >= 6 {
		cores = append(cores, core{diameter: 1})
		around--
	}
	r := max(0.53/math.Sin(math.Pi/float64(around)), 1.06*float64(len(cores)))
	for i := range around {
		sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.25) / float64(around))
		cores = append(cores, core{x: r * cos, y: r * sin, diameter: 1})
	}
	return cores, r + 0.5
}

// each builds a rope round k cores from every arrangement worth trying: the
// bundle turned by steps of some degrees, and the ring.
func each(k int, degrees float64, build func(cores []core, radius float64) *rope) []*rope {
	if k == 1 {
		return []*rope{build(rod(1))}
	}
	var ropes []*rope
	for turned := 0.0; turned < 360; turned += degrees {
		ropes = append(ropes, build(bundle(k, turned)))
	}
	if k > 3 {
		ropes = append(ropes, build(ringed(k)))
	}
	return ropes
}

// nearestSites are the k lattice sites of least moment about their own middle,
// found by trying the middles of sites, edges and triangles.
func nearestSites(k int) []r3.Vec {
	middles := []r3.Vec{{}, {X: 0.5}, {X: 0.5, Y: math.Sqrt(3) / 6}}
	var best []r3.Vec
	least := math.Inf(1)
	for _, middle := range middles {
		var all []r3.Vec
		for i := -5; i <= 5; i++ {
			for j := -5; j <= 5; j++ {
				site := r3.Vec{X: float64(i) + float64(j)/2, Y: float64(j) * math.Sqrt(3) / 2}
				all = append(all, r3.Sub(site, middle))
			}
		}
		sortByNorm(all)
		moment := 0.0
		for _, s := range all[:k] {
			moment += r3.Norm2(s)
		}
		if moment < least-1e-9 {
			least, best = moment, all[:k]
		}
	}
	return best
}

func sortByNorm(p []r3.Vec) {
	slices.SortStableFunc(p, func(a, b r3.Vec) int {
		if d := r3.Norm2(a) - r3.Norm2(b); math.Abs(d) > 1e-9 {
			return cmp.Compare(d, 0)
		}
		return 0
	})
}
