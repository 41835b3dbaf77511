package stock

import (
	"context"

	"larkfold/sizing/length"
)

// buyWork is how much work goes into how many spools to buy; the unit is about a
// nanosecond. It is counted, not timed, so that the answer is the same everywhere.
const buyWork = 20_000_000

// Spools is how many spools of one length the pieces are cut from, none of them joined,
// and whether that is proved the fewest. It is zero when a piece is longer than a spool
// or there is none. It is what [Solve] buys where no offcuts are at hand, but searched
// for with a small, fixed amount of work.
func Spools(pieces []Piece, spool length.Length) (n int, fewest bool) {
	p := Problem{Stock: []Stock{{Length: spool}}}
	for _, piece := range pieces {
		if piece.Length > spool {
			return 0, false
		}
		if piece.Length > 0 && piece.Count > 0 {
			p.Pieces = append(p.Pieces, piece)
		}
	}
	if len(p.Pieces) == 0 {
		return 0, false
	}
	in, _ := merge(p)
	in.bars[0].fixed = 1
	best := int64(0)
	var first *partial
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	if in.pieces() > mostOneByOne {
		best = in.inBulk()
	} else {
		first, _ = greedy(ctx, newPartial(in))
		best = in.total(first.uses)
	}
	content, capacity := int64(0), in.bars[0].capacity
	for i, size := range in.size {
		content += size * int64(in.demand[i])
	}
	if least := (content + capacity - 1) / capacity; best == least {
		return int(best), true
	}
	if in.pieces() > mostOneByOne {
		return int(best), false
	}
	uses, bound := minimise(ctx, in, first.uses, buyWork)
	return int(in.total(uses)), in.total(uses) == bound
}

// fitWork is how much work goes into whether pieces can be cut from what there is; it
// is counted, as buyWork is.
const fitWork = 5 * buyWork

// Fits tells whether all the pieces of a problem can be cut from its stock, as far as a
// fixed amount of work tells, whatever the clock says: true is proved by a plan, false
// says that none was found. Errors are those of [Solve], and the context's.
func Fits(ctx context.Context, p Problem) (bool, error) {
	if err := p.check(); err != nil {
		return false, err
	}
	in, _ := merge(p)
	if _, whole := greedy(ctx, newPartial(in)); whole {
		return true, nil
	}
	placed, _, _ := leastShort(ctx, in, fitWork)
	return placed.pieces() == in.pieces(), ctx.Err()
}

// mostOneByOne is how many pieces are placed one by one; more are placed in bulk.
const mostOneByOne = 2_000

// inBulk is how many bars of the first stock first fit decreasing takes, with the bars
// that are cut alike counted together: its work grows with the sizes, not the pieces.
func (in *instance) inBulk() int64 {
	type alike struct {
		room int64
		bars int
	}
	used, capacity := 0, in.bars[0].capacity
	var open []alike
	for i, size := range in.size {
		left := in.demand[i]
		var next []alike
		fill := func(a alike) {
			each := int(a.room / size)
			full := 0
			if each > 0 {
				full = min(a.bars, left/each)
			}
			if full > 0 {
				next = append(next, alike{a.room - int64(each)*size, full})
				left -= full * each
			}
			if rest := a.bars - full; rest > 0 && each > 0 && left > 0 {
				next = append(next, alike{a.room - int64(left)*size, 1})
				left, full = 0, full+1
			}
			if rest := a.bars - full; rest > 0 {
				next = append(next, alike{a.room, rest})
			}
		}
		for _, a := range open {
			fill(a)
		}
		if each := int(capacity / size); left > 0 && each > 0 {
			bars := (left + each - 1) / each
			used += bars
			fill(alike{capacity, bars})
		}
		open = next
	}
	return int64(used)
}
