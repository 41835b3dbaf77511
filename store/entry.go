package store

import (
	"bytes"

	"larkfold/store/spelling"
)

// contribution leads from a member to what the member added to a community's book.
type contribution struct {
	Community string `json:"community"`
	Book      Book   `json:"book"`
	Name      string `json:"name"`
}

// bookOwner says where a book stands: under a member or under a community.
type bookOwner struct {
	space byte
	token token
}

func (tx *Tx) ownBook() bookOwner { return bookOwner{spaceMember, tx.owner} }

func (tx *Tx) communityBook(community string) (bookOwner, error) {
	if community == "" {
		return bookOwner{}, &InvalidError{What: "community", Reason: "there is none outside a server"}
	}
	if err := checkID("community", community); err != nil {
		return bookOwner{}, err
	}
	return bookOwner{spaceCommunity, tx.records.hash.community(community)}, nil
}

func bookType(book Book) (recordType, error) {
	switch book {
	case KindKnot:
		return knotRecord, nil
	case KindRule:
		return ruleRecord, nil
	}
	return recordType{}, &InvalidError{What: "book", Read: string(book), Reason: "books hold knots or rules"}
}

func (tx *Tx) entryKey(o bookOwner, t recordType, name string) []byte {
	return ownedKey(o.space, o.token, t, tx.records.hash.name(o.token, t, spelling.Fold(name)))
}

// keyLike is the key of the entry whose name looks like this one, or the key that it
// would have. One that was saved before names were cleaned stands under its name as it
// was typed then.
func (tx *Tx) keyLike(o bookOwner, t recordType, name string) ([]byte, error) {
	var key []byte
	var e Entry
	for _, as := range []string{name, spelling.Seen(name)} { // two that look alike may stand there from then
		key = tx.entryKey(o, t, as)
		if found, err := tx.get(key, &e); found || err != nil {
			return key, err
		}
	}
	for e, err := range scan[Entry](tx, ownedKey(o.space, o.token, t)) {
		if err == nil && spelling.Looks(e.Name) == spelling.Looks(name) {
			return tx.entryKey(o, t, e.Name), nil
		}
	}
	return key, nil
}

// SaveEntry saves a knot or a rule in the member's own book, under its name.
func (tx *Tx) SaveEntry(book Book, e Entry, expected uint64) (Entry, error) {
	return tx.saveEntry(tx.ownBook(), book, e, expected)
}

// Entries: see [Records.Entries].
func (tx *Tx) Entries(book Book) ([]Entry, error) { return tx.entries(tx.ownBook(), book) }

// DeleteEntry removes a knot or a rule from the member's own book and returns it.
func (tx *Tx) DeleteEntry(book Book, name string) (Entry, error) {
	return tx.deleteEntry(tx.ownBook(), book, name)
}

// SaveCommunityEntry saves a knot or a rule in a community's book. The caller
// has made sure that the member may.
func (tx *Tx) SaveCommunityEntry(community string, book Book, e Entry, expected uint64) (Entry, error) {
	o, err := tx.communityBook(community)
	if err != nil {
		return Entry{}, err
	}
	saved, err := tx.saveEntry(o, book, e, expected)
	if err != nil {
		return Entry{}, err
	}
	key, err := tx.contributionKey(o, book, saved.Name)
	if err != nil {
		return Entry{}, err
	}
	return saved, tx.put(key, contribution{Community: community, Book: book, Name: saved.Name})
}

func (tx *Tx) contributionKey(o bookOwner, book Book, name string) ([]byte, error) {
	t, err := bookType(book)
	if err != nil {
		return nil, err
	}
	return tx.key(contributedRecord, o.token[:], []byte{t.tag}, tx.records.hash.name(o.token, t, spelling.Fold(name))), nil
}

// CommunityEntries: see [Records.CommunityEntries].
func (tx *Tx) CommunityEntries(community string, book Book) ([]Entry, error) {
	o, err := tx.communityBook(community)
	if err != nil {
		return nil, err
	}
	return tx.entries(o, book)
}

// DeleteCommunityEntry removes a knot or a rule from a community's book and
// returns it. The caller has made sure that the member may.
func (tx *Tx) DeleteCommunityEntry(community string, book Book, name string) (Entry, error) {
	o, err := tx.communityBook(community)
	if err != nil {
		return Entry{}, err
	}
	return tx.deleteEntry(o, book, name)
}

func (tx *Tx) saveEntry(o bookOwner, book Book, e Entry, expected uint64) (Entry, error) {
	t, err := bookType(book)
	if err != nil {
		return Entry{}, err
	}
	if e.Name, err = cleanName(e.Name); err != nil {
		return Entry{}, err
	}
	if err := tx.records.limits.cleanData(&e.Data); err != nil {
		return Entry{}, err
	}
	tx.grows = tx.grows || o == tx.ownBook()
	key := tx.entryKey(o, t, e.Name)
	old, err := tx.keyLike(o, t, e.Name)
	if err != nil {
		return Entry{}, err
	}
	var stored Entry
	found, err := tx.get(old, &stored)
	if err != nil {
		return Entry{}, err
	}
	switch {
	case expected == AnyRevision || expected == stored.Revision:
	case expected == 0:
		return Entry{}, &NameTaken{Kind: book, Name: stored.Name}
	case !found:
		return Entry{}, &NotFound{Kind: book, Name: e.Name}
	default:
		return Entry{}, &Conflict{Kind: book, Name: stored.Name, Expected: expected, Found: stored.Revision, Stored: stored}
	}
	if !found {
		if err := tx.checkBookRoom(o, t); err != nil {
			return Entry{}, err
		}
		stored.Created = tx.now
	} else if err := tx.releaseContribution(o, book, stored); err != nil {
		return Entry{}, err
	}
	if !bytes.Equal(old, key) {
		if err := tx.delete(old); err != nil {
			return Entry{}, err
		}
	}
	e.AddedBy, e.Revision, e.Created, e.Changed = tx.member, stored.Revision+1, stored.Created, tx.now
	return e, tx.put(key, e)
}

// checkBookRoom refuses one more entry in a book that is full.
func (tx *Tx) checkBookRoom(o bookOwner, t recordType) error {
	n, err := tx.count(ownedKey(o.space, o.token, t))
	if err != nil {
		return err
	}
	limits := tx.records.limits
	switch {
	case o.space == spaceCommunity && t.kind == KindKnot:
		return within("knots in this community", n+1, limits.CommunityKnots)
	case o.space == spaceCommunity:
		return within("rules in this community", n+1, limits.CommunityRules)
	}
	other := ruleRecord
	if t.kind == KindRule {
		other = knotRecord
	}
	m, err := tx.count(ownedKey(o.space, o.token, other))
	if err != nil {
		return err
	}
	return within("knots and rules of your own", n+m+1, limits.Entries)
}

// releaseContribution takes back the note that leads from the member who wrote a community's entry to it.
func (tx *Tx) releaseContribution(o bookOwner, book Book, e Entry) error {
	if o.space != spaceCommunity || e.AddedBy == "" {
		return nil
	}
	writer := *tx
	writer.owner = tx.records.hash.member(e.AddedBy)
	key, err := writer.contributionKey(o, book, e.Name)
	if err != nil {
		return err
	}
	return tx.delete(key)
}

func (tx *Tx) entries(o bookOwner, book Book) ([]Entry, error) {
	t, err := bookType(book)
	if err != nil {
		return nil, err
	}
	list, err := collect(scan[Entry](tx, ownedKey(o.space, o.token, t)))
	spelling.Sort(list, func(e Entry) string { return e.Name })
	return list, err
}

func (tx *Tx) deleteEntry(o bookOwner, book Book, name string) (e Entry, err error) {
	t, err := bookType(book)
	if err != nil {
		return Entry{}, err
	}
	key, err := tx.keyLike(o, t, name)
	if err != nil {
		return Entry{}, err
	}
	found, err := tx.get(key, &e)
	if err != nil {
		return Entry{}, err
	}
	if !found {
		return Entry{}, &NotFound{Kind: book, Name: name}
	}
	if err := tx.releaseContribution(o, book, e); err != nil {
		return Entry{}, err
	}
	return e, tx.delete(key)
}
