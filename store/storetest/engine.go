package storetest

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/pairs"
)

func testPutGetDelete(t *testing.T, rig *rig) {
	rig.put("a", "1", "b", "2")
	rig.put("a", "3")
	require.Equal(t, []string{"a", "3", "b", "2"}, rig.all())
	rig.update(func(w pairs.Writer) error { return w.Delete([]byte("a")) })
	rig.update(func(w pairs.Writer) error { return w.Delete([]byte("never there")) })
	require.Equal(t, []string{"b", "2"}, rig.all())
	rig.view(func(r pairs.Reader) error {
		v, found, err := r.Get([]byte("a"))
		require.False(t, found)
		require.Nil(t, v)
		return err
	})
}

func testEmptyValue(t *testing.T, rig *rig) {
	rig.put("a", "")
	rig.view(func(r pairs.Reader) error {
		v, found, err := r.Get([]byte("a"))
		require.True(t, found)
		require.Empty(t, v)
		return err
	})
	rig.update(func(w pairs.Writer) error {
		if err := w.Put([]byte("b"), nil); err != nil {
			return err
		}
		_, found, err := w.Get([]byte("b"))
		require.True(t, found)
		return err
	})
	require.Equal(t, []string{"a", "", "b", ""}, rig.all())
}

func testRollback(t *testing.T, rig *rig) {
	rig.put("a", "1")
	err := rig.engine.Update(t.Context(), func(w pairs.Writer) error {
		require.NoError(t, w.Put([]byte("a"), []byte("2")))
		require.NoError(t, w.Put([]byte("b"), []byte("2")))
		return errOnPurpose
	})
	require.ErrorIs(t, err, errOnPurpose)
	require.ErrorIs(t, rig.engine.View(t.Context(), func(pairs.Reader) error { return errOnPurpose }), errOnPurpose)
	require.Equal(t, []string{"a", "1"}, rig.all())
}

func testOwnWrites(t *testing.T, rig *rig) {
	rig.put("a", "1", "c", "1", "e", "1")
	rig.update(func(w pairs.Writer) error {
		require.NoError(t, w.Put([]byte("b"), []byte("2")))
		require.NoError(t, w.Put([]byte("c"), []byte("2")))
		require.NoError(t, w.Delete([]byte("e")))
		require.NoError(t, w.Put([]byte("f"), []byte("2")))
		require.NoError(t, w.Delete([]byte("f")))
		require.NoError(t, w.Delete([]byte("a")))
		require.NoError(t, w.Put([]byte("a"), []byte("3")))
		texts, err := listed(w, "", "")
		require.Equal(t, []string{"a", "3", "b", "2", "c", "2"}, texts)
		v, _ := value(w, "e")
		require.Equal(t, "(none)", v)
		v, _ = value(w, "a")
		require.Equal(t, "3", v)
		return err
	})
	require.Equal(t, []string{"a", "3", "b", "2", "c", "2"}, rig.all())
}

func testPicture(t *testing.T, rig *rig) {
	rig.put("a", "1")
	rig.view(func(r pairs.Reader) error {
		v, err := value(r, "a") // the picture is taken now, if not before
		require.NoError(t, err)
		require.Equal(t, "1", v)
		done := make(chan error)
		go func() {
			done <- rig.engine.Update(t.Context(), func(w pairs.Writer) error {
				if err := w.Put([]byte("b"), []byte("2")); err != nil {
					return err
				}
				return w.Put([]byte("a"), []byte("2"))
			})
		}()
		require.NoError(t, <-done)
		texts, err := listed(r, "", "")
		require.Equal(t, []string{"a", "1"}, texts)
		return err
	})
	require.Equal(t, []string{"a", "2", "b", "2"}, rig.all())
}

func testReuse(t *testing.T, rig *rig) {
	rig.update(func(w pairs.Writer) error {
		key, value := []byte("a"), []byte("1")
		for i := range 3 {
			key[0], value[0] = byte('a'+i), byte('1'+i)
			if err := w.Put(key, value); err != nil {
				return err
			}
		}
		key[0] = 'b'
		err := w.Delete(key)
		key[0], value[0] = 'x', 'x'
		return err
	})
	require.Equal(t, []string{"a", "1", "c", "3"}, rig.all())
}

func testKeySize(t *testing.T, rig *rig) {
	longest := strings.Repeat("k", pairs.MaxKeySize)
	rig.put(longest, "1")
	require.Equal(t, []string{longest, "1"}, rig.all())
	for _, key := range []string{"", longest + "k"} {
		err := rig.engine.Update(t.Context(), func(w pairs.Writer) error {
			require.NoError(t, w.Put([]byte("beside"), []byte("1")))
			return w.Put([]byte(key), []byte("1"))
		})
		require.Error(t, err)
	}
	require.Equal(t, []string{longest, "1"}, rig.all())
}

func testLargeValues(t *testing.T, rig *rig) {
	r := random(t)
	want := map[string][]byte{}
	for i, size := range []int{1, 4095, 4096, 4097, 70_000, 1 << 20, pairs.MaxValueSize} {
		v := make([]byte, size)
		for j := range v {
			v[j] = byte(r.Uint32())
		}
		key := fmt.Sprint("size ", i)
		want[key] = v
		rig.update(func(w pairs.Writer) error { return w.Put([]byte(key), v) })
	}
	require.Error(t, rig.engine.Update(t.Context(), func(w pairs.Writer) error {
		return w.Put([]byte("beyond"), make([]byte, pairs.MaxValueSize+1))
	}))
	check := func() {
		rig.view(func(r pairs.Reader) error {
			for key, v := range want {
				got, _, err := r.Get([]byte(key))
				require.NoError(t, err)
				require.True(t, bytes.Equal(v, got), key)
			}
			return nil
		})
	}
	check()
	if !rig.subject.Forgets {
		rig.close()
		rig.open()
		check()
	}
	for key := range want {
		rig.update(func(w pairs.Writer) error { return w.Delete([]byte(key)) })
	}
	require.Empty(t, rig.all())
}

func testScans(t *testing.T, rig *rig) {
	rig.put("a", "1", "ab", "2", "abc", "3", "ac", "4", "b", "5", "\x00", "6", "\xff", "7", "\xff\xff", "8")
	rows := []struct {
		prefix, from string
		keys         []string
	}{
		{"", "", []string{"\x00", "a", "ab", "abc", "ac", "b", "\xff", "\xff\xff"}},
		{"a", "", []string{"a", "ab", "abc", "ac"}},
		{"ab", "", []string{"ab", "abc"}},
		{"a", "ab", []string{"ab", "abc", "ac"}},
		{"a", "abb", []string{"abc", "ac"}},
		{"a", "b", nil},
		{"b", "a", []string{"b"}},
		{"", "abcd", []string{"ac", "b", "\xff", "\xff\xff"}},
		{"\xff", "", []string{"\xff", "\xff\xff"}},
		{"\xff", "\xff\x00", []string{"\xff\xff"}},
		{"c", "", nil},
		{"", "\xff\xff\xff", nil},
	}
	check := func(r pairs.Reader) error {
		for _, row := range rows {
			var keys []string
			for pair, err := range r.Scan([]byte(row.prefix), []byte(row.from)) {
				require.NoError(t, err)
				keys = append(keys, string(pair.Key))
			}
			require.Equal(t, row.keys, keys, "prefix %q from %q", row.prefix, row.from)
		}
		return nil
	}
	rig.view(check)
	rig.update(func(w pairs.Writer) error { return check(w) })
	rig.update(func(w pairs.Writer) error { // the same pairs, half of them written here
		for _, key := range []string{"a", "abc", "b", "\xff\xff"} {
			if err := w.Put([]byte(key), []byte("new")); err != nil {
				return err
			}
		}
		return check(w)
	})
}

func testScanUse(t *testing.T, rig *rig) {
	rig.put("a", "1", "b", "2", "c", "3")
	use := func(r pairs.Reader) error {
		var seen []string
		for outer, err := range r.Scan(nil, nil) {
			require.NoError(t, err)
			for inner, err := range r.Scan(nil, outer.Key) {
				require.NoError(t, err)
				v, err := value(r, string(inner.Key))
				require.NoError(t, err)
				seen = append(seen, string(outer.Key)+string(inner.Key)+v)
				if string(inner.Key) == "b" {
					break
				}
			}
		}
		require.Equal(t, []string{"aa1", "ab2", "bb2", "cc3"}, seen)
		return nil
	}
	rig.view(use)
	rig.update(func(w pairs.Writer) error {
		if err := w.Put([]byte("b"), []byte("2")); err != nil {
			return err
		}
		return use(w)
	})
}

func testCancelled(t *testing.T, rig *rig) {
	ctx := cancelled(t)
	never := "a cancelled transaction must not run"
	require.ErrorIs(t, rig.engine.View(ctx, func(pairs.Reader) error { t.Error(never); return nil }), context.Canceled)
	require.ErrorIs(t, rig.engine.Update(ctx, func(pairs.Writer) error { t.Error(never); return nil }), context.Canceled)

	// Cancelled while it waits for its turn behind another change.
	waiting, cancel := context.WithCancel(t.Context())
	inside, finish := make(chan struct{}), make(chan struct{})
	first, second := make(chan error), make(chan error)
	entered := false
	go func() {
		first <- rig.engine.Update(t.Context(), func(w pairs.Writer) error {
			if !entered {
				entered = true
				close(inside)
				<-finish
			}
			return w.Put([]byte("first"), []byte("1"))
		})
	}()
	<-inside
	go func() {
		second <- rig.engine.Update(waiting, func(w pairs.Writer) error { return w.Put([]byte("second"), []byte("1")) })
	}()
	cancel()
	close(finish)
	require.NoError(t, <-first)
	switch err := <-second; {
	case err == nil, errors.Is(err, store.ErrUnknownCommit): // it had just got in
	default:
		require.ErrorIs(t, err, context.Canceled)
		require.Equal(t, []string{"first", "1"}, rig.all())
	}
}

func testCancelledScan(t *testing.T, rig *rig) {
	rig.update(func(w pairs.Writer) error {
		for i := range 5000 {
			if err := w.Put(fmt.Appendf(nil, "%04d", i), []byte("v")); err != nil {
				return err
			}
		}
		return nil
	})
	ctx, cancel := context.WithCancel(t.Context())
	seen := 0
	err := rig.engine.View(ctx, func(r pairs.Reader) error {
		for _, err := range r.Scan(nil, nil) {
			if err != nil {
				return err
			}
			if seen++; seen == 100 {
				cancel()
			}
		}
		return nil
	})
	require.ErrorIs(t, err, context.Canceled)
	require.Less(t, seen, 1000)
}

func testPanic(t *testing.T, rig *rig) {
	rig.put("a", "1")
	require.PanicsWithValue(t, "on purpose", func() {
		_ = rig.engine.Update(t.Context(), func(w pairs.Writer) error {
			require.NoError(t, w.Put([]byte("a"), []byte("2")))
			panic("on purpose")
		})
	})
	require.PanicsWithValue(t, "on purpose", func() {
		_ = rig.engine.View(t.Context(), func(pairs.Reader) error { panic("on purpose") })
	})
	rig.put("b", "1")
	require.Equal(t, []string{"a", "1", "b", "1"}, rig.all())
}

func testGoexit(t *testing.T, rig *rig) {
	rig.put("a", "1")
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		_ = rig.engine.Update(t.Context(), func(w pairs.Writer) error {
			_ = w.Put([]byte("a"), []byte("2"))
			runtime.Goexit() // as a failing test does
			return nil
		})
	}()
	<-ended
	rig.put("b", "1")
	require.Equal(t, []string{"a", "1", "b", "1"}, rig.all())
}

func testClosed(t *testing.T, rig *rig) {
	engine := rig.engine
	rig.close()
	require.ErrorIs(t, engine.View(t.Context(), func(pairs.Reader) error { return nil }), store.ErrClosed)
	require.ErrorIs(t, engine.Update(t.Context(), func(pairs.Writer) error { return nil }), store.ErrClosed)
}

func testReopen(t *testing.T, rig *rig) {
	if rig.subject.Forgets {
		t.Skip("this engine keeps nothing")
	}
	rig.put("a", "1", "b", "2")
	rig.close()
	rig.open()
	require.Equal(t, []string{"a", "1", "b", "2"}, rig.all())
	rig.put("c", "3")
	rig.close()
	rig.open()
	require.Equal(t, []string{"a", "1", "b", "2", "c", "3"}, rig.all())
}
