package store

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"larkfold/store/spelling"
)

// shelfState is the head of a member's shelf.
type shelfState struct {
	Revision uint64 `json:"revision"`
}

// shelfChange is one change in the shelf's journal: what each entry that it
// touched was before and after, nil where there was none.
type shelfChange struct {
	Revision uint64        `json:"revision"` // that it led to
	Why      string        `json:"why,omitempty"`
	Made     time.Time     `json:"made"`
	Entries  []entryChange `json:"entries"`
}

type entryChange struct {
	ID     string    `json:"id"`
	Before *Leftover `json:"before,omitempty"`
	After  *Leftover `json:"after,omitempty"`
}

func (tx *Tx) leftoverKey(id string) []byte     { return tx.key(leftoverRecord, []byte(id)) }
func (tx *Tx) changeKey(revision uint64) []byte { return tx.key(changeRecord, number(revision)) }

// Leftovers: see [Records.Leftovers].
func (tx *Tx) Leftovers() (Leftovers, error) {
	shelf, damage, err := tx.leftovers()
	return shelf, errors.Join(damage, err)
}

// leftovers returns what can be read of the shelf, and what cannot as damage.
func (tx *Tx) leftovers() (shelf Leftovers, damage, err error) {
	ahead := [][]byte{tx.key(shelfRecord), tx.key(leftoverRecord)}
	if tx.writer != nil { // it is going to be changed
		ahead = append(ahead, tx.key(changeRecord), tallyKey(tx.ownBook()))
	}
	if err := tx.fetch(func() [][]byte { return ahead }); err != nil {
		return Leftovers{}, nil, err
	}
	var state shelfState
	if _, err := tx.get(tx.key(shelfRecord), &state); err != nil {
		return Leftovers{}, nil, err
	}
	entries, err := collect(scan[Leftover](tx, tx.key(leftoverRecord)))
	if errors.Is(err, ErrDamaged) {
		damage, err = err, nil
	}
	sortLeftovers(entries)
	return Leftovers{Revision: state.Revision, Entries: entries}, damage, err
}

// sortLeftovers sorts by cord, then spools before offcuts, then longest first.
func sortLeftovers(entries []Leftover) {
	slices.SortFunc(entries, func(a, b Leftover) int {
		return cmp.Or(strings.Compare(string(b.Kind), string(a.Kind)), cmp.Compare(b.Length, a.Length), strings.Compare(a.ID, b.ID))
	})
	spelling.Sort(entries, func(e Leftover) string { return e.Cord })
}

// ChangeLeftovers: see [Records.ChangeLeftovers].
func (tx *Tx) ChangeLeftovers(change LeftoverChange, expected uint64) (Leftovers, error) {
	shelf, err := tx.shelfAt(expected)
	if err != nil {
		return Leftovers{}, err
	}
	if err := errors.Join(checkText("reason", change.Why), within("bytes of a reason", len(change.Why), tx.records.limits.NoteBytes)); err != nil {
		return Leftovers{}, err
	}
	work := newShelfWork(shelf)
	if change.Clear {
		work.clear()
	}
	for _, take := range change.Take {
		if err := work.take(take, tx.now); err != nil {
			return Leftovers{}, err
		}
	}
	tx.grows = tx.grows || len(change.Add) > 0
	for _, piece := range change.Add {
		if err := tx.checkLeftover(&piece); err != nil {
			return Leftovers{}, err
		}
		if piece.ID, err = tx.newID(); err != nil {
			return Leftovers{}, err
		}
		work.add(piece, tx.now)
	}
	return tx.putShelf(shelf, work, change.Why)
}

// UndoLeftovers takes back the last so many changes of the shelf, as one new
// change, and returns the shelf.
func (tx *Tx) UndoLeftovers(steps int, expected uint64) (Leftovers, error) {
	shelf, err := tx.shelfAt(expected)
	if err != nil {
		return Leftovers{}, err
	}
	journal, err := collect(scan[shelfChange](tx, tx.key(changeRecord)))
	if err != nil {
		return Leftovers{}, err
	}
	if steps < 1 || steps > len(journal) {
		return Leftovers{}, &InvalidError{What: "number of steps back", Read: fmt.Sprint(steps),
			Reason: fmt.Sprintf("the last %d changes of your shelf can be undone", len(journal))}
	}
	slices.Reverse(journal)
	work := newShelfWork(shelf)
	for _, done := range journal[:steps] {
		for _, e := range slices.Backward(done.Entries) {
			work.set(e.ID, e.Before)
		}
	}
	return tx.putShelf(shelf, work, "undo "+journal[steps-1].Why)
}

// shelfAt returns what can be read of the shelf, the rest of which stays as it is, if it is at the revision that a change expects.
func (tx *Tx) shelfAt(expected uint64) (Leftovers, error) {
	shelf, _, err := tx.leftovers()
	if err == nil && expected != AnyRevision && expected != shelf.Revision {
		err = &Conflict{Kind: KindShelf, Expected: expected, Found: shelf.Revision, Stored: shelf}
	}
	return shelf, err
}

// mostPieces keeps counts far from where they could overflow.
const mostPieces = 1_000_000

func (tx *Tx) checkLeftover(piece *Leftover) error {
	limits := tx.records.limits
	piece.Cord = spelling.Seen(piece.Cord)
	var wrong error
	switch {
	case piece.Kind != Offcut && piece.Kind != Spool:
		wrong = &InvalidError{What: "kind of leftover", Read: string(piece.Kind), Reason: "a leftover is an offcut or a spool"}
	case piece.Length <= 0:
		wrong = &InvalidError{What: "length", Read: fmt.Sprint(int64(piece.Length)), Reason: "a piece is longer than nothing"}
	case piece.Count <= 0:
		wrong = &InvalidError{What: "count", Read: fmt.Sprint(piece.Count), Reason: "at least one piece is put on the shelf"}
	case piece.Count > mostPieces:
		wrong = &InvalidError{What: "count", Read: fmt.Sprint(piece.Count), Reason: fmt.Sprintf("at most %d pieces are put on the shelf at once", mostPieces)}
	}
	return errors.Join(wrong, checkText("cord", piece.Cord), checkText("note", piece.Note),
		within("bytes of cord description", len(piece.Cord), limits.NoteBytes),
		within("bytes of notes", len(piece.Note), limits.NoteBytes),
		limits.cleanData(&piece.Data))
}

// putShelf writes what has changed between the shelf and the work on it, and the journal.
func (tx *Tx) putShelf(shelf Leftovers, work *shelfWork, why string) (Leftovers, error) {
	changed := work.changes(shelf)
	if len(changed) == 0 {
		return shelf, nil
	}
	if err := within("shelf entries", len(work.entries), tx.records.limits.Leftovers); err != nil {
		return Leftovers{}, err
	}
	for _, e := range changed {
		var err error
		if e.After == nil {
			err = tx.delete(tx.leftoverKey(e.ID))
		} else {
			err = tx.put(tx.leftoverKey(e.ID), e.After)
		}
		if err != nil {
			return Leftovers{}, err
		}
	}
	revision := shelf.Revision + 1
	done := shelfChange{Revision: revision, Why: why, Made: tx.now, Entries: changed}
	if err := tx.put(tx.changeKey(revision), done); err != nil {
		return Leftovers{}, err
	}
	if err := tx.trimChanges(revision); err != nil {
		return Leftovers{}, err
	}
	if err := tx.put(tx.key(shelfRecord), shelfState{Revision: revision}); err != nil {
		return Leftovers{}, err
	}
	return Leftovers{Revision: revision, Entries: work.sorted()}, nil
}

// trimChanges forgets the shelf changes that are too old to be undone.
func (tx *Tx) trimChanges(newest uint64) error {
	keys, err := tx.keys(tx.key(changeRecord), nil)
	if err != nil {
		return err
	}
	oldest := tx.changeKey(newest + 1 - min(newest, uint64(tx.records.limits.Changes)))
	for _, key := range keys {
		if bytes.Compare(key, oldest) >= 0 {
			break
		}
		if err := tx.delete(key); err != nil {
			return err
		}
	}
	return nil
}

// shelfWork is a shelf being changed.
type shelfWork struct{ entries map[string]Leftover }

func newShelfWork(shelf Leftovers) *shelfWork {
	w := &shelfWork{entries: make(map[string]Leftover, len(shelf.Entries))}
	for _, e := range shelf.Entries {
		w.entries[e.ID] = e
	}
	return w
}

func (w *shelfWork) clear() { clear(w.entries) }

func (w *shelfWork) set(id string, entry *Leftover) {
	if entry == nil {
		delete(w.entries, id)
		return
	}
	w.entries[id] = *entry
}

func (w *shelfWork) take(take Take, now time.Time) error {
	entry, found := w.entries[take.ID]
	n := take.Count
	if n == 0 {
		n = entry.Count
	}
	if !found || n > entry.Count {
		return &NotEnough{ID: take.ID, Cord: entry.Cord, Asked: n, Have: entry.Count}
	}
	if n < 0 {
		return &InvalidError{What: "count", Read: fmt.Sprint(n), Reason: "at least one piece is taken"}
	}
	entry.Count -= n
	entry.Changed = now
	w.entries[take.ID] = entry
	if entry.Count == 0 {
		delete(w.entries, take.ID)
	}
	return nil
}

// add puts a piece with a fresh id onto the shelf, joining an entry that is the same but for its count.
func (w *shelfWork) add(piece Leftover, now time.Time) {
	piece.Added, piece.Changed = now, now
	for id, e := range w.entries {
		if sameLeftover(e, piece) { // at most one is
			e.Count += piece.Count
			e.Changed = now
			w.entries[id] = e
			return
		}
	}
	w.entries[piece.ID] = piece
}

func sameLeftover(a, b Leftover) bool {
	return a.Kind == b.Kind && a.Length == b.Length && a.Note == b.Note && spelling.Looks(a.Cord) == spelling.Looks(b.Cord) && bytes.Equal(a.Data, b.Data)
}

func (w *shelfWork) sorted() []Leftover {
	list := make([]Leftover, 0, len(w.entries))
	for _, e := range w.entries {
		list = append(list, e)
	}
	sortLeftovers(list)
	return list
}

// changes lists the entries that differ from those of the shelf, by id.
func (w *shelfWork) changes(shelf Leftovers) []entryChange {
	var changed []entryChange
	known := map[string]bool{}
	for _, before := range shelf.Entries {
		known[before.ID] = true
		after, kept := w.entries[before.ID]
		switch {
		case !kept:
			changed = append(changed, entryChange{ID: before.ID, Before: &before})
		case after.Count != before.Count || !sameLeftover(before, after):
			changed = append(changed, entryChange{ID: before.ID, Before: &before, After: &after})
		}
	}
	for id, after := range w.entries {
		if !known[id] {
			changed = append(changed, entryChange{ID: id, After: &after})
		}
	}
	slices.SortFunc(changed, func(a, b entryChange) int { return strings.Compare(a.ID, b.ID) })
	return changed
}
