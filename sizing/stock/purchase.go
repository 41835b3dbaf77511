package stock

import (
	"context"
	"slices"
)

// byPurchase goes up the ladder of costs from a bound to a solution. For every
// choice of bars that costs as much as a rung it asks whether all pieces fit in
// the free bars and these; if in none, the bound rises to the next rung.
func byPurchase(ctx context.Context, in *instance, uses []use, bound int64) ([]use, int64) {
	cost := in.total(uses)
	rungs := newLadder(in, cost).rungs
	if len(rungs) == 0 {
		return uses, bound
	}
	at, _ := slices.BinarySearch(rungs, bound)
	for ; at < len(rungs) && rungs[at] < cost; at++ {
		choices, all := purchases(in, rungs[at])
		for _, counts := range choices {
			found, none := below(ctx, bought(in, counts), 1, purchaseWork)
			if found != nil {
				return found, rungs[at]
			}
			all = all && none
		}
		if !all {
			return uses, rungs[at]
		}
	}
	return uses, cost
}

// maxPurchases is how many choices of bars at one cost are looked into.
const maxPurchases = 100

// purchases lists the ways to spend a sum on bars, as counts by bar, and reports
// whether it lists them all. It leaves out those too short for the content.
func purchases(in *instance, sum int64) ([][]int, bool) {
	content, all := int64(0), true
	for i, d := range in.demand {
		content += int64(d) * in.size[i]
	}
	for _, b := range in.bars {
		if b.free() {
			content -= int64(b.count) * b.capacity
		}
	}
	var list [][]int
	counts := make([]int, len(in.bars))
	steps := 100 * maxPurchases
	var walk func(k int, sum, content int64)
	walk = func(k int, sum, content int64) {
		if steps--; steps < 0 || len(list) == maxPurchases {
			all = false
			return
		}
		if sum == 0 {
			if content <= 0 {
				list = append(list, slices.Clone(counts))
			}
			return
		}
		if k == len(counts) {
			return
		}
		b := in.bars[k]
		if b.free() {
			walk(k+1, sum, content)
			return
		}
		for n := 0; n <= b.count && int64(n)*b.fixed <= sum; n++ {
			counts[k] = n
			walk(k+1, sum-int64(n)*b.fixed, content-int64(n)*b.capacity)
		}
		counts[k] = 0
	}
	walk(0, sum, content)
	return list, all
}

// bought returns the instance with these bars bought: they and the free bars
// cost nothing, there are no others, and a piece that fits in none costs its size.
func bought(in *instance, counts []int) *instance {
	out := *in
	out.bars = slices.Clone(in.bars)
	for k := range out.bars {
		b := &out.bars[k]
		if !b.free() {
			b.count, b.unlimited, b.fixed = counts[k], false, 0
		}
	}
	out.bars = append(out.bars, bar{capacity: in.size[0], count: in.pieces(), unlimited: true, rate: 1})
	return &out
}
