package cord

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/sizing/length"
)

// spiral returns the first k points of the triangular lattice in the order of a
// spiral round the first, the arrangement that Harborth (1974) shows to have the
// most contacts, in units of the lattice's two basis vectors.
func spiral(k int) [][2]int {
	at := [2]int{0, 0}
	out := [][2]int{at}
	directions := [][2]int{{-1, 1}, {-1, 0}, {0, -1}, {1, -1}, {1, 0}, {0, 1}}
	for ring := 1; len(out) < k; ring++ {
		at = [2]int{at[0], at[1] + 1} // one step along the ring's first side, touching two
		out = append(out, at)
		for side, dir := range directions {
			steps := ring
			if side == 0 {
				steps--
			}
			for range steps {
				at = [2]int{at[0] + dir[0], at[1] + dir[1]}
				out = append(out, at)
			}
		}
	}
	return out[:k]
}

func contacts(points [][2]int) int {
	n := 0
	for i, p := range points {
		for _, q := range points[:i] {
			x, y := p[0]-q[0], p[1]-q[1]
			if x*x+x*y+y*y == 1 {
				n++
			}
		}
	}
	return n
}

// Harborth's contact number is 3k - ceil(sqrt(12k-3)) = 3k - 3 - hull; count the
// contacts of the extremal spiral itself.
func TestHullAgreesWithContactsOfTheSpiral(t *testing.T) {
	for k := 2; k <= 200; k++ {
		require.Equal(t, contacts(spiral(k)), 3*k-3-Hull(k), "%d cores", k)
	}
}

func TestHull(t *testing.T) {
	for k, want := range map[int]int{-1: 0, 0: 0, 1: 0, 2: 2, 3: 3, 4: 4, 5: 5, 6: 6, 7: 6, 8: 7, 10: 8, 12: 9, 19: 12, 37: 18, 61: 24, 91: 30} {
		require.Equal(t, want, Hull(k), "%d cores", k)
	}
	// A hexagon of m rings has 3m(m+1)+1 circles and 6m sides.
	for m := range 500 {
		require.Equal(t, 6*m, Hull(3*m*(m+1)+1))
	}
	require.Positive(t, Hull(math.MaxInt))
}

func TestHullIsExactWhereSquareRootsAreWhole(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		k := rapid.IntRange(1, 1<<26).Draw(t, "k")
		h := Hull(k) + 3
		require.GreaterOrEqual(t, h*h, 12*k-3)
		require.Less(t, (h-1)*(h-1), 12*k-3)
	})
}

// Soft cores make a circle of their own area; between firm and soft lies the middle.
func TestSoftCores(t *testing.T) {
	const d = 4 * length.Millimetre
	for k := 1; k <= 60; k++ {
		round := 2 * math.Sqrt(float64(k)*math.Pi/4/math.Pi) // the circle's diameter
		require.InDelta(t, math.Pi+float64(Hull(k)), float64(Girth(k, 0)), 1e-9)
		require.InDelta(t, math.Pi*round, float64(Girth(k, 1)), 1e-9, "%d cores", k)
		require.InDelta(t, round, float64(BundleRatio(k, 1)), 1e-9)
		require.InDelta(t, float64(Girth(k, 0)+Girth(k, 1))/2, float64(Girth(k, 0.5)), 1e-9)
		if k > 1 {
			require.Less(t, Girth(k, 1), Girth(k, 0), "%d cores", k)
			require.Less(t, BundleDiameter(k, d, 1), BundleDiameter(k, d, 0), "%d cores", k)
		}
	}
	// The voids are worth 6 to 14 % of a close loop round 2 to 20 cores.
	for k := 2; k <= 20; k++ {
		require.InDelta(t, 0.10, 1-(math.Pi+float64(Girth(k, 1)))/(math.Pi+float64(Girth(k, 0))), 0.04, "%d cores", k)
	}
	require.Equal(t, []Ratio{1, 0.5, 0}, []Ratio{SingleStrand.Softness(), Plied.Softness(), Braided.Softness()})
}

func TestPackingAgreesWithThePublishedTable(t *testing.T) {
	file, err := os.Open("../../testdata/published/circle-packing.csv")
	require.NoError(t, err)
	defer file.Close()
	reader := csv.NewReader(file)
	reader.Comment = '#'
	rows, err := reader.ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 62)
	for _, row := range rows[1:] {
		n, err := strconv.Atoi(row[0])
		require.NoError(t, err)
		ratio, err := strconv.ParseFloat(row[1], 64)
		require.NoError(t, err)
		density, err := strconv.ParseFloat(row[2], 64)
		require.NoError(t, err)
		require.InDelta(t, ratio, float64(PackingRatio(n)), 1e-9, "%d circles", n)
		require.InDelta(t, density, float64(n)/math.Pow(float64(PackingRatio(n)), 2), 1e-9, "%d circles", n)
		require.InDelta(t, ratio*1e9, float64(BundleDiameter(n, length.Metre, 0)), 0.51, "%d ends of 1 m", n)
	}
}

// Closed forms of the proved packings (B. Pirl 1969 to n = 10, F. Fodor 1999 and
// 2003 for 19 and 13, from memory), by elementary geometry.
func TestPackingClosedForms(t *testing.T) {
	for n, want := range map[int]float64{
		2: 2, 3: 1 + 2/math.Sqrt(3), 4: 1 + math.Sqrt2, 5: 1 + math.Sqrt(2*(1+1/math.Sqrt(5))), 6: 3, 7: 3,
		8: 1 + 1/math.Sin(math.Pi/7), 9: 1 + math.Sqrt(4+2*math.Sqrt2), 13: 2 + math.Sqrt(5), 19: 1 + math.Sqrt2 + math.Sqrt(6),
	} {
		require.InDelta(t, want, float64(PackingRatio(n)), 1e-12, "%d circles", n)
	}
	require.InDelta(t, 7.0/9, 7/math.Pow(float64(PackingRatio(7)), 2), 1e-12)
}

func TestPackingNeverFallsAndNeverBeatsTheBounds(t *testing.T) {
	require.Zero(t, PackingRatio(0))
	require.Zero(t, BundleDiameter(-3, length.Metre, 0))
	for n := 1; n <= 2000; n++ {
		ratio := float64(PackingRatio(n))
		require.LessOrEqual(t, float64(n)/(ratio*ratio), math.Max(1/float64(n), math.Pi/math.Sqrt(12)), "%d circles are denser than any packing", n)
		require.GreaterOrEqual(t, ratio, leastRatio(n), "%d circles", n)
		next := float64(PackingRatio(n + 1))
		if n == 6 || n == 18 {
			require.Equal(t, ratio, next, "%d circles", n)
		} else {
			require.Greater(t, next, ratio, "%d circles", n)
		}
	}
}

// The bound is the circle at which Oler's inequality is an equation.
func TestLeastRatioSolvesTheInequality(t *testing.T) {
	for _, n := range []int{2, 7, 61, 500} {
		radius := (leastRatio(n) - 1) / 2 // of the circle through the outermost centres, in diameters
		area, way := math.Pi*radius*radius, 2*math.Pi*radius
		require.InEpsilon(t, float64(n), 2*area/math.Sqrt(3)+way/2+1, 1e-12, "%d circles", n)
	}
}

// hexagonal returns the ratios of packings that certainly exist: the n lattice
// points nearest to one of them.
func hexagonal() []float64 {
	var ratios []float64
	for x := -60; x <= 60; x++ {
		for y := -60; y <= 60; y++ {
			ratios = append(ratios, 1+2*math.Sqrt(float64(x*x+x*y+y*y)))
		}
	}
	slices.Sort(ratios)
	return ratios
}

func TestPackingEstimateBeyondTheTable(t *testing.T) {
	// 91 circles in curved hexagons, 10.5668, and 100 circles, 11.0821: E. Specht's
	// compilation, from memory.
	require.InEpsilon(t, 10.5668, float64(PackingRatio(91)), 0.01)
	require.InEpsilon(t, 11.0821, float64(PackingRatio(100)), 0.01)
	certain := hexagonal()
	for n := 62; n <= 2000; n++ {
		require.Less(t, float64(PackingRatio(n)), certain[n-1]*1.04, "%d circles", n)
	}
}

func BenchmarkHull(b *testing.B) {
	for b.Loop() {
		Hull(12)
	}
}
