package stock

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The search, the table and plain recursion agree on the worth of a knapsack.
func TestKnapsackBranchEqualsTableEqualsRecursion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "wares")
		size, most, worth := make([]int64, n), make([]int, n), make([]float64, n)
		for i := range n {
			size[i] = int64(rapid.IntRange(1, 30).Draw(t, "size"))
			most[i] = rapid.IntRange(0, 4).Draw(t, "most")
			worth[i] = float64(rapid.IntRange(-1, 40).Draw(t, "worth"))
		}
		capacity := int64(rapid.IntRange(0, 100).Draw(t, "capacity"))
		var recurse func(i int, room int64) float64
		recurse = func(i int, room int64) float64 {
			if i == n {
				return 0
			}
			best := math.Inf(-1)
			for c := 0; c <= most[i] && int64(c)*size[i] <= room; c++ {
				best = max(best, float64(c)*worth[i]+recurse(i+1, room-int64(c)*size[i]))
			}
			return best
		}
		want := recurse(0, capacity)

		var k knapsack
		k.set(size, most, func(i int) float64 { return worth[i] })
		got, _, done := k.branch(t.Context(), capacity, 0, math.MaxInt)
		require.True(t, done)
		require.InDelta(t, want, got, 1e-9)
		require.GreaterOrEqual(t, k.dantzig(capacity), want-1e-9)

		k.table.fill(k.wares, 100)
		counts := make([]int, len(k.wares))
		require.InDelta(t, want, k.table.read(k.wares, capacity, counts), 1e-9)
		sum, room := 0.0, capacity
		for j, w := range k.wares {
			require.LessOrEqual(t, counts[j], w.most)
			sum += float64(counts[j]) * w.value
			room -= int64(counts[j]) * w.size
		}
		require.InDelta(t, want, sum, 1e-9)
		require.GreaterOrEqual(t, room, int64(0))

		takes, atMost, exact := k.solve(t.Context(), capacity, want+1, capacity, longSteps)
		require.Nil(t, takes)
		require.True(t, exact)
		require.Equal(t, want+1, atMost)
	})
}

func TestLadder(t *testing.T) {
	in := &instance{bars: []bar{
		{fixed: 0, count: 9},
		{fixed: 6, count: 1},
		{fixed: 10, count: 9, unlimited: true},
	}}
	l := newLadder(in, 30)
	require.Equal(t, []int64{0, 6, 10, 16, 20, 26, 30}, l.rungs)
	require.Equal(t, []int64{0, 6, 16, 26, 31}, []int64{l.up(-1), l.up(5.5), l.up(10.001), l.up(26), l.up(30.5)})

	in.bars[1].rate = 1
	require.Empty(t, newLadder(in, 30).rungs)
}

// Three bars at 3 hold what five at 2 do, one of which is free; the counts are
// settled without the search over patterns, from the worst of solutions.
func TestByCounts(t *testing.T) {
	in := &instance{
		size: []int64{5}, demand: []int{8},
		bars: []bar{
			{capacity: 10, count: 1},
			{capacity: 10, fixed: 2, count: 8, unlimited: true},
			{capacity: 15, fixed: 3, count: 2},
		},
	}
	worst := []use{{pattern{bar: 1, takes: []take{{0, 1}}, content: 5}, 8}}
	uses, bound := byCounts(context.Background(), in, worst, countWork)
	require.Equal(t, int64(6), bound)
	require.Equal(t, int64(6), in.total(uses))
	uses, bound = byCounts(context.Background(), in, worst, 0)
	require.Equal(t, worst, uses)
	require.LessOrEqual(t, bound, int64(6))
}

// A partial that is cut and undone is as before.
func TestPartialUndo(t *testing.T) {
	p := paperMill()
	part := newPartial(instanceOf(t, p))
	before := part.clone()
	part.cut(largestFirst(part, 0), 3)
	require.NotEqual(t, before.demand, part.demand)
	part.undo()
	require.Equal(t, []any{before.demand, before.count, before.left}, []any{part.demand, part.count, part.left})
	require.Empty(t, part.uses)
}
