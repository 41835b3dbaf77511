package boltstore

import (
	"errors"
	"fmt"
	"os"
	"sync/atomic"

	"go.etcd.io/bbolt"

	"larkfold/store"
)

// mapSize is how many bytes of addresses are set aside for the file. While it
// is smaller, no writer has to wait for a long reader to finish.
const mapSize = 1 << 28

// growBytes is the step in which the file grows.
const growBytes = 1 << 20

// file is one file that bbolt has open. Its last change is remembered, because
// bbolt goes on from the change before when the page that holds the last one is damaged.
type file struct {
	db     *bbolt.DB
	handle *os.File // belongs to db
	path   string
	last   atomic.Uint64 // number of the last change that was written out
}

// openFile opens a file that stands under its path when it is locked: while one
// waits for the lock, a tidied file may take the place of the one that was found.
func openFile(path string, options Options) (*file, error) {
	for {
		f := &file{path: path}
		err := guard(func() (err error) {
			f.db, err = bbolt.Open(path, 0o600, &bbolt.Options{
				Timeout: options.LockTimeout, ReadOnly: options.ReadOnly, MaxSize: options.MaxBytes,
				InitialMmapSize: mapSize, FreelistType: bbolt.FreelistMapType, NoStatistics: true,
				OpenFile: func(path string, flag int, mode os.FileMode) (handle *os.File, err error) {
					f.handle, err = os.OpenFile(path, flag, mode)
					return f.handle, err
				},
			})
			return err
		})
		if err != nil {
			return nil, openFault(path, err)
		}
		f.db.AllocSize = growBytes
		stands, err := f.stands()
		if err == nil && stands {
			err = guard(func() error { return f.db.View(func(tx *bbolt.Tx) error { f.last.Store(uint64(tx.ID())); return nil }) })
			if err == nil {
				return f, nil
			}
		}
		if err := errors.Join(err, f.db.Close()); err != nil {
			return nil, openFault(path, err)
		}
	}
}

// stands tells whether the file is still the one under its path.
func (f *file) stands() (bool, error) {
	there, err := os.Stat(f.path)
	if errors.Is(err, os.ErrNotExist) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	mine, err := f.handle.Stat()
	return err == nil && os.SameFile(there, mine), err
}

// view runs read on a picture of the file that is not older than the last change.
func (f *file) view(read func(*bbolt.Tx) error) error {
	last := f.last.Load()
	return f.db.View(func(tx *bbolt.Tx) error {
		if uint64(tx.ID()) < last {
			return f.steppedBack()
		}
		return read(tx)
	})
}

// update runs change on what the last change has left, and remembers it as the last.
func (f *file) update(change func(*bbolt.Tx) error) error {
	id := uint64(0)
	err := f.db.Update(func(tx *bbolt.Tx) error {
		id = uint64(tx.ID())
		if id <= f.last.Load() {
			return f.steppedBack()
		}
		return change(tx)
	})
	if err == nil {
		f.last.Store(id)
		return nil
	}
	if id > 0 && f.reached(id) {
		return &store.Fault{Kind: store.ErrUnknownCommit, Cause: err,
			Sentence: "The disk did not confirm the last change: it may be saved or not."}
	}
	return err
}

// reached tells whether the page that makes a change count was written, though
// the disk did not confirm it.
func (f *file) reached(id uint64) bool {
	found := false
	err := f.db.View(func(tx *bbolt.Tx) error {
		found = uint64(tx.ID()) >= id
		return nil
	})
	return err == nil && found
}

func (f *file) steppedBack() error {
	return damagedFile(f.path, fmt.Errorf("the page that holds the last change, %d, does not check", f.last.Load()))
}

// damagedFile says that a file's structure is damaged.
func damagedFile(path string, cause error) error {
	return &store.Fault{Kind: store.ErrDamaged, Cause: cause,
		Sentence: fmt.Sprintf("The file %s is damaged. Restore the newest good backup.", path)}
}
