package store

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"larkfold/store/pairs"
)

// Forgotten tells what [Records.Forget] erased.
type Forgotten struct {
	Records map[Kind]int // how many of each kind
	Total   int
	Left    int // what that found: always 0 when Forget returns no error
}

const (
	forgetBatch  = 256 // records erased in one transaction
	forgetBytes  = 1 << 20
	proofPage    = 4096 // records looked at in one transaction
	forgetRounds = 5
)

// Forget erases everything about a member: projects with their history and the
// bin, the shelf, swatches, preferences, own knots and rules, shares, drafts
// and operation keys. Knots and rules that the member gave to a community stay
// there without the member's id. It works in small transactions while the store
// stays in use, and then looks through the store for anything that is left.
// Forget that was broken off is taken up by calling it again.
func (s *Records) Forget(ctx context.Context, member string) (Forgotten, error) {
	report := Forgotten{Records: map[Kind]int{}}
	if err := checkMember(member); err != nil {
		return report, err
	}
	for range forgetRounds {
		if err := s.eraseOwned(ctx, member, &report); err != nil {
			return report, err
		}
		left, err := s.traces(ctx, member)
		if err != nil {
			return report, err
		}
		report.Left = len(left)
		if report.Left == 0 {
			if s.forgot != nil {
				s.forgot()
			}
			return report, nil
		}
		if err := s.eraseTraces(ctx, member, left, &report); err != nil {
			return report, err
		}
	}
	return report, fmt.Errorf("forgetting a member: %d records are left because the member goes on saving", report.Left)
}

func (f *Forgotten) add(erased []Kind) {
	for _, kind := range erased {
		f.Records[kind]++
		f.Total++
	}
}

// eraseOwned erases the records under a member, and what they lead to, in batches.
func (s *Records) eraseOwned(ctx context.Context, member string, report *Forgotten) error {
	for {
		var erased []Kind
		if err := s.countSeals(ctx); err != nil {
			return err
		}
		err := s.update(ctx, func(w pairs.Writer) (err error) {
			tx := s.erasing(w, member)
			if erased, err = tx.eraseBatch(); err != nil {
				return err
			}
			return tx.settle()
		})
		if err != nil {
			return err
		}
		if len(erased) == 0 {
			return nil
		}
		report.add(erased)
	}
}

// erasing is a transaction that erases a member, whose tally goes with the rest
// instead of being kept up to date.
func (s *Records) erasing(w pairs.Writer, member string) *Tx {
	tx := &Tx{records: s, reader: w, writer: w, member: member, owner: s.hash.member(member)}
	tx.uncounted = tx.ownBook()
	return tx
}

func (tx *Tx) eraseBatch() (erased []Kind, err error) {
	if err := tx.delete(tallyKey(tx.ownBook())); err != nil {
		return nil, err
	}
	var batch []pairs.Pair
	size := 0
	for pair, err := range tx.reader.Scan(memberPrefix(tx.owner), nil) {
		if err != nil {
			return nil, err
		}
		if len(batch) == forgetBatch || size > forgetBytes {
			break
		}
		size += len(pair.Key) + len(pair.Value)
		batch = append(batch, pairs.Pair{Key: slices.Clone(pair.Key), Value: slices.Clone(pair.Value)})
	}
	for _, pair := range batch {
		more, err := tx.eraseOutside(pair)
		if err != nil {
			return nil, err
		}
		if err := tx.delete(pair.Key); err != nil {
			return nil, err
		}
		t, _, _ := typeOf(pair.Key)
		erased = append(append(erased, t.kind), more...)
	}
	return erased, nil
}

// eraseOutside erases what a member's record leads to outside the member's own
// keys. A damaged record leads nowhere; what it led to is found by traces.
func (tx *Tx) eraseOutside(pair pairs.Pair) ([]Kind, error) {
	t, _, _ := typeOf(pair.Key)
	rest := pair.Key[min(len(pair.Key), 2+tokenSize):]
	switch t.kind {
	case KindShareOf:
		return []Kind{KindShare}, tx.delete(shareKey(string(rest)))
	case KindDraft, KindOperation, KindBin:
		var end struct {
			Expires time.Time `json:"expires"`
		}
		if tx.records.codec.decode(pair.Key, pair.Value, &end) != nil {
			return nil, nil
		}
		return nil, tx.delete(expiryKey(end.Expires, pair.Key))
	case KindContributed:
		return nil, tx.disown(append([]byte{spaceCommunity}, rest...))
	}
	return nil, nil
}

// disown takes the member's id off a community's entry.
func (tx *Tx) disown(key []byte) error {
	if _, _, ok := typeOf(key); !ok {
		return nil
	}
	var e Entry
	found, err := tx.get(key, &e)
	if errors.Is(err, ErrDamaged) {
		return nil // nobody can tell whose it is; [Records.Check] reports it
	}
	if err != nil || !found || e.AddedBy != tx.member {
		return err
	}
	e.AddedBy = ""
	return tx.put(key, e)
}

// traces looks for keys that speak of a member: those under the member, and of
// the shares, the communities' entries and the expiry notes all that name the
// member. It goes through the store in pages.
func (s *Records) traces(ctx context.Context, member string) (left [][]byte, err error) {
	owner := s.hash.member(member)
	for _, prefix := range [][]byte{{spaceShare}, {spaceCommunity}, {spaceExpiry}, memberPrefix(owner)} {
		for from := prefix; from != nil; {
			found, err := pairs.Pick(ctx, s.engine, prefix, from, proofPage, proofPage, func(p pairs.Pair) bool { return s.speaksOf(member, owner, p) })
			if err != nil {
				return nil, err
			}
			left = append(left, found.Keys...)
			from = found.Next
		}
	}
	return left, nil
}

// speaksOf tells whether a record is a member's or names the member. A damaged
// record cannot be told; [Records.Check] reports it.
func (s *Records) speaksOf(member string, owner token, pair pairs.Pair) bool {
	key := pair.Key
	if _, recordKey, ok := splitExpiryKey(key); ok {
		key = recordKey
	}
	_, keyOwner, ok := typeOf(key)
	if ok && key[0] == spaceMember {
		return keyOwner == owner
	}
	var names struct {
		Owner   string `json:"owner"`
		AddedBy string `json:"added_by"`
	}
	return ok && s.codec.decode(key, pair.Value, &names) == nil && (names.Owner == member || names.AddedBy == member)
}

// eraseTraces erases single keys that traces found outside the member's own.
func (s *Records) eraseTraces(ctx context.Context, member string, left [][]byte, report *Forgotten) error {
	for batch := range slices.Chunk(left, forgetBatch) {
		var erased []Kind
		if err := s.countSeals(ctx); err != nil {
			return err
		}
		err := s.update(ctx, func(w pairs.Writer) error {
			erased = nil
			tx := s.erasing(w, member)
			for _, key := range batch {
				t, _, _ := typeOf(key)
				if key[0] == spaceCommunity {
					if err := tx.disown(key); err != nil {
						return err
					}
					continue
				}
				if err := tx.delete(key); err != nil {
					return err
				}
				erased = append(erased, t.kind)
			}
			return tx.settle()
		})
		if err != nil {
			return err
		}
		report.add(erased)
	}
	return nil
}
