package boltstore

import (
	"bytes"
	"context"
	"iter"

	"go.etcd.io/bbolt"

	"larkfold/store/pairs"
)

// reader reads the file as it was when its transaction began.
type reader struct {
	ctx    context.Context
	bucket *bbolt.Bucket
}

// Get implements [pairs.Reader].
func (r *reader) Get(key []byte) ([]byte, bool, error) {
	if err := r.ctx.Err(); err != nil {
		return nil, false, err
	}
	value := r.bucket.Get(key)
	return value, value != nil, nil
}

// checkEvery is how many pairs a scan yields between two looks at the context.
const checkEvery = 64

// Scan implements [pairs.Reader].
func (r *reader) Scan(prefix, from []byte) iter.Seq2[pairs.Pair, error] {
	return func(yield func(pairs.Pair, error) bool) {
		c := r.bucket.Cursor()
		n := 0
		for key, value := c.Seek(start(prefix, from)); key != nil && bytes.HasPrefix(key, prefix); key, value = c.Next() {
			if n%checkEvery == 0 && r.ctx.Err() != nil {
				yield(pairs.Pair{}, r.ctx.Err())
				return
			}
			n++
			if !yield(pairs.Pair{Key: key, Value: value}, nil) {
				return
			}
		}
	}
}

// start returns the later of the two keys.
func start(prefix, from []byte) []byte {
	if bytes.Compare(from, prefix) > 0 {
		return from
	}
	return prefix
}
