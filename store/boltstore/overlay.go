package boltstore

import (
	"bytes"
	"context"
	"fmt"
	"iter"
	"slices"
	"strings"

	"go.etcd.io/bbolt"

	"larkfold/store"
)

// overlay holds what one change writes until it is known to succeed.
type overlay struct {
	reader
	writes map[string][]byte // nil for a deleted key
}

func newOverlay(ctx context.Context, bucket *bbolt.Bucket) *overlay {
	return &overlay{reader: reader{ctx: ctx, bucket: bucket}, writes: map[string][]byte{}}
}

func (o *overlay) empty() bool { return len(o.writes) == 0 }

// Put implements [store.Writer].
func (o *overlay) Put(key, value []byte) error {
	if len(key) == 0 || len(key) > store.MaxKeySize {
		return fmt.Errorf("a key of %d bytes: keys have 1 to %d", len(key), store.MaxKeySize)
	}
	if int64(len(value)) > bbolt.MaxValueSize {
		return fmt.Errorf("a value of %d bytes is too large", len(value))
	}
	o.writes[string(key)] = append([]byte{}, value...)
	return nil
}

// Delete implements [store.Writer].
func (o *overlay) Delete(key []byte) error {
	o.writes[string(key)] = nil
	return nil
}

// Get implements [store.Reader].
func (o *overlay) Get(key []byte) ([]byte, bool, error) {
	if value, written := o.writes[string(key)]; written {
		return value, value != nil, nil
	}
	return o.reader.Get(key)
}

// Scan implements [store.Reader]: the file's pairs and the written ones in one order.
func (o *overlay) Scan(prefix, from []byte) iter.Seq2[store.Pair, error] {
	if o.empty() {
		return o.reader.Scan(prefix, from)
	}
	return func(yield func(store.Pair, error) bool) {
		mine := o.written(prefix, from)
		for pair, err := range o.reader.Scan(prefix, from) {
			if err != nil {
				yield(pair, err)
				return
			}
			for len(mine) > 0 && mine[0] < string(pair.Key) {
				if !o.yieldWritten(mine[0], yield) {
					return
				}
				mine = mine[1:]
			}
			if _, written := o.writes[string(pair.Key)]; written {
				continue // comes from mine, or is deleted
			}
			if !yield(pair, nil) {
				return
			}
		}
		for _, key := range mine {
			if !o.yieldWritten(key, yield) {
				return
			}
		}
	}
}

func (o *overlay) yieldWritten(key string, yield func(store.Pair, error) bool) bool {
	return yield(store.Pair{Key: []byte(key), Value: o.writes[key]}, nil)
}

// written lists, in order, the keys that were put and that a scan covers.
func (o *overlay) written(prefix, from []byte) []string {
	var keys []string
	for key, value := range o.writes {
		if value != nil && strings.HasPrefix(key, string(prefix)) && bytes.Compare([]byte(key), from) >= 0 {
			keys = append(keys, key)
		}
	}
	slices.Sort(keys)
	return keys
}

// apply hands the writes to the file's transaction, in the order of their keys.
func (o *overlay) apply() error {
	keys := make([]string, 0, len(o.writes))
	for key := range o.writes {
		keys = append(keys, key)
	}
	slices.Sort(keys)
	for _, key := range keys {
		value := o.writes[key]
		if value == nil {
			if err := o.bucket.Delete([]byte(key)); err != nil {
				return err
			}
			continue
		}
		if err := o.bucket.Put([]byte(key), value); err != nil {
			return err
		}
	}
	return nil
}
