package boltstore

import (
	"context"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store/pairs"
	"larkfold/store/storetest"
)

func TestEngine(t *testing.T) {
	file := func(dir string) string { return filepath.Join(dir, "store.db") }
	storetest.Run(t, storetest.Subject{
		Open: func(dir string) (pairs.Engine, error) { return Open(file(dir), Options{}) },
		Check: func(dir string) error {
			if err := checkClosed(file(dir)); err != nil {
				return err
			}
			e, err := Open(file(dir), Options{ReadOnly: true})
			if err != nil {
				return err
			}
			defer e.Close()
			return e.Check(t.Context())
		},
	})
}

// TestCancelledWhileWaitingForItsTurn takes a change out of the queue.
func TestCancelledWhileWaitingForItsTurn(t *testing.T) {
	e, err := Open(filepath.Join(t.TempDir(), "store.db"), Options{})
	require.NoError(t, err)
	defer e.Close()
	inside, finish := make(chan struct{}), make(chan struct{})
	first, second := make(chan error), make(chan error)
	go func() {
		first <- e.Update(t.Context(), func(w pairs.Writer) error {
			close(inside)
			<-finish
			return w.Put([]byte("first"), nil)
		})
	}()
	<-inside
	ctx, cancel := context.WithCancel(t.Context())
	go func() {
		second <- e.Update(ctx, func(w pairs.Writer) error { return w.Put([]byte("second"), nil) })
	}()
	require.Eventually(t, func() bool {
		e.mu.Lock()
		defer e.mu.Unlock()
		return len(e.queue) == 1
	}, time.Minute, time.Millisecond)
	cancel()
	require.ErrorIs(t, <-second, context.Canceled)
	close(finish)
	require.NoError(t, <-first)
	require.NoError(t, e.View(t.Context(), func(r pairs.Reader) error {
		_, found, err := r.Get([]byte("second"))
		require.False(t, found)
		return err
	}))
}
