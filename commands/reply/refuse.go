package reply

import (
	"errors"
	"strings"
)

// UserError is a refusal: what was read, what is wrong with it, what would be
// right, and a command to paste.
type UserError struct {
	Read  string // what the member typed
	Wrong string
	Right string
	Try   string // a command that can be pasted
	Cause error  // for the log; may be nil
}

// Error is the refusal in one line.
func (e *UserError) Error() string {
	var parts []string
	if e.Read != "" {
		parts = append(parts, Quoted(e.Read))
	}
	for _, p := range []string{e.Wrong, e.Right} {
		if p != "" {
			parts = append(parts, p)
		}
	}
	return strings.Join(parts, ": ")
}

// Unwrap is the cause.
func (e *UserError) Unwrap() error { return e.Cause }

// WithTry gives a refusal another command to paste.
func WithTry(err error, try string) error {
	var e *UserError
	if errors.As(err, &e) {
		e.Try = try
	}
	return err
}

// Refused is a refusal of these blocks.
func Refused(blocks ...Block) Reply { return Reply{Blocks: blocks, Refused: true} }

// QuotedIfSpaced is an option's value as it is typed.
func QuotedIfSpaced(value string) string {
	if strings.ContainsAny(value, " \t\"“”„«»") {
		return `"` + value + `"`
	}
	return value
}

// Quoted is a member's text in an answer.
func Quoted(text string) string { return "“" + text + "”" }
