package stock

import (
	"context"
	"math"
	"math/bits"
	"slices"
	"time"

	"larkfold/sizing/length"
)

// Solve returns the best cutting plan it finds before the context ends, or
// proves. Without a deadline it gives up on a proof after a fixed amount of work,
// or after [Patience] where that comes first. Pieces that the stock cannot give are listed in [Plan.Unplaced]; an
// error means that the problem itself is wrong: nothing to cut, a length, count
// or price out of range, or a piece longer than every stock.
func Solve(ctx context.Context, p Problem) (Plan, error) {
	if err := p.check(); err != nil {
		return Plan{}, err
	}
	goal := p.goal()
	merged, goods := merge(p)
	in, unit, err := priced(merged, goods, p, goal)
	if err != nil {
		return Plan{}, err
	}
	ctx, work, cancel := limited(ctx)
	defer cancel()
	first, whole := greedy(ctx, newPartial(in))
	short := int64(0)
	if !whole {
		half, cancelHalf := part(ctx, 0.5)
		defer cancelHalf()
		in, first, short = leastShort(half, in, work)
	}
	uses, bound := leastCost(ctx, in, first.uses, work)
	uses = leastTaken(ctx, in, uses)
	uses = polish(ctx, in, p.lengths(goods), p.Kerf, p.Keep, uses)

	plan := p.plan(in, goods, uses, goal)
	plan.Bound.Short = length.Length(short) * in.unit
	if goal == LeastCost {
		plan.Bound.Cost = hundredths(bound, unit)
	} else {
		plan.Bound.NewCord = length.Length(bound * unit)
	}
	plan.Proved = plan.Short == plan.Bound.Short && in.total(uses) == bound
	return plan, nil
}

// Patience is how long [Solve] searches at most without a deadline of the caller's.
const Patience = 5 * time.Second

// limited returns the context with a deadline, and how much work a proof may take.
func limited(ctx context.Context) (context.Context, int, context.CancelFunc) {
	if _, ok := ctx.Deadline(); ok {
		return ctx, math.MaxInt, func() {}
	}
	ctx, cancel := context.WithTimeout(ctx, Patience)
	return ctx, proofWork, cancel
}

// How much work goes into each part; the unit is about a nanosecond.
const (
	proofWork   = 2_000_000_000 // when the caller sets no deadline
	firstWork   = 3_000_000     // before the counts of bars are settled
	countWork   = 1_000_000_000 // to settle them
	decideWork  = 50_000_000    // to see whether the pieces fit in bars of these counts
	takenWork   = 5_000_000     // to take less from opened spools, and as much again for
	takenPieces = 10_000        // so many pieces times lengths
	polishTime  = 50 * time.Millisecond
)

// leastShort settles which pieces are left out when no quick solution places all:
// those that cost the least length, a kerf counted with each. Pieces that fit in
// stock without limit are never short. It returns the instance of the pieces that
// are placed, a solution of it, and a lower bound on what any plan leaves out.
func leastShort(ctx context.Context, in *instance, work int) (*instance, *partial, int64) {
	long := instance{size: in.size, demand: slices.Clone(in.demand), bars: slices.Clone(in.bars), unit: in.unit}
	missing := bar{capacity: in.size[0], count: in.pieces(), unlimited: true, rate: 1}
	for k := range long.bars {
		b := &long.bars[k]
		b.fixed, b.rate = 0, 0
		if !b.unlimited {
			continue
		}
		b.count, b.unlimited = 0, false
		for i, w := range in.size {
			if w <= b.capacity {
				long.demand[i] = 0
			}
		}
	}
	long.bars = append(long.bars, missing)

	first, _ := greedy(ctx, newPartial(&long))
	uses, bound := minimise(ctx, &long, first.uses, work)

	placed := *in
	placed.demand = slices.Clone(in.demand)
	settled := newPartial(&placed)
	for _, u := range uses {
		if u.bar < len(in.bars) {
			settled.cut(u.pattern, u.times)
			continue
		}
		for _, t := range u.takes {
			placed.demand[t.item] -= t.n * u.times
			settled.demand[t.item] -= t.n * u.times
			settled.left -= t.n * u.times
		}
	}
	best, _ := greedy(ctx, settled) // what is left fits in stock without limit
	if again, whole := greedy(ctx, newPartial(&placed)); whole && again.better(best, true) {
		best = again
	}
	return &placed, best, bound
}

// leastCost improves a solution until nothing is cheaper, and returns it with a
// lower bound on the cost of any. When there is a choice of what to buy it
// settles how many of each before it searches at length.
func leastCost(ctx context.Context, in *instance, uses []use, work int) ([]use, int64) {
	ctx, cancel := allBut(ctx, lastAims(in))
	defer cancel()
	bound := int64(0)
	if in.choice() {
		first, cancelFirst := part(ctx, 0.5)
		defer cancelFirst()
		uses, bound = minimise(first, in, uses, firstWork)
		if bound < in.total(uses) && in.wholeOnly() {
			again, better := byCounts(first, in, uses, countWork)
			uses, bound = again, max(bound, better)
		}
	}
	if bound < in.total(uses) {
		again, better := minimise(ctx, in, uses, work)
		uses, bound = again, max(bound, better)
	}
	return uses, bound
}

// choice tells whether there is more than one class of bars to buy.
func (in *instance) choice() bool {
	classes := 0
	for _, b := range in.bars {
		if !b.free() {
			classes++
		}
	}
	return classes > 1
}

// wholeOnly tells whether every bar is paid whole or free.
func (in *instance) wholeOnly() bool {
	return !slices.ContainsFunc(in.bars, func(b bar) bool { return b.rate > 0 })
}

// leastTaken moves pieces from the spools that a solution opens into offcuts as
// far as it can, so that the least cord is taken off the spools.
func leastTaken(ctx context.Context, in *instance, uses []use) []use {
	opened := *in
	opened.bars = slices.Clone(in.bars)
	free, costly := false, false
	for k := range opened.bars {
		b := &opened.bars[k]
		if b.rate > 0 {
			return uses // what is taken is part of the cost already
		}
		if b.free() {
			free = true
			continue
		}
		b.fixed, b.rate, b.count, b.unlimited = 0, 1, 0, false
	}
	for _, u := range uses {
		if b := &opened.bars[u.bar]; b.rate > 0 {
			b.count += u.times
			costly = true
		}
	}
	if !free || !costly {
		return uses
	}
	ctx, cancel := part(ctx, 0.8)
	defer cancel()
	least, _ := minimise(ctx, &opened, uses, takenLimit(in))
	return least
}

// part returns a context that ends after a share of the time that is left.
func part(ctx context.Context, share float64) (context.Context, context.CancelFunc) {
	deadline, _ := ctx.Deadline()
	return context.WithTimeout(ctx, time.Duration(share*float64(time.Until(deadline))))
}

// allBut returns a context that leaves so much of the time, but no more than a fifth.
func allBut(ctx context.Context, rest time.Duration) (context.Context, context.CancelFunc) {
	deadline, _ := ctx.Deadline()
	left := time.Until(deadline)
	return context.WithTimeout(ctx, left-min(rest, left/5))
}

// lastAims is how long the aims after the cost may take.
func lastAims(in *instance) time.Duration {
	return time.Duration(takenLimit(in))*time.Nanosecond + polishTime
}

// takenLimit is how much work may go into taking less from opened spools.
func takenLimit(in *instance) int {
	return takenWork + takenWork/takenPieces*in.pieces()*len(in.size)
}

// goal is LeastCost when every spool has a price.
func (p Problem) goal() Goal {
	spools := false
	for _, s := range p.Stock {
		if s.Offcut {
			continue
		}
		if s.Price == 0 && s.PerMetre == 0 {
			return LeastNewCord
		}
		spools = true
	}
	if spools {
		return LeastCost
	}
	return LeastNewCord
}

// lengths returns the length of each bar of the instance.
func (p Problem) lengths(g goods) []length.Length {
	lengths := make([]length.Length, len(g.stock))
	for k, lines := range g.stock {
		lengths[k] = p.Stock[lines[0]].Length
	}
	return lengths
}

// hundredths returns units of cost in hundredths of money, rounded up.
func hundredths(cost, unit int64) Price {
	hi, lo := bits.Mul64(uint64(cost), uint64(unit))
	lo, carry := bits.Add64(lo, uint64(length.Metre-1), 0)
	q, _ := bits.Div64(hi+carry, lo, uint64(length.Metre))
	return Price(q)
}
