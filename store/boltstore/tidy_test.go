package boltstore

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/pairs"
)

func TestTidyGivesRoomBack(t *testing.T) {
	path := filepath.Join(t.TempDir(), "store.db")
	e, err := Open(path, Options{})
	require.NoError(t, err)
	s, err := store.New(t.Context(), e, store.Options{})
	require.NoError(t, err)
	kept := fillShelf(t, s, "ann", 100)
	random := rand.New(rand.NewPCG(1, 1))
	for n := range 20 {
		fillWith(t, s, fmt.Sprint("member", n), 20, func(int) string { return unpackable(random, 16_000) })
	}
	for n := range 20 {
		_, err = s.Forget(t.Context(), fmt.Sprint("member", n))
		require.NoError(t, err)
	}
	stats, err := e.Stats(t.Context())
	require.NoError(t, err)
	require.Greater(t, stats.Free, stats.Bytes/2, "most of it is free")
	require.NoError(t, os.Chmod(path, 0o640))
	before, after, err := e.Tidy(t.Context())
	require.NoError(t, err)
	require.Equal(t, stats.Bytes, before)
	require.Less(t, after, before/2)
	tidy, err := e.Stats(t.Context())
	require.NoError(t, err)
	require.Equal(t, after, tidy.Bytes)
	require.Less(t, tidy.Free, int64(2*growBytes))
	require.Equal(t, stats.Changes, tidy.Changes, "it counts the changes of its whole life")
	info, err := os.Stat(path)
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o640), info.Mode().Perm(), "the mode is kept")
	require.NoError(t, e.Close())
	report, err := CheckFile(t.Context(), path, store.Options{})
	require.NoError(t, err)
	require.Empty(t, report.Problems)
	requireHolds(t, path, store.Options{}, kept)
}

// TestTidyKeepsTheOwner runs as root, as `larkfold tidy` and `restore` may.
func TestTidyKeepsTheOwner(t *testing.T) {
	if os.Getuid() != 0 {
		t.Skip("only root gives files away")
	}
	dir := t.TempDir()
	path := filepath.Join(dir, "store.db")
	filled(t, path, 3, store.Options{})
	require.NoError(t, os.Chown(path, 4711, 4712))
	e, err := Open(path, Options{})
	require.NoError(t, err)
	_, _, err = e.Tidy(t.Context())
	require.NoError(t, err)
	_, err = e.Copy(t.Context(), filepath.Join(dir, "backup.db"), store.Options{})
	require.NoError(t, err)
	require.NoError(t, e.Close())
	requireOwner(t, path, 4711, 4712)

	_, err = Restore(t.Context(), filepath.Join(dir, "backup.db"), path, RestoreOptions{Force: true, Now: noon})
	require.NoError(t, err)
	requireOwner(t, path, 4711, 4712)

	theirs := filepath.Join(dir, "theirs")
	require.NoError(t, os.Mkdir(theirs, 0o700))
	require.NoError(t, os.Chown(theirs, 815, 816))
	_, err = Restore(t.Context(), filepath.Join(dir, "backup.db"), filepath.Join(theirs, "store.db"), RestoreOptions{Now: noon})
	require.NoError(t, err)
	requireOwner(t, filepath.Join(theirs, "store.db"), 815, 816)
}

// TestTidyWhileMembersSave tidies again and again under load. Nobody waits long,
// everything acknowledged is there, and readers who began before finish on what they began with.
func TestTidyWhileMembersSave(t *testing.T) {
	path := filepath.Join(t.TempDir(), "store.db")
	e, err := Open(path, Options{})
	require.NoError(t, err)
	s, err := store.New(t.Context(), e, store.Options{})
	require.NoError(t, err)
	random := rand.New(rand.NewPCG(1, 1))
	for n := range 10 {
		fillWith(t, s, fmt.Sprint("member", n), 30, func(int) string { return unpackable(random, 8_000) })
	}
	var stops []func() ([]store.Project, time.Duration)
	for w := range 8 {
		stops = append(stops, savingOn(t, s, fmt.Sprintf("writer%d-", w)))
	}
	for range 5 {
		reading, goOn, read := make(chan struct{}), make(chan struct{}), make(chan error)
		go func() {
			read <- e.View(t.Context(), func(r pairs.Reader) error {
				before, err := countAll(r)
				close(reading)
				if err != nil {
					return err
				}
				<-goOn
				after, err := countAll(r)
				if err == nil && after != before {
					err = fmt.Errorf("a picture changed from %d to %d records", before, after)
				}
				return err
			})
		}()
		<-reading
		tidied := make(chan error)
		go func() {
			_, _, err := e.Tidy(t.Context())
			tidied <- err
		}()
		time.Sleep(20 * time.Millisecond)
		close(goOn)
		require.NoError(t, <-read)
		require.NoError(t, <-tidied)
	}
	var saved []store.Project
	var longest time.Duration
	for _, stop := range stops {
		more, waited := stop()
		saved = append(saved, more...)
		longest = max(longest, waited)
	}
	require.NoError(t, e.Close())
	report, err := CheckFile(t.Context(), path, store.Options{})
	require.NoError(t, err)
	require.Empty(t, report.Problems)
	requireHolds(t, path, store.Options{}, saved)
	t.Logf("%d saves during 5 tidyings, the longest took %v", len(saved), longest)
	require.Less(t, longest, 5*time.Second, "five times what is promised: machines that run tests are busy")
}

func countAll(r pairs.Reader) (n int, err error) {
	for _, err := range r.Scan(nil, nil) {
		if err != nil {
			return n, err
		}
		n++
	}
	return n, nil
}

// TestTidyBrokenOff leaves the store as it was, and nothing beside it.
func TestTidyBrokenOff(t *testing.T) {
	path := filepath.Join(t.TempDir(), "store.db")
	saved := filled(t, path, 200, store.Options{})
	e, err := Open(path, Options{})
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, _, err = e.Tidy(ctx)
	require.ErrorIs(t, err, context.Canceled)
	_, err = os.Stat(path + unfinished)
	require.ErrorIs(t, err, os.ErrNotExist)
	require.NoError(t, e.Close())

	require.NoError(t, os.WriteFile(path+unfinished, []byte("what a kill has left"), 0o600))
	e, err = Open(path, Options{})
	require.NoError(t, err)
	_, err = os.Stat(path + unfinished)
	require.ErrorIs(t, err, os.ErrNotExist, "opening clears it away")
	require.NoError(t, e.Close())
	e, err = Open(path, Options{ReadOnly: true})
	require.NoError(t, err)
	_, _, err = e.Tidy(t.Context())
	require.ErrorIs(t, err, store.ErrReadOnly)
	require.NoError(t, e.Close())
	requireHolds(t, path, store.Options{}, saved)
}

// TestWaitingForATidiedFile waits for the lock of a file that a tidied one
// replaces meanwhile: who gets the lock then must not have the old file.
func TestWaitingForATidiedFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "store.db")
	saved := filled(t, path, 20, store.Options{})
	e, err := Open(path, Options{})
	require.NoError(t, err)
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			other, err := Open(path, Options{LockTimeout: time.Minute, ReadOnly: true})
			if err != nil {
				t.Error(err)
				return
			}
			if stands, err := other.current().stands(); err != nil || !stands {
				t.Error("it has a file that no longer stands under the path", err)
			}
			if err := other.Close(); err != nil {
				t.Error(err)
			}
		})
	}
	for range 20 {
		time.Sleep(10 * time.Millisecond)
		_, _, err := e.Tidy(t.Context())
		require.NoError(t, err)
	}
	require.NoError(t, e.Close())
	wg.Wait()
	requireHolds(t, path, store.Options{}, saved)
}
