package boltstore

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"go.etcd.io/bbolt"

	"larkfold/store"
	"larkfold/store/pairs"
	"larkfold/store/seal"
)

// recorder notes what the last change wrote.
type recorder struct {
	pairs.Engine
	puts    []pairs.Pair
	deletes [][]byte
}

func (r *recorder) Update(ctx context.Context, change func(pairs.Writer) error) error {
	return r.Engine.Update(ctx, func(w pairs.Writer) error {
		r.puts, r.deletes = nil, nil
		return change(&recordingWriter{w, r})
	})
}

type recordingWriter struct {
	pairs.Writer
	to *recorder
}

func (w *recordingWriter) Put(key, value []byte) error {
	w.to.puts = append(w.to.puts, pairs.Pair{Key: append([]byte{}, key...), Value: append([]byte{}, value...)})
	return w.Writer.Put(key, value)
}

func (w *recordingWriter) Delete(key []byte) error {
	w.to.deletes = append(w.to.deletes, append([]byte{}, key...))
	return w.Writer.Delete(key)
}

// rawSave writes with bbolt alone what the shelf wrote in a save: the same
// bytes under keys of the same shape, the revision's key counting up.
type rawSave struct {
	puts    []pairs.Pair
	deletes [][]byte
}

func (s *rawSave) run(tx *bbolt.Tx, writer, n int) error {
	b := tx.Bucket(bucketName)
	for _, pair := range s.puts {
		if err := b.Put(rawKey(pair.Key, writer, n), pair.Value); err != nil {
			return err
		}
	}
	for _, key := range s.deletes {
		if err := b.Delete(rawKey(key, writer, n-20)); err != nil {
			return err
		}
	}
	return nil
}

// rawKey makes a key another writer's and, for a revision, another revision's.
func rawKey(key []byte, writer, n int) []byte {
	key = append([]byte{}, key...)
	key[1], key[2] = byte(writer), byte(writer>>8)
	if key[17] == 'h' {
		copy(key[len(key)-8:], fmt.Sprintf("%08d", n))
	}
	return key
}

// BenchmarkSavesAgainstRaw saves new revisions of projects of 500 bytes, which
// have a full history, and in turn lets bbolt alone write the same bytes: with
// Update and with Batch. All three share one run, so that the ratio means
// something on a busy machine.
func BenchmarkSavesAgainstRaw(b *testing.B) {
	for _, writers := range []int{1, 64} {
		for mode, options := range map[string]store.Options{"plain": {}, "sealed": {Key: seal.GenerateKey()}} {
			b.Run(fmt.Sprintf("writers=%d/%s", writers, mode), func(b *testing.B) { savesAgainstRaw(b, writers, options) })
		}
	}
}

func savesAgainstRaw(b *testing.B, writers int, options store.Options) {
	e, err := Open(filepath.Join(b.TempDir(), "store.db"), Options{})
	require.NoError(b, err)
	defer e.Close()
	s, err := store.New(b.Context(), e, options)
	require.NoError(b, err)
	projects := make([]store.Project, writers)
	for w := range projects {
		projects[w] = fullHistory(b, s, fmt.Sprint("member", w))
	}
	raw := recordSave(b, e, options, projects[0])
	if projects[0], err = s.ProjectByID(b.Context(), "member0", projects[0].ID); err != nil {
		b.Fatal(err)
	}
	db, err := bbolt.Open(filepath.Join(b.TempDir(), "raw.db"), 0o600, &bbolt.Options{FreelistType: bbolt.FreelistMapType, NoStatistics: true})
	require.NoError(b, err)
	defer db.Close()
	require.NoError(b, db.Update(func(tx *bbolt.Tx) error {
		_, err := tx.CreateBucket(bucketName)
		return err
	}))
	for w := range writers { // the same fill as the shelf has
		require.NoError(b, db.Update(func(tx *bbolt.Tx) error {
			for n := range 21 {
				if err := raw.run(tx, w, n); err != nil {
					return err
				}
			}
			return nil
		}))
	}

	counts := make([]int, writers)
	for w := range counts {
		counts[w] = 21
	}
	contenders := []struct {
		name string
		save func(w int) error
		took time.Duration
	}{
		{name: "shelf", save: func(w int) (err error) {
			projects[w].Sheet = fmt.Sprintf("%s%08d", projects[w].Sheet[:492], projects[w].Revision)
			projects[w], err = s.SaveProject(b.Context(), projects[w].Owner, noon, projects[w], projects[w].Revision)
			return err
		}},
		{name: "update", save: func(w int) error {
			counts[w]++
			return db.Update(func(tx *bbolt.Tx) error { return raw.run(tx, w, counts[w]) })
		}},
		{name: "batch", save: func(w int) error {
			counts[w]++
			return db.Batch(func(tx *bbolt.Tx) error { return raw.run(tx, w, counts[w]) })
		}},
	}
	const chunk = 8
	saves := 0
	for round := 0; b.Loop(); round++ {
		for i := range contenders {
			c := &contenders[(round+i)%len(contenders)] // each goes first in its turn
			began := time.Now()
			var wg sync.WaitGroup
			for w := range writers {
				wg.Go(func() {
					for range chunk {
						if err := c.save(w); err != nil {
							b.Error(err)
							return
						}
					}
				})
			}
			wg.Wait()
			c.took += time.Since(began)
		}
		saves += writers * chunk
	}
	perSecond := func(i int) float64 { return float64(saves) / contenders[i].took.Seconds() }
	b.ReportMetric(perSecond(0), "shelf-saves/s")
	b.ReportMetric(perSecond(1), "raw-update-saves/s")
	b.ReportMetric(perSecond(2), "raw-batch-saves/s")
	b.ReportMetric(perSecond(0)/max(perSecond(1), perSecond(2)), "of-better-raw")
	b.ReportMetric(0, "ns/op")
}

// fullHistory saves a project of 500 bytes and 21 revisions of it in one transaction.
func fullHistory(b *testing.B, s *store.Records, member string) (p store.Project) {
	b.Helper()
	_, _, err := s.Once(b.Context(), member, noon, "", func(tx *store.Tx) (_ json.RawMessage, err error) {
		p = store.Project{Name: "Owl on a branch"}
		for n := range 22 {
			p.Sheet = (sheetOf(1) + sheetOf(2))[:492] + fmt.Sprintf("%08d", n)
			if p, err = tx.SaveProject(p, p.Revision); err != nil {
				return nil, err
			}
		}
		return nil, nil
	})
	require.NoError(b, err)
	return p
}

// recordSave saves one more revision and returns what that wrote.
func recordSave(b *testing.B, e *Engine, options store.Options, p store.Project) *rawSave {
	b.Helper()
	r := &recorder{Engine: e}
	s, err := store.New(b.Context(), r, options)
	require.NoError(b, err)
	p.Sheet += "."
	_, err = s.SaveProject(b.Context(), p.Owner, noon, p, p.Revision)
	require.NoError(b, err)
	require.Len(b, r.puts, 4, "the revision, the project, its name and the tally")
	require.Len(b, r.deletes, 1)
	return &rawSave{r.puts, r.deletes}
}

var manyProjects = flag.Int("projects", 1000, "how many projects the larger store of the size benchmarks holds")

const projectsPerMember = 100

// sized makes a store of so many projects; members hold 100 each.
func sized(b *testing.B, projects int) (*store.Records, *Engine) {
	b.Helper()
	path := filepath.Join(b.TempDir(), "store.db")
	e, err := Open(path, Options{})
	require.NoError(b, err)
	b.Cleanup(func() { require.NoError(b, e.Close()) })
	s, err := store.New(b.Context(), e, store.Options{})
	require.NoError(b, err)
	members := make(chan int)
	var wg sync.WaitGroup
	for range 32 {
		wg.Go(func() {
			for m := range members {
				fillShelf(b, s, fmt.Sprint("member", m), projectsPerMember)
			}
		})
	}
	for m := range projects / projectsPerMember {
		members <- m
	}
	close(members)
	wg.Wait()
	info, err := os.Stat(path)
	require.NoError(b, err)
	b.Logf("%d projects, %d bytes each in the file, sheets of %d", projects, info.Size()/int64(projects), len(sheetOf(100)))
	return s, e
}

// BenchmarkSizes recalls and lists in stores of different size. To see how it grows:
// go test ./store/boltstore -run xxx -bench Sizes -projects 1000000
func BenchmarkSizes(b *testing.B) {
	sizes := []int{1000}
	if *manyProjects != 1000 {
		sizes = append(sizes, *manyProjects)
	}
	for _, size := range sizes {
		s, e := sized(b, size)
		member := func(n int) string { return fmt.Sprint("member", n*7919%(size/projectsPerMember)) }
		report := func(name string, run func(n int) error) {
			b.Run(fmt.Sprintf("projects=%d/%s", size, name), func(b *testing.B) {
				b.ReportAllocs()
				for n := 0; b.Loop(); n++ {
					if err := run(n); err != nil {
						b.Fatal(err)
					}
				}
			})
		}
		report("recall", func(n int) error {
			_, err := s.Project(b.Context(), member(n), fmt.Sprintf("owl %d", n%projectsPerMember))
			return err
		})
		report("list", func(n int) error {
			list, err := s.Projects(b.Context(), member(n))
			if err == nil && len(list) != projectsPerMember {
				err = fmt.Errorf("%d projects listed", len(list))
			}
			return err
		})
		report("complete", func(n int) error {
			_, err := s.CompleteProjects(b.Context(), member(n), "owl 1", 25)
			return err
		})
		b.Run(fmt.Sprintf("projects=%d/open", size), func(b *testing.B) {
			snapshot := filepath.Join(b.TempDir(), "snapshot.db")
			_, err := e.Copy(b.Context(), snapshot, store.Options{})
			require.NoError(b, err)
			for b.Loop() {
				again, err := Open(snapshot, Options{})
				require.NoError(b, err)
				require.NoError(b, again.Close())
			}
		})
	}
}

// BenchmarkSave saves one new revision after another, to see what a save costs
// beside the disk: put TMPDIR on a file system in memory.
func BenchmarkSave(b *testing.B) {
	e, err := Open(filepath.Join(b.TempDir(), "store.db"), Options{})
	require.NoError(b, err)
	defer e.Close()
	s, err := store.New(b.Context(), e, store.Options{})
	require.NoError(b, err)
	p := fullHistory(b, s, "ann")
	b.ReportAllocs()
	for b.Loop() {
		p.Sheet = fmt.Sprintf("%s%08d", p.Sheet[:492], p.Revision)
		if p, err = s.SaveProject(b.Context(), "ann", noon, p, p.Revision); err != nil {
			b.Fatal(err)
		}
	}
}
