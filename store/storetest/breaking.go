package storetest

import (
	"context"
	"errors"

	"larkfold/store/pairs"
)

// ErrBroken is what [Breaking] fails with.
var ErrBroken = errors.New("broken off")

// Breaking is an engine that breaks off after so many updates.
type Breaking struct {
	pairs.Engine
	Left int
}

// Update implements [pairs.Engine].
func (b *Breaking) Update(ctx context.Context, change func(pairs.Writer) error) error {
	if b.Left == 0 {
		return ErrBroken
	}
	b.Left--
	return b.Engine.Update(ctx, change)
}
