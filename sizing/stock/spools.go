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
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	first, _ := greedy(ctx, newPartial(in))
	best := in.total(first.uses)
	content, capacity := int64(0), in.bars[0].capacity
	for i, size := range in.size {
		content += size * int64(in.demand[i])
	}
	if least := (content + capacity - 1) / capacity; best == least {
		return int(best), true
	}
	if in.pieces() > MaxPieces {
		return int(best), false
	}
	uses, bound := minimise(ctx, in, first.uses, buyWork)
	return int(in.total(uses)), in.total(uses) == bound
}
