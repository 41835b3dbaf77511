package storetest

import (
	"fmt"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store/pairs"
)

// clients are two programs at one store, or two users of one engine where only
// one program may have it.
func (rig *rig) clients() [2]pairs.Engine {
	rig.t.Helper()
	if !rig.subject.Shared {
		return [2]pairs.Engine{rig.engine, rig.engine}
	}
	other, err := rig.subject.Open(rig.dir)
	require.NoError(rig.t, err)
	rig.t.Cleanup(func() { require.NoError(rig.t, other.Close()) })
	return [2]pairs.Engine{rig.engine, other}
}

// atOnce runs a change of each client so that both have read before either
// writes, where the engine lets them; where it lets only one in, that one goes on.
func (rig *rig) atOnce(change func(client int, w pairs.Writer, met func()) error) {
	rig.t.Helper()
	var arrived sync.WaitGroup
	arrived.Add(2)
	both := make(chan struct{})
	go func() {
		arrived.Wait()
		close(both)
	}()
	var group sync.WaitGroup
	for i, engine := range rig.clients() {
		group.Go(func() {
			var once sync.Once
			met := func() {
				once.Do(arrived.Done)
				select {
				case <-both:
				case <-time.After(50 * time.Millisecond):
				}
			}
			if err := engine.Update(rig.t.Context(), func(w pairs.Writer) error { return change(i, w, met) }); err != nil {
				rig.t.Error(err)
			}
		})
	}
	group.Wait()
}

// testTwoClients has two on call; either may leave if the other stays.
func testTwoClients(t *testing.T, rig *rig) {
	for range 5 {
		rig.put("on call 0", "yes", "on call 1", "yes")
		rig.atOnce(func(client int, w pairs.Writer, met func()) error {
			other, err := value(w, fmt.Sprint("on call ", 1-client))
			if err != nil {
				return err
			}
			met()
			if other == "yes" {
				return w.Put(fmt.Append(nil, "on call ", client), []byte("no"))
			}
			return nil
		})
		all := rig.all()
		require.ElementsMatch(t, []string{"yes", "no"}, []string{all[1], all[3]}, "exactly one has left")
	}
}

func countUnder(r pairs.Reader, prefix string) (int, error) {
	texts, err := listed(r, prefix, "")
	return len(texts) / 2, err
}

// testPhantomInserts lets two take the last free seat.
func testPhantomInserts(t *testing.T, rig *rig) {
	for round := range 5 {
		prefix := fmt.Sprint("seats of ", round, "/")
		rig.put(prefix+"0", "taken")
		rig.atOnce(func(client int, w pairs.Writer, met func()) error {
			n, err := countUnder(w, prefix)
			if err != nil {
				return err
			}
			met()
			if n < 2 {
				return w.Put(fmt.Append(nil, prefix, client+1), []byte("taken"))
			}
			return nil
		})
		rig.view(func(r pairs.Reader) error {
			n, err := countUnder(r, prefix)
			require.Equal(t, 2, n)
			return err
		})
	}
}

// testPhantomDeletes lets two take something away of which one must be left.
func testPhantomDeletes(t *testing.T, rig *rig) {
	for round := range 5 {
		prefix := fmt.Sprint("keys of ", round, "/")
		rig.put(prefix+"0", "", prefix+"1", "")
		rig.atOnce(func(client int, w pairs.Writer, met func()) error {
			n, err := countUnder(w, prefix)
			if err != nil {
				return err
			}
			met()
			if n > 1 {
				return w.Delete(fmt.Append(nil, prefix, client))
			}
			return nil
		})
		rig.view(func(r pairs.Reader) error {
			n, err := countUnder(r, prefix)
			require.Equal(t, 1, n)
			return err
		})
	}
}

// testLongView goes on reading one picture while others write what it reads.
func testLongView(t *testing.T, rig *rig) {
	rig.put("a", "0", "b", "0", "gone", "0")
	writer := rig.clients()[1]
	rig.view(func(r pairs.Reader) error {
		before, err := listed(r, "", "")
		require.NoError(t, err)
		for n := range 100 {
			done := make(chan error)
			go func() {
				done <- writer.Update(t.Context(), func(w pairs.Writer) error {
					for _, key := range []string{"a", "b", fmt.Sprint("new ", n)} {
						if err := w.Put([]byte(key), fmt.Append(nil, n)); err != nil {
							return err
						}
					}
					return w.Delete([]byte("gone"))
				})
			}()
			require.NoError(t, <-done, "a reader does not hold up writers")
			if n%10 == 0 {
				now, err := listed(r, "", "")
				require.NoError(t, err)
				require.Equal(t, before, now)
			}
		}
		return nil
	})
	require.Len(t, rig.all(), 2*102)
}

// testManyKeys puts many keys under a prefix, between neighbours that do not count.
func testManyKeys(t *testing.T, rig *rig) {
	const many = 10_000
	rig.put("l", "before", "m", "at", "n", "after", "m\xff\xff", "last")
	rig.update(func(w pairs.Writer) error {
		for n := range many {
			if err := w.Put(fmt.Appendf(nil, "m/%05d", n), fmt.Append(nil, n)); err != nil {
				return err
			}
		}
		return nil
	})
	check := func(r pairs.Reader, from, left int) {
		n := from
		for pair, err := range r.Scan([]byte("m/"), fmt.Appendf(nil, "m/%05d", from)) {
			if err != nil || string(pair.Key) != fmt.Sprintf("m/%05d", n) || string(pair.Value) != fmt.Sprint(n) {
				t.Fatalf("pair %d is %q: %q, %v", n, pair.Key, pair.Value, err)
			}
			n++
		}
		require.Equal(t, from+left, n)
	}
	rig.view(func(r pairs.Reader) error {
		check(r, 0, many)
		check(r, many-1, 1)
		check(r, many, 0)
		texts, err := listed(r, "m", "")
		require.Len(t, texts, 2*(many+2))
		return err
	})
	rig.update(func(w pairs.Writer) error {
		for n := range many / 2 {
			if err := w.Delete(fmt.Appendf(nil, "m/%05d", n)); err != nil {
				return err
			}
		}
		check(w, many/2, many/2)
		return nil
	})
	rig.view(func(r pairs.Reader) error {
		check(r, many/2, many/2)
		return nil
	})
}
