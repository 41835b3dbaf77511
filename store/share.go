package store

import (
	"cmp"
	"errors"
	"iter"
	"slices"
	"strings"
)

// shareOf leads from a member to a share of the member's own; the id is in its key.
type shareOf struct {
	ID string `json:"id"`
}

// ShareProject freezes a copy of the member's project (share.Project holds its
// id) that everybody who has the share's id may read. Community, Channel and
// Data are kept as given; the rest is filled in.
func (tx *Tx) ShareProject(share Share) (Share, error) {
	p, err := tx.ProjectByID(share.Project)
	if err != nil {
		return Share{}, err
	}
	if err := errors.Join(checkID("community", share.Community), checkID("channel", share.Channel), tx.records.limits.cleanData(&share.Data)); err != nil {
		return Share{}, err
	}
	tx.grows = true
	n, err := tx.count(tx.key(shareOfRecord))
	if err != nil {
		return Share{}, err
	}
	if err := within("shares", n+1, tx.records.limits.Shares); err != nil {
		return Share{}, err
	}
	if share.ID, err = tx.newID(); err != nil {
		return Share{}, err
	}
	share.Owner, share.Revision, share.Name, share.Sheet, share.Created = tx.member, p.Revision, p.Name, p.Sheet, tx.now
	if err := tx.put(shareKey(share.ID), share); err != nil {
		return Share{}, err
	}
	return share, tx.put(tx.key(shareOfRecord, []byte(share.ID)), shareOf{ID: share.ID})
}

// Shared: see [Records.Shared].
func (tx *Tx) Shared(id string) (share Share, err error) {
	found, err := tx.get(shareKey(id), &share)
	if err == nil && (!found || id == "") {
		return Share{}, &NotFound{Kind: KindShare, Name: id}
	}
	return share, err
}

// Shares: see [Records.Shares].
func (tx *Tx) Shares() ([]Share, error) {
	list, err := collect(tx.ownShares())
	slices.SortFunc(list, func(a, b Share) int {
		return cmp.Or(a.Created.Compare(b.Created), strings.Compare(a.ID, b.ID))
	})
	return list, err
}

// ownShares yields the member's own shares.
func (tx *Tx) ownShares() iter.Seq2[Share, error] {
	return func(yield func(Share, error) bool) {
		for of, err := range scan[shareOf](tx, tx.key(shareOfRecord)) {
			var share Share
			if err == nil {
				share, err = tx.Shared(of.ID)
			}
			if !yield(share, err) {
				return
			}
		}
	}
}

// Unshare removes a share of the member's own and returns it.
func (tx *Tx) Unshare(id string) (Share, error) {
	share, err := tx.Shared(id)
	if err != nil {
		return Share{}, err
	}
	if share.Owner != tx.member {
		return Share{}, &NotFound{Kind: KindShare, Name: id}
	}
	if err := tx.delete(shareKey(id)); err != nil {
		return Share{}, err
	}
	return share, tx.delete(tx.key(shareOfRecord, []byte(id)))
}
