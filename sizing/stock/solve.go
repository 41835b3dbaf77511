package stock

import (
	"context"

	"larkfold/sizing/length"
)

// Solve returns the best cutting plan it finds before the context ends, or
// proves; without a deadline it gives up on a proof after a fixed amount of
// work. Pieces that the stock cannot give are listed in [Plan.Unplaced]; an
// error means that the problem itself is wrong: nothing to cut, a length, count
// or price out of range, or a piece longer than every stock.
func Solve(ctx context.Context, p Problem) (Plan, error) {
	if err := p.check(); err != nil {
		return Plan{}, err
	}
	goal := p.goal()
	base, goods := merge(p)
	in, unit, err := priced(base, goods, p, goal)
	if err != nil {
		return Plan{}, err
	}
	b, whole := greedy(newBench(in))
	uses, bound := b.uses, int64(0)
	if whole {
		uses, bound = minimise(ctx, in, b.uses, 3000)
	}
	plan := p.plan(in, goods, uses, goal)
	plan.Bound.NewCord = length.Length(bound * unit)
	plan.Bound.Cost = Price(bound * unit / 1e9)
	plan.Proved = whole && bound == in.total(uses)
	return plan, nil
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
