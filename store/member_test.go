package store_test

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/seal"
)

// exported is the JSON of an export that fits into one part.
func exported(t *testing.T, s *store.Records, member string) string {
	t.Helper()
	parts := exportedParts(t, s, member, 8<<20)
	require.Len(t, parts, 1)
	return parts[0]
}

// exportedParts is the JSON of every part of an export.
func exportedParts(t *testing.T, s *store.Records, member string, limit int) (parts []string) {
	t.Helper()
	require.NoError(t, s.Export(t.Context(), member, noon, limit, func(file []byte) error {
		require.LessOrEqual(t, len(file), limit)
		parts = append(parts, unzipped(t, file))
		return nil
	}))
	return parts
}

func unzipped(t *testing.T, file []byte) string {
	t.Helper()
	r, err := zip.NewReader(bytes.NewReader(file), int64(len(file)))
	require.NoError(t, err)
	require.Len(t, r.File, 1)
	f, err := r.File[0].Open()
	require.NoError(t, err)
	text, err := io.ReadAll(f)
	require.NoError(t, err)
	return string(text)
}

func TestExportHoldsEverything(t *testing.T) {
	onEngines(t, store.Options{}, func(t *testing.T, s *store.Records) {
		fill(t, s, "ann")
		fill(t, s, "ben")
		text := exported(t, s, "ann")
		var document struct {
			Format   string
			Version  int
			Member   string
			Projects []struct {
				Name, Sheet string
				Revision    int
				History     []store.Project
			}
			DeletedProjects []struct {
				Name    string
				History []store.Project
			} `json:"deleted_projects"`
			Shelf         store.Leftovers
			ShelfChanges  []map[string]any `json:"shelf_changes"`
			Swatches      []store.Swatch
			Preferences   store.Preferences
			Knots         []store.Entry
			Rules         []store.Entry
			Contributions []map[string]string
			Shares        []store.Share
			Drafts        []store.Draft
			Operations    []map[string]any
		}
		require.NoError(t, json.Unmarshal([]byte(text), &document))
		require.Equal(t, "larkfold export", document.Format)
		require.Equal(t, "ann", document.Member)
		require.Len(t, document.Projects, 2)
		require.Equal(t, "a private sheet, changed", document.Projects[0].Sheet)
		require.Equal(t, "a private sheet", document.Projects[0].History[0].Sheet)
		require.Len(t, document.DeletedProjects, 1)
		require.Len(t, document.DeletedProjects[0].History, 1)
		require.Len(t, document.Shelf.Entries, 2)
		require.Len(t, document.ShelfChanges, 1)
		require.Len(t, document.Swatches, 1)
		require.JSONEq(t, `{"units":"private"}`, string(document.Preferences.Data))
		require.Empty(t, document.Knots)
		require.Len(t, document.Rules, 1)
		require.Equal(t, []map[string]string{{"community": "guild-4711", "book": "knot", "name": "crown of ann"}}, document.Contributions)
		require.Len(t, document.Shares, 2)
		require.Len(t, document.Drafts, 1)
		require.Equal(t, "private result", document.Operations[0]["result"])
		require.NotContains(t, text, `"ben"`)
		require.Contains(t, text, "\n  \"projects\": [\n    {\"id\"", "it can be read by people")

		require.True(t, json.Valid([]byte(exported(t, s, "nobody"))))
	})
}

func TestForgetLeavesNothing(t *testing.T) {
	for _, options := range []store.Options{{}, {Key: seal.GenerateKey()}} {
		onEngines(t, options, func(t *testing.T, s *store.Records) {
			ctx := t.Context()
			fill(t, s, "ben")
			alone := requireSound(t, s)
			fill(t, s, "ann-the-member")
			for n := range 300 { // more than one transaction's worth
				save(t, s, "ann-the-member", fmt.Sprint("more ", n), "text")
			}
			kept, err := s.Shares(ctx, "ann-the-member")
			require.NoError(t, err)
			_, err = s.SaveProject(ctx, "ben", noon, store.Project{Name: "from a friend", Sheet: kept[0].Sheet}, 0)
			require.NoError(t, err)
			before := requireSound(t, s)

			report, err := s.Forget(ctx, "ann-the-member")
			require.NoError(t, err)
			require.Zero(t, report.Left)
			require.Equal(t, 302, report.Records[store.KindProject])
			require.Equal(t, 2, report.Records[store.KindShare])
			require.Equal(t, 1, report.Records[store.KindOperation])

			after := requireSound(t, s)
			require.Equal(t, before.Total-after.Total, report.Total+4, "everything erased, and with it three notes of expiry and the tally")
			want := alone.Records
			want[store.KindProject]++ // what ben kept
			want[store.KindName]++
			want[store.KindKnot]++ // stays with the community, without the member's id
			require.Equal(t, want, after.Records)
			knots, err := s.CommunityEntries(ctx, "ben", "guild-4711", store.KindKnot)
			require.NoError(t, err)
			require.Equal(t, "ben", knots[1-indexOf(knots, "crown of ann-the-member")].AddedBy)
			require.Empty(t, knots[indexOf(knots, "crown of ann-the-member")].AddedBy)
			_, err = s.Shared(ctx, "ben", kept[0].ID)
			require.ErrorIs(t, err, store.ErrNotFound)

			require.NotContains(t, exported(t, s, "ann-the-member"), "rivate")
			again, err := s.Forget(ctx, "ann-the-member")
			require.NoError(t, err)
			require.Zero(t, again.Total)
			_, err = s.Project(ctx, "ben", "from a friend")
			require.NoError(t, err)
		})
	}
}

func indexOf(entries []store.Entry, name string) int {
	for i, e := range entries {
		if e.Name == name {
			return i
		}
	}
	return -1
}

func TestForgetBrokenOffIsTakenUpAgain(t *testing.T) {
	onEngines(t, store.Options{}, func(t *testing.T, s *store.Records) {
		fill(t, s, "ann")
		ctx, cancel := context.WithCancel(t.Context())
		cancel()
		_, err := s.Forget(ctx, "ann")
		require.ErrorIs(t, err, context.Canceled)
		report, err := s.Forget(t.Context(), "ann")
		require.NoError(t, err)
		require.Zero(t, report.Left)
		require.Positive(t, report.Total)
	})
}
