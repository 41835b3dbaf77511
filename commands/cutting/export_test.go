package cutting

import (
	"context"

	"larkfold/commands/ask"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/length"
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

// Words are what a supply is called.
func (s *Supply) Words() string { return s.words }

// Need is how much of the cords that there are a list takes, in so many pieces.
func (s *Supply) Need(list cutlist.List) (length.Length, int) { return s.need(list), s.pieces(list) }

// Has is how much cord there is.
func (s *Supply) Has() length.Length { return s.has() }

// Reaches tells whether a list can be cut from what there is.
func (s *Supply) Reaches(ctx context.Context, list cutlist.List) (bool, error) {
	return s.reaches(ctx, list)
}
