package boltstore

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"go.etcd.io/bbolt"

	"larkfold/store"
)

// Snapshot writes the file as it is at this moment, while it stays in use, and
// returns the number of bytes.
func (e *Engine) Snapshot(ctx context.Context, w io.Writer) (n int64, err error) {
	out := &contextWriter{ctx: ctx, w: w}
	err = e.fault(guard(func() error {
		return e.db.View(func(tx *bbolt.Tx) (err error) {
			n, err = tx.WriteTo(out)
			return err
		})
	}))
	if out.failed != nil {
		return n, out.failed // bbolt keeps only its text
	}
	return n, err
}

// contextWriter stops writing when its context ends, and remembers why it stopped.
type contextWriter struct {
	ctx    context.Context
	w      io.Writer
	failed error
}

func (w *contextWriter) Write(b []byte) (n int, err error) {
	if err = w.ctx.Err(); err == nil {
		n, err = w.w.Write(b)
	}
	w.failed = err
	return n, err
}

// SnapshotFile writes a snapshot to a new file of mode 0600. The file is there
// whole or not at all; one that exists is refused with [store.ErrExists].
func (e *Engine) SnapshotFile(ctx context.Context, path string) error {
	if err := refuseExisting(path); err != nil {
		return err
	}
	return writeWhole(path, func(f *os.File) error {
		_, err := e.Snapshot(ctx, f)
		return err
	})
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

const unfinished = ".unfinished"

// writeWhole writes a file under another name and gives it its own when all of it is on the disk.
func writeWhole(path string, write func(*os.File) error) (err error) {
	part := path + unfinished
	defer func() {
		if err != nil {
			err = errors.Join(fmt.Errorf("writing %s: %w", path, err), removeIfThere(part))
		}
	}()
	f, err := os.OpenFile(part, os.O_RDWR|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return err
	}
	if err := errors.Join(write(f), f.Sync(), f.Close()); err != nil {
		return err
	}
	if err := os.Rename(part, path); err != nil {
		return err
	}
	return syncDir(filepath.Dir(path))
}

func removeIfThere(path string) error {
	if err := os.Remove(path); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// compactBytes is how much one transaction of compacting writes.
const compactBytes = 1 << 20

// CompactTo writes the records into a new file that has no unused pages, while
// the store stays in use. What is saved meanwhile is not in it; [Compact] is
// for a file at rest.
func (e *Engine) CompactTo(ctx context.Context, path string) (err error) {
	if err := refuseExisting(path); err != nil {
		return err
	}
	part := path + unfinished
	if err := removeIfThere(part); err != nil {
		return fmt.Errorf("compacting the store: %w", err)
	}
	defer func() { err = errors.Join(err, removeIfThere(part)) }()
	fresh, err := Open(part, Options{})
	if err != nil {
		return err
	}
	if err := errors.Join(e.copyTo(ctx, fresh), fresh.closeTrimmed()); err != nil {
		return err
	}
	if err := os.Rename(part, path); err != nil {
		return fmt.Errorf("compacting the store: %w", err)
	}
	return syncDir(filepath.Dir(path))
}

// closeTrimmed closes a file and cuts off what it has grown beyond its last page.
func (e *Engine) closeTrimmed() error {
	var size int64
	err := e.db.View(func(tx *bbolt.Tx) error {
		size = tx.Size()
		return nil
	})
	path := e.db.Path()
	if err := errors.Join(err, e.Close()); err != nil {
		return err
	}
	f, err := os.OpenFile(path, os.O_RDWR, 0)
	if err != nil {
		return fmt.Errorf("compacting the store: %w", err)
	}
	return errors.Join(f.Truncate(size), f.Sync(), f.Close())
}

// copyTo copies every record in the order of keys, so that pages are filled one after the other.
func (e *Engine) copyTo(ctx context.Context, fresh *Engine) error {
	return e.View(ctx, func(r store.Reader) error {
		var batch []store.Pair
		size := 0
		flush := func() error {
			err := fresh.fill(batch)
			batch, size = batch[:0], 0
			return err
		}
		for pair, err := range r.Scan(nil, nil) {
			if err != nil {
				return err
			}
			batch = append(batch, pair)
			if size += len(pair.Key) + len(pair.Value); size >= compactBytes {
				if err := flush(); err != nil {
					return err
				}
			}
		}
		return flush()
	})
}

// fill puts pairs, which come in the order of their keys, into full pages.
func (e *Engine) fill(batch []store.Pair) error {
	err := guard(func() error {
		return e.db.Update(func(tx *bbolt.Tx) error {
			b := tx.Bucket(bucketName)
			b.FillPercent = 1
			for _, pair := range batch {
				if err := b.Put(pair.Key, pair.Value); err != nil {
					return err
				}
			}
			return nil
		})
	})
	if err != nil {
		return e.writeFault(err)
	}
	return nil
}

// Compact rewrites a file that no program has open without its unused pages,
// and returns its size before and after. Erased records are gone from the disk
// then, as far as the disk lets go of them.
func Compact(ctx context.Context, path string) (before, after int64, err error) {
	if before, err = fileSize(path); err != nil {
		return 0, 0, err
	}
	e, err := Open(path, Options{})
	if err != nil {
		return 0, 0, err
	}
	fresh := path + ".compacted"
	if err := errors.Join(removeIfThere(fresh), e.CompactTo(ctx, fresh), e.Close()); err != nil {
		return 0, 0, err
	}
	if err := errors.Join(os.Rename(fresh, path), syncDir(filepath.Dir(path))); err != nil {
		return 0, 0, fmt.Errorf("compacting the store: %w", err)
	}
	after, err = fileSize(path)
	return before, after, err
}

func fileSize(path string) (int64, error) {
	info, err := os.Stat(path)
	if err != nil {
		return 0, fmt.Errorf("looking at the store: %w", err)
	}
	return info.Size(), nil
}
