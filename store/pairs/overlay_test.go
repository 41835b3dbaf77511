package pairs_test

import (
	"errors"
	"iter"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/store/pairs"
	"larkfold/store/storetest"
)

// under hands read a picture of an engine that holds some keys, each its own value.
func under(t *testing.T, keys string, read func(pairs.Reader) error) {
	t.Helper()
	e := storetest.NewMemory()
	require.NoError(t, e.Update(t.Context(), func(w pairs.Writer) error {
		for _, key := range strings.Fields(keys) {
			if err := w.Put([]byte(key), []byte(key)); err != nil {
				return err
			}
		}
		return nil
	}))
	require.NoError(t, e.View(t.Context(), read))
}

// listed is what a scan yields, at most so many pairs: keys, and values that are not the key.
func listed(t *testing.T, r pairs.Reader, prefix, from string, most int) string {
	t.Helper()
	var all []string
	for pair, err := range r.Scan([]byte(prefix), []byte(from)) {
		require.NoError(t, err)
		text := string(pair.Key)
		if string(pair.Value) != text {
			text += "=" + string(pair.Value)
		}
		if all = append(all, text); len(all) == most {
			break
		}
	}
	return strings.Join(all, " ")
}

// What was written lies over what is there: new keys in their places, changed ones once,
// deleted ones not at all.
func TestOverlayScansBothInOneOrder(t *testing.T) {
	under(t, "b b1 c d e", func(r pairs.Reader) error {
		o := pairs.NewOverlay(r)
		require.True(t, o.Empty())
		require.Equal(t, "b b1 c d e", listed(t, o, "", "", -1))
		for _, key := range []string{"a", "b2", "c", "dd", "f", "gone"} {
			require.NoError(t, o.Put([]byte(key), []byte("new")))
		}
		require.NoError(t, o.Delete([]byte("gone")))
		require.NoError(t, o.Delete([]byte("d")))
		require.NoError(t, o.Delete([]byte("never there")))
		require.False(t, o.Empty())
		all := strings.Fields("a=new b b1 b2=new c=new dd=new e f=new")
		for most := 1; most <= len(all); most++ {
			require.Equal(t, strings.Join(all[:most], " "), listed(t, o, "", "", most))
		}
		for _, row := range []struct{ prefix, from, want string }{
			{"b", "", "b b1 b2=new"}, {"b", "b1", "b1 b2=new"}, {"b", "b2", "b2=new"}, {"b", "b3", ""},
			{"", "c", "c=new dd=new e f=new"}, {"", "c0", "dd=new e f=new"}, {"d", "", "dd=new"}, {"g", "", ""}, {"", "f", "f=new"},
		} {
			require.Equal(t, row.want, listed(t, o, row.prefix, row.from, -1), "%q from %q", row.prefix, row.from)
		}
		for key, want := range map[string]string{"a": "new", "b": "b", "c": "new", "d": "", "gone": "", "z": ""} {
			value, found, err := o.Get([]byte(key))
			require.NoError(t, err)
			require.Equal(t, want, string(value))
			require.Equal(t, want != "", found, key)
		}
		first := pairs.NewOverlay(r)
		require.NoError(t, first.Put([]byte("a"), []byte("new")))
		require.Equal(t, "a=new b b1 c d e", listed(t, first, "", "", -1), "all that is there comes after what was written")
		return nil
	})
}

// Keys have 1 to 1024 bytes and values at most 16 MiB; a refused one leaves nothing.
func TestOverlayRefusesWhatNoEngineTakes(t *testing.T) {
	under(t, "", func(r pairs.Reader) error {
		for size, fits := range map[int]bool{0: false, 1: true, 1024: true, 1025: false} {
			o := pairs.NewOverlay(r)
			require.Equal(t, fits, o.Put([]byte(strings.Repeat("k", size)), nil) == nil, size)
			require.Equal(t, !fits, o.Empty())
		}
		value := make([]byte, 16<<20+1)
		require.NoError(t, pairs.NewOverlay(r).Put([]byte("k"), value[1:]))
		require.ErrorContains(t, pairs.NewOverlay(r).Put([]byte("k"), value), "a value of 16777217 bytes: values have at most 16777216")
		return nil
	})
}

// An engine is told of everything that was written, a deleted key apart from an empty value.
func TestOverlayWrites(t *testing.T) {
	under(t, "b", func(r pairs.Reader) error {
		o := pairs.NewOverlay(r)
		value := []byte("1")
		require.NoError(t, o.Put([]byte("c"), value))
		value[0] = '2' // belongs to the caller again
		require.NoError(t, o.Put([]byte("a"), nil))
		require.NoError(t, o.Delete([]byte("b")))
		var keys []string
		for key, value := range o.Writes() {
			keys = append(keys, string(key)+string(value))
			require.Equal(t, string(key) == "b", value == nil)
		}
		require.Equal(t, []string{"a", "b", "c1"}, keys)
		for key := range o.Writes() {
			require.Equal(t, "a", string(key))
			break
		}
		return nil
	})
}

// remote is a reader that notes what is fetched and fails after a few pairs.
type remote struct {
	pairs.Reader
	fetched [][]byte
	left    int
}

func (r *remote) Fetch(prefixes ...[]byte) error {
	r.fetched = append(r.fetched, prefixes...)
	return nil
}

var errLost = errors.New("lost")

func (r *remote) Scan(prefix, from []byte) iter.Seq2[pairs.Pair, error] {
	return func(yield func(pairs.Pair, error) bool) {
		n := 0
		for pair := range r.Reader.Scan(prefix, from) {
			if n++; n > r.left {
				yield(pairs.Pair{}, errLost)
				return
			}
			if !yield(pair, nil) {
				return
			}
		}
	}
}

func TestOverlayOverAReaderOfAnotherMachine(t *testing.T) {
	under(t, "a b c", func(r pairs.Reader) error {
		far := &remote{Reader: r, left: 1}
		o := pairs.NewOverlay(far)
		require.NoError(t, o.Fetch([]byte("a"), []byte("b")))
		require.Equal(t, [][]byte{[]byte("a"), []byte("b")}, far.fetched)
		require.NoError(t, pairs.NewOverlay(r).Fetch([]byte("a")), "nothing to fetch from")
		require.NoError(t, o.Put([]byte("z"), nil))
		var keys []string
		for pair, err := range o.Scan(nil, nil) {
			if err != nil {
				require.ErrorIs(t, err, errLost)
				keys = append(keys, "lost")
				continue
			}
			keys = append(keys, string(pair.Key))
		}
		require.Equal(t, []string{"a", "lost"}, keys, "after an error nothing more is yielded")
		return nil
	})
}

// Pick goes on where it stopped, after so many pairs or so many that are wanted.
func TestPick(t *testing.T) {
	e := storetest.NewMemory()
	require.NoError(t, e.Update(t.Context(), func(w pairs.Writer) error {
		for _, key := range strings.Fields("a1 a2 a3 a4 a5 b1") {
			if err := w.Put([]byte(key), nil); err != nil {
				return err
			}
		}
		return nil
	}))
	odd := func(p pairs.Pair) bool { return strings.ContainsAny(string(p.Key), "135") }
	for _, row := range []struct {
		prefix, from string
		look, find   int
		keys         string
		seen         int
		next         string
	}{
		{"a", "", 4, 9, "a1 a3", 4, "a5"},
		{"a", "", 5, 9, "a1 a3 a5", 5, ""},
		{"a", "", 9, 2, "a1 a3", 3, "a4"},
		{"a", "", 9, 3, "a1 a3 a5", 5, ""},
		{"", "", 9, 3, "a1 a3 a5", 5, "b1"},
		{"a", "a2", 9, 1, "a3", 2, "a4"},
		{"c", "", 9, 9, "", 0, ""},
	} {
		got, err := pairs.Pick(t.Context(), e, []byte(row.prefix), []byte(row.from), row.look, row.find, odd)
		require.NoError(t, err)
		require.Equal(t, row.keys, strings.Join(slices.Collect(texts(got.Keys)), " "))
		require.Equal(t, row.seen, got.Seen)
		require.Equal(t, row.next, string(got.Next))
		require.Equal(t, row.next == "", got.Next == nil)
	}
	require.NoError(t, e.Close())
	_, err := pairs.Pick(t.Context(), e, nil, nil, 9, 9, odd)
	require.Error(t, err)
}

func texts(keys [][]byte) iter.Seq[string] {
	return func(yield func(string) bool) {
		for _, key := range keys {
			if !yield(string(key)) {
				return
			}
		}
	}
}
