package store_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/boltstore"
	"larkfold/store/pairs"
	"larkfold/store/seal"
	"larkfold/store/storetest"
)

// fill saves something of every kind for a member and a community.
func fill(t *testing.T, s *store.Records, member string) {
	t.Helper()
	ctx := t.Context()
	for n := range 3 {
		p := save(t, s, member, fmt.Sprintf("Private name %d", n), "a private sheet")
		p.Sheet = "a private sheet, changed"
		_, err := s.SaveProject(ctx, member, noon, p, 1)
		require.NoError(t, err)
		if n == 0 {
			_, err = s.DeleteProject(ctx, member, noon, p.ID, 2)
			require.NoError(t, err)
		} else {
			_, err = s.ShareProject(ctx, member, noon, store.Share{Project: p.ID, Community: "guild-4711"})
			require.NoError(t, err)
		}
	}
	_, err := s.ChangeLeftovers(ctx, member, noon, store.LeftoverChange{Add: []store.Leftover{offcut(metre, 1), offcut(2*metre, 2)}}, 0)
	require.NoError(t, err)
	_, err = s.SaveSwatch(ctx, member, noon, store.Swatch{Knot: "private knot"}, 0)
	require.NoError(t, err)
	_, err = s.SavePreferences(ctx, member, noon, json.RawMessage(`{"units":"private"}`), 0)
	require.NoError(t, err)
	_, err = s.SaveEntry(ctx, member, noon, store.KindRule, store.Entry{Name: "private rule"}, 0)
	require.NoError(t, err)
	_, err = s.SaveCommunityEntry(ctx, member, noon, "guild-4711", store.KindKnot, store.Entry{Name: "crown of " + member}, 0)
	require.NoError(t, err)
	_, err = s.SaveSettings(ctx, member, noon, "guild-4711", store.Settings{Channels: []string{"private channel"}}, store.AnyRevision)
	require.NoError(t, err)
	_, err = s.SaveDraft(ctx, member, noon, store.Draft{Kind: "sheet", Payload: json.RawMessage(`"private draft"`), Expires: noon.Add(time.Hour)})
	require.NoError(t, err)
	_, _, err = s.Once(ctx, member, noon, "press-"+member, func(*store.Tx) (json.RawMessage, error) { return json.RawMessage(`"private result"`), nil })
	require.NoError(t, err)
}

// openFile opens a store file; the engine is closed when the test ends, or by the caller.
func openFile(t *testing.T, path string, options store.Options) (*store.Records, *boltstore.Engine, error) {
	t.Helper()
	engine, err := boltstore.Open(path, boltstore.Options{})
	require.NoError(t, err)
	t.Cleanup(func() { _ = engine.Close() })
	s, err := store.New(t.Context(), engine, options)
	return s, engine, err
}

func TestSealedFileShowsNothing(t *testing.T) {
	key := seal.GenerateKey()
	for _, row := range []struct {
		name    string
		options store.Options
		shown   bool
	}{{"plain", store.Options{}, true}, {"sealed", store.Options{Key: key}, false}} {
		t.Run(row.name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "store.db")
			s, engine, err := openFile(t, path, row.options)
			require.NoError(t, err)
			fill(t, s, "member-0815")
			requireSound(t, s)
			require.NoError(t, engine.Close())
			raw, err := os.ReadFile(path)
			require.NoError(t, err)
			for _, text := range []string{"rivate", "member-0815", "guild-4711", "press-", "cotton"} {
				require.Equal(t, row.shown && text != "press-", bytes.Contains(raw, []byte(text)), text)
			}
			for key := range keysOf(t, path) {
				require.NotContains(t, key, "member-0815")
				require.NotContains(t, key, "rivate")
			}
		})
	}
}

// keysOf returns what stands in a file, key to value.
func keysOf(t *testing.T, path string) map[string][]byte {
	t.Helper()
	engine, err := boltstore.Open(path, boltstore.Options{ReadOnly: true})
	require.NoError(t, err)
	defer engine.Close()
	texts := map[string][]byte{}
	require.NoError(t, engine.View(t.Context(), func(r pairs.Reader) error {
		for pair, err := range r.Scan(nil, nil) {
			if err != nil {
				return err
			}
			texts[string(pair.Key)] = bytes.Clone(pair.Value)
		}
		return nil
	}))
	return texts
}

func TestWrongKeyIsRefusedAtOpening(t *testing.T) {
	key, other := seal.GenerateKey(), seal.GenerateKey()
	path := filepath.Join(t.TempDir(), "store.db")
	s, engine, err := openFile(t, path, store.Options{Key: key})
	require.NoError(t, err)
	save(t, s, "ann", "Owl", "text")
	require.NoError(t, engine.Close())
	before := keysOf(t, path)

	for name, row := range map[string]struct {
		options  store.Options
		sentence string
	}{
		"no key":       {store.Options{}, "This store is sealed with the key " + key.ID() + ". Name the file of that key with --key-file or LARKFOLD_KEY_FILE."},
		"another key":  {store.Options{Key: other}, "the key file given holds " + other.ID()},
		"only old key": {store.Options{OldKeys: []*seal.Key{key}}, "no current key"},
	} {
		_, engine, err := openFile(t, path, row.options)
		require.ErrorIs(t, err, store.ErrWrongKey, name)
		require.ErrorContains(t, err, row.sentence)
		require.NoError(t, engine.Close())
	}
	require.Equal(t, before, keysOf(t, path), "a refused key has changed nothing")
	_, _, err = openFile(t, path, store.Options{Key: key})
	require.NoError(t, err)
}

func TestSealIsBoundToItsKey(t *testing.T) {
	ctx := t.Context()
	engine := storetest.NewMemory()
	s, err := store.New(ctx, engine, store.Options{Key: seal.GenerateKey()})
	require.NoError(t, err)
	save(t, s, "ann", "Owl", "text of ann")
	save(t, s, "ben", "Owl", "text of ben")
	var keys, values [][]byte
	require.NoError(t, engine.View(ctx, func(r pairs.Reader) error {
		for pair, err := range r.Scan([]byte("M"), nil) {
			require.NoError(t, err)
			if pair.Key[17] == 'p' {
				keys, values = append(keys, bytes.Clone(pair.Key)), append(values, bytes.Clone(pair.Value))
			}
		}
		return nil
	}))
	require.Len(t, keys, 2)
	require.NoError(t, engine.Update(ctx, func(w pairs.Writer) error { return w.Put(keys[0], values[1]) }))
	report, err := s.Check(ctx)
	require.NoError(t, err)
	require.NotEmpty(t, report.Problems)
	var damage *store.DamagedError
	require.ErrorAs(t, report.Problems[0], &damage)
	require.Equal(t, keys[0], damage.Key, "a value moved to another key is found out")
}

func TestPlainValueIsRefusedInSealedStore(t *testing.T) {
	ctx := t.Context()
	engine := storetest.NewMemory()
	plain, err := store.New(ctx, engine, store.Options{})
	require.NoError(t, err)
	p := save(t, plain, "ann", "Owl", "plain text")
	old := map[string][]byte{}
	require.NoError(t, engine.View(ctx, func(r pairs.Reader) error {
		for pair, err := range r.Scan([]byte("M"), nil) {
			require.NoError(t, err)
			old[string(pair.Key)] = bytes.Clone(pair.Value)
		}
		return nil
	}))
	sealed, err := store.New(ctx, engine, store.Options{Key: seal.GenerateKey()})
	require.NoError(t, err)
	_, err = sealed.ProjectByID(ctx, "ann", p.ID)
	require.NoError(t, err, "plain values are read until they are sealed")
	require.True(t, sealed.PartlyPlain())
	_, err = sealed.Reseal(ctx)
	require.NoError(t, err)
	_, err = sealed.ProjectByID(ctx, "ann", p.ID)
	require.NoError(t, err)
	require.NoError(t, engine.Update(ctx, func(w pairs.Writer) error {
		for key, value := range old {
			if err := w.Put([]byte(key), value); err != nil {
				return err
			}
		}
		return nil
	}))
	_, err = sealed.ProjectByID(ctx, "ann", p.ID)
	require.ErrorIs(t, err, store.ErrDamaged)
}

// TestKeyIsChangedWhileTheStoreIsInUse seals a plain store, then changes its
// key, while members read and save.
func TestKeyIsChangedWhileTheStoreIsInUse(t *testing.T) {
	first, second := seal.GenerateKey(), seal.GenerateKey()
	path := filepath.Join(t.TempDir(), "store.db")
	s, engine, err := openFile(t, path, store.Options{})
	require.NoError(t, err)
	for n := range 15 {
		fill(t, s, fmt.Sprint("member ", n))
	}
	require.NoError(t, engine.Close())

	for _, options := range []store.Options{{Key: first}, {Key: second, OldKeys: []*seal.Key{first}}} {
		s, engine, err := openFile(t, path, options)
		require.NoError(t, err)
		// Broken off half way, the old key is still needed and both are enough.
		ctx, cancel := context.WithCancel(t.Context())
		cancel()
		_, err = s.Reseal(ctx)
		require.ErrorIs(t, err, context.Canceled)
		if options.OldKeys != nil {
			require.NoError(t, engine.Close())
			_, e, err := openFile(t, path, store.Options{Key: second})
			require.ErrorIs(t, err, store.ErrWrongKey)
			require.NoError(t, e.Close())
			_, e, err = openFile(t, path, store.Options{Key: first})
			require.ErrorIs(t, err, store.ErrWrongKey, "the old key alone is refused once the change has begun")
			require.NoError(t, e.Close())
			s, engine, err = openFile(t, path, options)
			require.NoError(t, err)
		}

		var wg sync.WaitGroup
		stop := make(chan struct{})
		for w := range 4 {
			wg.Go(func() {
				member := fmt.Sprint("member ", w)
				for {
					select {
					case <-stop:
						return
					default:
					}
					p, err := s.Project(t.Context(), member, "private name 1")
					if err == nil {
						p.Sheet += "."
						_, err = s.SaveProject(t.Context(), member, noon, p, p.Revision)
					}
					if err != nil {
						t.Error(err)
						return
					}
				}
			})
		}
		n, err := s.Reseal(t.Context())
		close(stop)
		wg.Wait()
		require.NoError(t, err)
		require.Greater(t, n, 256)
		requireSound(t, s)
		n, err = s.Reseal(t.Context())
		require.NoError(t, err)
		require.Zero(t, n, "nothing is left to seal")
		require.NoError(t, engine.Close())
	}
	s, _, err = openFile(t, path, store.Options{Key: second})
	require.NoError(t, err)
	requireSound(t, s)
	p, err := s.Project(t.Context(), "member 14", "private name 2")
	require.NoError(t, err)
	require.Equal(t, "a private sheet, changed", p.Sheet)
}
