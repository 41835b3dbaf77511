package pairs

import (
	"bytes"
	"fmt"
	"iter"
	"slices"
	"strings"
)

// Overlay holds what one change writes, on top of what an engine reads, until
// the change is known to succeed. It is a part of engines: they hand it to the
// change and then write out [Overlay.Writes].
type Overlay struct {
	Reader
	writes map[string][]byte // nil for a deleted key
}

// NewOverlay returns an overlay that has written nothing yet.
func NewOverlay(under Reader) *Overlay {
	return &Overlay{Reader: under, writes: map[string][]byte{}}
}

// Empty tells that nothing was written.
func (o *Overlay) Empty() bool { return len(o.writes) == 0 }

// Put implements [Writer].
func (o *Overlay) Put(key, value []byte) error {
	if len(key) == 0 || len(key) > MaxKeySize {
		return fmt.Errorf("a key of %d bytes: keys have 1 to %d", len(key), MaxKeySize)
	}
	if len(value) > MaxValueSize {
		return fmt.Errorf("a value of %d bytes: values have at most %d", len(value), MaxValueSize)
	}
	o.writes[string(key)] = append([]byte{}, value...)
	return nil
}

// Delete implements [Writer].
func (o *Overlay) Delete(key []byte) error {
	o.writes[string(key)] = nil
	return nil
}

// Get implements [Reader].
func (o *Overlay) Get(key []byte) ([]byte, bool, error) {
	if value, written := o.writes[string(key)]; written {
		return value, value != nil, nil
	}
	return o.Reader.Get(key)
}

// Fetch implements [Fetcher] where the reader under it does.
func (o *Overlay) Fetch(prefixes ...[]byte) error {
	if f, ok := o.Reader.(Fetcher); ok {
		return f.Fetch(prefixes...)
	}
	return nil
}

// Scan implements [Reader]: the engine's pairs and the written ones in one order.
func (o *Overlay) Scan(prefix, from []byte) iter.Seq2[Pair, error] {
	if o.Empty() {
		return o.Reader.Scan(prefix, from)
	}
	return func(yield func(Pair, error) bool) {
		mine := o.written(prefix, from)
		for pair, err := range o.Reader.Scan(prefix, from) {
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

func (o *Overlay) yieldWritten(key string, yield func(Pair, error) bool) bool {
	return yield(Pair{Key: []byte(key), Value: o.writes[key]}, nil)
}

// written lists, in order, the keys that were put and that a scan covers.
func (o *Overlay) written(prefix, from []byte) []string {
	var keys []string
	for key, value := range o.writes {
		if value != nil && strings.HasPrefix(key, string(prefix)) && bytes.Compare([]byte(key), from) >= 0 {
			keys = append(keys, key)
		}
	}
	slices.Sort(keys)
	return keys
}

// Writes yields what was written in the order of the keys; the value of a
// deleted key is nil, and an empty value is not.
func (o *Overlay) Writes() iter.Seq2[[]byte, []byte] {
	return func(yield func(key, value []byte) bool) {
		keys := make([]string, 0, len(o.writes))
		for key := range o.writes {
			keys = append(keys, key)
		}
		slices.Sort(keys)
		for _, key := range keys {
			if !yield([]byte(key), o.writes[key]) {
				return
			}
		}
	}
}
