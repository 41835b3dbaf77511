// Package boltstore keeps a store in one file, by way of go.etcd.io/bbolt.
//
// [Open] gives an [Engine] for [larkfold/store.New]. Changes that arrive while
// another one is being written out are gathered and written out together, so
// that many writers share one wait for the disk. Beside that the package makes
// snapshots of a file in use, checks, compacts and restores files, and keeps a
// row of backups.
//
// What will hurt you: one process has the file at a time; a long View keeps the
// file from reusing space, and in a file beyond 256 MiB may hold up a writer; and an erased record's bytes stay in unused pages
// until [Engine.CompactTo] writes a fresh file.
package boltstore

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"sync"
	"syscall"
	"time"

	"go.etcd.io/bbolt"
	bolterrors "go.etcd.io/bbolt/errors"

	"larkfold/store"
)

// Options says how a file is opened. The zero value is good.
type Options struct {
	// ReadOnly opens the file for reading; several readers may have it at once.
	ReadOnly bool

	// LockTimeout is how long to wait for another program to let go of the
	// file; zero means one second.
	LockTimeout time.Duration

	// MaxBytes keeps the file from growing beyond that size; zero means no limit.
	MaxBytes int
}

const defaultLockTimeout = time.Second

// mapSize is how many bytes of addresses are set aside for the file. While it
// is smaller, no writer has to wait for a long reader to finish.
const mapSize = 1 << 28

// growBytes is the step in which the file grows.
const growBytes = 1 << 20

// bucketName is the one bucket that holds every record.
var bucketName = []byte("records")

// Engine is an open file. It is safe for use by many goroutines.
type Engine struct {
	db   *bbolt.DB
	turn chan struct{} // held by the goroutine that writes out a batch

	mu     sync.Mutex
	queue  []*request
	broken error // why nothing is written any more
}

// Open opens a file, making it with mode 0600 if there is none. Errors:
// [store.ErrLocked], [store.ErrDamaged], [store.ErrReadOnly], [store.ErrFull].
func Open(path string, options Options) (*Engine, error) {
	if options.LockTimeout == 0 {
		options.LockTimeout = defaultLockTimeout
	}
	if options.ReadOnly {
		return openChecked(path, options)
	}
	info, err := os.Stat(path)
	if err == nil && info.Size() > 0 {
		// bbolt reads the list of free pages while it opens a file for writing
		// and keeps its lock when it stumbles there, so look first.
		e, err := openChecked(path, options)
		if err == nil {
			err = e.Close()
		}
		if err != nil {
			return nil, err
		}
	}
	e, err := open(path, options)
	if err != nil {
		return nil, err
	}
	if err := e.prepare(); err != nil {
		return nil, errors.Join(openFault(path, err), e.Close())
	}
	return e, nil
}

// openChecked opens a file for reading and sees to it that bbolt can find its
// way through the pages; on some damage it would go round in circles.
func openChecked(path string, options Options) (*Engine, error) {
	options.ReadOnly = true
	e, err := open(path, options)
	if err != nil {
		return nil, err
	}
	if err := e.checkPages(pageHeads); err != nil {
		return nil, errors.Join(openFault(path, err), e.Close())
	}
	return e, nil
}

func open(path string, options Options) (*Engine, error) {
	var db *bbolt.DB
	err := guard(func() (err error) {
		db, err = bbolt.Open(path, 0o600, &bbolt.Options{
			Timeout: options.LockTimeout, ReadOnly: options.ReadOnly, MaxSize: options.MaxBytes,
			InitialMmapSize: mapSize, FreelistType: bbolt.FreelistMapType, NoStatistics: true,
		})
		return err
	})
	if err != nil {
		return nil, openFault(path, err)
	}
	db.AllocSize = growBytes
	return &Engine{db: db, turn: make(chan struct{}, 1)}, nil
}

// prepare makes the bucket in a new file and its directory entry durable.
func (e *Engine) prepare() error {
	found := false
	err := guard(func() error {
		return e.db.View(func(tx *bbolt.Tx) error {
			found = tx.Bucket(bucketName) != nil
			return nil
		})
	})
	if err != nil || found {
		return err
	}
	err = guard(func() error {
		return e.db.Update(func(tx *bbolt.Tx) error {
			_, err := tx.CreateBucket(bucketName)
			return err
		})
	})
	if err != nil {
		return err
	}
	return syncDir(filepath.Dir(e.db.Path()))
}

// openFault puts into a sentence why a file could not be opened.
func openFault(path string, err error) error {
	fault := func(kind error, format string, args ...any) error {
		return &store.Fault{Kind: kind, Sentence: fmt.Sprintf(format, args...), Cause: err}
	}
	var told *store.Fault
	switch {
	case errors.As(err, &told):
		return err
	case errors.Is(err, bolterrors.ErrTimeout):
		return fault(store.ErrLocked, "Another copy of the program has the store %s open. Stop that one, or use another store.", path)
	case errors.Is(err, bolterrors.ErrInvalid), errors.Is(err, bolterrors.ErrChecksum), errors.Is(err, bolterrors.ErrVersionMismatch),
		errors.Is(err, bolterrors.ErrInvalidMapping):
		return fault(store.ErrDamaged, "The file %s is damaged or is no store. Restore the newest good backup.", path)
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		return fault(store.ErrReadOnly, "The store %s cannot be written to: this user may not, or its disk is read-only.", path)
	case noRoom(err):
		return fault(store.ErrFull, "There is no room for the store %s.", path)
	}
	if damage := checkPages(path); errors.Is(damage, store.ErrDamaged) {
		return damage
	}
	return fmt.Errorf("opening the store %s: %w", path, err)
}

// Close implements [store.Engine].
func (e *Engine) Close() error {
	e.turn <- struct{}{}
	defer func() { <-e.turn }()
	return e.db.Close()
}

// View implements [store.Engine].
func (e *Engine) View(ctx context.Context, read func(store.Reader) error) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	return e.fault(guard(func() error {
		return e.db.View(func(tx *bbolt.Tx) error {
			b := tx.Bucket(bucketName)
			if b == nil {
				return &store.Fault{Kind: store.ErrDamaged, Sentence: "The file holds no records at all; it is no store."}
			}
			return read(&reader{ctx: ctx, bucket: b})
		})
	}))
}

// fault puts bbolt's own errors into sentences.
func (e *Engine) fault(err error) error {
	switch {
	case errors.Is(err, bolterrors.ErrDatabaseNotOpen):
		return &store.Fault{Kind: store.ErrClosed, Sentence: "The store is closed.", Cause: err}
	case errors.Is(err, bolterrors.ErrDatabaseReadOnly):
		return &store.Fault{Kind: store.ErrReadOnly, Sentence: "The store is open for reading only.", Cause: err}
	}
	return err
}

// syncDir makes a directory's entries durable.
func syncDir(dir string) error {
	if runtime.GOOS == "windows" {
		return nil // directories cannot be synced there
	}
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}
