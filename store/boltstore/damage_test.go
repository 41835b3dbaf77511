package boltstore

import (
	"bytes"
	"errors"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/pairs"
	"larkfold/store/seal"
	"larkfold/store/storetest"
)

// damageable makes a sound file with enough records for a tree of pages, and returns its bytes and records.
func damageable(t *testing.T, options store.Options) (raw []byte, records map[string]string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "store.db")
	filled(t, path, 60, options)
	tidied(t, path, options)
	raw, err := os.ReadFile(path)
	require.NoError(t, err)
	records, err = readAll(t, path)
	require.NoError(t, err)
	return raw, records
}

// tidied puts a copy of a file that nobody has open in its place.
func tidied(t testing.TB, path string, options store.Options) {
	t.Helper()
	e, err := Open(path, Options{})
	require.NoError(t, err)
	_, err = e.Copy(t.Context(), path+".tidied", options)
	require.NoError(t, errors.Join(err, e.Close(), os.Rename(path+".tidied", path)))
}

// readAll opens a file for reading and lists its records.
func readAll(t *testing.T, path string) (map[string]string, error) {
	e, err := Open(path, Options{ReadOnly: true})
	if err != nil {
		return nil, err
	}
	defer e.Close()
	records := map[string]string{}
	err = e.View(t.Context(), func(r pairs.Reader) error {
		for pair, err := range r.Scan(nil, nil) {
			if err != nil {
				return err
			}
			records[string(pair.Key)] = string(pair.Value)
		}
		return nil
	})
	return records, err
}

// modes are a plain and a sealed store.
func modes() map[string]store.Options {
	return map[string]store.Options{"plain": {}, "sealed": {Key: seal.GenerateKey()}}
}

// TestFlippedBytesAreFound flips bytes all over the file. Either the check finds
// the damage, or it lies where nothing is kept and every record is as it was.
// Nothing panics, hangs or crashes, not even without the check.
func TestFlippedBytesAreFound(t *testing.T) {
	r := rand.New(rand.NewPCG(storetest.Seed(t), 3))
	for mode, options := range modes() {
		t.Run(mode, func(t *testing.T) {
			raw, records := damageable(t, options)
			path := filepath.Join(t.TempDir(), "damaged.db")
			found := 0
			for n := range 150 {
				at := r.IntN(len(raw))
				if n%2 == 0 { // the heads of pages and of their entries
					at = r.IntN(len(raw)/4096)*4096 + r.IntN(200)
				}
				damaged := bytes.Clone(raw)
				damaged[at] ^= byte(1 << r.IntN(8))
				require.NoError(t, os.WriteFile(path, damaged, 0o600))
				got, readErr := readAll(t, path)
				report, err := CheckFile(t.Context(), path, options)
				if err != nil || len(report.Problems) > 0 {
					found++
					continue
				}
				require.NoError(t, readErr)
				require.True(t, maps.Equal(records, got), "byte %d was flipped, a record has changed, and nothing was found", at)
			}
			require.Greater(t, found, 30)
			t.Logf("%d of 150 flips were found, the others changed no record", found)
		})
	}
}

// TestEveryFlippedByteOfARecordIsFoundAndNamed flips each byte of one value.
func TestEveryFlippedByteOfARecordIsFoundAndNamed(t *testing.T) {
	for mode, options := range modes() {
		t.Run(mode, func(t *testing.T) {
			raw, records := damageable(t, options)
			path := filepath.Join(t.TempDir(), "damaged.db")
			key, value := oneProject(t, records)
			start := bytes.LastIndex(raw, []byte(value))
			require.Positive(t, start)
			for i := range value {
				if i > 40 && i < len(value)-20 && i%7 != 0 {
					continue
				}
				damaged := bytes.Clone(raw)
				damaged[start+i] ^= 0x20
				require.NoError(t, os.WriteFile(path, damaged, 0o600))
				report, err := CheckFile(t.Context(), path, options)
				require.NoError(t, err, "the structure is sound")
				require.Len(t, report.Problems, 1)
				var damage *store.DamagedError
				require.ErrorAs(t, report.Problems[0], &damage)
				require.Equal(t, key, string(damage.Key))
				require.Contains(t, damage.Error(), "The stored record project ")
			}
		})
	}
}

func oneProject(t *testing.T, records map[string]string) (key, value string) {
	t.Helper()
	for key, value := range records {
		if key[0] == 'M' && key[17] == 'p' {
			return key, value
		}
	}
	t.Fatal("no project")
	return "", ""
}

// TestDamageUnderARunningStore damages a file while it is open. Reading the
// damaged record fails with its key, reading others goes on, and the last
// backup brings everything back.
func TestDamageUnderARunningStore(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "store.db")
	saved := filled(t, path, 60, store.Options{})
	e, err := Open(path, Options{})
	require.NoError(t, err)
	s, err := store.New(t.Context(), e, store.Options{})
	require.NoError(t, err)
	backups := &Backups{Engine: e, Dir: filepath.Join(dir, "backups"), Keep: 2}
	backup, err := backups.Make(t.Context(), noon)
	require.NoError(t, err)

	flip(t, path, valueOf(t, e, saved[7].ID))
	_, err = s.ProjectByID(t.Context(), "ann", saved[7].ID)
	var damage *store.DamagedError
	require.ErrorAs(t, err, &damage)
	require.Contains(t, damage.Record, saved[7].ID)
	_, err = s.SaveProject(t.Context(), "ann", noon, saved[7], 1)
	require.ErrorIs(t, err, store.ErrDamaged, "a damaged record is not overwritten")
	p, err := s.ProjectByID(t.Context(), "ann", saved[8].ID)
	require.NoError(t, err)
	require.Equal(t, saved[8], p)
	list, err := s.Projects(t.Context(), "ann")
	require.NoError(t, err)
	require.Len(t, list, 60)

	_, err = backups.Make(t.Context(), noon.Add(time.Hour))
	require.ErrorIs(t, err, store.ErrDamaged, "a backup with damage in it does not count")
	require.NoError(t, e.Close())
	aside, err := Restore(t.Context(), backup, path, RestoreOptions{Force: true, Now: noon})
	require.NoError(t, err)
	require.FileExists(t, aside)
	requireHolds(t, path, store.Options{}, saved)
}

// valueOf is the stored value of a project.
func valueOf(t *testing.T, e *Engine, id string) (value []byte) {
	t.Helper()
	require.NoError(t, e.View(t.Context(), func(r pairs.Reader) error {
		for pair, err := range r.Scan([]byte("M"), nil) {
			if err != nil {
				return err
			}
			if pair.Key[17] == 'p' && string(pair.Key[18:]) == id {
				value = bytes.Clone(pair.Value)
			}
		}
		return nil
	}))
	require.NotEmpty(t, value)
	return value
}

// flip changes one byte wherever a value stands in a file.
func flip(t *testing.T, path string, value []byte) {
	t.Helper()
	raw, err := os.ReadFile(path)
	require.NoError(t, err)
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	require.NoError(t, err)
	defer f.Close()
	n := 0
	for at := 0; ; n++ {
		i := bytes.Index(raw[at:], value)
		if i < 0 {
			break
		}
		at += i
		_, err := f.WriteAt([]byte{raw[at] ^ 1}, int64(at))
		require.NoError(t, err)
		at += len(value)
	}
	require.Positive(t, n)
}

// TestPagesDamagedUnderARunningStore spoils page after page of an open file.
// Reads and writes fail with a sentence; the program lives.
func TestPagesDamagedUnderARunningStore(t *testing.T) {
	for _, spoil := range []byte{0x00, 0x01, 0xFF} {
		path := filepath.Join(t.TempDir(), "store.db")
		saved := filled(t, path, 60, store.Options{})
		e, err := Open(path, Options{})
		require.NoError(t, err)
		s, err := store.New(t.Context(), e, store.Options{})
		require.NoError(t, err)
		raw, err := os.ReadFile(path)
		require.NoError(t, err)
		f, err := os.OpenFile(path, os.O_RDWR, 0)
		require.NoError(t, err)
		page := os.Getpagesize()
		failures := 0
		for at := 2 * page; at < len(raw); at += page {
			_, err := f.WriteAt(bytes.Repeat([]byte{spoil}, 64), int64(at+pageHead))
			require.NoError(t, err)
			for _, p := range saved[:10] {
				_, err := s.ProjectByID(t.Context(), "ann", p.ID)
				if err != nil && !errors.Is(err, store.ErrDamaged) {
					require.ErrorIs(t, err, store.ErrNotFound)
				}
				if err != nil {
					failures++
				}
			}
		}
		require.Positive(t, failures)
		_, err = s.SaveProject(t.Context(), "ann", noon, store.Project{Name: "more"}, 0)
		require.Error(t, err)
		require.NoError(t, f.Close())
		require.NoError(t, e.Close())
		_, err = CheckFile(t.Context(), path, store.Options{})
		require.ErrorIs(t, err, store.ErrDamaged)
	}
}

func TestCutFile(t *testing.T) {
	raw, _ := damageable(t, store.Options{})
	path := filepath.Join(t.TempDir(), "cut.db")
	for _, n := range []int{1, 100, 4096, 8192, 8193, len(raw) / 2} {
		require.NoError(t, os.WriteFile(path, raw[:n], 0o600))
		_, err := CheckFile(t.Context(), path, store.Options{})
		require.ErrorIs(t, err, store.ErrDamaged, n)
		_, err = Open(path, Options{})
		require.ErrorIs(t, err, store.ErrDamaged, n)
	}
}

// FuzzCheckPages gives the reader of pages any bytes at all.
func FuzzCheckPages(f *testing.F) {
	path := filepath.Join(f.TempDir(), "store.db")
	e, err := Open(path, Options{})
	require.NoError(f, err)
	s, err := store.New(f.Context(), e, store.Options{})
	require.NoError(f, err)
	fillShelf(f, s, "ann", 5)
	require.NoError(f, e.Close())
	tidied(f, path, store.Options{})
	raw, err := os.ReadFile(path)
	require.NoError(f, err)
	f.Add(raw, 0, byte(0))
	f.Add(raw[:8192], 20, byte(1))
	f.Add([]byte{}, 0, byte(0))
	f.Fuzz(func(t *testing.T, raw []byte, at int, with byte) {
		if len(raw) > 0 && at >= 0 {
			raw = bytes.Clone(raw)
			raw[at%len(raw)] ^= with
		}
		file := bytes.NewReader(raw)
		meta, err := bothMetas(file)
		if err == nil {
			err = checkTree(file, int64(len(raw)), meta, wholePages)
		}
		if err == nil && checkTree(file, int64(len(raw)), meta, pageHeads) != nil {
			t.Error("the heads are worse than the whole")
		}
	})
}
