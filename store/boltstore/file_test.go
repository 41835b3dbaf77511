package boltstore

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/seal"
)

var noon = time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)

// filled makes a store file with some projects, and returns what it holds.
func filled(t *testing.T, path string, projects int, options store.Options) []store.Project {
	t.Helper()
	e, err := Open(path, Options{})
	require.NoError(t, err)
	defer func() { require.NoError(t, e.Close()) }()
	s, err := store.New(t.Context(), e, options)
	require.NoError(t, err)
	return fillShelf(t, s, "ann", projects)
}

// fillShelf saves so many projects in one transaction.
func fillShelf(t testing.TB, s *store.Records, member string, projects int) (saved []store.Project) {
	t.Helper()
	return fillWith(t, s, member, projects, sheetOf)
}

// fillWith saves projects in one change. Each costs a look at the names of those before
// it, so that a large file is filled with large sheets rather than with many.
func fillWith(t testing.TB, s *store.Records, member string, projects int, sheet func(n int) string) (saved []store.Project) {
	t.Helper()
	_, _, err := s.Once(t.Context(), member, noon, "", func(tx *store.Tx) (json.RawMessage, error) {
		saved = nil
		for n := range projects {
			p, err := tx.SaveProject(store.Project{Name: fmt.Sprintf("Owl %d", n), Sheet: sheet(n)}, 0)
			if err != nil {
				return nil, err
			}
			saved = append(saved, p)
		}
		return nil, nil
	})
	require.NoError(t, err)
	return saved
}

// unpackable is a sheet of so many bytes that no packing makes much shorter.
func unpackable(r *rand.Rand, bytes int) string {
	sheet := make([]byte, bytes)
	for i := range sheet {
		sheet[i] = byte('0' + r.IntN(64))
	}
	return string(sheet)
}

func sheetOf(n int) string {
	return fmt.Sprintf("piece: owl %d\ncord cotton 3 mm single-strand\n", n) + string(bytes.Repeat([]byte("row square knot\n"), 20))
}

func requireHolds(t *testing.T, path string, options store.Options, want []store.Project) {
	t.Helper()
	e, err := Open(path, Options{ReadOnly: true})
	require.NoError(t, err)
	defer func() { require.NoError(t, e.Close()) }()
	s, err := store.New(t.Context(), e, options)
	require.NoError(t, err)
	for _, p := range want {
		got, err := s.ProjectByID(t.Context(), p.Owner, p.ID)
		require.NoError(t, err)
		require.Equal(t, p, got)
	}
}

func TestFileIsTheOwnersOnly(t *testing.T) {
	path := filepath.Join(t.TempDir(), "store.db")
	filled(t, path, 1, store.Options{})
	info, err := os.Stat(path)
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o600), info.Mode().Perm())
}

func TestSecondCopyIsRefused(t *testing.T) {
	path := filepath.Join(t.TempDir(), "store.db")
	e, err := Open(path, Options{})
	require.NoError(t, err)
	defer e.Close()
	for _, readOnly := range []bool{false, true} {
		_, err = Open(path, Options{LockTimeout: 50 * time.Millisecond, ReadOnly: readOnly})
		require.ErrorIs(t, err, store.ErrLocked)
		require.ErrorContains(t, err, "Another copy of the program has the store "+path+" open.")
	}
	_, err = Restore(t.Context(), path, path, RestoreOptions{Force: true})
	require.ErrorIs(t, err, store.ErrLocked)
	_, err = CheckFile(t.Context(), path, store.Options{})
	require.ErrorIs(t, err, store.ErrLocked)
}

func TestNoStoreAtAll(t *testing.T) {
	dir := t.TempDir()
	text := filepath.Join(dir, "notes.txt")
	require.NoError(t, os.WriteFile(text, bytes.Repeat([]byte("not a store\n"), 10_000), 0o600))
	_, err := Open(text, Options{})
	require.ErrorIs(t, err, store.ErrDamaged)
	_, err = CheckFile(t.Context(), text, store.Options{})
	require.ErrorIs(t, err, store.ErrDamaged)
	folder := filepath.Join(dir, "folder")
	require.NoError(t, os.Mkdir(folder, 0o755))
	for _, readOnly := range []bool{false, true} {
		_, err = Open(folder, Options{ReadOnly: readOnly})
		require.EqualError(t, err, folder+" is a folder, and a store is a file.", "and nothing of a database")
		require.NotErrorIs(t, err, store.ErrDamaged)
	}
	_, err = Restore(t.Context(), text, folder, RestoreOptions{Force: true, Now: noon})
	require.ErrorContains(t, err, folder+" is a folder where the store should be. It is left as it is")
	require.DirExists(t, folder)
	_, err = Open(filepath.Join(dir, "missing", "store.db"), Options{})
	require.ErrorIs(t, err, os.ErrNotExist)
	_, err = CheckFile(t.Context(), filepath.Join(dir, "missing.db"), store.Options{})
	require.ErrorIs(t, err, os.ErrNotExist)
	_, err = os.Stat(filepath.Join(dir, "missing.db"))
	require.ErrorIs(t, err, os.ErrNotExist, "looking made no file")
}

func TestReadOnlyFileIsReadAndNotWritten(t *testing.T) {
	path := filepath.Join(t.TempDir(), "store.db")
	saved := filled(t, path, 5, store.Options{})
	requireHolds(t, path, store.Options{}, saved)
	e, err := Open(path, Options{ReadOnly: true})
	require.NoError(t, err)
	defer e.Close()
	s, err := store.New(t.Context(), e, store.Options{})
	require.NoError(t, err)
	_, err = s.SaveProject(t.Context(), "ann", noon, store.Project{Name: "more"}, 0)
	require.ErrorIs(t, err, store.ErrReadOnly)
	require.ErrorContains(t, err, "open for reading only")
	_, err = s.Project(t.Context(), "ann", "owl 3")
	require.NoError(t, err)
	require.NoError(t, e.Check(t.Context()))
}

// savingOn saves in the background until stop is called, and returns the longest save.
func savingOn(t *testing.T, s *store.Records, member string) (stop func() (saved []store.Project, longest time.Duration)) {
	t.Helper()
	end, ended := make(chan struct{}), make(chan error)
	var saved []store.Project
	var longest time.Duration
	go func() {
		for n := 0; ; n++ {
			select {
			case <-end:
				ended <- nil
				return
			default:
			}
			began := time.Now()
			p, err := s.SaveProject(t.Context(), fmt.Sprint(member, n/40), noon, store.Project{Name: fmt.Sprint("p", n), Sheet: sheetOf(n)}, 0)
			if err != nil {
				ended <- err
				return
			}
			longest = max(longest, time.Since(began))
			saved = append(saved, p)
		}
	}()
	return func() ([]store.Project, time.Duration) {
		close(end)
		require.NoError(t, <-ended)
		return saved, longest
	}
}

func TestCopyOfAStoreInUse(t *testing.T) {
	dir := t.TempDir()
	e, err := Open(filepath.Join(dir, "store.db"), Options{})
	require.NoError(t, err)
	defer e.Close()
	s, err := store.New(t.Context(), e, store.Options{})
	require.NoError(t, err)
	saved := fillShelf(t, s, "ann", 50)
	stop := savingOn(t, s, "ben")
	for n := range 5 {
		path := filepath.Join(dir, fmt.Sprint("copy", n))
		report, err := e.Copy(t.Context(), path, store.Options{})
		require.NoError(t, err)
		require.Empty(t, report.Problems)
		requireHolds(t, path, store.Options{}, saved)
		require.NoError(t, e.Check(t.Context()), "a store in use can be checked")
	}
	stop()
	_, err = e.Copy(t.Context(), filepath.Join(dir, "copy0"), store.Options{})
	require.ErrorIs(t, err, store.ErrExists)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = e.Copy(ctx, filepath.Join(dir, "cancelled"), store.Options{})
	require.ErrorIs(t, err, context.Canceled)
	left, err := filepath.Glob(filepath.Join(dir, "cancelled*"))
	require.NoError(t, err)
	require.Empty(t, left)
}

func TestBackupsAreCheckedAndRotated(t *testing.T) {
	dir := t.TempDir()
	options := store.Options{Key: seal.GenerateKey()}
	e, err := Open(filepath.Join(dir, "store.db"), Options{})
	require.NoError(t, err)
	defer e.Close()
	s, err := store.New(t.Context(), e, options)
	require.NoError(t, err)
	saved := fillShelf(t, s, "ann", 10)

	b := &Backups{Engine: e, Dir: filepath.Join(dir, "backups"), Keep: 3, Store: func() store.Options { return options }}
	for n := range 5 {
		made, err := b.Make(t.Context(), noon.Add(time.Duration(n)*time.Hour))
		require.NoError(t, err)
		require.FileExists(t, made)
	}
	require.NoError(t, os.WriteFile(filepath.Join(b.Dir, "backup-of-mine.db"), nil, 0o600))
	list, err := b.List()
	require.NoError(t, err)
	require.Len(t, list, 3)
	require.Equal(t, "backup-20260301T140000Z.db", filepath.Base(list[0].Path))
	require.FileExists(t, filepath.Join(b.Dir, "backup-of-mine.db"), "files of others are left alone")
	for _, backup := range list {
		requireHolds(t, backup.Path, options, saved)
	}

	// A backup that cannot be opened does not count, and gives up no older one.
	wrong := &Backups{Engine: e, Dir: b.Dir, Keep: 3, Store: func() store.Options { return store.Options{Key: seal.GenerateKey()} }}
	_, err = wrong.Make(t.Context(), noon.Add(24*time.Hour))
	require.ErrorIs(t, err, store.ErrWrongKey)
	again, err := b.List()
	require.NoError(t, err)
	require.Equal(t, list, again)
}

func TestRestore(t *testing.T) {
	dir := t.TempDir()
	path, backup := filepath.Join(dir, "store.db"), filepath.Join(dir, "backup.db")
	old := filled(t, path, 10, store.Options{})
	e, err := Open(path, Options{})
	require.NoError(t, err)
	_, err = e.Copy(t.Context(), backup, store.Options{})
	require.NoError(t, err)
	s, err := store.New(t.Context(), e, store.Options{})
	require.NoError(t, err)
	newer, err := s.SaveProject(t.Context(), "ann", noon, store.Project{Name: "newer"}, 0)
	require.NoError(t, err)
	require.NoError(t, e.Close())

	_, err = Restore(t.Context(), backup, path, RestoreOptions{Now: noon})
	require.ErrorIs(t, err, store.ErrExists)
	requireHolds(t, path, store.Options{}, append(old, newer))

	aside, err := Restore(t.Context(), backup, path, RestoreOptions{Now: noon, Force: true})
	require.NoError(t, err)
	requireHolds(t, path, store.Options{}, old)
	requireHolds(t, aside, store.Options{}, append(old, newer))

	other := filepath.Join(dir, "other.db")
	aside, err = Restore(t.Context(), backup, other, RestoreOptions{Now: noon})
	require.NoError(t, err)
	require.Empty(t, aside)
	requireHolds(t, other, store.Options{}, old)

	spoiled, err := Open(backup, Options{ReadOnly: true})
	require.NoError(t, err)
	flip(t, backup, valueOf(t, spoiled, old[3].ID))
	require.NoError(t, spoiled.Close())
	_, err = Restore(t.Context(), backup, other, RestoreOptions{Now: noon, Force: true})
	require.ErrorIs(t, err, store.ErrDamaged)
	require.ErrorContains(t, err, "nothing was restored")
	requireHolds(t, other, store.Options{}, old)
}
