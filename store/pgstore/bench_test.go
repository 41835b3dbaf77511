//go:build unix

package pgstore

import (
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/boltstore"
	"larkfold/store/move"
	"larkfold/store/pairs"
	"larkfold/store/pgstore/pgtest"
	"larkfold/store/seal"
)

// BenchmarkAgainstFile saves new revisions of designs of 500 bytes, and recalls
// them by name, on a file and on a server of this machine, both sealed and both
// durable, the two taking turns in one run. It reports for each the saves and
// recalls a second and the 99th percentile of their times in milliseconds, and
// how many journeys a save and a recall take:
//
//	go test ./store/pgstore -run xxx -bench AgainstFile -benchtime 10x
func BenchmarkAgainstFile(b *testing.B) {
	server := pgtest.Primary(b)
	for _, writers := range []int{1, 64} {
		b.Run(fmt.Sprintf("writers=%d", writers), func(b *testing.B) {
			server.Exec(b, "DROP TABLE IF EXISTS "+table)
			onServer, err := Open(b.Context(), server.URL(), Options{})
			require.NoError(b, err)
			defer onServer.Close()
			inFile, err := boltstore.Open(filepath.Join(b.TempDir(), "store.db"), boltstore.Options{})
			require.NoError(b, err)
			defer inFile.Close()
			contenders := []*contender{newContender(b, "file", inFile, writers), newContender(b, "server", onServer, writers)}
			for b.Loop() {
				for _, c := range contenders {
					start := onServer.Journeys()
					c.saves.run(b, writers, c.save)
					between := onServer.Journeys()
					c.recalls.run(b, writers, c.recall)
					c.saving += between - start
					c.recalling += onServer.Journeys() - between
				}
			}
			for _, c := range contenders {
				c.saves.report(b, c.name+"-save")
				c.recalls.report(b, c.name+"-recall")
			}
			server := contenders[1]
			b.ReportMetric(float64(server.saving)/float64(len(server.saves.times)), "journeys/save")
			b.ReportMetric(float64(server.recalling)/float64(len(server.recalls.times)), "journeys/recall")
			b.ReportMetric(0, "ns/op")
		})
	}
}

// contender is a store of one design per writer, each with a full history.
type contender struct {
	b                 *testing.B
	name              string
	records           *store.Records
	designs           []store.Project
	saves             timed
	recalls           timed
	saving, recalling int64 // journeys to the server
}

func newContender(b *testing.B, name string, engine pairs.Engine, writers int) *contender {
	b.Helper()
	s, err := store.New(b.Context(), engine, store.Options{Key: seal.GenerateKey()})
	require.NoError(b, err)
	c := &contender{b: b, name: name, records: s, designs: make([]store.Project, writers)}
	for w := range writers {
		_, _, err := s.Once(b.Context(), fmt.Sprint("member ", w), time.Now(), "", func(tx *store.Tx) (_ json.RawMessage, err error) {
			c.designs[w] = store.Project{Name: "Owl on a branch"}
			for n := range 22 {
				c.designs[w].Sheet = sheetAt(n)
				if c.designs[w], err = tx.SaveProject(c.designs[w], c.designs[w].Revision); err != nil {
					return nil, err
				}
			}
			return nil, nil
		})
		require.NoError(b, err)
	}
	return c
}

func sheetAt(n int) string {
	return strings.Repeat("mount 8 folded sand\n", 25)[:492] + fmt.Sprintf("%08d", n)
}

func (c *contender) save(w int) (err error) {
	c.designs[w].Sheet = sheetAt(int(c.designs[w].Revision))
	c.designs[w], err = c.records.SaveProject(c.b.Context(), fmt.Sprint("member ", w), time.Now(), c.designs[w], c.designs[w].Revision)
	return err
}

func (c *contender) recall(w int) error {
	_, err := c.records.Project(c.b.Context(), fmt.Sprint("member ", w), "owl on a branch")
	return err
}

// timed is how long each of many calls took, and all of them together.
type timed struct {
	mu    sync.Mutex
	times []time.Duration
	all   time.Duration
}

// run lets every writer call several times at once.
func (t *timed) run(b *testing.B, writers int, call func(w int) error) {
	const each = 16
	began := time.Now()
	var group sync.WaitGroup
	for w := range writers {
		group.Go(func() {
			for range each {
				began := time.Now()
				if err := call(w); err != nil {
					b.Error(err)
					return
				}
				t.mu.Lock()
				t.times = append(t.times, time.Since(began))
				t.mu.Unlock()
			}
		})
	}
	group.Wait()
	t.all += time.Since(began)
}

func (t *timed) report(b *testing.B, name string) {
	slices.Sort(t.times)
	b.ReportMetric(float64(len(t.times))/t.all.Seconds(), name+"s/s")
	b.ReportMetric(float64(t.times[len(t.times)*99/100].Microseconds())/1000, name+"-p99-ms")
}

var projects = flag.Int("projects", 1000, "how many designs the size benchmark moves")

// BenchmarkSize fills a file with sealed designs of 500 bytes, each revised four
// times, moves it to a server and back, and checks it there. It reports the bytes
// that a design takes in both, and records a second:
//
//	go test ./store/pgstore -run xxx -bench Size -benchtime 1x -projects 100000
func BenchmarkSize(b *testing.B) {
	server := pgtest.Primary(b)
	options := store.Options{Key: seal.GenerateKey()}
	path := filepath.Join(b.TempDir(), "store.db")
	file, err := boltstore.Open(path, boltstore.Options{})
	require.NoError(b, err)
	s, err := store.New(b.Context(), file, options)
	require.NoError(b, err)
	const each = 50 // of a member
	fill := make(chan int)
	var group sync.WaitGroup
	for range 32 {
		group.Go(func() {
			for m := range fill {
				_, _, err := s.Once(b.Context(), fmt.Sprint("member ", m), time.Now(), "", func(tx *store.Tx) (json.RawMessage, error) {
					for n := range each {
						p := store.Project{Name: fmt.Sprint("Owl ", n)}
						for revision := range 5 {
							p.Sheet = sheetAt(revision)
							var err error
							if p, err = tx.SaveProject(p, p.Revision); err != nil {
								return nil, err
							}
						}
					}
					return nil, nil
				})
				if err != nil {
					b.Error(err)
				}
			}
		})
	}
	for m := range *projects / each {
		fill <- m
	}
	close(fill)
	group.Wait()
	info, err := os.Stat(path)
	require.NoError(b, err)

	onServer, err := Open(b.Context(), server.URL(), Options{})
	require.NoError(b, err)
	defer onServer.Close()
	for b.Loop() {
		server.Exec(b, "TRUNCATE "+table)
		began := time.Now()
		moved, err := move.Store(b.Context(), file, onServer, func(move.Progress) {})
		require.NoError(b, err)
		there := time.Since(began)
		began = time.Now()
		back, err := boltstore.Open(filepath.Join(b.TempDir(), "back.db"), boltstore.Options{})
		require.NoError(b, err)
		_, err = move.Store(b.Context(), onServer, back, func(move.Progress) {})
		require.NoError(b, err)
		require.NoError(b, back.Close())
		andBack := time.Since(began)
		began = time.Now()
		report, err := store.Verify(b.Context(), onServer, options)
		require.NoError(b, err)
		require.Empty(b, report.Problems)
		rate := func(took time.Duration) float64 { return float64(moved.Records) / took.Seconds() }
		b.ReportMetric(rate(there), "moved-there/s")
		b.ReportMetric(rate(andBack), "moved-back/s")
		b.ReportMetric(rate(time.Since(began)), "checked/s")
	}
	server.Exec(b, "VACUUM ANALYZE")
	size, err := strconv.Atoi(server.Ask(b, "SELECT pg_total_relation_size('"+table+"')::text"))
	require.NoError(b, err)
	b.ReportMetric(float64(size)/float64(*projects), "server-bytes/design")
	b.ReportMetric(float64(info.Size())/float64(*projects), "file-bytes/design")
	b.ReportMetric(0, "ns/op")
	require.NoError(b, file.Close())
}
