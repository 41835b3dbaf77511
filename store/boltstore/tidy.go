package boltstore

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"

	"go.etcd.io/bbolt"

	"larkfold/store"
	"larkfold/store/pairs"
)

const (
	// followRounds bounds how often a tidying catches up with what members save meanwhile.
	followRounds = 20

	// lastRound is how many changed keys are few enough to let writers wait for them.
	lastRound = 200

	// followBatch is how many keys one transaction of catching up writes.
	followBatch = 500
)

// Tidy writes the store into a fresh file and puts that in the place of the old
// one, while the store stays in use: of what was erased before it began nothing
// is left in the file then. What members save meanwhile follows; at the end
// writers wait for a moment, and readers finish on the old file. It returns the
// file's size in bytes before and after. A store that is full needs room for
// the fresh file first: [store.ErrFull].
func (e *Engine) Tidy(ctx context.Context) (before, after int64, err error) {
	select {
	case e.tidying <- struct{}{}:
		defer func() { <-e.tidying }()
	case <-ctx.Done():
		return 0, 0, ctx.Err()
	}
	if e.options.ReadOnly {
		return 0, 0, e.fault(errReadOnly)
	}
	if before, err = fileSize(e.path); err != nil {
		return 0, 0, err
	}
	fresh, err := e.freshFile(ctx)
	if err == nil {
		err = e.follow(ctx, fresh)
	}
	if err != nil {
		e.turn <- struct{}{}
		e.changed = nil
		<-e.turn
		return 0, 0, fmt.Errorf("tidying the store: %w", e.writeTrouble(err))
	}
	after, err = fileSize(e.path)
	return before, after, err
}

// freshFile copies the store as it is at this moment, from which on the keys
// that change are noted.
func (e *Engine) freshFile(ctx context.Context) (fresh *file, err error) {
	e.turn <- struct{}{}
	old := e.current()
	e.changed = map[string]bool{}
	tx, err := old.db.Begin(false)
	<-e.turn
	if err != nil {
		return nil, e.fault(err)
	}
	defer func() { err = errors.Join(err, tx.Rollback()) }()
	err = guard(func() error {
		if err := enoughRoom(e.path, tx); err != nil {
			return err
		}
		fresh, err = copyOf(ctx, tx, e.path+unfinished)
		return err
	})
	return fresh, err
}

// spareRoom is what a disk keeps free beside a fresh file, so that members can save meanwhile.
const spareRoom = 64 << 20

// enoughRoom refuses to fill a disk up with a fresh file.
func enoughRoom(path string, tx *bbolt.Tx) error {
	room, err := DiskRoom(filepath.Dir(path))
	if err != nil || room < 0 {
		return err
	}
	if need := tx.Size() + spareRoom; room < need {
		return &store.Fault{Kind: store.ErrFull, Sentence: fmt.Sprintf(
			"There is no room to write the store afresh: its disk has %d MB left, and %d MB may be needed.", room>>20, need>>20)}
	}
	return nil
}

// follow catches up with what has changed since the copy, and swaps the files
// when little is left. When it fails the fresh file is gone.
func (e *Engine) follow(ctx context.Context, fresh *file) (err error) {
	swapped := false
	defer func() {
		if !swapped {
			err = errors.Join(err, fresh.discard())
		}
	}()
	for range followRounds {
		e.turn <- struct{}{}
		keys := slices.Sorted(maps.Keys(e.changed))
		if len(keys) <= lastRound {
			<-e.turn
			break
		}
		e.changed = map[string]bool{}
		<-e.turn
		fresh.db.NoSync = true
		err := e.bring(ctx, fresh, keys)
		fresh.db.NoSync = false
		if err == nil {
			err = fresh.db.Sync()
		}
		if err != nil {
			return err
		}
	}
	old, err := e.swap(ctx, fresh)
	swapped = old != nil
	if old == nil {
		return err
	}
	return errors.Join(err, old.db.Close()) // waits for its readers
}

// swap brings the last changes while writers wait, and puts the fresh file into
// use. The old one is returned once the fresh one has its place.
func (e *Engine) swap(ctx context.Context, fresh *file) (old *file, err error) {
	e.turn <- struct{}{}
	defer func() { <-e.turn }()
	if err := e.Writable(); err != nil {
		return nil, err
	}
	if err := e.bring(ctx, fresh, slices.Sorted(maps.Keys(e.changed))); err != nil {
		return nil, err
	}
	if err := errors.Join(ctx.Err(), likeFile(fresh.path, e.path)); err != nil {
		return nil, err
	}
	if err := os.Rename(fresh.path, e.path); err != nil {
		return nil, err
	}
	fresh.path = e.path
	fresh.db.MaxSize = e.options.MaxBytes
	old = e.current()
	e.mu.Lock()
	e.inUse = fresh
	e.mu.Unlock()
	e.changed = nil
	if err := syncDir(filepath.Dir(e.path)); err != nil {
		return old, e.writeFault(fmt.Errorf("putting the tidied file in its place: %w", err))
	}
	return old, nil
}

// bring writes the present values of keys into the fresh file.
func (e *Engine) bring(ctx context.Context, fresh *file, keys []string) error {
	return e.view(ctx, func(_ *file, tx *bbolt.Tx) error {
		from, err := records(tx)
		if err != nil {
			return err
		}
		for first := true; first || len(keys) > 0; first = false {
			batch := keys[:min(len(keys), followBatch)]
			keys = keys[len(batch):]
			err := fresh.update(func(tx *bbolt.Tx) error { return bringBatch(tx.Bucket(bucketName), from, batch) })
			if err := errors.Join(err, ctx.Err()); err != nil {
				return err
			}
		}
		return nil
	})
}

func bringBatch(to, from *bbolt.Bucket, keys []string) (err error) {
	for _, key := range keys {
		if value := from.Get([]byte(key)); value != nil {
			err = to.Put([]byte(key), value)
		} else {
			err = to.Delete([]byte(key))
		}
		if err != nil {
			return err
		}
	}
	return to.SetSequence(from.Sequence())
}

// noteChanged remembers the keys of a change for a tidying that is under way.
func (e *Engine) noteChanged(o *pairs.Overlay) {
	if e.changed == nil {
		return
	}
	for key := range o.Writes() {
		e.changed[string(key)] = true
	}
}

// Stats tells how much room a store takes.
type Stats struct {
	Bytes   int64  // of the file
	Free    int64  // of the file, kept for later use
	Disk    int64  // left for this user on the file's disk; negative when not known
	Changes uint64 // in the store's whole life
}

// Stats looks at the file in use.
func (e *Engine) Stats(ctx context.Context) (s Stats, err error) {
	e.turn <- struct{}{}
	defer func() { <-e.turn }()
	err = e.view(ctx, func(f *file, tx *bbolt.Tx) error {
		meta, err := f.meta(tx, true)
		if err != nil {
			return err
		}
		free, err := freePages(f.handle, meta)
		if err != nil {
			return err
		}
		b, err := records(tx)
		if err != nil {
			return err
		}
		info, err := f.handle.Stat()
		if err != nil {
			return err
		}
		s = Stats{Bytes: info.Size(), Free: int64(free)*meta.pageSize + info.Size() - tx.Size(), Changes: b.Sequence()}
		return nil
	})
	if err != nil {
		return Stats{}, err
	}
	s.Disk, err = DiskRoom(filepath.Dir(e.path))
	return s, err
}
