package boltstore

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"syscall"

	"go.etcd.io/bbolt"
	bolterrors "go.etcd.io/bbolt/errors"

	"larkfold/store"
	"larkfold/store/pairs"
)

// request is one change waiting to be written out.
type request struct {
	ctx    context.Context
	change func(pairs.Writer) error
	err    error
	panic  any
	done   chan struct{}
}

// maxBatch bounds how many changes are written out together.
const maxBatch = 256

// Update implements [pairs.Engine]. The caller joins a queue; whoever gets the
// turn to write runs everything in the queue in one transaction of the file.
func (e *Engine) Update(ctx context.Context, change func(pairs.Writer) error) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	r := &request{ctx: ctx, change: change, done: make(chan struct{})}
	e.mu.Lock()
	e.queue = append(e.queue, r)
	e.mu.Unlock()
	for {
		select {
		case e.turn <- struct{}{}:
			e.takeTurn(r)
		case <-r.done:
			return r.result()
		case <-ctx.Done():
			if e.leave(r) {
				return ctx.Err()
			}
			<-r.done
			return r.result()
		}
	}
}

// takeTurn writes out a batch unless the request was answered meanwhile, and passes the turn on.
func (e *Engine) takeTurn(r *request) {
	defer func() { <-e.turn }()
	if !r.answered() {
		e.writeOut()
	}
}

func (r *request) answered() bool {
	select {
	case <-r.done:
		return true
	default:
		return false
	}
}

// result hands a change's error, or its panic, to the goroutine that asked for it.
func (r *request) result() error {
	if r.panic != nil {
		panic(r.panic)
	}
	return r.err
}

// leave takes a request out of the queue, unless it is being written out.
func (e *Engine) leave(r *request) bool {
	e.mu.Lock()
	defer e.mu.Unlock()
	i := slices.Index(e.queue, r)
	if i < 0 {
		return false
	}
	e.queue = slices.Delete(e.queue, i, i+1)
	return true
}

// take removes the next batch from the queue.
func (e *Engine) take() ([]*request, error) {
	e.mu.Lock()
	defer e.mu.Unlock()
	n := min(len(e.queue), maxBatch)
	batch := slices.Clone(e.queue[:n])
	e.queue = slices.Delete(e.queue, 0, n)
	return batch, e.broken
}

var (
	errNothingWritten = errors.New("nothing written")
	errAbandoned      = errors.New("nothing was saved: the change was abandoned")
)

// writeOut runs one batch. Each change works on an overlay of its own, so that
// one that fails leaves nothing behind and does not disturb the others. No
// change is answered before the whole batch is on the disk.
func (e *Engine) writeOut() {
	batch, err := e.take()
	if len(batch) == 0 {
		return
	}
	finished := false
	defer func() {
		for _, r := range batch {
			if !finished { // a change ended its goroutine, as a failing test does
				r.err = errAbandoned
			}
			close(r.done)
		}
	}()
	if err == nil {
		err = guard(func() error {
			return e.current().update(func(tx *bbolt.Tx) error { return e.runBatch(tx, batch) })
		})
	}
	if errors.Is(err, errNothingWritten) {
		err = nil
	}
	if err != nil {
		err = e.writeFault(err)
	}
	for _, r := range batch {
		if err != nil && r.panic == nil {
			r.err = err
		}
	}
	finished = true
}

// runBatch runs the changes one after the other, each on what the ones before have left.
func (e *Engine) runBatch(tx *bbolt.Tx, batch []*request) error {
	bucket, err := records(tx)
	if err != nil {
		return err
	}
	wrote := false
	for _, r := range batch {
		o := pairs.NewOverlay(&reader{ctx: r.ctx, bucket: bucket})
		r.run(o)
		if r.err != nil || r.panic != nil || o.Empty() {
			continue
		}
		wrote = true
		if err := apply(bucket, o); err != nil {
			return err
		}
		e.noteChanged(o)
	}
	if !wrote {
		return errNothingWritten
	}
	_, err = bucket.NextSequence()
	return err
}

// apply hands what a change wrote to the file's transaction.
func apply(bucket *bbolt.Bucket, o *pairs.Overlay) (err error) {
	for key, value := range o.Writes() {
		if value == nil {
			err = bucket.Delete(key)
		} else {
			err = bucket.Put(key, value)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// run runs the change and keeps its error, or its panic unless it comes from damage.
func (r *request) run(w pairs.Writer) {
	defer func() {
		if p := recover(); p != nil {
			r.panic = p
		}
	}()
	if r.err = r.ctx.Err(); r.err == nil {
		r.err = guard(func() error { return r.change(w) })
	}
}

// writeFault puts a failed write into a sentence. After a failure that leaves
// open what is on the disk, nothing more is written until the file is opened anew.
func (e *Engine) writeFault(err error) error {
	switch {
	case errors.Is(err, store.ErrReadOnly):
		return err
	case errors.Is(err, store.ErrDamaged): // bbolt stumbled half way and cannot be trusted to write again
		e.stopWriting(err)
		return err
	case errors.Is(err, store.ErrUnknownCommit):
		e.stopWriting(stopped(err))
		return err
	case errors.Is(err, bolterrors.ErrDatabaseNotOpen), errors.Is(err, bolterrors.ErrDatabaseReadOnly):
		return e.fault(err)
	case noRoom(err) && !syncFailed(err):
		return &store.Fault{Kind: store.ErrFull, Cause: err,
			Sentence: "Nothing was saved: there is no room left for the store. Reading goes on; make room and try again."}
	}
	fault := stopped(fmt.Errorf("writing %s: %w", e.path, err))
	e.stopWriting(fault)
	return fault
}

// stopped says that nothing is written any more, and why.
func stopped(cause error) error {
	return &store.Fault{Kind: store.ErrReadOnly, Cause: cause,
		Sentence: "Nothing was saved: the store's file could not be written. Reading goes on; start the program anew when the disk is sound."}
}

// Writable tells why nothing is written any more, until the file is opened
// anew; nil while changes are taken.
func (e *Engine) Writable() error {
	e.mu.Lock()
	defer e.mu.Unlock()
	return e.broken
}

// stopWriting refuses every later change with that error.
func (e *Engine) stopWriting(err error) {
	e.mu.Lock()
	defer e.mu.Unlock()
	e.broken = err
}

// noRoom tells whether a write failed for want of room.
func noRoom(err error) bool {
	for _, cause := range []error{syscall.ENOSPC, syscall.EDQUOT, syscall.EFBIG, bolterrors.ErrMaxSizeReached} {
		if errors.Is(err, cause) || resizeFailed(err) && strings.Contains(err.Error(), cause.Error()) {
			return true
		}
	}
	return false
}

// resizeFailed tells that the file could not grow, of which bbolt keeps only the text.
func resizeFailed(err error) bool { return strings.HasPrefix(err.Error(), "file resize error: ") }

// syncFailed tells a failed wait for the disk, which leaves open what is on it,
// from a write or a growth that the file system refused: those name the file,
// and bbolt's fdatasync does not.
func syncFailed(err error) bool {
	if errors.Is(err, bolterrors.ErrMaxSizeReached) || resizeFailed(err) {
		return false
	}
	var named *fs.PathError
	return !errors.As(err, &named) || named.Op == "sync"
}
