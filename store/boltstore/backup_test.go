package boltstore

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/pairs"
)

func backedUp(t *testing.T) (*Backups, *store.Records) {
	t.Helper()
	dir := t.TempDir()
	e, err := Open(filepath.Join(dir, "store.db"), Options{})
	require.NoError(t, err)
	t.Cleanup(func() { _ = e.Close() })
	s, err := store.New(t.Context(), e, store.Options{})
	require.NoError(t, err)
	fillShelf(t, s, "ann", 10)
	return &Backups{Engine: e, Dir: filepath.Join(dir, "backups"), Keep: 3}, s
}

func namesIn(t *testing.T, dir string) (names []string) {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	require.NoError(t, err)
	for _, entry := range entries {
		names = append(names, entry.Name())
	}
	return names
}

// TestBackupHasNoNameBeforeItsCheck breaks a backup off at every moment, in its
// check too, which is told apart from one that is not sound.
func TestBackupHasNoNameBeforeItsCheck(t *testing.T) {
	b, _ := backedUp(t)
	finished := false
	for n := 1; !finished; n++ {
		ctx := &endingContext{Context: t.Context(), left: n}
		path, err := b.Make(ctx, noon.Add(time.Duration(n)*time.Second))
		if err == nil {
			finished = true
			require.FileExists(t, path)
			continue
		}
		require.ErrorIs(t, err, context.Canceled)
		require.NotContains(t, err.Error(), "not sound")
		require.Empty(t, namesIn(t, b.Dir))
	}
	// What a kill has left is cleared away by the next one.
	left := filepath.Join(b.Dir, "backup-20260301T150000Z.db"+unfinished)
	require.NoError(t, os.WriteFile(left, []byte("half"), 0o600))
	row, err := b.List()
	require.NoError(t, err)
	require.Len(t, row, 1, "it does not count")
	_, err = b.Make(t.Context(), noon.Add(time.Hour))
	require.NoError(t, err)
	require.NoFileExists(t, left)
}

// endingContext ends when it has been looked at so often.
type endingContext struct {
	context.Context
	left int
}

func (c *endingContext) Err() error {
	if c.left--; c.left < 0 {
		return context.Canceled
	}
	return nil
}

// TestClockThatGoesBackRotatesNothingAway sets the clock back by a year.
func TestClockThatGoesBackRotatesNothingAway(t *testing.T) {
	b, _ := backedUp(t)
	for n := range 3 {
		_, err := b.Make(t.Context(), noon.Add(time.Duration(n)*time.Hour))
		require.NoError(t, err)
	}
	before := namesIn(t, b.Dir)
	made, err := b.Make(t.Context(), noon.AddDate(-1, 0, 0))
	require.NoError(t, err)
	require.FileExists(t, made)
	require.Subset(t, namesIn(t, b.Dir), before)
	require.Len(t, namesIn(t, b.Dir), 4)
	b.Bytes = 1
	_, err = b.Make(t.Context(), noon.AddDate(-1, 0, 1))
	require.ErrorIs(t, err, store.ErrFull)
	require.ErrorContains(t, err, "The clock is behind the newest backup")
	require.Len(t, namesIn(t, b.Dir), 4)

	b.Bytes = 0
	_, err = b.Make(t.Context(), noon.Add(3*time.Hour))
	require.NoError(t, err)
	require.Len(t, namesIn(t, b.Dir), 3, "when the clock is right again, the row is as long as it should be")
}

// TestBackupsAreBoundedInBytes keeps as many as there is room for, and always the newest.
func TestBackupsAreBoundedInBytes(t *testing.T) {
	b, _ := backedUp(t)
	b.Keep = 10
	first, err := b.Make(t.Context(), noon)
	require.NoError(t, err)
	one, err := fileSize(first)
	require.NoError(t, err)
	for _, row := range []struct {
		bytes int64
		kept  int
	}{{3 * one, 3}, {3*one - 1, 2}, {1, 1}} {
		b.Bytes = row.bytes
		for n := range 5 {
			_, err := b.Make(t.Context(), noon.Add(time.Duration(row.kept*10+n)*24*time.Hour).AddDate(3-row.kept, 0, 0))
			require.NoError(t, err)
		}
		require.Len(t, namesIn(t, b.Dir), row.kept, row.bytes)
	}
}

// TestBackupsGiveUpNothingForADamagedStore makes one more backup than are kept, of a damaged store.
func TestBackupsGiveUpNothingForADamagedStore(t *testing.T) {
	b, s := backedUp(t)
	for n := range 3 {
		_, err := b.Make(t.Context(), noon.Add(time.Duration(n)*time.Hour))
		require.NoError(t, err)
	}
	before := namesIn(t, b.Dir)
	p, err := s.Project(t.Context(), "ann", "owl 7")
	require.NoError(t, err)
	require.NoError(t, b.Engine.Update(t.Context(), func(w pairs.Writer) error {
		for pair, err := range w.Scan([]byte("M"), nil) {
			if err != nil {
				return err
			}
			if len(pair.Key) > 18 && pair.Key[17] == 'p' && string(pair.Key[18:]) == p.ID {
				return w.Put(pair.Key, append([]byte{}, pair.Value[:len(pair.Value)-1]...))
			}
		}
		return nil
	}))
	_, err = b.Make(t.Context(), noon.Add(5*time.Hour))
	require.ErrorIs(t, err, store.ErrDamaged)
	require.ErrorContains(t, err, "the new backup is not sound")
	require.Equal(t, before, namesIn(t, b.Dir))
}

// TestBackupsKeepTheirSchedule: the first is due when the newest is old enough,
// one that failed is tried again within minutes.
func TestBackupsKeepTheirSchedule(t *testing.T) {
	b, _ := backedUp(t)
	synctest.Test(t, func(t *testing.T) {
		require.NoError(t, os.WriteFile(b.Dir, nil, 0o600)) // no folder: none can be made
		ctx, stop := context.WithCancel(context.Background())
		start := time.Now()
		var at []time.Duration
		var made []error
		b.Run(ctx, 24*time.Hour, func(_ string, err error) {
			at, made = append(at, time.Since(start)), append(made, err)
			switch len(at) {
			case 3:
				_ = os.Remove(b.Dir)
			case 5:
				stop()
			}
		})
		require.Equal(t, []time.Duration{0, time.Minute, 3 * time.Minute, 7 * time.Minute, 7*time.Minute + 24*time.Hour}, at)
		require.Error(t, made[2])
		require.NoError(t, made[3])

		ctx, stop = context.WithCancel(context.Background())
		time.Sleep(20 * time.Hour)
		start = time.Now()
		b.Run(ctx, 24*time.Hour, func(string, error) {
			require.Equal(t, 4*time.Hour, time.Since(start))
			stop()
		})
	})
}

// TestBackupsOnAnotherDisk keeps them where a file cannot be renamed to from the store's folder.
func TestBackupsOnAnotherDisk(t *testing.T) {
	b, s := backedUp(t)
	other, err := os.MkdirTemp("/dev/shm", "larkfold-test-")
	if err != nil {
		t.Skipf("there is no other disk here: %v", err)
	}
	t.Cleanup(func() { require.NoError(t, os.RemoveAll(other)) })
	b.Dir = filepath.Join(other, "backups")
	path, err := b.Make(t.Context(), noon)
	require.NoError(t, err)
	require.Equal(t, []string{filepath.Base(path)}, namesIn(t, b.Dir))
	p, err := s.Project(t.Context(), "ann", "owl 3")
	require.NoError(t, err)
	requireHolds(t, path, store.Options{}, []store.Project{p})
	restored := filepath.Join(t.TempDir(), "store.db")
	_, err = Restore(t.Context(), path, restored, RestoreOptions{Now: noon})
	require.NoError(t, err)
	requireHolds(t, restored, store.Options{}, []store.Project{p})
}
