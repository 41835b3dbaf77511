package bot

import (
	"context"
	"time"
)

// Replicas is how several bots of one application share its work. The zero value
// is a bot that is alone.
type Replicas struct {
	Name string // of this one, in its metrics; empty: none

	// Alone does work that only one replica does at a time, when it is this one's turn.
	Alone func(ctx context.Context, work string, do func(context.Context) error) error

	// First tells whether a member's interaction has not been claimed by any
	// replica before, and claims it. Nil: what one bot remembers is enough.
	First func(ctx context.Context, member, interaction string) (bool, error)

	// Drain is how long a bot with an endpoint goes on answering after it was told
	// to stop. Meanwhile it says that it is not ready and closes connections, so
	// that a balancer turns to the others; then it takes no new ones.
	Drain time.Duration
}

func (r Replicas) alone(ctx context.Context, work string, do func(context.Context) error) error {
	if r.Alone == nil {
		return do(ctx)
	}
	return r.Alone(ctx, work, do)
}

// mayPost claims an answer that others see. It follows its deferral as a message
// of its own, so that the platform cannot tell a second one from the first, as
// it can with all other answers.
func (d *dispatcher) mayPost(ctx context.Context, in *interaction) bool {
	if d.first == nil {
		return true
	}
	first, err := d.first(ctx, in.who().ID, in.ID)
	if err != nil {
		d.log.Warn("it is not known whether another replica posts the same", d.redact.attr(err), "id", in.ID)
		return true
	}
	return first
}
