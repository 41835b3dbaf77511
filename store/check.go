package store

import (
	"bytes"
	"context"
	"errors"
	"maps"
	"slices"
	"sync"

	"larkfold/store/pairs"
	"larkfold/store/spelling"
)

// CheckReport tells what [Records.Check] found.
type CheckReport struct {
	Records  map[Kind]int // how many of each kind
	Total    int
	Bytes    int64   // of keys and values
	Problems []error // mostly [DamagedError]; empty for a sound store
}

// pageRecords is how many records are checked in one transaction.
const pageRecords = 4096

// Check reads every record, in small transactions while the store stays in use,
// and sees to it that it is what was written and that the records fit together:
// every name leads to its project and back, every revision belongs to a project,
// every share to an owner, everything that expires has its note. The error is
// for a check that could not be finished.
func (s *Records) Check(ctx context.Context) (CheckReport, error) {
	var report CheckReport
	var err error
	if s.checkers > 1 {
		report, err = s.checkSideBySide(ctx)
	} else {
		report, err = s.checkSpan(ctx, span{from: []byte{}})
	}
	if err != nil {
		return report, err
	}
	report.Problems = withoutEchoes(report.Problems)
	return report, nil
}

// span is a stretch of keys, up to but without the last; nil there is the end.
type span struct{ from, to []byte }

// checkSideBySide has several goroutines check spans that one looks out for them.
func (s *Records) checkSideBySide(ctx context.Context) (CheckReport, error) {
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	var wg sync.WaitGroup
	spans := make(chan span)
	wg.Go(func() {
		defer close(spans)
		for next := []byte{}; next != nil; {
			found := span{from: next}
			err := s.engine.View(ctx, func(r pairs.Reader) (err error) {
				found.to, err = pageEnd(r, found.from)
				return err
			})
			if err != nil {
				cancel(err)
				return
			}
			select {
			case spans <- found:
			case <-ctx.Done():
				return
			}
			next = found.to
		}
	})
	reports := make([]CheckReport, s.checkers)
	for i := range reports {
		wg.Go(func() {
			reports[i].Records = map[Kind]int{}
			for found := range spans {
				report, err := s.checkSpan(ctx, found)
				if err != nil {
					cancel(err)
					return
				}
				reports[i].add(report)
			}
		})
	}
	wg.Wait()
	all := CheckReport{Records: map[Kind]int{}}
	for _, report := range reports {
		all.add(report)
	}
	slices.SortStableFunc(all.Problems, func(a, b error) int { return bytes.Compare(keyOf(a), keyOf(b)) })
	return all, context.Cause(ctx)
}

// keyOf is the key of the record that a problem is with.
func keyOf(problem error) []byte {
	var d *DamagedError
	if errors.As(problem, &d) {
		return d.Key
	}
	return nil
}

// pageEnd is the key after a page of records, or nil at the end.
func pageEnd(r pairs.Reader, from []byte) ([]byte, error) {
	n := 0
	for pair, err := range r.Scan(nil, from) {
		if err != nil {
			return nil, err
		}
		if n == pageRecords {
			return bytes.Clone(pair.Key), nil
		}
		n++
	}
	return nil, nil
}

// checkSpan checks a span page by page.
func (s *Records) checkSpan(ctx context.Context, of span) (CheckReport, error) {
	report := CheckReport{Records: map[Kind]int{}}
	for of.from != nil {
		page, next, err := s.checkPage(ctx, of)
		if err != nil {
			return report, err
		}
		report.add(page)
		of.from = next
	}
	return report, nil
}

func (r *CheckReport) add(other CheckReport) {
	for kind, n := range other.Records {
		r.Records[kind] += n
	}
	r.Total += other.Total
	r.Bytes += other.Bytes
	r.Problems = append(r.Problems, other.Problems...)
}

// withoutEchoes leaves out the tallies that do not fit because of a record that is told of already.
func withoutEchoes(problems []error) []error {
	told := map[bookOwner]bool{}
	of := func(err error) (o bookOwner, isTally bool) {
		key := keyOf(err)
		t, owner, ok := typeOf(key)
		if !ok {
			return bookOwner{}, false
		}
		return bookOwner{key[0], owner}, t == tallyRecord
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

// checkPage checks one page of a span, and returns the key to go on from, nil at the end.
func (s *Records) checkPage(ctx context.Context, of span) (page CheckReport, next []byte, err error) {
	err = s.engine.View(ctx, func(r pairs.Reader) error {
		page, next = CheckReport{Records: map[Kind]int{}}, nil
		names := waitingNames{}
		for pair, err := range r.Scan(nil, of.from) {
			if err != nil {
				return err
			}
			if of.to != nil && bytes.Compare(pair.Key, of.to) >= 0 {
				break
			}
			if page.Total == pageRecords {
				next = bytes.Clone(pair.Key)
				break
			}
			t, _, _ := typeOf(pair.Key)
			page.Records[t.kind]++
			page.Total++
			page.Bytes += int64(len(pair.Key) + len(pair.Value))
			if err := s.checkPair(r, pair, names); err != nil {
				page.Problems = append(page.Problems, err)
			}
		}
		for _, project := range slices.Sorted(maps.Keys(names)) {
			name := names[project]
			_, owner, _ := typeOf(name.key)
			c := &checker{tx: &Tx{records: s, reader: r, owner: owner}, pair: pairs.Pair{Key: name.key}}
			if err := c.leadsToItsProject(name.entry); err != nil {
				page.Problems = append(page.Problems, err)
			}
		}
		return nil
	})
	return page, next, err
}

// checkPair checks one record and what it should lead to.
func (s *Records) checkPair(r pairs.Reader, pair pairs.Pair, names waitingNames) error {
	t, owner, ok := typeOf(pair.Key)
	if !ok {
		return damaged(pair.Key, "no such kind of record is known")
	}
	if s.format < 2 {
		_, _, err := s.codec.Open(pair.Key, pair.Value)
		return told(pair.Key, err)
	}
	c := &checker{tx: &Tx{records: s, reader: r, owner: owner}, t: t, pair: pair, names: names}
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
	tx    *Tx
	t     recordType
	pair  pairs.Pair
	names waitingNames
}

// waitingNames are names' entries that wait for their project, by its key: in the
// order of keys, names come before projects. A page has most of both, so that each
// is read once.
type waitingNames map[string]waitingName

type waitingName struct {
	key   []byte
	entry ProjectSummary
}

func (c *checker) decode(record any) error {
	return c.tx.records.codec.decode(c.pair.Key, c.pair.Value, record)
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
	name := c.tx.nameKey(nameRecord, spelling.Fold(p.Name))
	if waiting, ok := c.names[string(c.pair.Key)]; ok && bytes.Equal(waiting.key, name) && waiting.entry.says(p) {
		delete(c.names, string(c.pair.Key))
		return nil
	}
	var entry ProjectSummary
	found, err := c.tx.get(name, &entry)
	if err == nil && (!found || entry.ID != p.ID) {
		err = damaged(c.pair.Key, "its name does not lead to it")
	}
	return err
}

// belongs checks that a project stands under its own id and its owner.
func (c *checker) belongs(p Project) error {
	if !bytes.HasPrefix(c.rest(), []byte(p.ID)) || c.tx.records.hash.member(p.Owner) != c.tx.owner {
		return damaged(c.pair.Key, "it is another project's or another member's")
	}
	return nil
}

func (c *checker) name() error {
	var entry ProjectSummary
	if err := c.decode(&entry); err != nil {
		return err
	}
	project := string(c.tx.projectKey(entry.ID))
	if _, taken := c.names[project]; taken {
		return c.leadsToItsProject(entry)
	}
	c.names[project] = waitingName{c.pair.Key, entry}
	return nil
}

// says tells whether a name's entry says what a project says.
func (e ProjectSummary) says(p Project) bool {
	return e.ID == p.ID && e.Name == p.Name && e.Revision == p.Revision && e.Changed.Equal(p.Changed)
}

// leadsToItsProject checks a name's entry against the project that it leads to.
func (c *checker) leadsToItsProject(entry ProjectSummary) error {
	p, err := c.tx.ProjectByID(entry.ID)
	if errors.Is(err, ErrNotFound) {
		return damaged(c.pair.Key, "there is no such project")
	}
	if errors.Is(err, ErrDamaged) {
		return nil // told where it stands
	}
	if err == nil && !bytes.Equal(c.tx.nameKey(nameRecord, spelling.Fold(p.Name)), c.pair.Key) {
		err = damaged(c.pair.Key, "the project has another name")
	}
	if err == nil && !entry.says(p) {
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
	owner := c.tx.records.hash.member(share.Owner)
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
	writer := &Tx{records: c.tx.records, reader: c.tx.reader, owner: c.tx.records.hash.member(e.AddedBy)}
	key, err := writer.contributionKey(o, c.t.kind, e.Name)
	if err != nil {
		return err
	}
	return c.has(key, "the member who added it does not know of it")
}
