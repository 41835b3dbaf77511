package store_test

import (
	"bytes"
	"crypto/rand"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/store"
	"larkfold/store/pairs"
	"larkfold/store/seal"
	"larkfold/store/storetest"
)

// TestRolledBackRecordIsFound puts every record of a sealed store, one after the
// other, back to an earlier version of it, which its seal allows; and deletes it.
func TestRolledBackRecordIsFound(t *testing.T) {
	ctx := t.Context()
	engine := storetest.NewMemory()
	options := store.Options{Key: seal.GenerateKey()}
	s, err := store.New(ctx, engine, options)
	require.NoError(t, err)
	fill(t, s, "ann")
	early := allPairs(t, engine)
	changeAll(t, s, "ann")
	late := allPairs(t, engine)
	requireSound(t, s)
	kinds := map[string]int{}
	for key, value := range late {
		if before, there := early[key]; key[0] != 'A' && key[0] != 'E' && (!there || !bytes.Equal(before, value)) {
			if there {
				requireProblem(t, engine, options, key, before, value)
			}
			requireProblem(t, engine, options, key, nil, value)
			kinds[fmt.Sprintf("%c%c", key[0], key[min(len(key)-1, 17)])]++
		}
	}
	require.Greater(t, len(kinds), 5, kinds)
	requireSound(t, s)

	// The limit: everything of a member put back together, the tally too.
	require.NoError(t, engine.Update(ctx, func(w pairs.Writer) error {
		for key := range late {
			if err := w.Delete([]byte(key)); err != nil {
				return err
			}
		}
		for key, value := range early {
			if err := w.Put([]byte(key), value); err != nil {
				return err
			}
		}
		return nil
	}))
	requireSound(t, s)
}

func requireProblem(t *testing.T, engine pairs.Engine, options store.Options, key string, spoiled, whole []byte) {
	t.Helper()
	set := func(value []byte) {
		require.NoError(t, engine.Update(t.Context(), func(w pairs.Writer) error {
			if value == nil {
				return w.Delete([]byte(key))
			}
			return w.Put([]byte(key), value)
		}))
	}
	set(spoiled)
	report, err := store.Verify(t.Context(), engine, options)
	require.NoError(t, err)
	if !strings.HasSuffix(store.DescribeKey([]byte(key)), "tally") && !(spoiled == nil && isTally(key)) {
		require.NotEmpty(t, report.Problems, "%s, deleted %v", store.DescribeKey([]byte(key)), spoiled == nil)
	}
	set(whole)
}

func isTally(key string) bool { return len(key) == 18 && key[17] == 't' }

func allPairs(t *testing.T, engine pairs.Engine) map[string][]byte {
	t.Helper()
	stored := map[string][]byte{}
	require.NoError(t, engine.View(t.Context(), func(r pairs.Reader) error {
		for pair, err := range r.Scan(nil, nil) {
			if err != nil {
				return err
			}
			stored[string(pair.Key)] = bytes.Clone(pair.Value)
		}
		return nil
	}))
	return stored
}

// changeAll changes something in most kinds of record that fill has made.
func changeAll(t *testing.T, s *store.Records, member string) {
	t.Helper()
	ctx := t.Context()
	p, err := s.Project(ctx, member, "private name 1")
	require.NoError(t, err)
	p.Sheet += ", again"
	_, err = s.SaveProject(ctx, member, noon, p, p.Revision)
	require.NoError(t, err)
	_, err = s.ChangeLeftovers(ctx, member, noon, store.LeftoverChange{Add: []store.Leftover{offcut(metre, 5)}}, 1)
	require.NoError(t, err)
	swatches, err := s.Swatches(ctx, member)
	require.NoError(t, err)
	swatches[0].Cord = "another"
	_, err = s.SaveSwatch(ctx, member, noon, swatches[0], 1)
	require.NoError(t, err)
	_, err = s.SavePreferences(ctx, member, noon, json.RawMessage(`{"units":"other"}`), 1)
	require.NoError(t, err)
	_, err = s.SaveEntry(ctx, member, noon, store.KindRule, store.Entry{Name: "private rule", Data: json.RawMessage(`1`)}, 1)
	require.NoError(t, err)
	_, err = s.SaveSettings(ctx, member, noon, "guild-4711", store.Settings{Channels: []string{"other"}}, 1)
	require.NoError(t, err)
}

// TestTallyAgreesWithTheRecords makes random changes and lets the check count again.
func TestTallyAgreesWithTheRecords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ctx := t.Context()
		s, err := store.New(ctx, storetest.NewMemory(), store.Options{
			Limits: store.Limits{Projects: 5, Revisions: 2, Bin: 2, Drafts: 3, OperationLife: time.Hour, BinLife: time.Hour}})
		require.NoError(t, err)
		now := noon
		for range rapid.IntRange(1, 40).Draw(t, "changes") {
			member := rapid.SampledFrom([]string{"ann", "ben"}).Draw(t, "member")
			name := rapid.SampledFrom([]string{"a", "b", "c"}).Draw(t, "name")
			p, _ := s.Project(ctx, member, name)
			// A change may be refused, for its project is not there: what counts is that the books agree.
			switch rapid.IntRange(0, 9).Draw(t, "what") {
			case 0, 1, 2:
				p.Name, p.Sheet = name, strings.Repeat(rapid.StringN(0, 20, -1).Draw(t, "sheet"), 20)
				_, _ = s.SaveProject(ctx, member, now, p, p.Revision)
			case 3:
				_, _ = s.DeleteProject(ctx, member, now, p.ID, store.AnyRevision)
			case 4:
				bin, _ := s.Bin(ctx, member)
				if len(bin) > 0 {
					_, _ = s.RestoreProject(ctx, member, now, bin[0].ID, "")
				}
			case 5:
				_, _ = s.ShareProject(ctx, member, now, store.Share{Project: p.ID})
			case 6:
				_, _ = s.SaveDraft(ctx, member, now, store.Draft{Expires: now.Add(time.Minute)})
			case 7:
				_, _, _ = s.Once(ctx, member, now, name, func(tx *store.Tx) (json.RawMessage, error) {
					_, err := tx.SaveCommunityEntry("guild", store.KindKnot, store.Entry{Name: name}, store.AnyRevision)
					return nil, err
				})
			case 8:
				now = now.Add(30 * time.Minute)
				_, err := s.Sweep(ctx, now)
				require.NoError(t, err)
			case 9:
				if rapid.Bool().Draw(t, "forget") {
					_, err := s.Forget(ctx, member)
					require.NoError(t, err)
				}
			}
			report, err := s.Check(ctx)
			require.NoError(t, err)
			require.Empty(t, report.Problems)
		}
	})
}

// noise is text that cannot be made much shorter.
func noise(n int) string {
	b := make([]byte, n*3/4)
	rand.Read(b)
	return base64.StdEncoding.EncodeToString(b)
}

// TestKeepIsBounded fills an account to its last byte, and looks at both sides
// of the edge.
func TestKeepIsBounded(t *testing.T) {
	onEngines(t, store.Options{Limits: store.Limits{KeepBytes: 20_000}}, func(t *testing.T, s *store.Records) {
		ctx := t.Context()
		full := 0
		for n := range 100 {
			_, err := s.SaveProject(ctx, "ann", noon, store.Project{Name: fmt.Sprint("p", n), Sheet: noise(1000)}, 0)
			if err != nil {
				var quota *store.QuotaError
				require.ErrorAs(t, err, &quota)
				require.Equal(t, 20_000, quota.Limit)
				require.ErrorContains(t, err, "there is room for 20 kB. Delete designs or shares")
				full = n
				break
			}
		}
		require.Greater(t, full, 10)
		keep, err := s.Keep(ctx, "ann")
		require.NoError(t, err)
		require.LessOrEqual(t, keep.Bytes, keep.Limit)
		require.Less(t, keep.Left(), int64(2000))
		_, err = s.SaveProject(ctx, "ben", noon, store.Project{Name: "p", Sheet: noise(1000)}, 0)
		require.NoError(t, err, "others have room of their own")

		// What a full account may do: read, prefer, press buttons, delete, and shorten.
		_, err = s.SavePreferences(ctx, "ann", noon, json.RawMessage(`{"units":"metric"}`), 0)
		require.NoError(t, err)
		_, err = s.SaveDraft(ctx, "ann", noon, store.Draft{Payload: json.RawMessage(`"` + noise(30_000) + `"`), Expires: noon.Add(time.Hour)})
		require.NoError(t, err)
		p, err := s.Project(ctx, "ann", "p0")
		require.NoError(t, err)
		_, err = s.DeleteProject(ctx, "ann", noon, p.ID, 1)
		require.NoError(t, err)
		// The bin gives way to what is saved.
		_, err = s.SaveProject(ctx, "ann", noon, store.Project{Name: "new", Sheet: noise(1000)}, 0)
		require.NoError(t, err)
		bin, err := s.Bin(ctx, "ann")
		require.NoError(t, err)
		require.Empty(t, bin)
		requireSound(t, s)
	})
}

// The bin gives way to what is saved, the project that was deleted first before the
// others, as many as it takes and no more.
func TestTheBinGivesWayTheOldestFirst(t *testing.T) {
	engine := storetest.NewMemory()
	big, err := store.New(t.Context(), engine, store.Options{})
	require.NoError(t, err)
	for n, name := range []string{"first", "second", "third", "fourth"} {
		p := save(t, big, "ann", name, noise(4000))
		_, err := big.DeleteProject(t.Context(), "ann", noon.Add(time.Duration(n)*time.Minute), p.ID, 1)
		require.NoError(t, err)
	}
	keep, err := big.Keep(t.Context(), "ann")
	require.NoError(t, err)
	s, err := store.New(t.Context(), engine, store.Options{Limits: store.Limits{KeepBytes: int(keep.Bytes)}})
	require.NoError(t, err)
	for _, row := range []struct {
		bytes int // of noise that is saved
		left  []string
	}{{1000, []string{"fourth", "third", "second"}}, {8000, []string{"fourth"}}, {4000, nil}} {
		_, err := s.SaveProject(t.Context(), "ann", noon, store.Project{Name: fmt.Sprint(row.bytes), Sheet: noise(row.bytes)}, 0)
		require.NoError(t, err)
		bin, err := s.Bin(t.Context(), "ann")
		require.NoError(t, err)
		var left []string
		for _, p := range bin {
			left = append(left, p.Name)
		}
		require.Equal(t, row.left, left)
		requireSound(t, s)
	}
}

// TestKeepToTheByte saves what fits exactly, and one byte more.
func TestKeepToTheByte(t *testing.T) {
	ctx := t.Context()
	engine := storetest.NewMemory()
	big, err := store.New(ctx, engine, store.Options{})
	require.NoError(t, err)
	save(t, big, "ann", "Owl", noise(500))
	keep, err := big.Keep(ctx, "ann")
	require.NoError(t, err)
	for _, row := range []struct {
		spare int
		fits  bool
	}{{1, true}, {0, false}} {
		s, err := store.New(ctx, engine, store.Options{Limits: store.Limits{KeepBytes: int(keep.Bytes) + row.spare}})
		require.NoError(t, err)
		_, err = s.SaveEntry(ctx, "ann", noon, store.KindRule, store.Entry{Name: "x"}, 0)
		require.ErrorIs(t, err, store.ErrQuota)
		after, err2 := s.Keep(ctx, "ann")
		require.NoError(t, err2)
		require.Equal(t, keep.Bytes, after.Bytes, "nothing was saved")
		entry := after.Bytes
		var quota *store.QuotaError
		require.ErrorAs(t, err, &quota)
		exact, err := store.New(ctx, engine, store.Options{Limits: store.Limits{KeepBytes: quota.Got - 1 + row.spare}})
		require.NoError(t, err)
		_, err = exact.SaveEntry(ctx, "ann", noon, store.KindRule, store.Entry{Name: "x"}, 0)
		if !row.fits {
			require.ErrorIs(t, err, store.ErrQuota)
			continue
		}
		require.NoError(t, err)
		require.Greater(t, quota.Got, int(entry))
		_, err = exact.DeleteEntry(ctx, "ann", noon, store.KindRule, "x")
		require.NoError(t, err)
	}
}

// TestAccountAboveTheQuota keeps what it has, may shrink, and gets its export in parts.
func TestAccountAboveTheQuota(t *testing.T) {
	if testing.Short() {
		t.Skip("many records, one after the other")
	}
	ctx := t.Context()
	big, engine, err := openFile(t, filepath.Join(t.TempDir(), "store.db"), store.Options{})
	require.NoError(t, err)
	var saved []store.Project
	for n := range 60 {
		saved = append(saved, save(t, big, "ann", fmt.Sprint("p", n), noise(20_000)))
	}
	s, err := store.New(ctx, engine, store.Options{Limits: store.Limits{KeepBytes: 100_000}})
	require.NoError(t, err)
	_, err = s.SaveProject(ctx, "ann", noon, store.Project{Name: "one more", Sheet: "x"}, 0)
	require.ErrorIs(t, err, store.ErrQuota)
	keep, err := s.Keep(ctx, "ann")
	require.NoError(t, err)
	require.Greater(t, keep.Bytes, keep.Limit)
	require.Zero(t, keep.Left())
	parts := exportedParts(t, s, "ann", 300_000)
	require.Greater(t, len(parts), 2)
	sheets := map[string]bool{}
	for i, part := range parts {
		var document struct {
			Part     int
			Member   string
			Projects []store.Project
		}
		require.NoError(t, json.Unmarshal([]byte(part), &document))
		require.Equal(t, i+1, document.Part)
		require.Equal(t, "ann", document.Member)
		for _, p := range document.Projects {
			sheets[p.Sheet] = true
		}
	}
	for _, p := range saved {
		require.True(t, sheets[p.Sheet], p.Name)
		_, err := s.DeleteProject(ctx, "ann", noon, p.ID, 1)
		require.NoError(t, err)
	}
	requireSound(t, s)
}

// TestFullAccountFitsIntoOneAttachment fills an account with what cannot be made
// shorter, up to the quota: the export stays below what a chat takes in one file.
func TestFullAccountFitsIntoOneAttachment(t *testing.T) {
	if testing.Short() {
		t.Skip("many records, one after the other")
	}
	s, _, err := openFile(t, filepath.Join(t.TempDir(), "store.db"), store.Options{})
	require.NoError(t, err)
	for n := 0; ; n++ {
		_, err := s.SaveProject(t.Context(), "ann", noon, store.Project{Name: fmt.Sprint("p", n), Sheet: noise(32 << 10), Notes: noise(4 << 10), Data: json.RawMessage(`"` + noise(60<<10) + `"`)}, 0)
		if err != nil {
			require.ErrorIs(t, err, store.ErrQuota)
			break
		}
	}
	for range 25 {
		_, err := s.SaveDraft(t.Context(), "ann", noon, store.Draft{Payload: json.RawMessage(`"` + noise(60<<10) + `"`), Expires: noon.Add(time.Hour)})
		require.NoError(t, err)
	}
	var sizes []int
	require.NoError(t, s.Export(t.Context(), "ann", noon, 8<<20, func(file []byte) error { sizes = append(sizes, len(file)); return nil }))
	require.Len(t, sizes, 1)
	require.Greater(t, sizes[0], 5_000_000)
	keep, err := s.Keep(t.Context(), "ann")
	require.NoError(t, err)
	t.Logf("%d bytes kept, an export of %d", keep.Bytes, sizes[0])
}
