package store

import (
	"context"
	"errors"

	"larkfold/store/pairs"
)

const (
	rewriteBatch = 256               // records rewritten in one transaction
	rewritePage  = 16 * rewriteBatch // records looked at in one transaction
)

// rewrite pages through the store, in small transactions while the store stays
// in use, and hands every record that wants picks to change. It returns how
// many it handed over. A record that has gone meanwhile, or that wants no longer
// picks, is passed over. Damaged records are named in the error, which comes
// after the rest was handed over.
func (s *Records) rewrite(ctx context.Context, wants func(pairs.Pair) bool, change func(tx *Tx, pair pairs.Pair) error) (int, error) {
	total := 0
	var damage []error
	for from := []byte{}; from != nil; {
		picked, err := pairs.Pick(ctx, s.engine, nil, from, rewritePage, rewriteBatch, wants)
		if err != nil {
			return total, err
		}
		n, spoiled, err := s.rewriteKeys(ctx, picked.Keys, wants, change)
		if err != nil {
			return total, err
		}
		damage = append(damage, spoiled...)
		total += n
		from = picked.Next
	}
	return total, errors.Join(damage...)
}

func (s *Records) rewriteKeys(ctx context.Context, keys [][]byte, wants func(pairs.Pair) bool, change func(tx *Tx, pair pairs.Pair) error) (n int, damage []error, err error) {
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
			value, found, err := w.Get(key)
			if err != nil {
				return err
			}
			if !found || !wants(pairs.Pair{Key: key, Value: value}) {
				continue
			}
			tx.owner = tx.ownerOf(key)
			err = change(tx, pairs.Pair{Key: key, Value: value})
			if errors.Is(err, ErrDamaged) {
				damage = append(damage, err)
				continue
			}
			if err != nil {
				return err
			}
			n++
		}
		return tx.settle()
	})
	return n, damage, err
}

// changeHeader rewrites the header.
func (s *Records) changeHeader(ctx context.Context, change func(*header) error) error {
	return s.update(ctx, func(w pairs.Writer) error {
		h, _, _, err := s.codec.readHeader(w)
		if err != nil {
			return err
		}
		if err := change(&h); err != nil {
			return err
		}
		return putHeader(w, s.codec, h)
	})
}
