package boltstore

import (
	"context"
	"fmt"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
	"go.etcd.io/bbolt"

	"larkfold/store"
	"larkfold/store/pairs"
)

// A copy is compared to its last record, however many there are between two looks at the context.
func TestACopyIsComparedToItsLastRecord(t *testing.T) {
	compared := func(ctx context.Context, one, two *Engine) (err error) {
		require.NoError(t, one.view(t.Context(), func(_ *file, a *bbolt.Tx) error {
			return two.view(t.Context(), func(_ *file, b *bbolt.Tx) error {
				err = same(ctx, a, b)
				return nil
			})
		}))
		return err
	}
	for _, records := range []int{1, 2, checkEvery, checkEvery + 1, checkEvery + 2} {
		var both [2]*Engine
		key := func(n int) []byte { return fmt.Appendf(nil, "%04d", n) }
		for i := range both {
			e, err := Open(filepath.Join(t.TempDir(), "store.db"), Options{})
			require.NoError(t, err)
			defer e.Close()
			require.NoError(t, e.Update(t.Context(), func(w pairs.Writer) error {
				for n := range records {
					if err := w.Put(key(n), []byte("value")); err != nil {
						return err
					}
				}
				return nil
			}))
			both[i] = e
		}
		require.NoError(t, compared(t.Context(), both[0], both[1]))
		stopped, stop := context.WithCancel(t.Context())
		stop()
		require.ErrorIs(t, compared(stopped, both[0], both[1]), context.Canceled)
		for what, spoil := range map[string]func(w pairs.Writer) error{
			"changed": func(w pairs.Writer) error { return w.Put(key(records-1), []byte("other")) },
			"gone":    func(w pairs.Writer) error { return w.Delete(key(records - 1)) },
			"renamed": func(w pairs.Writer) error { return w.Put(key(records), []byte("value")) },
		} {
			require.NoError(t, both[1].Update(t.Context(), spoil))
			require.ErrorContains(t, compared(t.Context(), both[0], both[1]), "the copy is not the same", "%d records, the last %s", records, what)
			require.ErrorContains(t, compared(t.Context(), both[1], both[0]), "the copy is not the same", "%d records, the last %s", records, what)
		}
	}
}

// A restored store counts more changes than the one in whose place it is, so that its
// next backups are not taken for older ones.
func TestRestoringCountsOn(t *testing.T) {
	dir := t.TempDir()
	path, backup := filepath.Join(dir, "store.db"), filepath.Join(dir, "backup.db")
	filled(t, path, 1, store.Options{})
	changes := func(save int) uint64 {
		e, err := Open(path, Options{})
		require.NoError(t, err)
		defer e.Close()
		for n := range save {
			require.NoError(t, e.Update(t.Context(), func(w pairs.Writer) error { return w.Put(fmt.Appendf(nil, "Z%d", n), nil) }))
		}
		stats, err := e.Stats(t.Context())
		require.NoError(t, err)
		return stats.Changes
	}
	e, err := Open(path, Options{})
	require.NoError(t, err)
	_, err = e.Copy(t.Context(), backup, store.Options{})
	require.NoError(t, err)
	require.NoError(t, e.Close())
	before := changes(5)
	_, err = Restore(t.Context(), backup, path, RestoreOptions{Force: true, Now: noon})
	require.NoError(t, err)
	require.Equal(t, before+1, changes(0))
}
