package store

import (
	"errors"
	"fmt"
	"strings"
)

// Kinds of failure, to be matched with [errors.Is]. What is returned wraps one
// of them in a plain sentence.
var (
	ErrNotFound    = errors.New("not found")
	ErrConflict    = errors.New("changed meanwhile")
	ErrNameTaken   = errors.New("name taken")
	ErrQuota       = errors.New("over quota")
	ErrInvalid     = errors.New("invalid record")
	ErrNotEnough   = errors.New("not enough pieces")
	ErrLocked      = errors.New("store is in use by another program")
	ErrDamaged     = errors.New("store is damaged")
	ErrWrongKey    = errors.New("wrong key")
	ErrReadOnly    = errors.New("store is read-only")
	ErrFull        = errors.New("no room left for the store")
	ErrNewerFormat = errors.New("store was written by a newer version")
	ErrClosed      = errors.New("store is closed")
	ErrExists      = errors.New("exists already")
	ErrLost        = errors.New("store is older than a backup of it")

	// ErrUnavailable says that the store cannot be reached just now: nothing was
	// written, and trying again later may help. ErrNoAccess says that it refuses
	// this user. ErrUnknownCommit is neither yes nor no: the connection was lost
	// while a change was being made durable. A change that may be made twice
	// without harm, because it carries an operation key, is to be asked again.
	ErrUnavailable   = errors.New("store cannot be reached")
	ErrNoAccess      = errors.New("store refuses this user")
	ErrUnknownCommit = errors.New("not known whether it was saved")

	ErrLeaseLost  = errors.New("another replica has taken over")
	ErrUnfinished = errors.New("move is not finished")
)

// Fault is a trouble with the store itself, told in a plain sentence.
type Fault struct {
	Kind     error  // one of the Err values of this package
	Sentence string // for the person who runs the program
	Cause    error  // what the machine said; may be nil
}

// Error returns the sentence and, when there is one, the cause.
func (e *Fault) Error() string {
	if e.Cause == nil {
		return e.Sentence
	}
	return e.Sentence + " (" + e.Cause.Error() + ")"
}

// Unwrap gives the kind and the cause to [errors.Is] and [errors.As].
func (e *Fault) Unwrap() []error {
	if e.Cause == nil {
		return []error{e.Kind}
	}
	return []error{e.Kind, e.Cause}
}

// NotFound says that a member has no such record. Another member's record is
// not found either.
type NotFound struct {
	Kind Kind
	Name string // as asked for: a name or an id
}

func (e *NotFound) Error() string {
	switch e.Kind {
	case KindDraft:
		return "This button or form has expired, or it belongs to somebody else."
	case KindShare:
		return "This is no longer shared."
	}
	return fmt.Sprintf("There is no %s %q here.", e.Kind, e.Name)
}

// Unwrap returns [ErrNotFound].
func (e *NotFound) Unwrap() error { return ErrNotFound }

// Conflict says that a record changed between reading and saving it. Nothing
// was written. Stored is the newest version: a [Project], [Swatch], [Entry],
// [Preferences] or [Settings], or the [Leftovers] of a shelf.
type Conflict struct {
	Kind     Kind
	Name     string
	Expected uint64 // the revision that the change started from
	Found    uint64 // the revision in the store
	Stored   any
}

func (e *Conflict) Error() string {
	name := ""
	if e.Name != "" {
		name = fmt.Sprintf(" %q", e.Name)
	}
	return fmt.Sprintf("The %s%s changed meanwhile: your change starts from revision %d, the newest is revision %d. Nothing was overwritten.",
		e.Kind, name, e.Expected, e.Found)
}

// Unwrap returns [ErrConflict].
func (e *Conflict) Unwrap() error { return ErrConflict }

// NameTaken says that another record of the same member or community has the
// name already; upper and lower case count as the same.
type NameTaken struct {
	Kind Kind
	Name string // as it stands in the store
}

func (e *NameTaken) Error() string {
	return fmt.Sprintf("There is a %s called %q already. Choose another name, or change that one.", e.Kind, e.Name)
}

// Unwrap returns [ErrNameTaken].
func (e *NameTaken) Unwrap() error { return ErrNameTaken }

// bytesInAll is the limit on everything that a member keeps.
const bytesInAll = "bytes in all"

// QuotaError says which limit a change would pass. Nothing was written.
type QuotaError struct {
	What  string // plural or mass noun: "projects", "bytes of sheet text"
	Limit int
	Got   int // what there would have been
}

func (e *QuotaError) Error() string {
	if e.What == bytesInAll {
		return fmt.Sprintf("Everything you keep would take %d kB; there is room for %d kB. Delete designs or shares that you no longer need first.", (e.Got+999)/1000, e.Limit/1000)
	}
	remedy := "Remove some first."
	if strings.HasPrefix(e.What, "bytes") {
		remedy = "Make it shorter."
	}
	return fmt.Sprintf("That would be %d %s; at most %d are kept. %s", e.Got, e.What, e.Limit, remedy)
}

// Unwrap returns [ErrQuota].
func (e *QuotaError) Unwrap() error { return ErrQuota }

// InvalidError says what is wrong with a record that was handed in.
type InvalidError struct {
	What   string // which part: "name"
	Read   string // what was read
	Reason string // what is wrong and what would be right
}

func (e *InvalidError) Error() string {
	return fmt.Sprintf("The %s %q cannot be kept: %s.", e.What, e.Read, e.Reason)
}

// Unwrap returns [ErrInvalid].
func (e *InvalidError) Unwrap() error { return ErrInvalid }

// NotEnough says that a change would take more pieces from the shelf than lie
// there. Nothing was written.
type NotEnough struct {
	ID    string
	Cord  string
	Asked int
	Have  int
}

func (e *NotEnough) Error() string {
	if e.Have == 0 {
		return fmt.Sprintf("Your shelf no longer holds the pieces %q that this would use up.", e.ID)
	}
	return fmt.Sprintf("Your shelf holds %d of these pieces of %q; this would use up %d.", e.Have, e.Cord, e.Asked)
}

// Unwrap returns [ErrNotEnough].
func (e *NotEnough) Unwrap() error { return ErrNotEnough }

// DamagedError says that the bytes of one record are not what was written.
type DamagedError struct {
	Key    []byte // in the engine
	Record string // the key in words, see [DescribeKey]
	Reason string
}

func (e *DamagedError) Error() string {
	return fmt.Sprintf("The stored record %s is damaged: %s. Restore the newest good backup.", e.Record, e.Reason)
}

// Incomplete says which damaged records are missing from what was handed over.
type Incomplete struct{ Damaged []error }

func (e *Incomplete) Error() string { return errors.Join(e.Damaged...).Error() }

// Unwrap returns the damage.
func (e *Incomplete) Unwrap() []error { return e.Damaged }

// Unwrap returns [ErrDamaged].
func (e *DamagedError) Unwrap() error { return ErrDamaged }
