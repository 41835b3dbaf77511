package stock

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"larkfold/sizing/length"

	"github.com/stretchr/testify/require"
)

// oneStock makes a problem of whole millimetres with one unlimited stock.
func oneStock(stock int, pieces ...[2]int) Problem {
	p := Problem{Stock: []Stock{{Length: length.Length(stock) * length.Millimetre}}}
	for _, w := range pieces {
		p.Pieces = append(p.Pieces, Piece{Length: length.Length(w[0]) * length.Millimetre, Count: w[1]})
	}
	return p
}

// The worked example of the encyclopaedia article "Cutting stock problem"
// (a paper mill, parent rolls of 5600 mm), used in many solvers' manuals:
// 73 rolls, linear programming bound 72.9167.
func paperMill() Problem {
	return oneStock(5600, [2]int{1380, 22}, [2]int{1520, 25}, [2]int{1560, 12}, [2]int{1710, 14}, [2]int{1820, 18},
		[2]int{1880, 18}, [2]int{1930, 20}, [2]int{2000, 10}, [2]int{2050, 12}, [2]int{2100, 14}, [2]int{2140, 16},
		[2]int{2150, 18}, [2]int{2200, 20})
}

// V. Chvatal, Linear Programming (1983), chapter 13 (book from memory), as in the
// GAMS model library, model "cutstock": 453 rolls, bound 452.25.
func chvatal() Problem {
	return oneStock(100, [2]int{45, 97}, [2]int{36, 610}, [2]int{31, 395}, [2]int{14, 211})
}

// P. C. Gilmore and R. E. Gomory, A linear programming approach to the
// cutting-stock problem, Operations Research 9 (1961) 849-859 (data from memory,
// value recomputed): three stock lengths at three prices, least cost 170.
func gilmoreGomory() Problem {
	foot := length.Foot
	return Problem{
		Pieces: []Piece{{Length: 2 * foot, Count: 20}, {Length: 3 * foot, Count: 10}, {Length: 4 * foot, Count: 20}},
		Stock: []Stock{
			{Length: 5 * foot, Price: 600}, {Length: 6 * foot, Price: 700}, {Length: 9 * foot, Price: 1000},
		},
	}
}

func TestSolvePublished(t *testing.T) {
	for _, test := range []struct {
		name    string
		problem Problem
		strips  int
		cost    Price
	}{
		{"paper mill", paperMill(), 73, 0},
		{"Chvatal", chvatal(), 453, 0},
		{"Gilmore and Gomory", gilmoreGomory(), 0, 17000},
	} {
		t.Run(test.name, func(t *testing.T) {
			plan, err := Solve(patient(t), test.problem)
			require.NoError(t, err)
			requireSound(t, test.problem, plan)
			require.Empty(t, plan.Unplaced)
			require.True(t, plan.Proved)
			if test.cost > 0 {
				require.Equal(t, test.cost, plan.Cost)
				require.Equal(t, test.cost, plan.Bound.Cost)
				return
			}
			require.Equal(t, test.strips, plan.Strips)
			require.Equal(t, plan.NewCord, plan.Bound.NewCord)
		})
	}
}

// uniform and triplets follow the recipes of E. Falkenauer, A hybrid grouping
// genetic algorithm for bin packing, Journal of Heuristics 2 (1996) 5-30.
// Uniform: sizes 20 to 100 alike likely, bins of 150.
func uniform(n int, seed uint64) Problem {
	r := rand.New(rand.NewPCG(seed, uint64(n)))
	counts := make(map[int]int)
	for range n {
		counts[20+r.IntN(81)]++
	}
	return oneStock(150, counted(counts)...)
}

// Triplets: bins of 1000 that are full with three pieces each and no others, so
// the best is n/3 by construction.
func triplets(n int, seed uint64) Problem {
	r := rand.New(rand.NewPCG(seed, uint64(n)))
	counts := make(map[int]int)
	for range n / 3 {
		first := 380 + r.IntN(111)                 // 380 to 490
		second := 250 + r.IntN((1000-first)/2-250) // 250 to half of what is left
		counts[first]++
		counts[second]++
		counts[1000-first-second]++
	}
	return oneStock(1000, counted(counts)...)
}

func counted(counts map[int]int) [][2]int {
	var list [][2]int
	for size, n := range counts {
		list = append(list, [2]int{size, n})
	}
	slices.SortFunc(list, func(a, b [2]int) int { return b[0] - a[0] })
	return list
}

// patient is a context for a proof that must not hang on how busy the machine is.
func patient(t *testing.T) context.Context {
	ctx, cancel := context.WithTimeout(t.Context(), 5*time.Minute)
	t.Cleanup(cancel)
	return ctx
}

// All are proved; the least of the triplets is known by construction.
func TestSolveGeneratedClasses(t *testing.T) {
	if testing.Short() {
		t.Skip("large problems, one after the other")
	}
	for seed := range uint64(10) {
		for _, n := range []int{60, 120, 250} {
			p := uniform(n, seed)
			plan, err := Solve(patient(t), p)
			require.NoError(t, err)
			requireSound(t, p, plan)
			require.True(t, plan.Proved, "uniform %d, seed %d", n, seed)
			require.Equal(t, plan.Bound.NewCord, plan.NewCord)
		}
		for _, n := range []int{60, 120} {
			p := triplets(n, seed)
			plan, err := Solve(patient(t), p)
			require.NoError(t, err)
			requireSound(t, p, plan)
			require.True(t, plan.Proved, "triplets %d, seed %d", n, seed)
			require.Equal(t, n/3, plan.Strips)
		}
	}
}

// Chat-sized problems with 40 offcuts and spools of 5 m and 8 m, against the
// integer program over every pattern as solved by GLPK's glpsol 5.0 (computed,
// not published): the length of the spools in metres, and their price when a
// spool costs 12.90 or 21.90.
func TestSolveEqualsIntegerProgram(t *testing.T) {
	for seed, want := range map[uint64]int{0: 56, 2: 24, 4: 56, 6: 40, 10: 28, 12: 32} {
		p := hanging(seed, 5*length.Metre, 8*length.Metre, 0, 0)
		plan, err := Solve(patient(t), p)
		require.NoError(t, err)
		requireSound(t, p, plan)
		require.True(t, plan.Proved, "seed %d", seed)
		require.Equal(t, length.Length(want)*length.Metre, plan.NewCord, "seed %d", seed)
	}
	for seed, want := range map[uint64]Price{1: 8640, 3: 13920, 5: 11340, 7: 17010, 9: 17400, 11: 16890, 13: 8640} {
		p := hanging(seed, 5*length.Metre, 8*length.Metre, 1290, 2190)
		plan, err := Solve(patient(t), p)
		require.NoError(t, err)
		requireSound(t, p, plan)
		require.True(t, plan.Proved, "seed %d", seed)
		require.Equal(t, want, plan.Cost, "seed %d", seed)
	}
}
