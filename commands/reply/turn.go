package reply

import "context"

// Work is something that takes long, weighed before it begins.
type Work struct {
	Amount float64 // how much of it, in one unit for all that a command does: knots
	Bytes  int     // about how much memory it takes
}

// WithTurns gives a request's work a context in which it must ask for its turn:
// ask waits, and refuses what would wait for too long.
func WithTurns(ctx context.Context, ask func(context.Context, Work) error) context.Context {
	return context.WithValue(ctx, turns{}, ask)
}

// Turn waits until work may begin, where others wait for theirs too. Whatever takes
// longer than a few milliseconds asks before it begins, and hands the error on as it is.
func Turn(ctx context.Context, w Work) error {
	if ask, ok := ctx.Value(turns{}).(func(context.Context, Work) error); ok {
		return ask(ctx, w)
	}
	return nil
}

type turns struct{}
