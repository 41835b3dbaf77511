package store

import (
	"context"
	"errors"
	"testing"
	"testing/synctest"
	"time"

	"larkfold/store/pairs"

	"github.com/stretchr/testify/require"
)

// answering is an engine whose changes end as they are told, the last answer again and again.
type answering struct {
	pairs.Engine
	answers []error
	asked   int
}

func (a *answering) Update(context.Context, func(pairs.Writer) error) error {
	err := a.answers[min(a.asked, len(a.answers)-1)]
	a.asked++
	return err
}

// A change of which nobody knows whether it was made is asked again until somebody
// does; an answer that tells nothing of it does not count as one.
func TestAnUnknownCommitIsAskedAgain(t *testing.T) {
	refused := errors.New("no such project")
	for name, row := range map[string]struct {
		answers []error
		want    error
		asked   int
	}{
		"it was made":                     {[]error{nil}, nil, 1},
		"it was refused":                  {[]error{refused}, refused, 1},
		"out of reach from the beginning": {[]error{ErrUnavailable}, ErrUnavailable, 1},
		"found to be made":                {[]error{ErrUnknownCommit, nil}, nil, 2},
		"found to be refused":             {[]error{ErrUnknownCommit, refused}, refused, 2},
		"unknown once more":               {[]error{ErrUnknownCommit, ErrUnknownCommit, nil}, nil, 3},
		"out of reach for a while":        {[]error{ErrUnknownCommit, ErrUnavailable, ErrUnavailable, nil}, nil, 4},
		"nothing is written any more":     {[]error{ErrUnknownCommit, ErrReadOnly, nil}, ErrUnknownCommit, 2},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				engine := &answering{answers: row.answers}
				require.Equal(t, row.want, UpdateAgain(t.Context(), engine, nil))
				require.Equal(t, row.asked, engine.asked)
			})
		})
	}
	t.Run("for as long as a standby takes, and no longer", func(t *testing.T) {
		synctest.Test(t, func(t *testing.T) {
			engine, began := &answering{answers: []error{ErrUnknownCommit}}, time.Now()
			require.Equal(t, ErrUnknownCommit, UpdateAgain(t.Context(), engine, nil))
			took := time.Since(began)
			require.GreaterOrEqual(t, took, askAgainFor)
			require.Less(t, took, askAgainFor+2*askAgainMost)
			// Pauses of 0.1, 0.2, 0.4, 0.8, 1.6 s and then 2 s, each half or up to one and a half times as long.
			require.GreaterOrEqual(t, engine.asked, int(askAgainFor/(askAgainMost*3/2)))
			require.LessOrEqual(t, engine.asked, 7+int(askAgainFor/(askAgainMost/2)))
		})
	})
	t.Run("not when nobody waits any more", func(t *testing.T) {
		synctest.Test(t, func(t *testing.T) {
			ctx, cancel := context.WithTimeout(t.Context(), time.Second)
			defer cancel()
			began := time.Now()
			require.Equal(t, ErrUnknownCommit, UpdateAgain(ctx, &answering{answers: []error{ErrUnknownCommit}}, nil))
			require.Equal(t, time.Second, time.Since(began))
		})
	})
	t.Run("nor by what was refused because of that", func(t *testing.T) {
		synctest.Test(t, func(t *testing.T) {
			ctx, cancel := context.WithCancel(t.Context())
			engine := &cancelling{cancel: cancel}
			require.Equal(t, ErrUnknownCommit, UpdateAgain(ctx, engine, nil))
			require.Equal(t, 2, engine.asked)
		})
	})
}

// cancelling is an engine whose asker goes away while it is asked for the second time.
type cancelling struct {
	pairs.Engine
	cancel func()
	asked  int
}

func (c *cancelling) Update(ctx context.Context, _ func(pairs.Writer) error) error {
	if c.asked++; c.asked == 1 {
		return ErrUnknownCommit
	}
	c.cancel()
	return ctx.Err()
}
