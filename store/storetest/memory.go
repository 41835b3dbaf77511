package storetest

import (
	"context"
	"iter"
	"maps"
	"slices"
	"strings"
	"sync"

	"larkfold/store"
	"larkfold/store/pairs"
)

// NewMemory returns an engine that keeps everything in memory, for tests. It
// runs every change twice, so that a change that minds is found out.
func NewMemory() pairs.Engine { return &memory{now: picture{pairs: map[string][]byte{}}} }

type memory struct {
	mu     sync.RWMutex
	now    picture // never changed, only replaced
	closed bool
}

// picture is all that is kept at one moment.
type picture struct {
	pairs map[string][]byte
	keys  []string // in their order
}

func (m *memory) picture() (picture, error) {
	m.mu.RLock()
	defer m.mu.RUnlock()
	if m.closed {
		return picture{}, errClosed()
	}
	return m.now, nil
}

func errClosed() error { return &store.Fault{Kind: store.ErrClosed, Sentence: "The store is closed."} }

// View implements [pairs.Engine].
func (m *memory) View(ctx context.Context, read func(pairs.Reader) error) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	now, err := m.picture()
	if err != nil {
		return err
	}
	return read(&memoryTx{ctx, now})
}

// Update implements [pairs.Engine].
func (m *memory) Update(ctx context.Context, change func(pairs.Writer) error) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.closed {
		return errClosed()
	}
	var o *pairs.Overlay
	for range 2 {
		o = pairs.NewOverlay(&memoryTx{ctx, m.now})
		if err := change(o); err != nil {
			return err
		}
	}
	now := maps.Clone(m.now.pairs)
	for key, value := range o.Writes() {
		if value == nil {
			delete(now, string(key))
		} else {
			now[string(key)] = value
		}
	}
	m.now = picture{now, slices.Sorted(maps.Keys(now))}
	return nil
}

// Close implements [pairs.Engine].
func (m *memory) Close() error {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.closed = true
	return nil
}

type memoryTx struct {
	ctx context.Context
	picture
}

func (tx *memoryTx) Get(key []byte) ([]byte, bool, error) {
	value, found := tx.pairs[string(key)]
	return value, found, tx.ctx.Err()
}

func (tx *memoryTx) Scan(prefix, from []byte) iter.Seq2[pairs.Pair, error] {
	return func(yield func(pairs.Pair, error) bool) {
		first, _ := slices.BinarySearch(tx.keys, max(string(prefix), string(from)))
		for _, key := range tx.keys[first:] {
			if !strings.HasPrefix(key, string(prefix)) {
				return
			}
			if err := tx.ctx.Err(); err != nil {
				yield(pairs.Pair{}, err)
				return
			}
			if !yield(pairs.Pair{Key: []byte(key), Value: tx.pairs[key]}, nil) {
				return
			}
		}
	}
}
