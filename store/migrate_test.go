package store_test

import (
	"compress/gzip"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/boltstore"
)

// keptFile unpacks a file that an older version has written.
func keptFile(t *testing.T, name string) string {
	t.Helper()
	packed, err := os.Open(filepath.Join("testdata", name+".gz"))
	require.NoError(t, err)
	defer packed.Close()
	r, err := gzip.NewReader(packed)
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), name)
	f, err := os.OpenFile(path, os.O_CREATE|os.O_WRONLY, 0o600)
	require.NoError(t, err)
	_, err = io.Copy(f, r)
	require.NoError(t, err)
	require.NoError(t, f.Close())
	return path
}

// TestFormat1IsBroughtUpToDate opens a file that was written before names
// carried summaries, and finds everything that was saved in it.
func TestFormat1IsBroughtUpToDate(t *testing.T) {
	ctx := t.Context()
	path := keptFile(t, "format1.db")

	before, err := boltstore.CheckFile(ctx, path, store.Options{})
	require.NoError(t, err, "an older file can be looked at without being changed")
	require.Empty(t, before.Problems)

	engine, err := boltstore.Open(path, boltstore.Options{})
	require.NoError(t, err)
	s, err := store.New(ctx, engine, store.Options{})
	require.NoError(t, err)

	at := time.Date(2026, 2, 1, 12, 0, 0, 0, time.UTC)
	list, err := s.Projects(ctx, "ann")
	require.NoError(t, err)
	require.Len(t, list, 2)
	require.Equal(t, "Fern", list[0].Name)
	require.Equal(t, store.ProjectSummary{ID: list[1].ID, Name: "Owl", Revision: 4, Changed: at}, list[1])

	owl, err := s.Project(ctx, "ann", "owl")
	require.NoError(t, err)
	require.Equal(t, "owl 4", owl.Sheet)
	require.Equal(t, "for the hall", owl.Notes)
	back, err := s.UndoProject(ctx, "ann", at, owl.ID, 3, 4)
	require.NoError(t, err)
	require.Equal(t, "owl 1", back.Sheet)

	other, err := s.Project(ctx, "ben", "owl")
	require.NoError(t, err)
	require.Equal(t, "another owl", other.Sheet)
	bin, err := s.Bin(ctx, "ann")
	require.NoError(t, err)
	require.Len(t, bin, 1)
	require.Equal(t, "Gone", bin[0].Name)
	shelf, err := s.Leftovers(ctx, "ann")
	require.NoError(t, err)
	require.Equal(t, uint64(1), shelf.Revision)
	require.Equal(t, store.Nanometres(1_250_000_000), shelf.Entries[1].Length)
	swatches, err := s.Swatches(ctx, "ann")
	require.NoError(t, err)
	require.JSONEq(t, `{"used":[1,2]}`, string(swatches[0].Data))
	preferences, err := s.Preferences(ctx, "ann")
	require.NoError(t, err)
	require.JSONEq(t, `{"units":"metric"}`, string(preferences.Data))
	rules, err := s.Entries(ctx, "ann", store.KindRule)
	require.NoError(t, err)
	require.Len(t, rules, 1)
	knots, err := s.CommunityEntries(ctx, "ann", "guild", store.KindKnot)
	require.NoError(t, err)
	require.Equal(t, "ben", knots[0].AddedBy)
	set, err := s.Settings(ctx, "ann", "guild")
	require.NoError(t, err)
	require.Equal(t, []string{"show"}, set.Channels)
	shares, err := s.Shares(ctx, "ann")
	require.NoError(t, err)
	require.Equal(t, "fern", shares[0].Sheet)
	draft, err := s.Draft(ctx, "ann", at, "draft1")
	require.NoError(t, err)
	require.JSONEq(t, `{"a":1}`, string(draft.Payload))
	result, first, err := s.Once(ctx, "ann", at, "op 1", func(*store.Tx) (json.RawMessage, error) { return nil, nil })
	require.NoError(t, err)
	require.False(t, first)
	require.JSONEq(t, `"done"`, string(result))

	report, err := s.Check(ctx)
	require.NoError(t, err)
	require.Empty(t, report.Problems)
	require.Equal(t, before.Total, report.Total-2, "undoing has added one revision, and the tally of who saved")
	require.NoError(t, engine.Close())

	// Opening it again finds nothing to do, and a reader may open it too.
	engine, err = boltstore.Open(path, boltstore.Options{ReadOnly: true})
	require.NoError(t, err)
	_, err = store.New(ctx, engine, store.Options{})
	require.NoError(t, err)
	require.NoError(t, engine.Close())
}

// TestFormat2IsBroughtUpToDate opens a file of the time before tallies and
// packed records. Everything is in it; from the first save on a member is
// counted, with what was there before.
func TestFormat2IsBroughtUpToDate(t *testing.T) {
	ctx := t.Context()
	path := keptFile(t, "format2.db")
	before, err := boltstore.CheckFile(ctx, path, store.Options{})
	require.NoError(t, err)
	require.Empty(t, before.Problems)
	s, engine, err := openFile(t, path, store.Options{})
	require.NoError(t, err)
	want, err := os.ReadFile(keptFile(t, "format2.json"))
	require.NoError(t, err)
	// That version exported lengths in nanometres.
	want = regexp.MustCompile(`_nm":( ?)([0-9]+)000000\b`).ReplaceAll(want, []byte(`_mm":$1$2`))
	requireExported(t, string(want), exported(t, s, "ann"))
	untouched, err := s.Keep(ctx, "ann")
	require.NoError(t, err)
	require.Greater(t, untouched.Bytes, int64(1000), "counted anew, as nothing is noted yet")
	requireSound(t, s)
	require.Zero(t, before.Records[store.KindTally])

	p, err := s.Project(ctx, "ann", "long")
	require.NoError(t, err)
	p.Sheet += "# after\n"
	_, err = s.SaveProject(ctx, "ann", noon, p, p.Revision)
	require.NoError(t, err)
	after := requireSound(t, s)
	require.Equal(t, 1, after.Records[store.KindTally], "ann is counted, ben is not yet")
	kept, err := s.Keep(ctx, "ann")
	require.NoError(t, err)
	require.Greater(t, kept.Bytes, untouched.Bytes-2000, "packing makes the project shorter")
	require.NoError(t, engine.Close())
}

// requireExported compares what two exports hold.
func requireExported(t *testing.T, want, got string) {
	t.Helper()
	var docs [2]map[string]any
	for i, text := range []string{want, got} {
		require.NoError(t, json.Unmarshal([]byte(text), &docs[i]))
		delete(docs[i], "part")
		delete(docs[i], "version")
	}
	require.Equal(t, docs[0], docs[1])
}

func TestOlderFileCannotBeBroughtUpToDateByAReader(t *testing.T) {
	engine, err := boltstore.Open(keptFile(t, "format1.db"), boltstore.Options{ReadOnly: true})
	require.NoError(t, err)
	defer engine.Close()
	_, err = store.New(t.Context(), engine, store.Options{})
	require.ErrorIs(t, err, store.ErrReadOnly)
}
