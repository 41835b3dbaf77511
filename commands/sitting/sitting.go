// Package sitting reads what one request may know, in one view of the store: what the
// member prefers, the community's knots, the member's hands, shelf and designs, what a
// button remembers.
//
// A command says what it needs ([Reads]) and is handed a [Sitting]; it reads nothing
// else. What will hurt you: a sitting is of the moment before the request's own change;
// [Sitting.Change] hands back the one after it.
package sitting

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"larkfold/commands/reply"
	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/former"
	"larkfold/store"
)

// CommunityKnots lists the knots that the request's community added.
func (s Sitting) CommunityKnots() ([]CommunityKnot, error) {
	knots := make([]CommunityKnot, len(s.knots))
	for i, e := range s.knots {
		if err := json.Unmarshal(e.Data, &knots[i].Row); err != nil {
			return nil, fmt.Errorf("the knot %q of a community cannot be read: %w", e.Name, err)
		}
		knots[i].AddedBy, knots[i].Added = e.AddedBy, e.Changed
	}
	return knots, s.mustRead(Knots)
}

// Book is the book that a member's sheets are read with: the standard book, then
// the knots that came with a saved design, then those of the community. Where two
// have one name the earlier one counts, so that a saved design keeps the formula
// it was sized with.
func (s Sitting) Book(own ...knot.Row) (*knot.Book, error) {
	if len(s.knots)+len(own) == 0 {
		return s.Standard, s.mustRead(Knots)
	}
	hash := sha256.New()
	if err := json.NewEncoder(hash).Encode(own); err != nil {
		return nil, err
	}
	for _, e := range s.knots {
		hash.Write(e.Data)
	}
	return s.cache.get([sha256.Size]byte(hash.Sum(nil)), func() (*knot.Book, error) {
		rows := slices.Clone(own)
		for _, e := range s.knots {
			var row knot.Row
			if err := json.Unmarshal(e.Data, &row); err != nil {
				return nil, fmt.Errorf("the knot %q of a community cannot be read: %w", e.Name, err)
			}
			rows = append(rows, row)
		}
		return withRows(s.Standard, rows), nil
	})
}

// Maker is what a member's sheets are sized with, but for their hands.
func (s Sitting) Maker(own ...knot.Row) (sizing.Maker, error) {
	book, err := s.Book(own...)
	return sizing.Maker{Book: book, Style: s.Prefs.Style, Ways: s.Prefs.Ways, Margin: s.Prefs.Spare(), Step: s.Prefs.RoundsTo()}, err
}

// UsedRows lists the rows of a sheet's knots that are not in the standard book,
// which a saved design takes along.
func (s Sitting) UsedRows(book *knot.Book, design sheet.Sheet) []knot.Row {
	var rows []knot.Row
	seen := map[string]bool{}
	for _, panel := range design.Panels {
		for _, step := range panel.Steps {
			name := knotOf(step)
			k, ok := book.Knot(name)
			if standard, _ := s.Standard.Knot(name); name == "" || !ok || k == standard || seen[name] {
				continue
			}
			seen[name] = true
			rows = append(rows, k.Row)
		}
	}
	return rows
}

// Swatches are the member's swatches beside the book, oldest first.
func (s Sitting) Swatches(book *knot.Book) ([]Swatch, error) {
	if err := s.mustRead(Swatches); err != nil {
		return nil, err
	}
	return comparedAll(s.swatches, book, s.Prefs)
}

// Hands are what is known of the member's work in the cords of a sheet: by their
// swatches, and by their preferences; a cord of which nothing is known has none.
func (s Sitting) Hands(book *knot.Book, cords []sheet.Cord) ([]Hand, error) {
	list, err := s.Swatches(book)
	if err != nil {
		return nil, err
	}
	var hands []Hand
	for _, c := range cords {
		h, err := handIn(list, c, s.Prefs)
		if err != nil {
			return nil, err
		}
		if h.Count > 0 || h.Squeeze > 0 {
			hands = append(hands, h)
		}
	}
	return hands, nil
}

// Reads says which records a request needs beside the member's preferences.
type Reads uint

// What can be read. A design is the one that the option name or project names,
// or the draft behind the pressed button; a draft or a share is the one behind it.
const (
	Knots Reads = 1 << iota // of the community
	Swatches
	Leftovers
	Rules // the member's own and the community's
	Settings
	Design
	Designs // all of the member's, by name
	Draft
	Share
	Underway // the member's designs in the making and pieces being worked
)

// Sheets are the reads of whatever sizes a sheet.
const Sheets = Knots | Swatches

// Sitting is what one request may know: what its member prefers, and the records
// that it said it needs. All of it is of one moment.
type Sitting struct {
	Prefs    Prefs
	Standard *knot.Book // the knot book without anybody's additions
	Store    *store.Records

	troubles  *Troubles
	reads     Reads
	cache     *bookCache
	knots     []store.Entry
	swatches  []store.Swatch
	leftovers store.Leftovers
	rules     []store.Entry
	ours      []store.Entry
	settings  store.Settings
	design    found[store.Project]
	draft     found[store.Draft]
	share     found[store.Share]
	designs   []store.ProjectSummary
	underway  []store.Draft
	rehearses bool
}

// Troubles are what went wrong in the store without keeping a member from an answer.
type Troubles struct {
	Damaged []error // records that could not be read and were left out
	Unkept  error   // why a draft could not be saved, without which the answer's buttons do not work
}

// Troubles are those that the sitting has met so far.
func (s Sitting) Troubles() Troubles { return *s.troubles }

// spare notes damaged records, without which the rest can be read, and passes every other error on.
func (s Sitting) spare(err error) error {
	if !errors.Is(err, store.ErrDamaged) {
		return err
	}
	s.troubles.Damaged = append(s.troubles.Damaged, err)
	return nil
}

// found is a record that was looked for by a name or a key, or why it is not there.
type found[T any] struct {
	record T
	err    error
}

// lookedFor keeps what was found, or that there is no such record. Any other error ends the view.
func lookedFor[T any](record T, err error) (found[T], error) {
	if err != nil && !errors.Is(err, store.ErrNotFound) {
		return found[T]{}, err
	}
	return found[T]{record, err}, nil
}

// Room is where sittings are held: the store, and the knot book.
type Room struct {
	Store *store.Records
	Book  *knot.Book
	books bookCache
}

// Sit reads what a request needs, in one view.
func (r *Room) Sit(ctx context.Context, req reply.Request, reads Reads) (Sitting, error) {
	s := Sitting{Standard: r.Book, Store: r.Store, cache: &r.books, reads: reads, troubles: &Troubles{}}
	err := r.Store.View(ctx, req.Member, req.Now, func(tx *store.Tx) error { return s.read(tx, req) })
	return s, err
}

// Prefs are what a member prefers; the usual where they cannot be read.
func (r *Room) Prefs(ctx context.Context, req reply.Request) Prefs {
	s, err := r.Sit(ctx, req, 0)
	if err != nil {
		return Prefs{}
	}
	return s.Prefs
}

// Rehearsal is the sitting of a request that is only tried: what it changes is taken
// back at once, so that its answer or its refusal is as it would be.
func (s Sitting) Rehearsal() Sitting {
	s.rehearses = true
	return s
}

// errRehearsed takes back what a rehearsal has changed.
var errRehearsed = errors.New("this was a rehearsal")

// kindsOf are the kinds of records of what can be read, the member's own and the
// community's, as far as they can be named before anything is read.
var kindsOf = []struct {
	reads       Reads
	own, shared []store.Kind
}{
	{Knots, nil, []store.Kind{store.KindKnot}},
	{Swatches, []store.Kind{store.KindSwatch}, nil},
	{Leftovers, []store.Kind{store.KindLeftover, store.KindShelf}, nil},
	{Rules, []store.Kind{store.KindRule}, []store.Kind{store.KindRule}},
	{Settings, nil, []store.Kind{store.KindSettings}},
	{Designs, []store.Kind{store.KindName}, nil},
}

func (s *Sitting) read(tx *store.Tx, req reply.Request) (err error) {
	s.troubles.Damaged = nil
	own, shared := []store.Kind{store.KindPreferences}, []store.Kind(nil)
	for _, k := range kindsOf {
		if s.reads&k.reads != 0 {
			own, shared = append(own, k.own...), append(shared, k.shared...)
		}
	}
	if err := tx.Ahead(own, req.Community, shared); err != nil {
		return err
	}
	saved, err := tx.Preferences()
	if err = s.spare(err); err != nil {
		return err
	}
	if s.Prefs, err = prefsOf(saved, req); err != nil {
		return err
	}
	if s.reads&Swatches != 0 {
		s.swatches, err = tx.Swatches()
		if err = s.spare(err); err != nil {
			return err
		}
	}
	if s.reads&Leftovers != 0 {
		s.leftovers, err = tx.Leftovers()
		if err = s.spare(err); err != nil {
			return err
		}
	}
	if s.reads&Rules != 0 {
		s.rules, err = tx.Entries(store.KindRule)
		if err = s.spare(err); err != nil {
			return err
		}
	}
	if err := s.readCommunity(tx, req.Community); err != nil {
		return err
	}
	if err := s.readNamed(tx, req); err != nil {
		return err
	}
	if s.Prefs.Revision == 0 && writtenInInches(req, s.design.record.Sheet) {
		s.Prefs.Style.System = length.Imperial
	}
	return nil
}

func (s *Sitting) readCommunity(tx *store.Tx, community string) (err error) {
	if community == "" {
		return nil
	}
	if s.reads&Knots != 0 {
		s.knots, err = tx.CommunityEntries(community, store.KindKnot)
		if err = s.spare(err); err != nil {
			return err
		}
	}
	if s.reads&Rules != 0 {
		s.ours, err = tx.CommunityEntries(community, store.KindRule)
		if err = s.spare(err); err != nil {
			return err
		}
	}
	if s.reads&Settings != 0 {
		s.settings, err = tx.Settings(community)
	}
	return err
}

func (s *Sitting) readNamed(tx *store.Tx, req reply.Request) (err error) {
	if s.reads&Designs != 0 {
		s.designs, err = tx.Projects()
		if err = s.spare(err); err != nil {
			return err
		}
	}
	if s.reads&Draft != 0 {
		if s.draft, err = lookedFor(tx.Draft(req.Action.Key)); err != nil {
			return err
		}
	}
	if name := s.designNamed(req); s.reads&Design != 0 && name != "" {
		if s.design, err = lookedFor(tx.Project(name)); err != nil {
			return err
		}
		if s.design.err != nil {
			s.designs, _ = tx.Projects() // for a suggestion; damaged ones are left out
		}
	}
	if s.reads&Underway != 0 {
		if s.underway, err = tx.Drafts(underwayKinds...); err != nil {
			return err
		}
	}
	if s.reads&Share != 0 {
		s.share, err = lookedFor(tx.Shared(req.Action.Key))
	}
	return err
}

// DesignNamed is the saved design that a request names, or nothing.
func DesignNamed(req reply.Request) string {
	for _, option := range []string{"name", "project"} {
		if name := strings.TrimSpace(req.Options[option]); name != "" {
			return name
		}
	}
	return ""
}

// designNamed is the saved design that a request or the draft behind its button names.
func (s Sitting) designNamed(req reply.Request) string {
	var draft struct{ Name string }
	if json.Unmarshal(s.draft.record.Payload, &draft) == nil {
		return draft.Name
	}
	return DesignNamed(req)
}

// mustRead fails for what the command did not say that it needs.
func (s Sitting) mustRead(what Reads) error {
	if s.reads&what != what {
		return fmt.Errorf("a handler looks at records that were not read: it reads %b and needs %b", s.reads, what)
	}
	return nil
}

// Leftovers is the member's shelf.
func (s Sitting) Leftovers() (store.Leftovers, error) { return s.leftovers, s.mustRead(Leftovers) }

// Rules are the doubling rules of the member and of the community.
func (s Sitting) Rules() (own, communitys []store.Entry, err error) {
	return s.rules, s.ours, s.mustRead(Rules)
}

// Settings are those of the request's community.
func (s Sitting) Settings() (store.Settings, error) { return s.settings, s.mustRead(Settings) }

// Design is the saved design that the request names, or a [store.NotFound].
func (s Sitting) Design() (store.Project, error) {
	p, err := s.design.record, errors.Join(s.mustRead(Design), s.design.err)
	if err == nil {
		p.Sheet = s.opened(p)
	}
	return p, err
}

// opened is the sheet of a design in the words of today.
func (s Sitting) opened(p store.Project) string {
	own, err := KnotsOf(p)
	if err != nil {
		return p.Sheet
	}
	book, err := s.Book(own...)
	if err != nil {
		return p.Sheet
	}
	return former.Sheet(p.Sheet, book)
}

// Designs lists the member's designs by name. They are read as well when the one
// that the request names is not among them.
func (s Sitting) Designs() []store.ProjectSummary { return s.designs }

// Share is the shared design behind a button, or a [store.NotFound].
func (s Sitting) Share() (store.Share, error) {
	shared, err := s.share.record, errors.Join(s.mustRead(Share), s.share.err)
	if err == nil {
		shared.Sheet = s.opened(store.Project{Sheet: shared.Sheet, Data: shared.Data})
	}
	return shared, err
}

// Kept reads the draft behind a button of the member's own.
func (s Sitting) Kept(kind string, into any) error {
	if err := s.mustRead(Draft); err != nil {
		return err
	}
	if s.draft.err != nil || s.draft.record.Kind != kind {
		return &reply.UserError{Wrong: "this button belongs to somebody else's answer, or is more than a week old", Right: "ask with the command yourself and use the new buttons", Cause: s.draft.err}
	}
	return json.Unmarshal(s.draft.record.Payload, into)
}

// DraftLife is how long a reply's buttons work.
const DraftLife = 7 * 24 * time.Hour

// Remembered is a draft: what a button or a form of a reply remembers.
type Remembered struct {
	Kind  string
	Holds any           // as JSON
	Key   string        // of the draft that it takes the place of; empty for a new one
	For   time.Duration // how long; zero for [DraftLife]
}

// Keep saves it with other changes and returns its key.
func (r Remembered) Keep(tx *store.Tx, req reply.Request) (string, error) {
	return r.kept(req, tx.SaveDraft)
}

// KeepAlone saves it and returns its key.
func (r Remembered) KeepAlone(ctx context.Context, records *store.Records, req reply.Request) (string, error) {
	return r.kept(req, func(d store.Draft) (store.Draft, error) { return records.SaveDraft(ctx, req.Member, req.Now, d) })
}

func (r Remembered) kept(req reply.Request, save func(store.Draft) (store.Draft, error)) (string, error) {
	data, err := json.Marshal(r.Holds)
	if err != nil {
		return "", err
	}
	d, err := save(store.Draft{Key: r.Key, Kind: r.Kind, Payload: data, Expires: req.Now.Add(cmp.Or(r.For, DraftLife))})
	return d.Key, err
}

// Keep saves a draft and returns its key.
func (s Sitting) Keep(ctx context.Context, req reply.Request, kind string, holds any) (string, error) {
	keys, err := s.KeepAll(ctx, req, nil, Remembered{Kind: kind, Holds: holds})
	if err != nil {
		return "", err
	}
	return keys[0], nil
}

// KeepAll saves drafts and returns their keys, in one write with what else is
// changed, if anything is. That is made once like [Sitting.Once].
func (s Sitting) KeepAll(ctx context.Context, req reply.Request, also func(*store.Tx) error, all ...Remembered) ([]string, error) {
	if also == nil && s.rehearses {
		return make([]string, len(all)), nil
	}
	if also == nil && len(all) == 1 {
		key, err := all[0].KeepAlone(ctx, s.Store, req)
		return s.unlessUnwritable([]string{key}, err)
	}
	var keys []string
	result, _, err := s.Once(ctx, req, func(tx *store.Tx) (json.RawMessage, error) {
		if also != nil {
			if err := also(tx); err != nil {
				return nil, err
			}
		}
		keys := make([]string, len(all))
		for i, one := range all {
			var err error
			if keys[i], err = one.Keep(tx, req); err != nil {
				return nil, err
			}
		}
		return json.Marshal(keys)
	})
	if err != nil && also == nil {
		return s.unlessUnwritable(make([]string, len(all)), err)
	}
	if err != nil {
		return nil, err
	}
	return keys, json.Unmarshal(result, &keys)
}

// unlessUnwritable notes that drafts were not kept, because the store takes no
// changes, and lets the answer go on without its buttons.
func (s Sitting) unlessUnwritable(keys []string, err error) ([]string, error) {
	if !errors.Is(err, store.ErrFull) && !errors.Is(err, store.ErrReadOnly) && !errors.Is(err, store.ErrUnavailable) {
		return keys, err
	}
	s.troubles.Unkept = err
	return keys, nil
}

// Once makes a change under the request's operation key, so that a request that is
// delivered twice makes it once; see [store.Records.Once].
func (s Sitting) Once(ctx context.Context, req reply.Request, change func(*store.Tx) (json.RawMessage, error)) (result json.RawMessage, first bool, err error) {
	if !s.rehearses {
		return s.Store.Once(ctx, req.Member, req.Now, req.Operation(), change)
	}
	_, _, err = s.Store.Once(ctx, req.Member, req.Now, req.Operation(), func(tx *store.Tx) (json.RawMessage, error) {
		var err error
		if result, err = change(tx); err == nil {
			err = errRehearsed
		}
		return nil, err
	})
	if errors.Is(err, errRehearsed) {
		return result, true, nil
	}
	return nil, false, err
}

// Forget erases everything about a member.
func (s Sitting) Forget(ctx context.Context, member string) (store.Forgotten, error) {
	if s.rehearses {
		return store.Forgotten{}, nil
	}
	return s.Store.Forget(ctx, member)
}

// Change makes a change like [Sitting.Once] and returns the sitting as it is after it.
func (s Sitting) Change(ctx context.Context, req reply.Request, change func(*store.Tx) error) (Sitting, error) {
	after := s
	_, first, err := s.Once(ctx, req, func(tx *store.Tx) (json.RawMessage, error) {
		if err := change(tx); err != nil {
			return nil, err
		}
		after = s
		return nil, after.read(tx, req)
	})
	if err == nil && !first { // another delivery made it, perhaps after this one sat down
		return s.Again(ctx, req)
	}
	return after, err
}

// Again is the sitting as it is now: a delivery of the same request may have changed
// what was read.
func (s Sitting) Again(ctx context.Context, req reply.Request) (Sitting, error) {
	err := s.Store.View(ctx, req.Member, req.Now, func(tx *store.Tx) error { return s.read(tx, req) })
	return s, err
}
