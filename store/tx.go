package store

import (
	"context"
	"encoding/base32"
	"errors"
	"fmt"
	"io"
	"iter"
	"slices"
	"time"

	"larkfold/store/pairs"
)

// Tx is one member's transaction on a [Records]; a method that Records has too does
// the same there. It must not be used after its function returns.
type Tx struct {
	records *Records
	reader  pairs.Reader
	writer  pairs.Writer // nil when only reading
	member  string
	owner   token
	now     time.Time

	changes   map[bookOwner]*tally // what the transaction has changed so far
	tallied   tallied              // the tally that was read last
	uncounted bookOwner            // whose records are not counted because they are being erased
	grows     bool                 // the member adds something, for which there must be room
}

// write runs change in an engine's update and returns the result of the run that counted.
func write[T any](ctx context.Context, s *Records, member string, now time.Time, change func(*Tx) (T, error)) (T, error) {
	return writeBy(ctx, s, s.engine.Update, member, now, change)
}

// writeAgain is write for a change that does no harm when it is made twice, see [Records.update].
func writeAgain[T any](ctx context.Context, s *Records, member string, now time.Time, change func(*Tx) (T, error)) (T, error) {
	return writeBy(ctx, s, s.update, member, now, change)
}

func writeBy[T any](ctx context.Context, s *Records, update func(context.Context, func(pairs.Writer) error) error, member string, now time.Time, change func(*Tx) (T, error)) (result T, err error) {
	if err := checkMember(member); err != nil {
		return result, err
	}
	if err := s.countSeals(ctx); err != nil {
		return result, err
	}
	var last T
	err = update(ctx, func(w pairs.Writer) (err error) {
		tx := &Tx{records: s, reader: w, writer: w, member: member, owner: s.hash.member(member), now: now.UTC().Round(0)}
		if last, err = change(tx); err != nil {
			return err
		}
		return tx.settle()
	})
	if err != nil {
		return result, err
	}
	return last, nil
}

func read[T any](ctx context.Context, s *Records, member string, look func(*Tx) (T, error)) (T, error) {
	return readAt(ctx, s, member, time.Time{}, look)
}

// readAt is read for records that expire. What look returns beside an error is kept.
func readAt[T any](ctx context.Context, s *Records, member string, now time.Time, look func(*Tx) (T, error)) (result T, err error) {
	if err := checkMember(member); err != nil {
		return result, err
	}
	err = s.engine.View(ctx, func(r pairs.Reader) (err error) {
		result, err = look(&Tx{records: s, reader: r, member: member, owner: s.hash.member(member), now: now})
		return err
	})
	return result, err
}

func checkMember(member string) error {
	if member == "" {
		return &InvalidError{What: "member", Reason: "every record belongs to somebody"}
	}
	return checkID("member", member)
}

const idSize = 13 // characters

var idEncoding = base32.NewEncoding("0123456789abcdefghjkmnpqrstvwxyz").WithPadding(base32.NoPadding)

// newID returns a random id of 64 bits.
func (tx *Tx) newID() (string, error) { return tx.records.newID() }

func (s *Records) newID() (string, error) {
	var b [8]byte
	if _, err := io.ReadFull(s.random, b[:]); err != nil {
		return "", fmt.Errorf("making an id: %w", err)
	}
	return idEncoding.EncodeToString(b[:]), nil
}

// key builds the key of one of the member's own records.
func (tx *Tx) key(t recordType, rest ...[]byte) []byte {
	return ownedKey(spaceMember, tx.owner, t, rest...)
}

func (tx *Tx) nameKey(t recordType, folded string) []byte {
	return tx.key(t, tx.records.hash.name(tx.owner, t, folded))
}

func (tx *Tx) get(key []byte, record any) (found bool, err error) {
	value, found, err := tx.reader.Get(key)
	if err != nil || !found {
		return false, err
	}
	return true, tx.records.codec.decode(key, value, record)
}

func (tx *Tx) put(key []byte, record any) error {
	if tx.writer == nil {
		return errors.New("writing in a reading transaction")
	}
	value, err := tx.records.codec.encode(key, record)
	if err != nil {
		return err
	}
	return tx.putValue(key, value)
}

func (tx *Tx) putValue(key, value []byte) error {
	if err := tx.note(key, value); err != nil {
		return err
	}
	return tx.writer.Put(key, value)
}

// copy puts the record that stands under one key under another as well.
func (tx *Tx) copy(from, to []byte) error {
	value, found, err := tx.reader.Get(from)
	if err != nil {
		return err
	}
	if !found {
		return damaged(from, "it is missing")
	}
	if value, err = tx.records.codec.copied(from, to, value); err != nil {
		return err
	}
	return tx.putValue(to, value)
}

func (tx *Tx) delete(key []byte) error {
	if tx.writer == nil {
		return errors.New("deleting in a reading transaction")
	}
	if err := tx.note(key, nil); err != nil {
		return err
	}
	return tx.writer.Delete(key)
}

// scan yields the records under a prefix. A damaged one yields its error and the scan goes on.
func scan[T any](tx *Tx, prefix []byte) iter.Seq2[T, error] {
	return func(yield func(T, error) bool) {
		for pair, err := range tx.reader.Scan(prefix, nil) {
			var record T
			if err == nil {
				err = tx.records.codec.decode(pair.Key, pair.Value, &record)
			}
			if !yield(record, err) {
				return
			}
		}
	}
}

// collect gathers a scan; damaged records are left out and joined into the error.
func collect[T any](records iter.Seq2[T, error]) (all []T, err error) {
	for record, e := range records {
		if e != nil {
			err = errors.Join(err, e)
			continue
		}
		all = append(all, record)
	}
	return all, err
}

// count counts the keys under a prefix.
func (tx *Tx) count(prefix []byte) (n int, err error) {
	for _, err := range tx.reader.Scan(prefix, nil) {
		if err != nil {
			return n, err
		}
		n++
	}
	return n, nil
}

// keys lists the keys under a prefix from a key on.
func (tx *Tx) keys(prefix, from []byte) (keys [][]byte, err error) {
	for pair, err := range tx.reader.Scan(prefix, from) {
		if err != nil {
			return nil, err
		}
		keys = append(keys, slices.Clone(pair.Key))
	}
	return keys, nil
}

// expiring is the record that an expiry key carries; all it has to say is in the key.
type expiring struct{}

// setExpiry notes when the record under key ends; clearExpiry takes the note back.
func (tx *Tx) setExpiry(at time.Time, key []byte) error {
	return tx.put(expiryKey(at, key), expiring{})
}

func (tx *Tx) clearExpiry(at time.Time, key []byte) error {
	return tx.delete(expiryKey(at, key))
}
