// Package boltstore keeps a store in one file, by way of go.etcd.io/bbolt.
//
// [Open] gives a [pairs.Engine] for [larkfold/store.New]. Changes that arrive while
// another one is being written out are gathered and written out together, so
// that many writers share one wait for the disk. Beside that the package tidies
// a file in use ([Engine.Tidy]), writes checked copies of it, checks and
// restores files, and keeps a row of backups.
//
// What will hurt you: one process has the file at a time; a long View keeps the
// file from reusing space, and in a file beyond 256 MiB may hold up a writer;
// and an erased record's bytes stay in unused pages until the next
// [Engine.Tidy]. Copies never hold them.
//
// The longer runs: go test ./store/boltstore -run Kills -kills 1000, and the
// benchmarks' -projects.
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
	"larkfold/store/pairs"
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

	// Backups is the folder of the store's backups. A file that is missing,
	// empty or older than the newest good one of them is refused with
	// [store.ErrLost]; empty means that nobody looks.
	Backups string

	// Afresh takes the file as it is although a backup is newer.
	Afresh bool

	// StepBack takes a file of which one of the two first pages is damaged, and
	// mends that page. The last change may be missing then.
	StepBack bool
}

const defaultLockTimeout = time.Second

// bucketName is the one bucket that holds every record. Its sequence counts the
// changes of the store's whole life and is kept when the file is written anew.
var bucketName = []byte("records")

// Engine is an open store. It is safe for use by many goroutines.
type Engine struct {
	path    string
	options Options
	turn    chan struct{} // held by the goroutine that writes out a batch
	tidying chan struct{} // held by the goroutine that tidies

	// changed holds the keys written since a tidying began, nil when none is
	// under way. It belongs to whoever has the turn.
	changed map[string]bool

	mu     sync.Mutex
	inUse  *file
	queue  []*request
	broken error // why nothing is written any more
}

// Open opens a file, making it with mode 0600 if there is none. Errors:
// [store.ErrLocked], [store.ErrDamaged], [store.ErrLost], [store.ErrReadOnly], [store.ErrFull],
// and of package fs ErrPermission for what cannot be read and ErrInvalid for a folder.
func Open(path string, options Options) (*Engine, error) {
	if options.LockTimeout == 0 {
		options.LockTimeout = defaultLockTimeout
	}
	newest, err := newestBackup(path, options)
	if err != nil {
		return nil, err
	}
	if options.ReadOnly {
		f, err := openChecked(path, options)
		if err != nil {
			return nil, err
		}
		return newEngine(path, options, f), nil
	}
	info, err := os.Stat(path)
	if err == nil && info.Size() > 0 {
		// bbolt reads the list of free pages while it opens a file for writing
		// and keeps its lock when it stumbles there, so look first.
		f, err := openChecked(path, options)
		if err == nil {
			err = f.db.Close()
		}
		if err != nil {
			return nil, err
		}
	}
	f, err := openFile(path, options)
	if err != nil {
		return nil, err
	}
	e := newEngine(path, options, f)
	if err := e.prepare(newest); err != nil {
		return nil, errors.Join(openFault(path, err), e.Close())
	}
	return e, nil
}

func newEngine(path string, options Options, f *file) *Engine {
	return &Engine{path: path, options: options, inUse: f, turn: make(chan struct{}, 1), tidying: make(chan struct{}, 1)}
}

// openChecked opens a file for reading and sees to it that bbolt can find its
// way through the pages; on some damage it would go round in circles.
func openChecked(path string, options Options) (*file, error) {
	options.ReadOnly = true
	f, err := openFile(path, options)
	if err != nil {
		return nil, err
	}
	err = guard(func() error {
		return f.db.View(func(tx *bbolt.Tx) error { return f.checkPages(tx, pageHeads, options.StepBack) })
	})
	if err != nil {
		return nil, errors.Join(openFault(path, err), f.db.Close())
	}
	return f, nil
}

// prepare makes the bucket in a new file and its directory entry durable,
// removes what a tidying that was broken off has left, mends a first page that
// was stepped back from, and goes on counting after the backups.
func (e *Engine) prepare(counted uint64) error {
	if err := removeIfThere(e.path + unfinished); err != nil {
		return err
	}
	found, count := false, uint64(0)
	err := guard(func() error {
		return e.inUse.db.View(func(tx *bbolt.Tx) error {
			if b := tx.Bucket(bucketName); b != nil {
				found, count = true, b.Sequence()
			}
			return nil
		})
	})
	if err != nil || found && count >= counted && !e.options.StepBack {
		return err
	}
	err = guard(func() error {
		return e.inUse.update(func(tx *bbolt.Tx) error {
			b, err := tx.CreateBucketIfNotExists(bucketName)
			if err != nil {
				return err
			}
			return b.SetSequence(max(count, counted) + 1)
		})
	})
	if err != nil {
		return err
	}
	return syncDir(filepath.Dir(e.path))
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
	case isFolder(path):
		return &store.Fault{Kind: fs.ErrInvalid, Sentence: path + " is a folder, and a store is a file."}
	case errors.Is(err, bolterrors.ErrInvalid), errors.Is(err, bolterrors.ErrChecksum), errors.Is(err, bolterrors.ErrVersionMismatch),
		errors.Is(err, bolterrors.ErrInvalidMapping):
		return fault(store.ErrDamaged, "The file %s is damaged or is no store. Restore the newest good backup.", path)
	case errors.Is(err, fs.ErrPermission) && unreadable(path):
		return fault(fs.ErrPermission, "The file %s cannot be read: this user may not.", path)
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		return fault(store.ErrReadOnly, "The store %s cannot be written to: this user may not, or its disk is read-only.", path)
	case noRoom(err):
		return fault(store.ErrFull, "There is no room for the store %s.", path)
	}
	if damage := checkClosed(path); errors.Is(damage, store.ErrDamaged) {
		return damage
	}
	return fmt.Errorf("opening the store %s: %w", path, err)
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// unreadable tells whether a file is kept from this user altogether.
func unreadable(path string) bool {
	f, err := os.Open(path)
	if err == nil {
		_ = f.Close()
	}
	return errors.Is(err, fs.ErrPermission)
}

// current is the file in use.
func (e *Engine) current() *file {
	e.mu.Lock()
	defer e.mu.Unlock()
	return e.inUse
}

// Close implements [pairs.Engine].
func (e *Engine) Close() error {
	e.tidying <- struct{}{}
	defer func() { <-e.tidying }()
	e.turn <- struct{}{}
	defer func() { <-e.turn }()
	return e.current().db.Close()
}

// View implements [pairs.Engine].
func (e *Engine) View(ctx context.Context, read func(pairs.Reader) error) error {
	return e.view(ctx, func(_ *file, tx *bbolt.Tx) error {
		b, err := records(tx)
		if err != nil {
			return err
		}
		return read(&reader{ctx: ctx, bucket: b})
	})
}

// view runs read on a picture of the file in use. When a tidied file takes its
// place before the picture is taken, it is taken of that one.
func (e *Engine) view(ctx context.Context, read func(*file, *bbolt.Tx) error) error {
	for {
		if err := ctx.Err(); err != nil {
			return err
		}
		f, began := e.current(), false
		err := guard(func() error {
			return f.view(func(tx *bbolt.Tx) error {
				began = true
				return read(f, tx)
			})
		})
		if !began && errors.Is(err, bolterrors.ErrDatabaseNotOpen) && f != e.current() {
			continue
		}
		return e.fault(err)
	}
}

// records is the bucket of a file that is a store.
func records(tx *bbolt.Tx) (*bbolt.Bucket, error) {
	b := tx.Bucket(bucketName)
	if b == nil {
		return nil, &store.Fault{Kind: store.ErrDamaged, Sentence: "The file holds no records at all; it is no store."}
	}
	return b, nil
}

var errReadOnly = bolterrors.ErrDatabaseReadOnly

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
