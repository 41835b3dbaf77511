package store

import (
	"context"
	"errors"
	"time"

	"larkfold/store/pairs"
)

// watched is an engine that tells how its changes went.
type watched struct {
	pairs.Engine
	tell func(took time.Duration, fault error)
}

// Update implements [pairs.Engine].
func (w watched) Update(ctx context.Context, change func(pairs.Writer) error) error {
	began := time.Now()
	err := w.Engine.Update(ctx, change)
	var fault *Fault
	if err != nil && !errors.As(err, &fault) {
		return err // the change's own error, or the end of the context: nothing to do with the store
	}
	if fault != nil {
		w.tell(time.Since(began), fault)
		return err
	}
	w.tell(time.Since(began), nil)
	return nil
}
