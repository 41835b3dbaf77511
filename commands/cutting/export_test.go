package cutting

import (
	"context"

	"larkfold/commands/ask"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing/stock"
	"larkfold/store"
)

// Of is what is cut from one cord, for the test beside it.
func Of(words ask.CordWords, pieces []stock.Piece, spools []stock.Stock) Wanted {
	return Wanted{words: words, pieces: pieces, spools: spools}
}

// Adds are the rests of a plan.
func (p Planned) Adds() []store.Leftover { return p.adds }

// Take books a plan that was made of so old a shelf.
func (p Planned) Take(ctx context.Context, sit sitting.Sitting, req reply.Request, revision uint64) (reply.Reply, error) {
	return takeCuts(ctx, sit, req, taking{Why: "test", Revision: revision, Take: p.Takes, Add: p.adds})
}
