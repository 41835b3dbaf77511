package boltstore

import (
	"encoding/binary"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store"
)

// spoilMeta flips a byte of the newer, or of the older, of a file's two first pages.
func spoilMeta(t *testing.T, path string, newer bool) {
	t.Helper()
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	require.NoError(t, err)
	defer f.Close()
	metas := readMetas(f)
	require.Len(t, metas, 2)
	at := int64(0)
	if (metas[1].txid > metas[0].txid) == newer {
		at = metas[1].pageSize
	}
	b := make([]byte, 1)
	_, err = f.ReadAt(b, at+pageHead+20)
	require.NoError(t, err)
	b[0] ^= 0x40
	_, err = f.WriteAt(b, at+pageHead+20)
	require.NoError(t, err)
}

// TestDamagedFirstPage damages one of the two pages that say where the records
// are. The file is refused, whichever it was, until stepping back is meant.
func TestDamagedFirstPage(t *testing.T) {
	for name, newer := range map[string]bool{"the newer one": true, "the older one": false} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "store.db")
			e, err := Open(path, Options{})
			require.NoError(t, err)
			s, err := store.New(t.Context(), e, store.Options{})
			require.NoError(t, err)
			before := fillShelf(t, s, "ann", 3)
			last, err := s.SaveProject(t.Context(), "ann", noon, store.Project{Name: "the last change"}, 0)
			require.NoError(t, err)
			require.NoError(t, e.Close())
			spoilMeta(t, path, newer)
			for _, readOnly := range []bool{false, true} {
				_, err = Open(path, Options{ReadOnly: readOnly})
				require.ErrorIs(t, err, store.ErrDamaged)
				require.ErrorContains(t, err, "If it was the newer one, the last change is missing.")
				require.ErrorContains(t, err, "larkfold tidy --step-back")
			}
			_, err = CheckFile(t.Context(), path, store.Options{})
			require.ErrorIs(t, err, store.ErrDamaged)

			e, err = Open(path, Options{StepBack: true})
			require.NoError(t, err)
			require.NoError(t, e.Close())
			if !newer {
				before = append(before, last)
			}
			requireHolds(t, path, store.Options{}, before) // opens as ever again
			report, err := CheckFile(t.Context(), path, store.Options{})
			require.NoError(t, err)
			require.Empty(t, report.Problems)
		})
	}
}

// TestFirstPageDamagedUnderARunningStore damages the page that holds the last
// change. Nobody is shown, or saves onto, the change before.
func TestFirstPageDamagedUnderARunningStore(t *testing.T) {
	path := filepath.Join(t.TempDir(), "store.db")
	e, err := Open(path, Options{})
	require.NoError(t, err)
	defer e.Close()
	s, err := store.New(t.Context(), e, store.Options{})
	require.NoError(t, err)
	p, err := s.SaveProject(t.Context(), "ann", noon, store.Project{Name: "Owl", Sheet: "one"}, 0)
	require.NoError(t, err)
	p.Sheet = "two"
	_, err = s.SaveProject(t.Context(), "ann", noon, p, 1)
	require.NoError(t, err)
	spoilMeta(t, path, true)
	_, err = s.ProjectByID(t.Context(), "ann", p.ID)
	require.ErrorIs(t, err, store.ErrDamaged)
	require.ErrorContains(t, err, "the page that holds the last change")
	p.Sheet = "three"
	_, err = s.SaveProject(t.Context(), "ann", noon, p, 1)
	require.ErrorIs(t, err, store.ErrDamaged)
}

// TestLostStore opens a store that is missing, empty or rolled back although
// there is a backup.
func TestLostStore(t *testing.T) {
	dir := t.TempDir()
	path, rows := filepath.Join(dir, "store.db"), filepath.Join(dir, "backups")
	options := Options{Backups: rows}
	e, err := Open(path, options)
	require.NoError(t, err, "nothing is missed where there was nothing")
	s, err := store.New(t.Context(), e, store.Options{})
	require.NoError(t, err)
	fillShelf(t, s, "ann", 3)
	older := filepath.Join(dir, "older.db")
	_, err = e.Copy(t.Context(), older, store.Options{})
	require.NoError(t, err)
	saved := fillShelf(t, s, "ben", 3)
	b := &Backups{Engine: e, Dir: rows, Keep: 2}
	backup, err := b.Make(t.Context(), noon)
	require.NoError(t, err)
	require.NoError(t, e.Close())
	raw, err := os.ReadFile(path)
	require.NoError(t, err)
	old, err := os.ReadFile(older)
	require.NoError(t, err)

	reopen := func(o Options) error {
		e, err := Open(path, o)
		if err != nil {
			return err
		}
		return e.Close()
	}
	require.NoError(t, reopen(options), "as old as its backup")
	for what, spoil := range map[string]func() error{
		"is missing":                   func() error { return os.Remove(path) },
		"is empty":                     func() error { return os.WriteFile(path, nil, 0o600) },
		"is older than a backup of it": func() error { return os.WriteFile(path, old, 0o600) },
	} {
		t.Run(what, func(t *testing.T) {
			require.NoError(t, os.WriteFile(path, raw, 0o600))
			require.NoError(t, spoil())
			err := reopen(options)
			require.ErrorIs(t, err, store.ErrLost)
			require.ErrorContains(t, err, "The store "+path+" "+what)
			require.ErrorContains(t, err, "larkfold restore --force "+backup)
			require.ErrorContains(t, err, "--afresh")

			// The way out that keeps everything: restoring, after which it opens.
			aside, err := Restore(t.Context(), backup, path, RestoreOptions{Force: true, Now: noon, Backups: rows})
			require.NoError(t, err)
			require.NoError(t, reopen(options))
			requireHolds(t, path, store.Options{}, saved)
			if aside != "" {
				require.NoError(t, os.Remove(aside))
			}

			// The way out that starts afresh on purpose, which is asked for once.
			require.NoError(t, os.WriteFile(path, raw, 0o600))
			require.NoError(t, spoil())
			afresh := options
			afresh.Afresh = true
			require.NoError(t, reopen(afresh))
			require.NoError(t, reopen(options))
		})
	}

	// An older backup that is restored on purpose is no loss.
	require.NoError(t, os.WriteFile(path, raw, 0o600))
	aside, err := Restore(t.Context(), older, path, RestoreOptions{Force: true, Now: noon.Add(time.Hour), Backups: rows})
	require.NoError(t, err)
	require.FileExists(t, aside)
	require.NoError(t, reopen(options))

	// A damaged backup says nothing.
	require.NoError(t, os.WriteFile(filepath.Join(rows, "backup-20300101T000000Z.db"), binary.BigEndian.AppendUint64(nil, 1), 0o600))
	require.NoError(t, reopen(options))
}
