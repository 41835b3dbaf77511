package store

import (
	"context"
	"encoding/json"
	"fmt"
	"io"
	"time"

	"larkfold/store/pairs"
	"larkfold/store/seal"
)

// Options says how a [Records] is opened. The zero value is good.
type Options struct {
	Limits  Limits
	Key     *seal.Key   // seals values; nil leaves them plain
	OldKeys []*seal.Key // read values sealed before the last change of key
	Random  io.Reader   // where ids come from; nil for crypto/rand

	// Wrote is told of every change how long it took and, as a [Fault], why it
	// could not be written: for metrics, alarms and readiness. What a member may
	// not do is no fault. It is called by many goroutines; nil tells nobody.
	Wrote func(took time.Duration, fault error)

	// Version is the program's own. A store in a new format names it, so that an older
	// program can say which one reads it.
	Version string

	// Checkers is how many goroutines [Records.Check] may use at once; zero is one,
	// which leaves the processors to others.
	Checkers int

	// Forgot is told when a member was forgotten: what the engine still holds of
	// the member in unused parts is to be tidied away. Nil tells nobody.
	Forgot func()
}

// Records is the typed records over an engine. Every method is one transaction
// unless it says otherwise, and returns records that belong to the caller; what
// a member changes goes through [Records.Once], which does it once.
// Names are compared case-blind. Revision 0, given as expected, means "there is
// none yet"; [AnyRevision] means "whatever is there".
type Records struct {
	engine pairs.Engine
	codec  codec
	hash   hasher
	format int // of the stored records
	limits Limits
	random io.Reader
	forgot func()

	version  string
	checkers int // goroutines
}

// New opens the records in an engine, and prepares an engine that is empty. It
// refuses a wrong key with [ErrWrongKey] and a newer format with
// [ErrNewerFormat]; an older format is brought up to date. The engine stays
// the caller's to close.
func New(ctx context.Context, engine pairs.Engine, options Options) (*Records, error) {
	s, h, current, err := open(ctx, engine, options)
	if err != nil {
		return nil, err
	}
	if !current {
		if h, err = s.writeHeader(ctx); err != nil {
			return nil, err
		}
	}
	s.settle(h)
	return s, s.migrate(ctx)
}

// Verify does what [Records.Check] does for an engine that is only to be looked
// at: it writes nothing, and of records in an older format it checks only that
// they are what was written.
func Verify(ctx context.Context, engine pairs.Engine, options Options) (CheckReport, error) {
	s, h, current, err := open(ctx, engine, options)
	if err != nil {
		return CheckReport{}, err
	}
	if options.Key != nil && !current && len(options.OldKeys) == 0 {
		return CheckReport{}, &Fault{Kind: ErrWrongKey, Sentence: fmt.Sprintf(
			"This store is not sealed, and the key %s was given. Leave the key out to check it as it is, or seal it with `larkfold reseal`.", options.Key.ID())}
	}
	s.settle(h)
	return s.Check(ctx)
}

// open reads the header, and tells whether it is there and sealed with the current key.
func open(ctx context.Context, engine pairs.Engine, options Options) (s *Records, h header, current bool, err error) {
	c, err := newCodec(options.Key, options.OldKeys)
	if err != nil {
		return nil, header{}, false, err
	}
	if options.Wrote != nil {
		engine = watched{engine, options.Wrote}
	}
	s = &Records{engine: engine, codec: c, limits: options.Limits.withDefaults(), random: randomOr(options.Random), forgot: options.Forgot, version: options.Version, checkers: options.Checkers}
	err = engine.View(ctx, func(r pairs.Reader) error {
		stored, sealedBy, found, err := c.readHeader(r)
		h, current = stored, found && !c.wantsNewSeal(sealedBy)
		return err
	})
	return s, h, current, err
}

// Once makes several changes in one transaction, and makes them once: when an
// operation with the same key of the same member has been done before, change
// is not run and its earlier result is returned with first false. When change
// returns an error nothing is written and the operation counts as not done. An
// empty operation key is not remembered. See [Limits.OperationLife]. Where the
// engine cannot tell whether it was saved, an operation with a key is asked again.
func (s *Records) Once(ctx context.Context, member string, now time.Time, operation string,
	change func(*Tx) (json.RawMessage, error)) (result json.RawMessage, first bool, err error) {
	type outcome struct {
		result json.RawMessage
		first  bool
	}
	asked, err := s.newID()
	if err != nil {
		return nil, false, err
	}
	run := write[outcome]
	if operation != "" {
		run = writeAgain
	}
	done, err := run(ctx, s, member, now, func(tx *Tx) (outcome, error) {
		result, first, err := tx.once(operation, asked, change)
		return outcome{result, first}, err
	})
	return done.result, done.first, err
}

// View reads several records of a member as they stand at one moment. Look must
// not change anything.
func (s *Records) View(ctx context.Context, member string, now time.Time, look func(*Tx) error) error {
	_, err := readAt(ctx, s, member, now, func(tx *Tx) (struct{}, error) { return struct{}{}, look(tx) })
	return err
}

// SaveProject saves a new project (no ID, expected 0) or a new revision of one
// (with its ID). The text before is kept, see [Tx.UndoProject]. Saving what
// is stored already changes nothing. Errors: [NameTaken], [Conflict], [NotFound],
// [QuotaError], [InvalidError].
func (s *Records) SaveProject(ctx context.Context, member string, now time.Time, p Project, expected uint64) (Project, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Project, error) { return tx.SaveProject(p, expected) })
}

// Project returns the member's project of that name.
func (s *Records) Project(ctx context.Context, member, name string) (Project, error) {
	return read(ctx, s, member, func(tx *Tx) (Project, error) { return tx.Project(name) })
}

// ProjectByID returns the member's project with that id.
func (s *Records) ProjectByID(ctx context.Context, member, id string) (Project, error) {
	return read(ctx, s, member, func(tx *Tx) (Project, error) { return tx.ProjectByID(id) })
}

// Projects lists the member's projects by name. Damaged ones are left out and
// reported in the error, which then comes together with the others.
func (s *Records) Projects(ctx context.Context, member string) ([]ProjectSummary, error) {
	return read(ctx, s, member, func(tx *Tx) ([]ProjectSummary, error) { return tx.Projects() })
}

// CompleteProjects lists at most limit projects whose name starts with typed, by
// name, and after them those that have it elsewhere in the name.
func (s *Records) CompleteProjects(ctx context.Context, member, typed string, limit int) ([]ProjectSummary, error) {
	return read(ctx, s, member, func(tx *Tx) ([]ProjectSummary, error) { return tx.CompleteProjects(typed, limit) })
}

// Bin lists the member's deleted projects, the last deleted first.
func (s *Records) Bin(ctx context.Context, member string) ([]Project, error) {
	return read(ctx, s, member, func(tx *Tx) ([]Project, error) { return tx.Bin() })
}

// History lists a project's earlier revisions, the newest first.
func (s *Records) History(ctx context.Context, member, id string) ([]Project, error) {
	return read(ctx, s, member, func(tx *Tx) ([]Project, error) { return tx.History(id) })
}

// Leftovers returns the member's shelf of offcuts and spools.
func (s *Records) Leftovers(ctx context.Context, member string) (Leftovers, error) {
	return read(ctx, s, member, func(tx *Tx) (Leftovers, error) { return tx.Leftovers() })
}

// ChangeLeftovers takes pieces off the shelf and puts pieces onto it, all or
// nothing. Expected is the shelf's revision. Errors: [Conflict], [NotEnough],
// [QuotaError], [InvalidError].
func (s *Records) ChangeLeftovers(ctx context.Context, member string, now time.Time, change LeftoverChange, expected uint64) (Leftovers, error) {
	return write(ctx, s, member, now, func(tx *Tx) (Leftovers, error) { return tx.ChangeLeftovers(change, expected) })
}

// Keep tells how much the member keeps and may keep. See [Limits.KeepBytes].
func (s *Records) Keep(ctx context.Context, member string) (Keep, error) {
	return read(ctx, s, member, (*Tx).Keep)
}

// Swatches lists the member's swatches, the oldest first.
func (s *Records) Swatches(ctx context.Context, member string) ([]Swatch, error) {
	return read(ctx, s, member, func(tx *Tx) ([]Swatch, error) { return tx.Swatches() })
}

// Preferences returns what the member prefers; revision 0 when nothing was ever saved.
func (s *Records) Preferences(ctx context.Context, member string) (Preferences, error) {
	return read(ctx, s, member, func(tx *Tx) (Preferences, error) { return tx.Preferences() })
}

// Entries lists the knots or rules in the member's own book by name.
func (s *Records) Entries(ctx context.Context, member string, book Book) ([]Entry, error) {
	return read(ctx, s, member, func(tx *Tx) ([]Entry, error) { return tx.Entries(book) })
}

// CommunityEntries lists the knots or rules in a community's book by name.
func (s *Records) CommunityEntries(ctx context.Context, member, community string, book Book) ([]Entry, error) {
	return read(ctx, s, member, func(tx *Tx) ([]Entry, error) { return tx.CommunityEntries(community, book) })
}

// Settings returns what a community has set; revision 0 when nothing was ever saved.
func (s *Records) Settings(ctx context.Context, member, community string) (Settings, error) {
	return read(ctx, s, member, func(tx *Tx) (Settings, error) { return tx.Settings(community) })
}

// Shared returns a share, whoever asks.
func (s *Records) Shared(ctx context.Context, member, id string) (Share, error) {
	return read(ctx, s, member, func(tx *Tx) (Share, error) { return tx.Shared(id) })
}

// Shares lists the member's own shares, the oldest first.
func (s *Records) Shares(ctx context.Context, member string) ([]Share, error) {
	return read(ctx, s, member, func(tx *Tx) ([]Share, error) { return tx.Shares() })
}

// SaveDraft keeps short-lived work until draft.Expires. An empty Key gets a new
// one; a used Key is overwritten.
func (s *Records) SaveDraft(ctx context.Context, member string, now time.Time, draft Draft) (Draft, error) {
	if draft.Key == "" {
		var err error
		if draft.Key, err = s.newID(); err != nil {
			return Draft{}, err
		}
	}
	return writeAgain(ctx, s, member, now, func(tx *Tx) (Draft, error) { return tx.SaveDraft(draft) })
}

// Draft returns the member's draft unless it has expired. Another member's
// draft is not found.
func (s *Records) Draft(ctx context.Context, member string, now time.Time, key string) (Draft, error) {
	return readAt(ctx, s, member, now, func(tx *Tx) (Draft, error) { return tx.Draft(key) })
}
