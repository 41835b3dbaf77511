package stock

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"larkfold/sizing/length"

	"github.com/stretchr/testify/require"
)

// longBins follows the hard class of A. Scholl, R. Klein and C. Juergens, BISON,
// Computers and Operations Research 24 (1997) 627-645 (recipe from memory): 200
// pieces of 20,000 to 35,000, alike likely, in bins of 100,000, so that the table
// of a knapsack is large and every bin holds two to five.
func longBins(pieces int, seed uint64) Problem {
	r := rand.New(rand.NewPCG(seed, 100_000))
	counts := make(map[int]int)
	for range pieces {
		counts[20_000+r.IntN(15_001)]++
	}
	return oneStock(100_000, counted(counts)...)
}

// brimful is 200 to 280 pieces of 1 to 800, alike likely, in bins of 1000, the last
// made to leave at most five over in all, so that nearly every bin must be full.
// It is more of the same as the published class of J. E. Schoenfield, Fast, exact
// solution of open bin packing problems without linear programming (2002; recipe
// from memory), which has 160 to 200 pieces.
func brimful(seed uint64) Problem {
	r := rand.New(rand.NewPCG(seed, 1000))
	for {
		counts := make(map[int]int)
		sum := 0
		for range 200 + 40*(seed%3) - 1 {
			size := 1 + r.IntN(800)
			counts[size]++
			sum += size
		}
		if last := 1000 - (sum+int(seed%6))%1000; last <= 800 {
			counts[last]++
			return oneStock(1000, counted(counts)...)
		}
	}
}

// concave has spools of five lengths whose price grows as the square root of the
// length, in whole units of money: the longer, the cheaper the metre. 100 pieces,
// alike likely between 20 and the shortest spool.
func concave(seed uint64) Problem {
	r := rand.New(rand.NewPCG(seed, 5))
	counts := make(map[int]int)
	for range 100 {
		counts[20+r.IntN(40)]++
	}
	p := oneStock(60, counted(counts)...)
	p.Stock = nil
	for _, l := range []int{60, 80, 100, 120, 150} {
		p.Stock = append(p.Stock, Stock{
			Length: length.Length(l) * length.Millimetre,
			Price:  Price(100 * math.Round(10*math.Sqrt(float64(l)))),
		})
	}
	return p
}

// Before fills were priced exactly at the end, and the counts of spools settled,
// none of these was proved. They take a small part of the time given.
func TestSolveProvesHardFamilies(t *testing.T) {
	if testing.Short() {
		t.Skip("large problems, one after the other")
	}
	for name, p := range map[string]Problem{"long bins": longBins(80, 0), "spools of five prices": concave(0), "and again": concave(1), "and once more": concave(4)} {
		ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
		plan, err := Solve(ctx, p)
		cancel()
		require.NoError(t, err)
		requireSound(t, p, plan)
		require.Empty(t, plan.Unplaced)
		require.True(t, plan.Proved, name)
	}
}

func BenchmarkLongBins(b *testing.B) {
	benchmark(b, 5*time.Second, family(10, func(seed uint64) Problem { return longBins(200, seed) }))
}

func BenchmarkConcave(b *testing.B) {
	benchmark(b, 5*time.Second, family(10, concave))
}

func BenchmarkBrimful(b *testing.B) {
	benchmark(b, 5*time.Second, family(12, brimful))
}
