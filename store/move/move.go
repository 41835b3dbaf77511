// Package move copies a whole store from one engine to another.
//
// Its noun is the pass: the first copies, later ones compare; the last one finds
// nothing to change.
//
// What will hurt you: the store that is moved must not be written to meanwhile. Until
// the move has finished, what is there cannot be opened: its header comes last.
package move

import (
	"bytes"
	"context"
	"crypto/sha256"
	"fmt"

	"larkfold/store"
	"larkfold/store/pairs"
)

// Progress tells how far a move is.
type Progress struct {
	Pass    int   // 1 copies, later ones check; the last one finds nothing to change
	Records int   // looked at in this pass
	Bytes   int64 // of keys and values, in this pass
	Changed int   // records written or removed in this pass
}

const (
	movePage   = 1024    // records compared in one transaction
	moveBytes  = 8 << 20 // of records compared in one transaction, about
	movePasses = 5
)

// Store copies a store into an engine that holds nothing, in small transactions,
// and then compares every byte of the two until they are the same. Values are
// copied as they stand: no key is needed, and what is sealed stays sealed. The
// store it came from is left as it is, and must not be written to meanwhile.
//
// Until it has finished, the copy cannot be opened. A move that was broken off
// is taken up by calling it again. Errors: [store.ErrExists] where another store is in
// the way, [store.ErrNotFound] where there is none to move.
func Store(ctx context.Context, from, to pairs.Engine, progress func(Progress)) (Progress, error) {
	head, err := headOf(ctx, from)
	if err != nil {
		return Progress{}, err
	}
	if err := startMove(ctx, to, head); err != nil {
		return Progress{}, err
	}
	for pass := 1; pass <= movePasses; pass++ {
		done, err := movePass(ctx, from, to, Progress{Pass: pass}, progress)
		if err != nil {
			return done, err
		}
		if done.Changed == 0 {
			return done, finishMove(ctx, from, to, head)
		}
	}
	return Progress{}, fmt.Errorf("moving a store: it differed from its copy %d times; stop whatever writes to it and move it again", movePasses)
}

// headOf returns the stored header of a store that can be moved.
func headOf(ctx context.Context, e pairs.Engine) (head []byte, err error) {
	err = e.View(ctx, func(r pairs.Reader) error {
		value, found, err := r.Get(store.HeaderKey())
		if err != nil {
			return err
		}
		if !found {
			return &store.Fault{Kind: store.ErrNotFound, Sentence: "There is no whole store to move."}
		}
		head = bytes.Clone(value)
		return nil
	})
	return head, err
}

// startMove notes in an empty engine which store is being moved there.
func startMove(ctx context.Context, to pairs.Engine, head []byte) error {
	note := sha256.Sum256(head)
	return store.UpdateAgain(ctx, to, func(w pairs.Writer) error {
		for pair, err := range w.Scan(nil, nil) {
			if err != nil {
				return err
			}
			if bytes.Equal(pair.Key, store.MoveKey()) && bytes.Equal(pair.Value, note[:]) {
				return nil // taken up again
			}
			return &store.Fault{Kind: store.ErrExists, Sentence: "There is a store already where this one is to go, or a part of another one. Nothing was changed."}
		}
		return w.Put(store.MoveKey(), note[:])
	})
}

// finishMove makes the copy a store, unless the one that it comes from has changed its header.
func finishMove(ctx context.Context, from, to pairs.Engine, head []byte) error {
	now, err := headOf(ctx, from)
	if err != nil {
		return err
	}
	if !bytes.Equal(now, head) {
		return fmt.Errorf("moving a store: its header was changed meanwhile; stop whatever writes to it and move it again")
	}
	return store.UpdateAgain(ctx, to, func(w pairs.Writer) error {
		if err := w.Put(store.HeaderKey(), head); err != nil {
			return err
		}
		return w.Delete(store.MoveKey())
	})
}

// movePass goes through both engines once and makes the one like the other.
func movePass(ctx context.Context, from, to pairs.Engine, done Progress, progress func(Progress)) (Progress, error) {
	for start := append(store.HeaderKey(), 0); start != nil; {
		page, next, err := pageOf(ctx, from, start)
		if err != nil {
			return done, err
		}
		changed := 0
		err = store.UpdateAgain(ctx, to, func(w pairs.Writer) (err error) {
			changed, err = makeLike(w, page, start, next)
			return err
		})
		if err != nil {
			return done, err
		}
		done.Records += len(page)
		for _, pair := range page {
			done.Bytes += int64(len(pair.Key) + len(pair.Value))
		}
		done.Changed += changed
		progress(done)
		start = next
	}
	return done, nil
}

// pageOf copies the pairs from a key on, up to about a page, and returns the key to go on from, nil at the end.
func pageOf(ctx context.Context, e pairs.Engine, start []byte) (page []pairs.Pair, next []byte, err error) {
	err = e.View(ctx, func(r pairs.Reader) error {
		page, next = nil, nil
		size := 0
		for pair, err := range r.Scan(nil, start) {
			if err != nil {
				return err
			}
			if len(page) == movePage || size > moveBytes {
				next = bytes.Clone(pair.Key)
				return nil
			}
			page = append(page, pairs.Pair{Key: bytes.Clone(pair.Key), Value: bytes.Clone(pair.Value)})
			size += len(pair.Key) + len(pair.Value)
		}
		return nil
	})
	return page, next, err
}

// makeLike makes the pairs from start up to, and without, next the same as a
// page, and returns how many it had to write or remove.
func makeLike(w pairs.Writer, page []pairs.Pair, start, next []byte) (changed int, err error) {
	there := map[string]bool{} // whether the value is right
	want := make(map[string][]byte, len(page))
	for _, pair := range page {
		want[string(pair.Key)] = pair.Value
	}
	for pair, err := range w.Scan(nil, start) {
		if err != nil {
			return 0, err
		}
		if next != nil && bytes.Compare(pair.Key, next) >= 0 {
			break
		}
		value, wanted := want[string(pair.Key)]
		there[string(pair.Key)] = wanted && bytes.Equal(value, pair.Value)
	}
	for key := range there {
		if _, wanted := want[key]; !wanted {
			changed++
			if err := w.Delete([]byte(key)); err != nil {
				return 0, err
			}
		}
	}
	for _, pair := range page {
		if there[string(pair.Key)] {
			continue
		}
		changed++
		if err := w.Put(pair.Key, pair.Value); err != nil {
			return 0, err
		}
	}
	return changed, nil
}
