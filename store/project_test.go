package store_test

import (
	"context"
	"encoding/json"
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/boltstore"
	"larkfold/store/storetest"
)

var noon = time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)

// onEngines runs a test on the memory engine and on a file, whose records and
// structure are checked when the test is done.
func onEngines(t *testing.T, options store.Options, test func(t *testing.T, s *store.Records)) {
	t.Run("memory", func(t *testing.T) {
		s, err := store.New(t.Context(), storetest.NewMemory(), options)
		require.NoError(t, err)
		test(t, s)
	})
	t.Run("file", func(t *testing.T) {
		engine, err := boltstore.Open(filepath.Join(t.TempDir(), "store.db"), boltstore.Options{})
		require.NoError(t, err)
		t.Cleanup(func() { require.NoError(t, engine.Close()) })
		s, err := store.New(t.Context(), engine, options)
		require.NoError(t, err)
		test(t, s)
	})
}

func save(t *testing.T, s *store.Records, member, name, sheet string) store.Project {
	t.Helper()
	p, err := s.SaveProject(t.Context(), member, noon, store.Project{Name: name, Sheet: sheet}, 0)
	require.NoError(t, err)
	return p
}

func TestProjectIsSavedFoundAndRevised(t *testing.T) {
	onEngines(t, store.Options{}, func(t *testing.T, s *store.Records) {
		ctx := t.Context()
		p := save(t, s, "ann", " Owl  on a branch ", "piece: owl")
		require.Equal(t, "Owl on a branch", p.Name)
		require.Equal(t, uint64(1), p.Revision)

		found, err := s.Project(ctx, "ann", "owl ON a branch")
		require.NoError(t, err)
		require.Equal(t, p, found)

		p.Sheet = "piece: owl, larger"
		later := noon.Add(time.Hour)
		q, err := s.SaveProject(ctx, "ann", later, p, 1)
		require.NoError(t, err)
		require.Equal(t, uint64(2), q.Revision)
		require.Equal(t, noon, q.Created)
		require.Equal(t, later, q.Changed)

		p.Sheet = "piece: owl, smaller"
		_, err = s.SaveProject(ctx, "ann", later, p, 1)
		var conflict *store.Conflict
		require.ErrorAs(t, err, &conflict)
		require.Equal(t, q, conflict.Stored.(store.Project))

		_, err = s.Project(ctx, "ben", "owl on a branch")
		require.ErrorIs(t, err, store.ErrNotFound)
		_, err = s.ProjectByID(ctx, "ben", p.ID)
		require.ErrorIs(t, err, store.ErrNotFound)

		_, err = s.SaveProject(ctx, "ann", later, store.Project{Name: "OWL ON A BRANCH"}, 0)
		var taken *store.NameTaken
		require.ErrorAs(t, err, &taken)
		require.Equal(t, p.Name, taken.Name)
	})
}

func TestUndoCanBeUndone(t *testing.T) {
	onEngines(t, store.Options{}, func(t *testing.T, s *store.Records) {
		ctx := t.Context()
		p := save(t, s, "ann", "Owl", "text 1")
		for n := 2; n <= 30; n++ {
			p.Sheet = fmt.Sprintf("text %d", n)
			var err error
			p, err = s.SaveProject(ctx, "ann", noon, p, p.Revision)
			require.NoError(t, err)
		}
		history, err := s.History(ctx, "ann", p.ID)
		require.NoError(t, err)
		require.Len(t, history, 20)
		require.Equal(t, "text 29", history[0].Sheet)

		back, err := s.UndoProject(ctx, "ann", noon, p.ID, 20, p.Revision)
		require.NoError(t, err)
		require.Equal(t, "text 10", back.Sheet)
		require.Equal(t, uint64(31), back.Revision)
		require.Equal(t, uint64(10), back.Restored)

		again, err := s.UndoProject(ctx, "ann", noon, p.ID, 1, back.Revision)
		require.NoError(t, err)
		require.Equal(t, "text 30", again.Sheet)

		_, err = s.UndoProject(ctx, "ann", noon, p.ID, 21, again.Revision)
		require.ErrorIs(t, err, store.ErrInvalid)
	})
}

func TestOperationHappensOnce(t *testing.T) {
	onEngines(t, store.Options{}, func(t *testing.T, s *store.Records) {
		ctx := context.Background()
		book := func() (json.RawMessage, bool, error) {
			return s.Once(ctx, "ann", noon, "press 1", func(tx *store.Tx) (json.RawMessage, error) {
				shelf, err := tx.ChangeLeftovers(store.LeftoverChange{Why: "bought",
					Add: []store.Leftover{{Kind: store.Offcut, Cord: "3 mm cotton", Length: 2_000_000_000, Count: 3}}}, store.AnyRevision)
				if err != nil {
					return nil, err
				}
				return json.Marshal(shelf.Revision)
			})
		}
		result, first, err := book()
		require.NoError(t, err)
		require.True(t, first)
		again, first, err := book()
		require.NoError(t, err)
		require.False(t, first)
		require.Equal(t, result, again)
		shelf, err := s.Leftovers(ctx, "ann")
		require.NoError(t, err)
		require.Len(t, shelf.Entries, 1)
		require.Equal(t, 3, shelf.Entries[0].Count)
	})
}
