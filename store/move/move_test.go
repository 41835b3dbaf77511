package move_test

import (
	"context"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/boltstore"
	"larkfold/store/move"
	"larkfold/store/pairs"
	"larkfold/store/seal"
	"larkfold/store/storetest"
)

// everything is all that an engine holds.
func everything(t *testing.T, e pairs.Engine) map[string]string {
	t.Helper()
	all := map[string]string{}
	require.NoError(t, e.View(t.Context(), func(r pairs.Reader) error {
		for pair, err := range r.Scan(nil, nil) {
			if err != nil {
				return err
			}
			all[string(pair.Key)] = string(pair.Value)
		}
		return nil
	}))
	return all
}

// moveFrom is a sealed store of several pages.
func moveFrom(t *testing.T) (pairs.Engine, store.Options) {
	t.Helper()
	options := store.Options{Key: seal.GenerateKey()}
	from := storetest.NewMemory()
	s, err := store.New(t.Context(), from, options)
	require.NoError(t, err)
	for _, member := range []string{"ann", "ben", "cleo"} {
		_, err := s.SaveProject(t.Context(), member, time.Unix(1, 0), store.Project{Name: "Owl", Sheet: "of " + member}, 0)
		require.NoError(t, err)
	}
	require.NoError(t, from.Update(t.Context(), func(w pairs.Writer) error {
		for n := range 2500 {
			if err := w.Put([]byte{'M', 'x', byte(n), byte(n >> 8)}, []byte{byte(n)}); err != nil {
				return err
			}
		}
		return nil
	}))
	return from, options
}

// gettingOn ends a move that takes more pages than any here.
func gettingOn(t *testing.T, tell func(move.Progress)) func(move.Progress) {
	pages := 0
	return func(m move.Progress) {
		if pages++; pages > 30 {
			t.Fatal("the move does not get on")
		}
		tell(m)
	}
}

func none(move.Progress) {}

// TestMove goes to a file and back, broken off after every transaction on the
// way and taken up again.
func TestMove(t *testing.T) {
	from, options := moveFrom(t)
	want := everything(t, from)
	file, err := boltstore.Open(filepath.Join(t.TempDir(), "store.db"), boltstore.Options{})
	require.NoError(t, err)
	defer func() { require.NoError(t, file.Close()) }()
	back := storetest.NewMemory()

	for _, step := range []struct{ from, to pairs.Engine }{{from, file}, {file, back}} {
		runs := 0
		for after := 1; ; after++ {
			to := &storetest.Breaking{Engine: step.to, Left: after}
			moved, err := move.Store(t.Context(), step.from, to, gettingOn(t, none))
			if err == nil {
				require.Equal(t, len(want)-1, moved.Records, "all but the header")
				size := 0
				for key, value := range want {
					if key != string(store.HeaderKey()) {
						size += len(key) + len(value)
					}
				}
				require.EqualValues(t, size, moved.Bytes)
				break
			}
			runs++
			require.ErrorIs(t, err, storetest.ErrBroken)
			_, err = store.New(t.Context(), step.to, options)
			require.ErrorIs(t, err, store.ErrUnfinished, "a half-moved store is not to be used")
		}
		require.Greater(t, runs, 3)
		require.Equal(t, want, everything(t, step.to))
	}
	s, err := store.New(t.Context(), back, options)
	require.NoError(t, err)
	list, err := s.Projects(t.Context(), "ann")
	require.NoError(t, err)
	require.NotEmpty(t, list)
	_, err = store.New(t.Context(), storetest.NewMemory(), store.Options{})
	require.NoError(t, err)
	_, err = store.New(t.Context(), back, store.Options{})
	require.ErrorIs(t, err, store.ErrWrongKey, "it is as sealed as it was")
}

// What differs after the first pass - a change of the store while it is being
// moved, a byte that came over wrong - is found by the next one.
func TestMoveComparesEveryByte(t *testing.T) {
	from, _ := moveFrom(t)
	to := storetest.NewMemory()
	put := func(e pairs.Engine, key, value string) {
		require.NoError(t, e.Update(t.Context(), func(w pairs.Writer) error {
			if value == "" {
				return w.Delete([]byte(key))
			}
			return w.Put([]byte(key), []byte(value))
		}))
	}
	var passes []move.Progress
	moved, err := move.Store(t.Context(), from, to, gettingOn(t, func(m move.Progress) {
		if len(passes) == 0 {
			put(from, "Mx\x01\x00", "changed")
			put(from, "Mx\x02\x00", "")
			put(from, "Mnew", "new")
			put(from, "Z", "last")
			put(to, "Mx\x03\x00", "spoilt")
			put(to, "Mstray", "stray")
		}
		passes = append(passes, m)
	}))
	require.NoError(t, err)
	require.Equal(t, everything(t, from), everything(t, to))
	require.Equal(t, 3, moved.Pass)
	require.Zero(t, moved.Changed)
	changed := map[int]int{} // by the pass, at its end
	for _, p := range passes {
		changed[p.Pass] = p.Changed
	}
	// The first copies everything, with one that was taken away behind it and without one that came there.
	require.Equal(t, map[int]int{1: moved.Records, 2: 5, 3: 0}, changed)
}

func TestMoveThatNeverAgreesGivesUp(t *testing.T) {
	from, options := moveFrom(t)
	to := storetest.NewMemory()
	n, last := byte(0), 0
	_, err := move.Store(t.Context(), from, to, gettingOn(t, func(m move.Progress) {
		n, last = n+1, m.Pass
		require.NoError(t, from.Update(t.Context(), func(w pairs.Writer) error { return w.Put([]byte("C"), []byte{n}) }))
	}))
	require.ErrorContains(t, err, "it differed from its copy 5 times; stop whatever writes to it")
	require.Equal(t, 5, last)
	_, err = store.New(t.Context(), to, options)
	require.ErrorIs(t, err, store.ErrUnfinished)
}

func TestMoveRefuses(t *testing.T) {
	from, _ := moveFrom(t)
	another, _ := moveFrom(t)

	_, err := move.Store(t.Context(), storetest.NewMemory(), storetest.NewMemory(), none)
	require.ErrorIs(t, err, store.ErrNotFound)

	before := everything(t, another)
	_, err = move.Store(t.Context(), from, another, none)
	require.ErrorIs(t, err, store.ErrExists)
	require.Equal(t, before, everything(t, another))

	half := storetest.NewMemory()
	_, err = move.Store(t.Context(), from, &storetest.Breaking{Engine: half, Left: 2}, gettingOn(t, none))
	require.ErrorIs(t, err, storetest.ErrBroken)
	_, err = move.Store(t.Context(), another, half, none)
	require.ErrorIs(t, err, store.ErrExists, "a part of another store is in the way")
	_, err = move.Store(t.Context(), half, storetest.NewMemory(), none)
	require.ErrorIs(t, err, store.ErrNotFound, "half a store is none")

	stopped, stop := context.WithCancel(t.Context())
	stop()
	_, err = move.Store(stopped, from, storetest.NewMemory(), none)
	require.ErrorIs(t, err, context.Canceled)
}

// Large records are copied a few at a time: no transaction holds many more than eight megabytes.
func TestMoveOfLargeRecords(t *testing.T) {
	from, _ := moveFrom(t)
	const large = 3 << 20
	require.NoError(t, from.Update(t.Context(), func(w pairs.Writer) error {
		for n := range byte(4) {
			if err := w.Put([]byte{'N', n}, make([]byte, large)); err != nil {
				return err
			}
		}
		return nil
	}))
	to, before, most := storetest.NewMemory(), int64(0), int64(0)
	_, err := move.Store(t.Context(), from, to, gettingOn(t, func(m move.Progress) {
		if m.Pass == 1 {
			before, most = m.Bytes, max(most, m.Bytes-before)
		}
	}))
	require.NoError(t, err)
	require.Equal(t, everything(t, from), everything(t, to))
	require.Greater(t, most, int64(8<<20))
	require.Less(t, most, int64(8<<20+large+1<<20))
}
