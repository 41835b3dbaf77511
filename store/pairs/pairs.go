// Package pairs is what a store needs of an [Engine]: ordered pairs of key and value,
// read in pictures that do not change and written in transactions. It knows nothing of
// what is in them.
//
// Its nouns: a [Reader] and a [Writer] are one transaction; an [Overlay] holds what a
// change writes until it is known to succeed, for those who write engines; [Pick] goes
// through an engine page by page.
//
// What will hurt you:
//   - A change may be run several times: it must touch nothing but its Writer.
//   - Bytes that a Reader returns belong to its transaction. Clone what you keep.
package pairs

import (
	"context"
	"iter"
)

// Engine holds ordered keys and their values. Every engine passes the suite in
// package storetest. An engine may be used by many goroutines at once.
type Engine interface {
	// View runs read on one unchanging picture of the store, which is taken when
	// read first looks at it or earlier. It returns what read returned, or the
	// context's error.
	View(ctx context.Context, read func(Reader) error) error

	// Update runs change and makes all of its writes durable, or none of them:
	// none when change fails or when Update returns an error, except that
	// store.ErrUnknownCommit leaves open which of the two. Changes take effect as if
	// they had run one after the other. The engine may run change several times, and
	// on another goroutine, before it returns.
	Update(ctx context.Context, change func(Writer) error) error

	// Close waits for what is running and lets go of the file.
	Close() error
}

// Reader reads within one transaction. Bytes that it returns belong to the
// transaction: they must not be changed, nor used after it.
type Reader interface {
	// Get returns the value of a key and whether there is one.
	Get(key []byte) (value []byte, found bool, err error)

	// Scan yields the pairs whose key starts with prefix, in the order of their
	// keys, beginning with the first key that is not before from. Nothing may be
	// written while a scan is under way. After an error nothing more is yielded.
	Scan(prefix, from []byte) iter.Seq2[Pair, error]
}

// Writer reads and writes within one transaction and sees its own writes. Keys
// and values may be reused by the caller when the call returns.
type Writer interface {
	Reader

	// Put sets the value of a key, which is 1 to [MaxKeySize] bytes long.
	Put(key, value []byte) error

	// Delete removes a key; removing one that is not there is no error.
	Delete(key []byte) error
}

// Pair is one key and its value.
type Pair struct{ Key, Value []byte }

// The longest key and value in bytes that every engine takes.
const (
	MaxKeySize   = 1024
	MaxValueSize = 16 << 20
)

// Fetcher is a [Reader] that has to ask another machine for everything it reads.
type Fetcher interface {
	// Fetch reads all the pairs under some prefixes on one journey. Get and Scan
	// answer from them afterwards.
	Fetch(prefixes ...[]byte) error
}
