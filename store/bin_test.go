package store_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/storetest"
)

func TestDeletedProjectComesBackWithItsHistory(t *testing.T) {
	onEngines(t, store.Options{}, func(t *testing.T, s *store.Records) {
		ctx := t.Context()
		p := save(t, s, "ann", "Owl", "one")
		p.Sheet = "two"
		p, err := s.SaveProject(ctx, "ann", noon, p, 1)
		require.NoError(t, err)
		_, err = s.DeleteProject(ctx, "ann", noon, p.ID, 1)
		require.ErrorIs(t, err, store.ErrConflict)
		_, err = s.DeleteProject(ctx, "ann", noon, p.ID, 2)
		require.NoError(t, err)
		_, err = s.Project(ctx, "ann", "Owl")
		require.ErrorIs(t, err, store.ErrNotFound)
		bin, err := s.Bin(ctx, "ann")
		require.NoError(t, err)
		require.Len(t, bin, 1)

		newer := save(t, s, "ann", "Owl", "another")
		_, err = s.RestoreProject(ctx, "ann", noon, p.ID, "")
		require.ErrorIs(t, err, store.ErrNameTaken)
		back, err := s.RestoreProject(ctx, "ann", noon, p.ID, "First owl")
		require.NoError(t, err)
		require.Equal(t, "two", back.Sheet)
		require.Equal(t, uint64(3), back.Revision, "the new name is a revision")
		found, err := s.Project(ctx, "ann", "owl")
		require.NoError(t, err)
		require.Equal(t, newer, found)
		undone, err := s.UndoProject(ctx, "ann", noon, p.ID, 2, 3)
		require.NoError(t, err)
		require.Equal(t, "one", undone.Sheet)
		require.Equal(t, "First owl", undone.Name, "its old name is another project's by now")

		_, err = s.DeleteProject(ctx, "ann", noon, newer.ID, 1)
		require.NoError(t, err)
		back, err = s.RestoreProject(ctx, "ann", noon, newer.ID, "")
		require.NoError(t, err)
		require.Equal(t, newer, back)
		requireSound(t, s)
	})
}

func TestBinIsBoundedAndSwept(t *testing.T) {
	onEngines(t, store.Options{Limits: store.Limits{Bin: 3}}, func(t *testing.T, s *store.Records) {
		ctx := t.Context()
		for n := range 5 {
			p := save(t, s, "ann", fmt.Sprint("Owl ", n), "text")
			p.Sheet = "changed"
			_, err := s.SaveProject(ctx, "ann", noon, p, 1)
			require.NoError(t, err)
			_, err = s.DeleteProject(ctx, "ann", noon.Add(time.Duration(n)*time.Hour), p.ID, 2)
			require.NoError(t, err)
		}
		bin, err := s.Bin(ctx, "ann")
		require.NoError(t, err)
		require.Len(t, bin, 3)
		require.Equal(t, "Owl 4", bin[0].Name)

		report := requireSound(t, s)
		require.Equal(t, 3, report.Records[store.KindRevision])
		n, err := s.Sweep(ctx, noon.Add(3*time.Hour+30*24*time.Hour))
		require.NoError(t, err)
		require.Equal(t, 2, n)
		report = requireSound(t, s)
		require.Equal(t, 1, report.Records[store.KindBin])
		require.Equal(t, 1, report.Records[store.KindRevision])
		require.Equal(t, 1, report.Records[store.KindExpiry])
	})
}

// A bin that is to hold fewer from now on gives up all that are too many with the next
// project that is deleted.
func TestBinThatIsMadeSmaller(t *testing.T) {
	engine := storetest.NewMemory()
	for _, row := range []struct{ limit, deleted, left int }{{5, 4, 4}, {2, 1, 2}} {
		s, err := store.New(t.Context(), engine, store.Options{Limits: store.Limits{Bin: row.limit}})
		require.NoError(t, err)
		for range row.deleted {
			p := save(t, s, "ann", "Owl", "text")
			_, err := s.DeleteProject(t.Context(), "ann", noon, p.ID, 1)
			require.NoError(t, err)
		}
		bin, err := s.Bin(t.Context(), "ann")
		require.NoError(t, err)
		require.Len(t, bin, row.left)
		requireSound(t, s)
	}
}

// requireSound checks every record.
func requireSound(t *testing.T, s *store.Records) store.CheckReport {
	t.Helper()
	report, err := s.Check(t.Context())
	require.NoError(t, err)
	require.Empty(t, report.Problems)
	return report
}
