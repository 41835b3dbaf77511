package store

import (
	"context"
	"errors"
	"slices"
	"time"

	"larkfold/store/pairs"
)

// sweepBatch is how many expired records one transaction removes.
const sweepBatch = 256

// Sweep removes drafts, operation keys and deleted projects whose time is over,
// in small transactions, and returns how many. Damaged records are left as they
// are and named in the error, which comes after the rest is swept. Call it now and then.
func (s *Records) Sweep(ctx context.Context, now time.Time) (int, error) {
	total := 0
	var damage []error
	for from := []byte{spaceExpiry}; from != nil; {
		keys, next, err := s.expired(ctx, from, now)
		if err != nil {
			return total, err
		}
		n, spoiled, err := s.sweepKeys(ctx, keys, now)
		if err != nil {
			return total, err
		}
		total += n
		damage = append(damage, spoiled...)
		from = next
	}
	return total, errors.Join(damage...)
}

// sweepKeys removes what a few expiry keys speak of.
func (s *Records) sweepKeys(ctx context.Context, keys [][]byte, now time.Time) (n int, damage []error, err error) {
	if len(keys) == 0 {
		return 0, nil, nil
	}
	if err := s.countSeals(ctx); err != nil {
		return 0, nil, err
	}
	err = s.update(ctx, func(w pairs.Writer) error {
		n, damage = 0, nil
		tx := &Tx{records: s, reader: w, writer: w}
		for _, key := range keys {
			removed, err := tx.sweepOne(key, now)
			if errors.Is(err, ErrDamaged) {
				damage = append(damage, err)
				continue
			}
			if err != nil {
				return err
			}
			if removed {
				n++
			}
		}
		return tx.settle()
	})
	return n, damage, err
}

// expired lists the next expiry keys whose time is over, and the key to go on from, nil at the end.
func (s *Records) expired(ctx context.Context, from []byte, now time.Time) (keys [][]byte, next []byte, err error) {
	err = s.engine.View(ctx, func(r pairs.Reader) error {
		keys, next = nil, nil
		for pair, err := range r.Scan([]byte{spaceExpiry}, from) {
			if err != nil {
				return err
			}
			if at, _, ok := splitExpiryKey(pair.Key); ok && at > now.Unix() {
				return nil
			}
			if len(keys) == sweepBatch {
				next = slices.Clone(pair.Key)
				return nil
			}
			keys = append(keys, slices.Clone(pair.Key))
		}
		return nil
	})
	return keys, next, err
}

// sweepOne removes one expiry key and the record it speaks of, unless that was
// saved again with a later expiry.
func (tx *Tx) sweepOne(key []byte, now time.Time) (removed bool, err error) {
	_, recordKey, ok := splitExpiryKey(key)
	t, owner, known := typeOf(recordKey)
	if !ok || !known {
		return false, tx.delete(key)
	}
	tx.owner = owner
	var end struct {
		ID      string    `json:"id"`
		Expires time.Time `json:"expires"`
	}
	found, err := tx.get(recordKey, &end)
	if err != nil {
		return false, err
	}
	if err := tx.delete(key); err != nil || !found {
		return false, err
	}
	if end.Expires.Unix() > now.Unix() {
		return false, nil
	}
	if t.kind == KindBin {
		return true, tx.eraseDeleted(Project{ID: end.ID, Expires: end.Expires})
	}
	return true, tx.delete(recordKey)
}
