package store

import (
	"crypto/subtle"
	"errors"
	"fmt"
)

// tally is what the records of one member, or of one community, come to. It is
// kept beside them with every change, and [Records.Check] counts again: a record
// that went missing, was put back to an earlier version or was added past the
// program does not fit it.
//
// Not found this way: records and their tally put back together to what they
// were at one moment, as with the whole file (an engine may know better, see
// boltstore's Backups option); the notes of expiry and the header; and a
// member's records as long as the member has not saved since the store was
// brought to format 3, which has tallies.
type tally struct {
	Kept    int64 `json:"kept"`    // bytes of keys and values that stay until they are removed
	Passing int64 `json:"passing"` // bytes of drafts and operations
	Mark    token `json:"mark"`    // the marks of all of them, added without carry
}

// with is the tally with one record more, or less: adding a mark twice takes it away.
func (t *tally) change(h hasher, key, value []byte, sign int64) {
	kind, _, _ := typeOf(key)
	size := sign * int64(len(key)+len(value))
	if kind == draftRecord || kind == operationRecord {
		t.Passing += size
	} else {
		t.Kept += size
	}
	mark := h.sum("record", key, value)
	subtle.XORBytes(t.Mark[:], t.Mark[:], mark[:])
}

// join adds the changes of another tally.
func (t *tally) join(other tally) {
	t.Kept += other.Kept
	t.Passing += other.Passing
	subtle.XORBytes(t.Mark[:], t.Mark[:], other.Mark[:])
}

func tallyKey(o bookOwner) []byte { return ownedKey(o.space, o.token, tallyRecord) }

// countedFor says in whose tally a key counts: a share in that of its owner, who
// alone changes it. Notes of expiry, the header and tallies count in none.
func (tx *Tx) countedFor(key []byte) (o bookOwner, ok bool) {
	t, owner, ok := typeOf(key)
	switch {
	case !ok || t == tallyRecord:
		return bookOwner{}, false
	case t == shareRecord:
		return tx.ownBook(), true
	}
	return bookOwner{key[0], owner}, key[0] == spaceMember || key[0] == spaceCommunity
}

// ownerOf is whose tally a key counts in when no member is at work. Of a share
// that cannot be read nobody knows.
func (tx *Tx) ownerOf(key []byte) token {
	t, owner, _ := typeOf(key)
	var share struct {
		Owner string `json:"owner"`
	}
	if t != shareRecord {
		return owner
	}
	if found, err := tx.get(key, &share); !found || err != nil {
		return token{}
	}
	return tx.records.hash.member(share.Owner)
}

// note counts that the value of a key changes; nil stands for no value. It is called before the change.
func (tx *Tx) note(key, value []byte) error {
	o, ok := tx.countedFor(key)
	if !ok || o == tx.uncounted {
		return nil
	}
	before, found, err := tx.reader.Get(key)
	if err != nil {
		return err
	}
	if tx.changes == nil {
		tx.changes = map[bookOwner]*tally{}
	}
	change := tx.changes[o]
	if change == nil {
		change = &tally{}
		tx.changes[o] = change
	}
	if found {
		change.change(tx.records.hash, key, before, -1)
	}
	if value != nil {
		change.change(tx.records.hash, key, value, 1)
	}
	return nil
}

// settle writes the tallies of what the transaction has changed. Whoever has
// none yet is counted when a member saves, and left without when nobody is at work.
func (tx *Tx) settle() error {
	if change := tx.changes[tx.ownBook()]; change != nil && tx.grows && change.Kept > 0 {
		if err := tx.makeRoom(); err != nil {
			return err
		}
	}
	for o, change := range tx.changes {
		sum, found, err := tx.tally(o)
		if err != nil {
			return err
		}
		switch {
		case found:
			sum.join(*change)
		case tx.member == "":
			continue
		default:
			if sum, err = tx.tallyAnew(o); err != nil {
				return err
			}
		}
		if err := tx.putTally(o, sum); err != nil {
			return err
		}
	}
	tx.changes, tx.tallied = nil, tallied{}
	return nil
}

func (tx *Tx) putTally(o bookOwner, sum tally) error {
	if sum == (tally{}) {
		return tx.delete(tallyKey(o))
	}
	return tx.put(tallyKey(o), sum)
}

// tally is what was counted before the transaction. A damaged one counts as none and is counted anew.
func (tx *Tx) tally(o bookOwner) (sum tally, found bool, err error) {
	if tx.tallied.owner == o {
		return tx.tallied.sum, tx.tallied.found, nil
	}
	found, err = tx.get(tallyKey(o), &sum)
	if errors.Is(err, ErrDamaged) {
		sum, found, err = tally{}, false, nil
	}
	if err == nil {
		tx.tallied = tallied{o, sum, found}
	}
	return sum, found, err
}

// tallied is a tally that was read.
type tallied struct {
	owner bookOwner
	sum   tally
	found bool
}

// tallyAnew counts the records of an owner as they are.
func (tx *Tx) tallyAnew(o bookOwner) (sum tally, err error) {
	for pair, err := range tx.reader.Scan(ownerPrefix(o), nil) {
		if err != nil {
			return tally{}, err
		}
		t, _, ok := typeOf(pair.Key)
		if !ok || t == tallyRecord {
			continue
		}
		sum.change(tx.records.hash, pair.Key, pair.Value, 1)
		if t != shareOfRecord {
			continue
		}
		share := shareKey(string(pair.Key[2+tokenSize:]))
		value, found, err := tx.reader.Get(share)
		if err != nil {
			return tally{}, err
		}
		if found {
			sum.change(tx.records.hash, share, value, 1)
		}
	}
	return sum, nil
}

// kept is how many bytes the member keeps, with what the transaction has changed so far.
func (tx *Tx) kept() (int64, error) {
	o := tx.ownBook()
	sum, found, err := tx.tally(o)
	if err == nil && !found {
		sum, err = tx.tallyAnew(o)
		return sum.Kept, err
	}
	if change := tx.changes[o]; change != nil {
		sum.join(*change)
	}
	return sum.Kept, err
}

// makeRoom refuses a change with which the member would keep too much, after
// the bin has given way, the oldest first.
func (tx *Tx) makeRoom() error {
	limit := int64(tx.records.limits.KeepBytes)
	kept, err := tx.kept()
	if err != nil || kept <= limit {
		return err
	}
	bin, err := tx.Bin()
	if err != nil && !errors.Is(err, ErrDamaged) {
		return err
	}
	for i := len(bin) - 1; i >= 0 && kept > limit; i-- {
		if err := tx.eraseDeleted(bin[i]); err != nil {
			return err
		}
		if kept, err = tx.kept(); err != nil {
			return err
		}
	}
	if kept > limit {
		return &QuotaError{What: bytesInAll, Limit: int(limit), Got: int(kept)}
	}
	return nil
}

// Keep tells how much a member keeps, in bytes as they are stored.
type Keep struct {
	Bytes int64
	Limit int64 // what was there before the limit may be more
}

// Left is how many bytes more the member may keep.
func (k Keep) Left() int64 { return max(0, k.Limit-k.Bytes) }

// Keep: see [Records.Keep].
func (tx *Tx) Keep() (Keep, error) {
	kept, err := tx.kept()
	return Keep{Bytes: kept, Limit: int64(tx.records.limits.KeepBytes)}, err
}

// tally checks what the records of an owner come to.
func (c *checker) tally() error {
	var sum tally
	if err := c.decode(&sum); err != nil {
		return err
	}
	counted, err := c.tx.tallyAnew(bookOwner{c.pair.Key[0], c.tx.owner})
	if err != nil {
		return err
	}
	if counted != sum {
		return damaged(c.pair.Key, fmt.Sprintf("what is there does not come to what was saved (%d bytes, not %d): a record is missing, was put back to an earlier version, or was added past this program",
			counted.Kept+counted.Passing, sum.Kept+sum.Passing))
	}
	return nil
}
