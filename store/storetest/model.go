package storetest

import (
	"encoding/json"
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/pairs"
)

// model is what an engine should hold.
type model map[string]string

func (m model) list(prefix, from string) []string {
	texts := []string{}
	for _, key := range slices.Sorted(maps.Keys(m)) {
		if strings.HasPrefix(key, prefix) && key >= from {
			texts = append(texts, key, m[key])
		}
	}
	return texts
}

// randomKey makes short keys that often collide and are prefixes of one another.
func randomKey(r *rand.Rand) string {
	b := make([]byte, 1+r.IntN(4))
	for i := range b {
		b[i] = "\x00ab\xff"[r.IntN(4)]
	}
	return string(b)
}

func testModel(t *testing.T, rig *rig) {
	r := random(t)
	m := model{}
	for range 300 {
		type op struct {
			key, value string
			del        bool
		}
		ops := make([]op, r.IntN(12))
		for i := range ops {
			ops[i] = op{randomKey(r), strings.Repeat("v", r.IntN(300)), r.IntN(3) == 0}
		}
		prefix, from := randomKey(r)[:1], randomKey(r)
		fails := r.IntN(4) == 0
		var next model
		err := rig.engine.Update(t.Context(), func(w pairs.Writer) error {
			next = maps.Clone(m)
			for _, o := range ops {
				if o.del {
					delete(next, o.key)
					require.NoError(t, w.Delete([]byte(o.key)))
				} else {
					next[o.key] = o.value
					require.NoError(t, w.Put([]byte(o.key), []byte(o.value)))
				}
			}
			texts, err := listed(w, prefix, from)
			require.NoError(t, err)
			require.Equal(t, next.list(prefix, from), texts)
			if fails {
				return errOnPurpose
			}
			return nil
		})
		if fails {
			require.ErrorIs(t, err, errOnPurpose)
		} else {
			require.NoError(t, err)
			m = next
		}
		require.Equal(t, m.list("", ""), rig.all())
		if r.IntN(50) == 0 && !rig.subject.Forgets {
			rig.close()
			rig.open()
		}
	}
}

// testConcurrentWriters lets many goroutines move amounts between accounts and
// note every move. In the end the accounts hold what the notes say, and every
// reader on the way has seen the same total.
func testConcurrentWriters(t *testing.T, rig *rig) {
	const accounts, writers, moves, each = 8, 16, 40, 1000
	seed := Seed(t)
	account := func(i int) string { return fmt.Sprintf("account %d", i) }
	for i := range accounts {
		rig.put(account(i), fmt.Sprint(each))
	}
	type move struct{ From, To, Amount int }
	var wg sync.WaitGroup
	stop := make(chan struct{})
	var readers sync.WaitGroup
	readers.Go(func() {
		for {
			select {
			case <-stop:
				return
			default:
			}
			total := 0
			err := rig.engine.View(t.Context(), func(r pairs.Reader) error {
				for pair, err := range r.Scan([]byte("account"), nil) {
					if err != nil {
						return err
					}
					n, err := number(string(pair.Value))
					if err != nil {
						return err
					}
					total += n
				}
				return nil
			})
			if err != nil || total != accounts*each {
				t.Errorf("a reader saw %d in all: %v", total, err)
				return
			}
		}
	})
	for w := range writers {
		wg.Go(func() {
			r := rand.New(rand.NewPCG(seed, uint64(w)))
			for n := range moves {
				m := move{r.IntN(accounts), r.IntN(accounts), r.IntN(100)}
				err := patiently(func() error {
					return rig.engine.Update(t.Context(), func(tx pairs.Writer) error {
						return transfer(tx, account(m.From), account(m.To), m.Amount, fmt.Sprintf("move %d %d", w, n), m)
					})
				})
				if err != nil && !errors.Is(err, errOnPurpose) {
					t.Error(err)
				}
			}
		})
	}
	wg.Wait()
	close(stop)
	readers.Wait()

	want := map[string]int{}
	for i := range accounts {
		want[account(i)] = each
	}
	got := map[string]int{}
	rig.view(func(r pairs.Reader) error {
		for pair, err := range r.Scan(nil, nil) {
			require.NoError(t, err)
			if strings.HasPrefix(string(pair.Key), "account") {
				n, err := number(string(pair.Value))
				require.NoError(t, err)
				got[string(pair.Key)] = n
				continue
			}
			var m move
			require.NoError(t, json.Unmarshal(pair.Value, &m))
			want[account(m.From)] -= m.Amount
			want[account(m.To)] += m.Amount
		}
		return nil
	})
	require.Equal(t, want, got)
}

func number(s string) (n int, err error) {
	_, err = fmt.Sscan(s, &n)
	return n, err
}

func transfer(tx pairs.Writer, from, to string, amount int, note string, record any) error {
	for _, side := range []struct {
		account string
		change  int
	}{{from, -amount}, {to, amount}} {
		text, err := value(tx, side.account)
		if err != nil {
			return err
		}
		n, err := number(text)
		if err != nil {
			return err
		}
		if n+side.change < 0 {
			return errOnPurpose // after a part of the change was made
		}
		if err := tx.Put([]byte(side.account), []byte(fmt.Sprint(n+side.change))); err != nil {
			return err
		}
	}
	body, err := json.Marshal(record)
	if err != nil {
		return err
	}
	return tx.Put([]byte(note), body)
}

// testConcurrentFailures mixes changes that fail, panic and are cancelled with
// good ones: each gets its own outcome.
func testConcurrentFailures(t *testing.T, rig *rig) {
	var wg sync.WaitGroup
	var good atomic.Int64
	for w := range 24 {
		wg.Go(func() {
			for n := range 20 {
				key := fmt.Appendf(nil, "%d/%d", w, n)
				switch (w + n) % 4 {
				case 0:
					err := patiently(func() error {
						return rig.engine.Update(t.Context(), func(tx pairs.Writer) error {
							return errors.Join(tx.Put(key, []byte("bad")), errOnPurpose)
						})
					})
					if !errors.Is(err, errOnPurpose) {
						t.Error(err)
					}
				case 1:
					func() {
						defer func() {
							if p := recover(); p != string(key) {
								t.Errorf("another's panic: %v", p)
							}
						}()
						_ = rig.engine.Update(t.Context(), func(tx pairs.Writer) error {
							_ = tx.Put(key, []byte("bad"))
							panic(string(key))
						})
					}()
				default:
					put := func(tx pairs.Writer) error { return tx.Put(key, []byte("good")) }
					if err := patiently(func() error { return rig.engine.Update(t.Context(), put) }); err != nil {
						t.Error(err)
					}
					good.Add(1)
				}
			}
		})
	}
	wg.Wait()
	texts := rig.all()
	require.Len(t, texts, 2*int(good.Load()))
	require.NotContains(t, texts, "bad")
}

func newRecords(t *testing.T, rig *rig) *store.Records {
	s, err := store.New(t.Context(), rig.engine, store.Options{Limits: store.Limits{Revisions: 1000}})
	require.NoError(t, err)
	return s
}

var noon = time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)

// testConcurrentEdits lets many editors add a line each to one sheet, as often
// as it takes. No line is lost and every conflict carried the newer text.
func testConcurrentEdits(t *testing.T, rig *rig) {
	s := newRecords(t, rig)
	p, err := s.SaveProject(t.Context(), "ann", noon, store.Project{Name: "Owl", Sheet: "start"}, 0)
	require.NoError(t, err)
	const editors, lines = 8, 10
	var wg sync.WaitGroup
	var conflicts atomic.Int64
	for e := range editors {
		wg.Go(func() {
			mine := p
			for n := range lines {
				line := fmt.Sprintf("\nline %d of %d", n, e)
				for {
					next := mine
					next.Sheet += line
					var saved store.Project
					err := patiently(func() (err error) {
						saved, err = s.SaveProject(t.Context(), "ann", noon, next, mine.Revision)
						return err
					})
					var conflict *store.Conflict
					if errors.As(err, &conflict) {
						conflicts.Add(1)
						mine = conflict.Stored.(store.Project)
						continue
					}
					if err != nil {
						t.Error(err)
						return
					}
					mine = saved
					break
				}
			}
		})
	}
	wg.Wait()
	final, err := s.ProjectByID(t.Context(), "ann", p.ID)
	require.NoError(t, err)
	require.Equal(t, uint64(1+editors*lines), final.Revision)
	got := strings.Split(final.Sheet, "\n")
	require.Len(t, got, 1+editors*lines)
	for e := range editors {
		for n := range lines {
			require.Contains(t, got, fmt.Sprintf("line %d of %d", n, e))
		}
	}
	history, err := s.History(t.Context(), "ann", p.ID)
	require.NoError(t, err)
	require.Len(t, history, editors*lines)
	t.Logf("%d conflicts", conflicts.Load())
}

func testConcurrentOnce(t *testing.T, rig *rig) {
	s := newRecords(t, rig)
	var wg sync.WaitGroup
	var firsts atomic.Int64
	for range 16 {
		wg.Go(func() {
			first := false
			err := patiently(func() (err error) {
				_, first, err = s.Once(t.Context(), "ann", noon, "the same press", func(tx *store.Tx) (json.RawMessage, error) {
					_, err := tx.ChangeLeftovers(store.LeftoverChange{
						Add: []store.Leftover{{Kind: store.Offcut, Cord: "cotton", Length: 1, Count: 1}}}, store.AnyRevision)
					return nil, err
				})
				return err
			})
			if err != nil {
				t.Error(err)
			}
			if first {
				firsts.Add(1)
			}
		})
	}
	wg.Wait()
	require.EqualValues(t, 1, firsts.Load())
	shelf, err := s.Leftovers(t.Context(), "ann")
	require.NoError(t, err)
	require.Len(t, shelf.Entries, 1)
	require.Equal(t, 1, shelf.Entries[0].Count)
}
