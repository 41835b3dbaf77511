package store_test

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store"
)

func TestCommunityBook(t *testing.T) {
	onEngines(t, store.Options{}, func(t *testing.T, s *store.Records) {
		ctx := t.Context()
		first, err := s.SaveCommunityEntry(ctx, "ann", noon, "guild", store.KindKnot, store.Entry{Name: "Crown", Data: json.RawMessage(`{ "up": 4 }`)}, 0)
		require.NoError(t, err)
		require.Equal(t, "ann", first.AddedBy)
		require.Equal(t, `{"up":4}`, string(first.Data))
		_, err = s.SaveCommunityEntry(ctx, "ben", noon, "guild", store.KindKnot, store.Entry{Name: "CROWN"}, 0)
		require.ErrorIs(t, err, store.ErrNameTaken)
		later := noon.Add(time.Hour)
		second, err := s.SaveCommunityEntry(ctx, "ben", later, "guild", store.KindKnot, store.Entry{Name: "CROWN", Data: json.RawMessage(`5`)}, 1)
		require.NoError(t, err)
		require.Equal(t, store.Entry{Name: "CROWN", Data: json.RawMessage(`5`), AddedBy: "ben", Revision: 2, Created: noon, Changed: later}, second)
		_, err = s.SaveCommunityEntry(ctx, "ann", later, "guild", store.KindKnot, store.Entry{Name: "crown"}, 1)
		var conflict *store.Conflict
		require.ErrorAs(t, err, &conflict)
		require.Equal(t, second, conflict.Stored.(store.Entry))
		_, err = s.SaveCommunityEntry(ctx, "ann", later, "guild", store.KindKnot, store.Entry{Name: "new"}, 1)
		require.ErrorIs(t, err, store.ErrNotFound)

		_, err = s.SaveEntry(ctx, "ann", noon, store.KindRule, store.Entry{Name: "crown"}, 0)
		require.NoError(t, err, "a member's own rule")
		for community, want := range map[string]int{"guild": 1, "another": 0} {
			list, err := s.CommunityEntries(ctx, "ann", community, store.KindKnot)
			require.NoError(t, err)
			require.Len(t, list, want)
		}
		report := requireSound(t, s)
		require.Equal(t, 1, report.Records[store.KindContributed], "the one who wrote it last")

		_, err = s.DeleteCommunityEntry(ctx, "zoe", noon, "guild", store.KindKnot, "Crown")
		require.NoError(t, err)
		report = requireSound(t, s)
		require.Zero(t, report.Records[store.KindContributed])
		_, err = s.DeleteCommunityEntry(ctx, "zoe", noon, "guild", store.KindKnot, "Crown")
		require.ErrorIs(t, err, store.ErrNotFound)

		for _, community := range []string{"", "\xff"} {
			_, err = s.SaveCommunityEntry(ctx, "ann", noon, community, store.KindKnot, store.Entry{Name: "x"}, 0)
			require.ErrorIs(t, err, store.ErrInvalid)
		}
		_, err = s.SaveEntry(ctx, "ann", noon, "recipe", store.Entry{Name: "x"}, 0)
		require.ErrorIs(t, err, store.ErrInvalid)
	})
}

func TestSettingsAndPreferencesAreNotOverwritten(t *testing.T) {
	onEngines(t, store.Options{}, func(t *testing.T, s *store.Records) {
		ctx := t.Context()
		none, err := s.Preferences(ctx, "ann")
		require.NoError(t, err)
		require.Zero(t, none)
		_, err = s.SavePreferences(ctx, "ann", noon, json.RawMessage(`1`), 0)
		require.NoError(t, err)
		_, err = s.SavePreferences(ctx, "ann", noon, json.RawMessage(`2`), 0)
		var conflict *store.Conflict
		require.ErrorAs(t, err, &conflict)
		require.Equal(t, json.RawMessage(`1`), conflict.Stored.(store.Preferences).Data)

		_, err = s.SaveSettings(ctx, "ann", noon, "guild", store.Settings{Channels: []string{"a"}}, 0)
		require.NoError(t, err)
		_, err = s.SaveSettings(ctx, "ben", noon, "guild", store.Settings{Channels: []string{"b"}}, 0)
		require.ErrorAs(t, err, &conflict)
		set, err := s.Settings(ctx, "zoe", "guild")
		require.NoError(t, err)
		require.Equal(t, []string{"a"}, set.Channels)
		require.Equal(t, uint64(1), set.Revision)
	})
}

func TestSweepRemovesWhatHasExpired(t *testing.T) {
	onEngines(t, store.Options{}, func(t *testing.T, s *store.Records) {
		ctx := t.Context()
		operate := func() bool {
			_, first, err := s.Once(ctx, "ann", noon, "press", func(*store.Tx) (json.RawMessage, error) { return nil, nil })
			require.NoError(t, err)
			return first
		}
		require.True(t, operate())
		for n := range 3 {
			_, err := s.SaveDraft(ctx, "ann", noon, store.Draft{Key: string(rune('a' + n)), Expires: noon.Add(time.Duration(n+1) * time.Hour)})
			require.NoError(t, err)
		}
		_, err := s.SaveDraft(ctx, "ann", noon, store.Draft{Key: "a", Expires: noon.Add(9 * time.Hour)})
		require.NoError(t, err, "saved again, for longer")
		requireSound(t, s)

		n, err := s.Sweep(ctx, noon.Add(150*time.Minute))
		require.NoError(t, err)
		require.Equal(t, 1, n, "draft b")
		for key, there := range map[string]bool{"a": true, "b": false, "c": true} {
			_, err := s.Draft(ctx, "ann", noon, key)
			require.Equal(t, there, err == nil, key)
		}
		require.False(t, operate(), "still remembered")
		n, err = s.Sweep(ctx, noon.Add(store.DefaultLimits().OperationLife-time.Second))
		require.NoError(t, err)
		require.Equal(t, 2, n, "drafts a and c")
		require.False(t, operate(), "remembered to the last second")
		n, err = s.Sweep(ctx, noon.Add(store.DefaultLimits().OperationLife))
		require.NoError(t, err)
		require.Equal(t, 1, n)
		report := requireSound(t, s)
		require.Equal(t, 1, report.Total)
		require.True(t, operate())

		_, err = s.SaveDraft(ctx, "ann", noon, store.Draft{Expires: noon})
		require.ErrorIs(t, err, store.ErrInvalid)
	})
}

func TestFailedOperationIsNotRemembered(t *testing.T) {
	onEngines(t, store.Options{}, func(t *testing.T, s *store.Records) {
		ctx := t.Context()
		_, _, err := s.Once(ctx, "ann", noon, "press", func(tx *store.Tx) (json.RawMessage, error) {
			if _, err := tx.SaveProject(store.Project{Name: "Owl"}, 0); err != nil {
				return nil, err
			}
			_, err := tx.SaveProject(store.Project{Name: "owl"}, 0)
			return nil, err
		})
		require.ErrorIs(t, err, store.ErrNameTaken)
		list, err := s.Projects(ctx, "ann")
		require.NoError(t, err)
		require.Empty(t, list, "the first half is undone with the second")
		_, first, err := s.Once(ctx, "ann", noon, "press", func(tx *store.Tx) (json.RawMessage, error) {
			_, err := tx.SaveProject(store.Project{Name: "Owl"}, 0)
			return nil, err
		})
		require.NoError(t, err)
		require.True(t, first)
	})
}
