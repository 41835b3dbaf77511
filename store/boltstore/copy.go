package boltstore

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"go.etcd.io/bbolt"

	"larkfold/store"
)

// unfinished is the ending of a file that is being written. It gets its own
// name when all of it is on the disk and checked.
const unfinished = ".unfinished"

// copyBytes is how much one transaction of copying writes.
const copyBytes = 1 << 20

// copyOf writes the records of a picture of the store, and nothing else, into a
// fresh file, page after full page, waits for the disk, and compares the two.
func copyOf(ctx context.Context, from *bbolt.Tx, path string) (to *file, err error) {
	if err := removeIfThere(path); err != nil {
		return nil, err
	}
	if to, err = openFile(path, Options{LockTimeout: defaultLockTimeout}); err != nil {
		return nil, err
	}
	to.db.NoSync, to.db.NoGrowSync = true, true
	err = guard(func() error {
		if err := fill(ctx, from, to); err != nil {
			return err
		}
		to.db.NoSync, to.db.NoGrowSync = false, false
		if err := to.db.Sync(); err != nil {
			return err
		}
		return to.view(func(tx *bbolt.Tx) error {
			if err := to.checkPages(tx, wholePages, false); err != nil {
				return err
			}
			return same(ctx, from, tx)
		})
	})
	if err != nil {
		return nil, errors.Join(err, to.discard())
	}
	return to, nil
}

// discard closes a file that is not wanted and removes it.
func (f *file) discard() error { return errors.Join(f.db.Close(), removeIfThere(f.path)) }

// fill copies every record in the order of keys, so that pages are filled one after the other.
func fill(ctx context.Context, from *bbolt.Tx, to *file) error {
	bucket, err := records(from)
	if err != nil {
		return err
	}
	cursor := bucket.Cursor()
	key, value := cursor.First()
	for first := true; first || key != nil; first = false {
		err := to.update(func(tx *bbolt.Tx) error {
			b, err := tx.CreateBucketIfNotExists(bucketName)
			if err != nil {
				return err
			}
			b.FillPercent = 1
			for size := 0; key != nil && size < copyBytes; key, value = cursor.Next() {
				if err := b.Put(key, value); err != nil {
					return err
				}
				size += len(key) + len(value)
			}
			return errors.Join(ctx.Err(), b.SetSequence(bucket.Sequence()))
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// same sees to it that two pictures hold the same records.
func same(ctx context.Context, a, b *bbolt.Tx) error {
	as, bs := a.Bucket(bucketName).Cursor(), b.Bucket(bucketName).Cursor()
	aKey, aValue := as.First()
	bKey, bValue := bs.First()
	for n := 0; aKey != nil || bKey != nil; n++ {
		if !bytes.Equal(aKey, bKey) || !bytes.Equal(aValue, bValue) {
			return errors.New("the copy is not the same as the store")
		}
		if n%checkEvery == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		aKey, aValue = as.Next()
		bKey, bValue = bs.Next()
	}
	return nil
}

// Copy writes a checked copy of the store as it is at this moment to a new file
// of mode 0600, while the store stays in use. The copy holds the records and
// nothing of what was erased. The file is there whole and checked or not at
// all; one that exists is refused with [store.ErrExists], and damaged records
// with [store.ErrDamaged].
func (e *Engine) Copy(ctx context.Context, path string, options store.Options) (store.CheckReport, error) {
	if err := refuseExisting(path); err != nil {
		return store.CheckReport{}, err
	}
	report, err := e.copyChecked(ctx, path+unfinished, options)
	if err == nil {
		err = errors.Join(os.Rename(path+unfinished, path), syncDir(filepath.Dir(path)))
	}
	if err != nil {
		return report, fmt.Errorf("writing %s: %w", path, errors.Join(err, removeIfThere(path+unfinished)))
	}
	return report, nil
}

// copyChecked writes a copy and checks every record of it.
func (e *Engine) copyChecked(ctx context.Context, path string, options store.Options) (report store.CheckReport, err error) {
	err = e.view(ctx, func(_ *file, tx *bbolt.Tx) error {
		to, err := copyOf(ctx, tx, path)
		if err != nil {
			return err
		}
		return to.closeTrimmed()
	})
	if err != nil {
		return report, e.writeTrouble(err)
	}
	report, err = CheckFile(ctx, path, options)
	return report, errors.Join(err, errors.Join(report.Problems...))
}

// writeTrouble puts into a sentence that there is no room for a copy.
func (e *Engine) writeTrouble(err error) error {
	if noRoom(err) {
		return &store.Fault{Kind: store.ErrFull, Sentence: "There is no room for a copy of the store.", Cause: err}
	}
	return err
}

// closeTrimmed closes a file and cuts off what it has grown beyond its last page.
func (f *file) closeTrimmed() error {
	var size int64
	err := f.db.View(func(tx *bbolt.Tx) error {
		size = tx.Size()
		return nil
	})
	if err := errors.Join(err, f.db.Close()); err != nil {
		return err
	}
	handle, err := os.OpenFile(f.path, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return errors.Join(handle.Truncate(size), handle.Sync(), handle.Close())
}

func refuseExisting(path string) error {
	_, err := os.Lstat(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	return &store.Fault{Kind: store.ErrExists, Sentence: fmt.Sprintf("The file %s exists already and is left as it is.", path)}
}

func removeIfThere(path string) error {
	if err := os.Remove(path); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

func fileSize(path string) (int64, error) {
	info, err := os.Stat(path)
	if err != nil {
		return 0, fmt.Errorf("looking at the store: %w", err)
	}
	return info.Size(), nil
}
