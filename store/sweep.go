package store

import (
	"context"
	"slices"
	"time"
)

// sweepBatch is how many expired records one transaction removes.
const sweepBatch = 256

// Sweep removes drafts, operation keys and deleted projects whose time is over,
// in small transactions, and returns how many. Call it now and then.
func (s *Shelf) Sweep(ctx context.Context, now time.Time) (int, error) {
	total := 0
	for {
		keys, err := s.expired(ctx, now)
		if err != nil || len(keys) == 0 {
			return total, err
		}
		n := 0
		err = s.update(ctx, func(w Writer) error {
			n = 0
			for _, key := range keys {
				removed, err := s.sweepOne(w, key, now)
				if err != nil {
					return err
				}
				if removed {
					n++
				}
			}
			return nil
		})
		if err != nil {
			return total, err
		}
		total += n
	}
}

// expired lists the first expiry keys whose time is over.
func (s *Shelf) expired(ctx context.Context, now time.Time) (keys [][]byte, err error) {
	err = s.engine.View(ctx, func(r Reader) error {
		keys = nil
		for pair, err := range r.Scan([]byte{spaceExpiry}, nil) {
			if err != nil {
				return err
			}
			at, _, ok := splitExpiryKey(pair.Key)
			if ok && at > now.Unix() || len(keys) == sweepBatch {
				break
			}
			keys = append(keys, slices.Clone(pair.Key))
		}
		return nil
	})
	return keys, err
}

// sweepOne removes one expiry key and the record it speaks of, unless that was
// saved again with a later expiry.
func (s *Shelf) sweepOne(w Writer, key []byte, now time.Time) (removed bool, err error) {
	_, recordKey, ok := splitExpiryKey(key)
	if err := w.Delete(key); err != nil || !ok {
		return false, err
	}
	value, found, err := w.Get(recordKey)
	if err != nil || !found {
		return false, err
	}
	t, owner, ok := typeOf(recordKey)
	if !ok {
		return false, nil
	}
	var end struct {
		ID      string    `json:"id"`
		Expires time.Time `json:"expires"`
	}
	if err := s.codec.decode(recordKey, value, &end); err != nil {
		return false, err
	}
	if end.Expires.Unix() > now.Unix() {
		return false, nil
	}
	if t.kind == KindBin {
		tx := &Tx{shelf: s, reader: w, writer: w, owner: owner}
		return true, tx.eraseDeleted(Project{ID: end.ID, Expires: end.Expires})
	}
	return true, w.Delete(recordKey)
}
