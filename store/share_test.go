package store_test

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store"
)

func TestShareIsFrozenAndGoesWhenUnshared(t *testing.T) {
	onEngines(t, store.Options{}, func(t *testing.T, s *store.Records) {
		ctx := t.Context()
		p := save(t, s, "ann", "Owl", "one")
		share, err := s.ShareProject(ctx, "ann", noon, store.Share{Project: p.ID, Community: "guild", Channel: "show"})
		require.NoError(t, err)
		p.Sheet = "two"
		_, err = s.SaveProject(ctx, "ann", noon, p, 1)
		require.NoError(t, err)

		seen, err := s.Shared(ctx, "ben", share.ID)
		require.NoError(t, err)
		require.Equal(t, "one", seen.Sheet)
		kept, err := s.SaveProject(ctx, "ben", noon, store.Project{Name: seen.Name, Sheet: seen.Sheet}, 0)
		require.NoError(t, err)
		require.Equal(t, "ben", kept.Owner)
		require.NotEqual(t, p.ID, kept.ID)

		_, err = s.Unshare(ctx, "ben", noon, share.ID)
		require.ErrorIs(t, err, store.ErrNotFound, "another's share")
		_, err = s.ShareProject(ctx, "ben", noon, store.Share{Project: p.ID})
		require.ErrorIs(t, err, store.ErrNotFound, "another's project")
		requireSound(t, s)
		_, err = s.Unshare(ctx, "ann", noon, share.ID)
		require.NoError(t, err)
		_, err = s.Shared(ctx, "ben", share.ID)
		require.ErrorIs(t, err, store.ErrNotFound)
		shares, err := s.Shares(ctx, "ann")
		require.NoError(t, err)
		require.Empty(t, shares)
		found, err := s.Project(ctx, "ben", "Owl")
		require.NoError(t, err)
		require.Equal(t, "one", found.Sheet, "a copy that was kept stays")
	})
}

// TestNobodyReachesAnothersRecords tries every method that takes the id of a record with another's.
func TestNobodyReachesAnothersRecords(t *testing.T) {
	onEngines(t, store.Options{}, func(t *testing.T, s *store.Records) {
		ctx := t.Context()
		p := save(t, s, "ann", "Owl", "one")
		gone := save(t, s, "ann", "Gone", "one")
		_, err := s.DeleteProject(ctx, "ann", noon, gone.ID, 1)
		require.NoError(t, err)
		swatch, err := s.SaveSwatch(ctx, "ann", noon, store.Swatch{Knot: "square knot"}, 0)
		require.NoError(t, err)
		draft, err := s.SaveDraft(ctx, "ann", noon, store.Draft{Kind: "sheet", Expires: noon.Add(time.Hour)})
		require.NoError(t, err)
		shelf, err := s.ChangeLeftovers(ctx, "ann", noon, store.LeftoverChange{Add: []store.Leftover{offcut(metre, 1)}}, 0)
		require.NoError(t, err)
		_, err = s.SaveEntry(ctx, "ann", noon, store.KindKnot, store.Entry{Name: "mine"}, 0)
		require.NoError(t, err)
		before := requireSound(t, s)

		stolen := p
		stolen.Sheet = "stolen"
		tries := map[string]func() error{
			"read":     func() error { _, err := s.ProjectByID(ctx, "ben", p.ID); return err },
			"name":     func() error { _, err := s.Project(ctx, "ben", "Owl"); return err },
			"save":     func() error { _, err := s.SaveProject(ctx, "ben", noon, stolen, store.AnyRevision); return err },
			"rename":   func() error { _, err := s.RenameProject(ctx, "ben", noon, p.ID, "X", store.AnyRevision); return err },
			"copy":     func() error { _, err := s.CopyProject(ctx, "ben", noon, p.ID, "X"); return err },
			"delete":   func() error { _, err := s.DeleteProject(ctx, "ben", noon, p.ID, store.AnyRevision); return err },
			"restore":  func() error { _, err := s.RestoreProject(ctx, "ben", noon, gone.ID, ""); return err },
			"history":  func() error { _, err := s.History(ctx, "ben", p.ID); return err },
			"undo":     func() error { _, err := s.UndoProject(ctx, "ben", noon, p.ID, 1, store.AnyRevision); return err },
			"swatch":   func() error { _, err := s.SaveSwatch(ctx, "ben", noon, swatch, store.AnyRevision); return err },
			"unswatch": func() error { _, err := s.DeleteSwatch(ctx, "ben", noon, swatch.ID); return err },
			"draft":    func() error { _, err := s.Draft(ctx, "ben", noon, draft.Key); return err },
			"entry":    func() error { _, err := s.DeleteEntry(ctx, "ben", noon, store.KindKnot, "mine"); return err },
		}
		for name, try := range tries {
			require.ErrorIs(t, try(), store.ErrNotFound, name)
		}
		_, err = s.ChangeLeftovers(ctx, "ben", noon, store.LeftoverChange{Take: []store.Take{{ID: shelf.Entries[0].ID}}}, 0)
		require.ErrorIs(t, err, store.ErrNotEnough)
		require.NoError(t, s.DeleteDraft(ctx, "ben", noon, draft.Key))
		require.Equal(t, before, requireSound(t, s))

		_, err = s.Draft(ctx, "ann", noon, draft.Key)
		require.NoError(t, err)
		_, err = s.Draft(ctx, "ann", noon.Add(time.Hour), draft.Key)
		require.ErrorIs(t, err, store.ErrNotFound, "its time is over")
		_, first, err := s.Once(ctx, "ann", noon, "op", func(*store.Tx) (json.RawMessage, error) { return nil, nil })
		require.NoError(t, err)
		require.True(t, first)
		_, first, err = s.Once(ctx, "ben", noon, "op", func(*store.Tx) (json.RawMessage, error) { return nil, nil })
		require.NoError(t, err)
		require.True(t, first, "operation keys are a member's own")
		for _, member := range []string{"", "ann"} {
			_, err := s.ProjectByID(ctx, member, "")
			require.Error(t, err)
		}
	})
}
