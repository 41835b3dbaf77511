package boltstore

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/store"
)

// saveUntilFull saves sheets of several lengths, which cannot be packed, until there is
// no room, and returns what was acknowledged.
func saveUntilFull(t *testing.T, s *store.Records, name string) (saved []store.Project) {
	t.Helper()
	random := rand.New(rand.NewPCG(1, 1))
	for n := range 5000 {
		p, err := s.SaveProject(t.Context(), fmt.Sprint("member", n%20), noon,
			store.Project{Name: fmt.Sprint(name, n), Sheet: unpackable(random, 1000+n%4*5000)}, 0)
		if err != nil {
			require.ErrorIs(t, err, store.ErrFull)
			require.ErrorContains(t, err, "Nothing was saved: there is no room left for the store. Reading goes on")
			return saved
		}
		saved = append(saved, p)
	}
	t.Fatal("the disk was never full")
	return nil
}

// fillUpAndGoOn fills a disk, reads on, makes room, and saves on.
func fillUpAndGoOn(t *testing.T, path string, options Options, makeRoom func()) {
	t.Helper()
	e, err := Open(path, options)
	require.NoError(t, err)
	s, err := store.New(t.Context(), e, store.Options{})
	require.NoError(t, err)
	saved := saveUntilFull(t, s, "Owl ")
	require.NotEmpty(t, saved)
	readOn := func() {
		for _, p := range saved {
			got, err := s.ProjectByID(t.Context(), p.Owner, p.ID)
			require.NoError(t, err)
			require.Equal(t, p, got)
		}
	}
	readOn()
	saved = append(saved, saveUntilFull(t, s, "Fern ")...) // still full, though a little may fit
	readOn()
	if makeRoom != nil {
		makeRoom()
		more, err := s.SaveProject(t.Context(), "zoe", noon, store.Project{Name: "after", Sheet: strings.Repeat("x", 10_000)}, 0)
		require.NoError(t, err, "there is room again")
		saved = append(saved, more)
	}
	require.NoError(t, e.Close())
	report, err := CheckFile(t.Context(), path, store.Options{})
	require.NoError(t, err)
	require.Empty(t, report.Problems)
	requireHolds(t, path, store.Options{}, saved)
	t.Logf("%d acknowledged saves, all there", len(saved))
}

func TestFileAtItsLimit(t *testing.T) {
	fillUpAndGoOn(t, filepath.Join(t.TempDir(), "store.db"), Options{MaxBytes: 2 << 20}, nil)
}

// TestFailedSyncEndsWriting: when the disk says that it could not keep what it
// was given, nothing more is written until the file is opened anew.
func TestFailedSyncEndsWriting(t *testing.T) {
	for name, failure := range map[string]error{"error": syscall.EIO, "no room after all": syscall.ENOSPC} {
		path := filepath.Join(t.TempDir(), "store.db")
		saved := filled(t, path, 3, store.Options{})
		e, err := Open(path, Options{})
		require.NoError(t, err)
		s, err := store.New(t.Context(), e, store.Options{})
		require.NoError(t, err)
		require.ErrorIs(t, e.writeFault(failure), store.ErrReadOnly, name)
		_, err = s.SaveProject(t.Context(), "ann", noon, store.Project{Name: "more"}, 0)
		require.ErrorIs(t, err, store.ErrReadOnly, name)
		require.True(t, errors.Is(err, failure), name)
		_, err = s.ProjectByID(t.Context(), "ann", saved[0].ID)
		require.NoError(t, err, "reading goes on")
		require.NoError(t, e.Close())
		requireHolds(t, path, store.Options{}, saved)
	}
}
