package pgstore

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/jackc/pgx/v5/pgconn"

	"larkfold/store"
)

// repeat tells whether a transaction that failed may be run again.
type repeat int

const (
	no repeat = iota
	afterCollision
	afterLoss
)

// SQLSTATE codes of PostgreSQL, from appendix A of its manual.
const (
	serializationFailure = "40001"
	deadlockDetected     = "40P01"
	readOnlyTransaction  = "25006" // the server is a primary no longer
	noRight              = "42501"
	undefinedTable       = "42P01"
	noDatabase           = "3D000"
	diskFull             = "53100"
	tooManyConnections   = "53300"
)

// code is the SQLSTATE of an error, or empty.
func code(err error) string {
	var pg *pgconn.PgError
	if errors.As(err, &pg) {
		return pg.Code
	}
	return ""
}

func isCollision(err error) bool {
	return code(err) == serializationFailure || code(err) == deadlockDetected
}

// isLoss tells that the connection, or the server's being the primary, is gone.
// A server that answers with an error of its own is still there, unless it says
// that it ends the session.
func isLoss(err error) bool {
	var pg *pgconn.PgError
	if !errors.As(err, &pg) {
		return true
	}
	fatal := pg.SeverityUnlocalized == "FATAL" || pg.SeverityUnlocalized == "PANIC"
	return pg.Code == readOnlyTransaction || fatal && !isRefusal(err)
}

// isRefusal tells that the server does not want this user: wrong password, no such database, no right.
func isRefusal(err error) bool {
	c := code(err)
	return strings.HasPrefix(c, "28") || c == noDatabase || c == noRight
}

// fault puts an error of the server or of the way to it into a sentence. What
// the library says besides is left out: it may be long, and is about addresses.
func (e *Engine) fault(err error) error {
	fault := func(kind error, format string, args ...any) error {
		var pg *pgconn.PgError
		f := &store.Fault{Kind: kind, Sentence: fmt.Sprintf(format, args...)}
		if errors.As(err, &pg) {
			f.Cause = pg
		} else if errors.Is(err, context.DeadlineExceeded) {
			f.Cause = context.DeadlineExceeded
		}
		return f
	}
	switch c := code(err); {
	case isCollision(err):
		return fault(store.ErrUnavailable, "Too many changes met at once in the store %s. Nothing was saved; try again in a minute.", e.place)
	case strings.HasPrefix(c, "28"):
		return fault(store.ErrNoAccess, "The server of the store %s does not let this user in: check user, password and the server's pg_hba.conf.", e.place)
	case c == noDatabase:
		return fault(store.ErrNoAccess, "There is no database for the store %s; make it with createdb.", e.place)
	case c == noRight:
		return fault(store.ErrNoAccess, "This user has no right to the store's table in %s; it must own the table, or the schema to make it in.", e.place)
	case c == undefinedTable:
		return fault(store.ErrNotFound, "There is no store %s yet.", e.place)
	case c == diskFull:
		return fault(store.ErrFull, "Nothing was saved: the server of the store %s has no room left.", e.place)
	case strings.HasPrefix(c, "XX"):
		return fault(store.ErrDamaged, "The server of the store %s reports damage. Restore the newest good backup.", e.place)
	case c == tooManyConnections, isLoss(err):
		return fault(store.ErrUnavailable, "The store %s cannot be reached.", e.place)
	}
	return fmt.Errorf("asking the store %s: %w", e.place, err)
}
