package store

import (
	"bytes"
	"context"
	"errors"
	"slices"
)

// CheckReport tells what [Shelf.Check] found.
type CheckReport struct {
	Records  map[Kind]int // how many of each kind
	Total    int
	Bytes    int64   // of keys and values
	Problems []error // mostly [DamagedError]; empty for a sound store
}

// checkPage is how many records are checked in one transaction.
const checkPage = 4096

// Check reads every record, in small transactions while the store stays in use,
// and sees to it that it is what was written and that the records fit together:
// every name leads to its project and back, every revision belongs to a project,
// every share to an owner, everything that expires has its note. The error is
// for a check that could not be finished.
func (s *Shelf) Check(ctx context.Context) (CheckReport, error) {
	report := CheckReport{Records: map[Kind]int{}}
	for from := []byte{}; from != nil; {
		page, next, err := s.checkFrom(ctx, from)
		if err != nil {
			return report, err
		}
		for kind, n := range page.Records {
			report.Records[kind] += n
		}
		report.Total += page.Total
		report.Bytes += page.Bytes
		report.Problems = append(report.Problems, page.Problems...)
		from = next
	}
	report.Problems = withoutEchoes(report.Problems)
	return report, nil
}

// withoutEchoes leaves out the tallies that do not fit because of a record that is told of already.
func withoutEchoes(problems []error) []error {
	told := map[string]bool{}
	of := func(err error) (owner string, isTally bool) {
		var d *DamagedError
		if !errors.As(err, &d) {
			return "", false
		}
		t, _, ok := typeOf(d.Key)
		if !ok || len(d.Key) < 1+tokenSize {
			return "", false
		}
		return string(d.Key[:1+tokenSize]), t == tallyRecord
	}
	for _, p := range problems {
		if owner, isTally := of(p); !isTally {
			told[owner] = true
		}
	}
	return slices.DeleteFunc(problems, func(p error) bool {
		owner, isTally := of(p)
		return isTally && told[owner]
	})
}

// checkFrom checks one page, and returns the key to go on from, nil at the end.
func (s *Shelf) checkFrom(ctx context.Context, from []byte) (page CheckReport, next []byte, err error) {
	err = s.engine.View(ctx, func(r Reader) error {
		page, next = CheckReport{Records: map[Kind]int{}}, nil
		for pair, err := range r.Scan(nil, from) {
			if err != nil {
				return err
			}
			if page.Total == checkPage {
				next = bytes.Clone(pair.Key)
				return nil
			}
			t, _, _ := typeOf(pair.Key)
			page.Records[t.kind]++
			page.Total++
			page.Bytes += int64(len(pair.Key) + len(pair.Value))
			if err := s.checkPair(r, pair); err != nil {
				page.Problems = append(page.Problems, err)
			}
		}
		return nil
	})
	return page, next, err
}

// checkPair checks one record and what it should lead to.
func (s *Shelf) checkPair(r Reader, pair Pair) error {
	t, owner, ok := typeOf(pair.Key)
	if !ok {
		return damaged(pair.Key, "no such kind of record is known")
	}
	if s.format < 2 {
		_, _, err := s.codec.open(pair.Key, pair.Value)
		return err
	}
	c := &checker{tx: &Tx{shelf: s, reader: r, owner: owner}, t: t, pair: pair}
	switch t.kind {
	case KindHeader:
		return c.decode(&header{})
	case KindProject:
		return c.project()
	case KindName:
		return c.name()
	case KindRevision:
		return c.revision()
	case KindBin:
		return c.bin()
	case KindLeftover:
		return c.decode(&Leftover{})
	case KindShelf:
		return c.decode(&shelfState{})
	case KindChange:
		return c.decode(&shelfChange{})
	case KindSwatch:
		return c.decode(&Swatch{})
	case KindPreferences:
		return c.decode(&Preferences{})
	case KindKnot, KindRule:
		return c.entry()
	case KindShare:
		return c.share()
	case KindShareOf:
		return c.leadsTo(&shareOf{}, shareKey(string(c.rest())), "the share is missing")
	case KindDraft:
		var draft Draft
		if err := c.decode(&draft); err != nil {
			return err
		}
		return c.has(expiryKey(draft.Expires, pair.Key), "the note of its expiry is missing")
	case KindOperation:
		var done operation
		if err := c.decode(&done); err != nil {
			return err
		}
		return c.has(expiryKey(done.Expires, pair.Key), "the note of its expiry is missing")
	case KindSettings:
		return c.decode(&Settings{})
	case KindTally:
		return c.tally()
	case KindLease:
		return c.decode(&Lease{})
	case KindContributed:
		return c.leadsTo(&contribution{}, append([]byte{spaceCommunity}, c.rest()...), "the community's entry is missing")
	case KindExpiry:
		_, record, _ := splitExpiryKey(pair.Key)
		return c.leadsTo(&expiring{}, record, "the record that it speaks of is missing")
	}
	return damaged(pair.Key, "no such kind of record is known")
}

// checker checks one record.
type checker struct {
	tx   *Tx
	t    recordType
	pair Pair
}

func (c *checker) decode(record any) error {
	return c.tx.shelf.codec.decode(c.pair.Key, c.pair.Value, record)
}

// rest is the key after owner and tag.
func (c *checker) rest() []byte { return c.pair.Key[2+tokenSize:] }

func (c *checker) has(key []byte, otherwise string) error {
	_, found, err := c.tx.reader.Get(key)
	if err == nil && !found {
		err = damaged(c.pair.Key, otherwise)
	}
	return err
}

func (c *checker) leadsTo(record any, key []byte, otherwise string) error {
	if err := c.decode(record); err != nil {
		return err
	}
	return c.has(key, otherwise)
}

func (c *checker) project() error {
	var p Project
	if err := c.decode(&p); err != nil {
		return err
	}
	if err := c.belongs(p); err != nil {
		return err
	}
	var entry ProjectSummary
	found, err := c.tx.get(c.tx.nameKey(nameRecord, foldName(p.Name)), &entry)
	if err == nil && (!found || entry.ID != p.ID) {
		err = damaged(c.pair.Key, "its name does not lead to it")
	}
	return err
}

// belongs checks that a project stands under its own id and its owner.
func (c *checker) belongs(p Project) error {
	if !bytes.HasPrefix(c.rest(), []byte(p.ID)) || c.tx.shelf.hash.member(p.Owner) != c.tx.owner {
		return damaged(c.pair.Key, "it is another project's or another member's")
	}
	return nil
}

func (c *checker) name() error {
	var entry ProjectSummary
	if err := c.decode(&entry); err != nil {
		return err
	}
	p, err := c.tx.ProjectByID(entry.ID)
	if errors.Is(err, ErrNotFound) {
		return damaged(c.pair.Key, "there is no such project")
	}
	if errors.Is(err, ErrDamaged) {
		return nil // told where it stands
	}
	if err == nil && !bytes.Equal(c.tx.nameKey(nameRecord, foldName(p.Name)), c.pair.Key) {
		err = damaged(c.pair.Key, "the project has another name")
	}
	if err == nil && (entry.Name != p.Name || entry.Revision != p.Revision || !entry.Changed.Equal(p.Changed)) {
		err = damaged(c.pair.Key, "it does not say what the project says")
	}
	return err
}

func (c *checker) revision() error {
	var p Project
	if err := c.decode(&p); err != nil {
		return err
	}
	if err := c.belongs(p); err != nil {
		return err
	}
	if !bytes.Equal(c.pair.Key, c.tx.revisionKey(p.ID, p.Revision)) {
		return damaged(c.pair.Key, "it is another revision")
	}
	if c.has(c.tx.projectKey(p.ID), "") == nil {
		return nil
	}
	return c.has(c.tx.binKey(p.ID), "its project is missing")
}

func (c *checker) bin() error {
	var p Project
	if err := c.decode(&p); err != nil {
		return err
	}
	if err := c.belongs(p); err != nil {
		return err
	}
	return c.has(expiryKey(p.Expires, c.pair.Key), "the note of its expiry is missing")
}

func (c *checker) share() error {
	var share Share
	if err := c.decode(&share); err != nil {
		return err
	}
	if !slices.Equal(c.pair.Key, shareKey(share.ID)) {
		return damaged(c.pair.Key, "it is another share")
	}
	owner := c.tx.shelf.hash.member(share.Owner)
	return c.has(ownedKey(spaceMember, owner, shareOfRecord, []byte(share.ID)), "its owner does not know of it")
}

func (c *checker) entry() error {
	var e Entry
	if err := c.decode(&e); err != nil {
		return err
	}
	o := bookOwner{c.pair.Key[0], c.tx.owner}
	if !bytes.Equal(c.tx.entryKey(o, c.t, e.Name), c.pair.Key) {
		return damaged(c.pair.Key, "it has another name")
	}
	if o.space != spaceCommunity || e.AddedBy == "" {
		return nil
	}
	writer := &Tx{shelf: c.tx.shelf, reader: c.tx.reader, owner: c.tx.shelf.hash.member(e.AddedBy)}
	key, err := writer.contributionKey(o, c.t.kind, e.Name)
	if err != nil {
		return err
	}
	return c.has(key, "the member who added it does not know of it")
}
