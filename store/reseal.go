package store

import (
	"context"
	"slices"
)

// resealBatch is how many values one transaction of Reseal seals anew.
const resealBatch = 256

// Reseal seals every value that is plain or sealed with an old key with the
// current key, in small transactions, while the store stays in use. It returns
// how many it sealed. When it has finished, old keys are needed no more. A
// Reseal that was broken off is taken up by calling it again.
func (s *Shelf) Reseal(ctx context.Context) (int, error) {
	if s.codec.current == nil {
		return 0, &Fault{Kind: ErrWrongKey, Sentence: "No key was given, so there is nothing to seal with."}
	}
	total := 0
	for from := []byte{}; from != nil; {
		n, next, err := s.resealFrom(ctx, from)
		if err != nil {
			return total, err
		}
		total += n
		from = next
	}
	err := s.engine.Update(ctx, func(w Writer) error {
		h, _, _, err := s.codec.readHeader(w)
		if err != nil {
			return err
		}
		h.Unfinished = nil
		return putHeader(w, s.codec, h)
	})
	if err != nil {
		return total, err
	}
	s.codec.plain.Store(false)
	return total, nil
}

// resealFrom seals one batch and returns the key to go on from, or nil at the end.
func (s *Shelf) resealFrom(ctx context.Context, from []byte) (n int, next []byte, err error) {
	keys, next, err := s.staleKeys(ctx, from)
	if err != nil || len(keys) == 0 {
		return 0, next, err
	}
	err = s.engine.Update(ctx, func(w Writer) error {
		n = 0
		for _, key := range keys {
			value, found, err := w.Get(key)
			if err != nil {
				return err
			}
			if !found || s.codec.upToDate(value) {
				continue
			}
			sealed, err := s.codec.reseal(key, value)
			if err != nil {
				return err
			}
			if err := w.Put(key, sealed); err != nil {
				return err
			}
			n++
		}
		return nil
	})
	return n, next, err
}

// staleKeys pages through the store for keys whose value is not sealed with the
// current key. It looks at a bounded number of records in one transaction.
func (s *Shelf) staleKeys(ctx context.Context, from []byte) (keys [][]byte, next []byte, err error) {
	err = s.engine.View(ctx, func(r Reader) error {
		keys, next = nil, nil
		seen := 0
		for pair, err := range r.Scan(nil, from) {
			if err != nil {
				return err
			}
			if seen == 16*resealBatch || len(keys) == resealBatch {
				next = slices.Clone(pair.Key)
				return nil
			}
			seen++
			if !s.codec.upToDate(pair.Value) {
				keys = append(keys, slices.Clone(pair.Key))
			}
		}
		return nil
	})
	return keys, next, err
}
