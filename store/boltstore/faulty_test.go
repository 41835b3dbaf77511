package boltstore

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"syscall"
	"testing"
	"unsafe"

	"github.com/stretchr/testify/require"
	"go.etcd.io/bbolt"

	"larkfold/store"
)

// faultyFile stands between bbolt and its file, and lets a write fail. bbolt
// has no door for that, so the test reaches through the wall.
type faultyFile struct {
	handle *os.File
	writes int   // since the fault was set
	at     int   // which write fails; 0 means none
	fault  error // what the system says
	short  int   // one part in so many is written first; 0 means nothing
}

func beFaulty(f *file) *faultyFile {
	faulty := &faultyFile{handle: f.handle}
	ops := reflect.ValueOf(f.db).Elem().FieldByName("ops").FieldByName("writeAt")
	*(*func([]byte, int64) (int, error))(unsafe.Pointer(ops.UnsafeAddr())) = faulty.writeAt
	return faulty
}

func (f *faultyFile) writeAt(b []byte, at int64) (n int, err error) {
	f.writes++
	if f.writes != f.at {
		return f.handle.WriteAt(b, at)
	}
	if f.short > 0 {
		if n, err = f.handle.WriteAt(b[:len(b)/f.short], at); err != nil {
			return n, err
		}
	}
	return n, &fs.PathError{Op: "write", Path: f.handle.Name(), Err: f.fault}
}

func (f *faultyFile) set(at int, fault error, short int) {
	f.writes, f.at, f.fault, f.short = 0, at, fault, short
}

// brokenDisk lets every wait for the disk fail, by giving bbolt a pipe to wait for.
func brokenDisk(t *testing.T, db *bbolt.DB) (mend func()) {
	t.Helper()
	r, w, err := os.Pipe()
	require.NoError(t, err)
	field := (**os.File)(unsafe.Pointer(reflect.ValueOf(db).Elem().FieldByName("file").UnsafeAddr()))
	whole := *field
	*field = w
	return func() {
		*field = whole
		require.NoError(t, r.Close())
		require.NoError(t, w.Close())
	}
}

// TestFaultAtEveryWriteOfASave lets one write of a save fail after the other:
// for want of room, and for good, whole and half written. What the member is
// told is what is in the store, then and after opening it anew.
func TestFaultAtEveryWriteOfASave(t *testing.T) {
	for _, fault := range []error{syscall.ENOSPC, syscall.EDQUOT, syscall.EIO} {
		for _, short := range []int{0, 2, 100} {
			t.Run(fmt.Sprintf("%v, one in %d", fault, short), func(t *testing.T) {
				path := filepath.Join(t.TempDir(), "store.db")
				saved := filled(t, path, 40, store.Options{})
				for at := 1; ; at++ {
					e, err := Open(path, Options{})
					require.NoError(t, err)
					s, err := store.New(t.Context(), e, store.Options{})
					require.NoError(t, err)
					faulty := beFaulty(e.current())
					faulty.set(at, fault, short)
					name := fmt.Sprintf("write %d fails", at)
					_, err = s.SaveProject(t.Context(), "ann", noon, store.Project{Name: name, Sheet: sheetOf(at)}, 0)
					if err == nil {
						require.Greater(t, at, 3, "a save writes several pages")
						require.Less(t, faulty.writes, at)
						require.NoError(t, e.Close())
						return
					}
					if errors.Is(err, store.ErrUnknownCommit) {
						saved = append(saved, found(t, s, name)...)
					} else {
						require.Empty(t, found(t, s, name), "not saved was said")
					}
					_, readable := s.ProjectByID(t.Context(), "ann", saved[at%len(saved)].ID)
					require.NoError(t, readable, "reading goes on")
					p, again := s.SaveProject(t.Context(), "ann", noon, store.Project{Name: name + " again", Sheet: sheetOf(at)}, 0)
					if errors.Is(err, store.ErrFull) {
						require.NoError(t, again, "there is room again")
						require.NoError(t, e.Writable())
						saved = append(saved, p)
					} else {
						require.ErrorIs(t, again, store.ErrReadOnly, "nothing more is written")
						require.ErrorIs(t, e.Writable(), store.ErrReadOnly, "whoever runs it can see that")
					}
					require.NoError(t, e.Close())
					if faulty.short > 0 && halfMeta(t, path) {
						// The page that makes a change count was begun and not finished: nobody can
						// tell that from damage, so it is said, and stepped back from on purpose.
						_, err = Open(path, Options{})
						require.ErrorIs(t, err, store.ErrDamaged)
						e, err = Open(path, Options{StepBack: true})
						require.NoError(t, err)
						require.NoError(t, e.Close())
					}
					report, err := CheckFile(t.Context(), path, store.Options{})
					require.NoError(t, err)
					require.Empty(t, report.Problems)
					requireHolds(t, path, store.Options{}, saved)
				}
			})
		}
	}
}

// found is the project of that name, if there is one.
func found(t *testing.T, s *store.Records, name string) []store.Project {
	t.Helper()
	p, err := s.Project(t.Context(), "ann", name)
	if errors.Is(err, store.ErrNotFound) {
		return nil
	}
	require.NoError(t, err)
	return []store.Project{p}
}

func halfMeta(t *testing.T, path string) bool {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	return len(readMetas(f)) < 2
}

// TestDiskThatDoesNotConfirm lets the wait for the disk fail, first before and
// then after the page that makes the change count. The first is "nothing was
// saved", the second nobody knows, and both end writing until the file is opened anew.
func TestDiskThatDoesNotConfirm(t *testing.T) {
	for name, row := range map[string]struct {
		after int // waits that go well
		want  error
	}{"before it counts": {0, store.ErrReadOnly}, "after it counts": {1, store.ErrUnknownCommit}} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "store.db")
			saved := filled(t, path, 3, store.Options{})
			e, err := Open(path, Options{})
			require.NoError(t, err)
			s, err := store.New(t.Context(), e, store.Options{})
			require.NoError(t, err)
			var mend func()
			if row.after == 0 {
				mend = brokenDisk(t, e.current().db)
			} else {
				// The page that makes a change count is one of the first two: break the disk when it is written.
				faulty := beFaulty(e.current())
				ops := reflect.ValueOf(e.current().db).Elem().FieldByName("ops").FieldByName("writeAt")
				*(*func([]byte, int64) (int, error))(unsafe.Pointer(ops.UnsafeAddr())) = func(b []byte, at int64) (int, error) {
					n, err := faulty.handle.WriteAt(b, at)
					if at < 2*int64(os.Getpagesize()) && mend == nil {
						mend = brokenDisk(t, e.current().db)
					}
					return n, err
				}
			}
			_, err = s.SaveProject(t.Context(), "ann", noon, store.Project{Name: "more"}, 0)
			require.ErrorIs(t, err, row.want)
			mend()
			_, err = s.SaveProject(t.Context(), "ann", noon, store.Project{Name: "even more"}, 0)
			require.ErrorIs(t, err, store.ErrReadOnly, "nothing more is written")
			_, err = s.ProjectByID(t.Context(), "ann", saved[0].ID)
			require.NoError(t, err, "reading goes on")
			_, err = s.Project(t.Context(), "ann", "more")
			if row.want == store.ErrReadOnly {
				require.ErrorIs(t, err, store.ErrNotFound, "nothing was saved")
			} else {
				require.NoError(t, err, "here it happens to be saved")
			}
			require.NoError(t, e.Close())
			requireHolds(t, path, store.Options{}, saved)
		})
	}
}
