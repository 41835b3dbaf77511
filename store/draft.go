package store

import (
	"errors"
	"fmt"
	"slices"
)

func (tx *Tx) draftKey(key string) []byte { return tx.key(draftRecord, []byte(key)) }

// SaveDraft: see [Records.SaveDraft].
func (tx *Tx) SaveDraft(draft Draft) (_ Draft, err error) {
	if err := errors.Join(checkID("key of a draft", draft.Key), checkID("kind of draft", draft.Kind), tx.records.limits.cleanData(&draft.Payload)); err != nil {
		return Draft{}, err
	}
	if !draft.Expires.After(tx.now) {
		return Draft{}, &InvalidError{What: "expiry", Read: draft.Expires.String(), Reason: "a draft expires later than it is made"}
	}
	if draft.Key == "" {
		if draft.Key, err = tx.newID(); err != nil {
			return Draft{}, err
		}
	}
	if err := tx.fetch(func() [][]byte { return [][]byte{tx.key(draftRecord), tallyKey(tx.ownBook())} }); err != nil {
		return Draft{}, err
	}
	if err := tx.DeleteDraft(draft.Key); err != nil {
		return Draft{}, err
	}
	draft.Owner, draft.Created, draft.Expires = tx.member, tx.now, draft.Expires.UTC().Round(0)
	key := tx.draftKey(draft.Key)
	if err := tx.put(key, draft); err != nil {
		return Draft{}, err
	}
	if err := tx.setExpiry(draft.Expires, key); err != nil {
		return Draft{}, err
	}
	return draft, tx.trimDrafts()
}

// trimDrafts removes the drafts that expire first when there are too many, or
// too much of them; the last one stays.
func (tx *Tx) trimDrafts() error {
	n, size := 0, 0
	for pair, err := range tx.reader.Scan(tx.key(draftRecord), nil) {
		if err != nil {
			return err
		}
		n, size = n+1, size+len(pair.Key)+len(pair.Value)
	}
	limits := tx.records.limits
	if n <= limits.Drafts && size <= limits.DraftBytes {
		return nil
	}
	all, err := collect(scan[Draft](tx, tx.key(draftRecord)))
	if err != nil && !errors.Is(err, ErrDamaged) {
		return fmt.Errorf("making room for a draft: %w", err)
	}
	slices.SortFunc(all, func(a, b Draft) int { return a.Expires.Compare(b.Expires) })
	for _, d := range all[:max(0, len(all)-1)] {
		if n <= limits.Drafts && size <= limits.DraftBytes {
			break
		}
		value, _, err := tx.reader.Get(tx.draftKey(d.Key))
		if err != nil {
			return err
		}
		n, size = n-1, size-len(tx.draftKey(d.Key))-len(value)
		if err := tx.DeleteDraft(d.Key); err != nil {
			return err
		}
	}
	return nil
}

// Draft: see [Records.Draft].
func (tx *Tx) Draft(key string) (draft Draft, err error) {
	found, err := tx.get(tx.draftKey(key), &draft)
	if err != nil {
		return Draft{}, err
	}
	if !found || !draft.Expires.After(tx.now) {
		return Draft{}, &NotFound{Kind: KindDraft, Name: key}
	}
	return draft, nil
}

// DeleteDraft removes a draft of the member's own; one that is gone is no error.
func (tx *Tx) DeleteDraft(key string) error {
	var draft Draft
	found, err := tx.get(tx.draftKey(key), &draft)
	if err != nil || !found {
		return err
	}
	if err := tx.clearExpiry(draft.Expires, tx.draftKey(key)); err != nil {
		return err
	}
	return tx.delete(tx.draftKey(key))
}

// Drafts lists the member's drafts of some kinds, the one saved last first.
func (tx *Tx) Drafts(kinds ...string) ([]Draft, error) {
	all, err := collect(scan[Draft](tx, tx.key(draftRecord)))
	if err != nil {
		return nil, err
	}
	all = slices.DeleteFunc(all, func(d Draft) bool { return !slices.Contains(kinds, d.Kind) || !d.Expires.After(tx.now) })
	slices.SortStableFunc(all, func(a, b Draft) int { return b.Created.Compare(a.Created) })
	return all, nil
}
