package stock

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// A countTree settles how many bars of each class are bought: it branches on the
// counts of the relaxation, at most so many or at least so many, the least bound
// first. Bars that must be bought are paid beforehand and free from then on.
type countTree struct {
	ctx     context.Context
	in      *instance
	paid    *instance // in with a free twin, at the end, for every class that costs something
	twin    []int     // by bar of in; -1 for a free one
	relaxer *relaxer
	ladder  ladder
	open    []countNode // by bound
	best    []use
	cost    int64 // of best
	stuck   int64 // least bound of the counts that were given up
	left    int   // work that is still allowed
}

// A countNode is the counts between two limits, by bar.
type countNode struct {
	low, high []int
	level     []float64 // of the relaxation
	bound     int64
}

// byCounts improves a solution of an instance in which no bar is paid by the
// metre, and returns it with a lower bound on the cost of any.
func byCounts(ctx context.Context, in *instance, uses []use, work int) ([]use, int64) {
	t := newCountTree(ctx, in, uses, work)
	t.relax(make([]int, len(in.bars)), newPartial(in).count, 0)
	for len(t.open) > 0 && t.open[0].bound < t.cost && t.left > 0 && ctx.Err() == nil {
		n := t.open[0]
		t.open = slices.Delete(t.open, 0, 1)
		t.branch(n)
	}
	bound := min(t.cost, t.stuck)
	if len(t.open) > 0 {
		bound = min(bound, t.open[0].bound)
	}
	return t.best, bound
}

func newCountTree(ctx context.Context, in *instance, uses []use, work int) *countTree {
	t := &countTree{ctx: ctx, in: in, best: uses, cost: in.total(uses), stuck: math.MaxInt64, left: work}
	paid := *in
	paid.bars = slices.Clone(in.bars)
	for k, b := range in.bars {
		if b.free() {
			t.twin = append(t.twin, -1)
			continue
		}
		t.twin = append(t.twin, len(paid.bars))
		paid.bars[k].unlimited = false
		paid.bars = append(paid.bars, bar{capacity: b.capacity, count: b.count})
	}
	t.paid = &paid
	t.relaxer = newRelaxer(t.paid, work)
	t.ladder = newLadder(in, t.cost)
	return t
}

// relax bounds what the counts between two limits cost, and keeps them if that
// may be better than the best.
func (t *countTree) relax(low, high []int, bound int64) {
	part := newPartial(t.paid)
	spent := int64(0)
	for k, twin := range t.twin {
		if twin >= 0 {
			part.count[k], part.count[twin] = high[k]-low[k], low[k]
			spent += int64(low[k]) * t.in.bars[k].fixed
		}
	}
	before := t.relaxer.work
	r := t.relaxer.relax(t.ctx, part, t.cost, func(bound float64) bool {
		return t.ladder.up(float64(spent)+bound) >= t.cost
	})
	t.left -= t.relaxer.work - before
	bound = max(bound, t.ladder.up(float64(spent)+r.bound))
	if bound >= t.cost {
		return
	}
	n := countNode{low: low, high: high, level: make([]float64, len(t.in.bars)), bound: bound}
	for k := range n.level {
		n.level[k] = float64(low[k])
	}
	for _, sh := range r.use {
		if sh.bar < len(n.level) {
			n.level[sh.bar] += sh.level
		}
	}
	at, _ := slices.BinarySearchFunc(t.open, n.bound, func(o countNode, bound int64) int { return cmp.Compare(o.bound, bound) })
	t.open = slices.Insert(t.open, at, n) // before its equals: deep first
}

// branch splits the counts where the relaxation is furthest from a whole number.
// Where all are whole it decides these counts, and goes on with all others.
func (t *countTree) branch(n countNode) {
	k, furthest := -1, 1e-6
	for j, level := range n.level {
		if off := math.Abs(level - math.Round(level)); t.twin[j] >= 0 && n.low[j] < n.high[j] && off > furthest {
			k, furthest = j, off
		}
	}
	if k >= 0 {
		at := int(math.Floor(n.level[k]))
		t.split(n, k, n.low[k], at)
		t.split(n, k, at+1, n.high[k])
		return
	}
	counts := make([]int, len(n.level))
	for k, level := range n.level {
		counts[k] = max(n.low[k], min(n.high[k], int(math.Round(level))))
	}
	t.decide(counts, n.bound)
	for k, twin := range t.twin {
		if twin < 0 || n.bound >= t.cost {
			continue
		}
		t.split(n, k, n.low[k], counts[k]-1)
		t.split(n, k, counts[k]+1, n.high[k])
		n.low, n.high = with(n.low, k, counts[k]), with(n.high, k, counts[k])
	}
}

// split relaxes the part of the counts that has the k-th between the limits.
func (t *countTree) split(n countNode, k, low, high int) {
	if low <= high {
		t.relax(with(n.low, k, low), with(n.high, k, high), n.bound)
	}
}

// with returns a copy of the counts with another k-th.
func with(counts []int, k, n int) []int {
	counts = slices.Clone(counts)
	counts[k] = n
	return counts
}

// decide looks for a way to cut everything from the free bars and these counts of
// the others, which may cost as little as the bound.
func (t *countTree) decide(counts []int, bound int64) {
	t.left -= decideWork
	found, none := below(t.ctx, bought(t.in, counts), 1, decideWork)
	switch {
	case found != nil && t.in.total(found) < t.cost:
		t.best, t.cost = found, t.in.total(found)
	case found == nil && !none:
		t.stuck = min(t.stuck, bound)
	}
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
