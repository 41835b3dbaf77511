package store

import (
	"context"
	"errors"
	"math/rand/v2"
	"time"

	"larkfold/store/pairs"
)

// How long a change is asked again while it is not known whether it was made.
// It has to outlast the promotion of a standby, and end within the time that
// one request of a member may take.
const (
	askAgainFor   = 30 * time.Second
	askAgainAfter = 100 * time.Millisecond // on average; doubled up to askAgainMost
	askAgainMost  = 2 * time.Second
)

// update runs a change that does no harm when it is made twice, see [UpdateAgain].
func (s *Records) update(ctx context.Context, change func(pairs.Writer) error) error {
	return UpdateAgain(ctx, s.engine, change)
}

// UpdateAgain runs a change that looks first whether it was made, or that has
// the same end whenever it is made. While the engine cannot tell whether the
// change was made, it is asked again; an error of [ErrUnknownCommit] is left for
// when that has no end.
func UpdateAgain(ctx context.Context, engine pairs.Engine, change func(pairs.Writer) error) error {
	unknown := engine.Update(ctx, change)
	if !errors.Is(unknown, ErrUnknownCommit) {
		return unknown
	}
	end := time.Now().Add(askAgainFor)
	for pause := askAgainAfter; time.Now().Before(end); pause = min(2*pause, askAgainMost) {
		select {
		case <-ctx.Done():
			return unknown
		case <-time.After(pause/2 + rand.N(pause)):
		}
		err := engine.Update(ctx, change)
		if errors.Is(err, ErrReadOnly) {
			return unknown // nothing is written any more, so nobody will know
		}
		if err == nil || ctx.Err() == nil && !errors.Is(err, ErrUnknownCommit) && !errors.Is(err, ErrUnavailable) {
			return err
		}
	}
	return unknown
}
