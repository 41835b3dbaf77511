package stock

import (
	"cmp"
	"context"
	"slices"
)

// A search looks for the cheapest way to cut everything in an instance, between
// the cost it has to beat and a lower bound that it computes.
type search struct {
	ctx     context.Context
	in      *instance
	relaxer *relaxer
	ladder  ladder
	quick   func(ctx context.Context, part *partial) (*partial, bool) // completes what was cut without searching
	best    []use                                                     // cheaper than what was asked for; nil until one is found
	cost    int64                                                     // of best, or what a solution has to be cheaper than
	bound   int64                                                     // nothing costs less
	work    int                                                       // allowed, about in nanoseconds
}

// minimise looks for a solution of the whole instance cheaper than the one it is
// given, until none can be, the work allowed is done or the context ends. It
// returns the best solution and a lower bound on the cost of any.
func minimise(ctx context.Context, in *instance, first []use, work int) ([]use, int64) {
	s := newSearch(ctx, in, in.total(first), work)
	s.best = first
	for _, u := range first {
		s.relaxer.pool.add(u.pattern)
	}
	s.run()
	return s.best, s.bound
}

// below looks for a solution that costs less than cost. It returns none when it
// finds none, and whether there is none.
func below(ctx context.Context, in *instance, cost int64, work int) (uses []use, none bool) {
	s := newSearch(ctx, in, cost, work)
	s.run()
	return s.best, s.bound >= cost
}

func newSearch(ctx context.Context, in *instance, cost int64, work int) *search {
	return &search{ctx: ctx, in: in, relaxer: newRelaxer(in, work), ladder: newLadder(in, cost), quick: greedy, cost: cost, work: work}
}

func (s *search) run() {
	s.bound = s.ladder.up(continuous(s.in))
	if s.done() || len(s.in.size) > maxItems {
		return
	}
	root := newPartial(s.in)
	r := s.relax(root, 0)
	s.bound = max(s.bound, s.ladder.up(r.bound))
	if !s.done() {
		s.dive(root.clone(), r)
	}
	if !s.done() && s.branch(root, 0, nil, -1) {
		s.bound = s.cost
	}
}

// maxItems is how many lengths a linear program is set up for: its inverse takes
// 12 MB then.
const maxItems = 1200

func (s *search) done() bool {
	return s.cost <= s.bound || s.relaxer.work >= s.work || s.ctx.Err() != nil
}

// relax bounds what is left to cut after spending so much, and stops as
// soon as it is plain that the best solution cannot be beaten this way.
func (s *search) relax(part *partial, spent int64) relaxation {
	return s.relaxer.relax(s.ctx, part, s.cost, func(bound float64) bool {
		return s.ladder.up(float64(spent)+bound) >= s.cost
	})
}

// offer takes a complete solution if it is cheaper than the best.
func (s *search) offer(part *partial) {
	if cost := s.in.total(part.uses); part.left == 0 && cost < s.cost {
		s.best, s.cost = slices.Clone(part.uses), cost
	}
}

// finish completes a copy of what was cut by the quick rules.
func (s *search) finish(part *partial) {
	s.relaxer.work += 500 * part.left * (1 + len(s.in.bars)/10)
	if g, whole := s.quick(s.ctx, part); whole {
		s.offer(g)
	}
}

// dive rounds the relaxation to a solution: it cuts the whole part of every
// level, or one bar by the pattern of the highest level, relaxes what is left,
// and so on; at each step the quick rules finish it too.
func (s *search) dive(part *partial, r relaxation) {
	for part.left > 0 && !s.done() {
		spent := s.in.total(part.uses)
		if s.ladder.up(float64(spent)+r.bound) >= s.cost {
			return
		}
		s.finish(part)
		if !s.round(part, r.use) {
			return
		}
		r = s.relax(part, s.in.total(part.uses))
	}
	s.offer(part)
}

// round cuts the whole parts of the levels, or else the highest level once.
func (s *search) round(part *partial, shares []activity) bool {
	slices.SortStableFunc(shares, func(x, y activity) int {
		return cmp.Or(cmp.Compare(y.level, x.level), comparePatterns(x.pattern, y.pattern))
	})
	cut := false
	for _, sh := range shares {
		if times := min(int(sh.level+1e-6), part.room(sh.pattern)); times > 0 {
			part.cut(sh.pattern, times)
			cut = true
		}
	}
	for _, sh := range shares {
		if cut {
			break
		}
		if part.room(sh.pattern) > 0 {
			part.cut(sh.pattern, 1)
			cut = true
		}
	}
	return cut
}

// branch searches every way to cut the largest piece that is left, and reports
// whether it saw them all. Patterns already tried for an equal piece, higher up,
// are passed over: bars may be cut in any order.
func (s *search) branch(part *partial, spent int64, tried []pattern, lead int) bool {
	if part.left == 0 {
		s.offer(part)
		return true
	}
	first := 0
	for part.demand[first] == 0 {
		first++
	}
	if first != lead {
		tried = nil
	}
	r := s.relax(part, spent)
	if s.ladder.up(float64(spent)+r.bound) >= s.cost {
		return true
	}
	if s.done() || len(part.uses) >= maxDepth {
		return false
	}
	s.finish(part)
	children, all := s.children(part, r, first, spent)
	tried = slices.Clip(tried)
	for _, c := range children {
		if s.ladder.up(float64(spent)+r.bound+c.reduced) >= s.cost {
			continue
		}
		if s.done() {
			return false
		}
		if slices.ContainsFunc(tried, func(p pattern) bool { return comparePatterns(p, c.pattern) == 0 }) {
			continue
		}
		part.cut(c.pattern, 1)
		if !s.branch(part, spent+s.in.cost(c.pattern), tried, first) {
			all = false
		}
		part.undo()
		tried = append(tried, c.pattern)
	}
	return all
}

// A child is one way to cut the bar that holds the largest piece left.
type child struct {
	pattern
	level   float64 // in the relaxation
	reduced float64 // what it adds to the bound at least
}

// How many ways to cut one bar a node keeps, and how many bars deep the search
// goes; together they bound its memory.
const (
	maxChildren = 1000
	maxDepth    = 300
)

// children lists the patterns with the lead item that may lead to a better
// solution, those of the relaxation first, and reports whether it lists them all.
func (s *search) children(part *partial, r relaxation, lead int, spent int64) ([]child, bool) {
	const steps = 200_000
	e := enumeration{in: s.in, part: part, r: r, steps: steps}
	e.enough = func(reduced float64) bool {
		return s.ladder.up(float64(spent)+r.bound+reduced-slack*(1+reduced)) >= s.cost
	}
	for k := range s.in.bars {
		if part.count[k] > 0 && s.in.bars[k].capacity >= s.in.size[lead] {
			e.bar(k, lead)
		}
	}
	s.relaxer.work += 20 * (steps - e.steps)
	levels := make(map[string]float64, len(r.use))
	for _, sh := range r.use {
		levels[sh.key()] = sh.level
	}
	for n := range e.list {
		e.list[n].level = levels[e.list[n].key()]
	}
	slices.SortStableFunc(e.list, func(x, y child) int {
		return cmp.Or(cmp.Compare(y.level, x.level), cmp.Compare(x.reduced, y.reduced), comparePatterns(x.pattern, y.pattern))
	})
	return e.list, e.steps > 0 && len(e.list) < maxChildren
}
