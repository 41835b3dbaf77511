package boltstore

import (
	"bytes"
	"context"
	"iter"

	"go.etcd.io/bbolt"

	"larkfold/store"
)

// reader reads the file as it was when its transaction began.
type reader struct {
	ctx    context.Context
	bucket *bbolt.Bucket
}

// Get implements [store.Reader].
func (r *reader) Get(key []byte) ([]byte, bool, error) {
	if err := r.ctx.Err(); err != nil {
		return nil, false, err
	}
	value := r.bucket.Get(key)
	return value, value != nil, nil
}

// checkEvery is how many pairs a scan yields between two looks at the context.
const checkEvery = 64

// Scan implements [store.Reader].
func (r *reader) Scan(prefix, from []byte) iter.Seq2[store.Pair, error] {
	return func(yield func(store.Pair, error) bool) {
		c := r.bucket.Cursor()
		n := 0
		for key, value := c.Seek(start(prefix, from)); key != nil && bytes.HasPrefix(key, prefix); key, value = c.Next() {
			if n%checkEvery == 0 && r.ctx.Err() != nil {
				yield(store.Pair{}, r.ctx.Err())
				return
			}
			n++
			if !yield(store.Pair{Key: key, Value: value}, nil) {
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
