package commands

import (
	"errors"
	"fmt"
	"strings"

	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/store"
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
		parts = append(parts, quoted(e.Read))
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

// refusal turns an error that the member can mend into a reply, and hands back
// any other.
func refusal(err error) (Reply, error) {
	var user *UserError
	var faults sheet.Faults
	switch {
	case errors.As(err, &user):
	case errors.As(err, &faults):
		return refused(Heading{"The sheet cannot be sized yet"}, Verbatim{faults.Error()}), nil
	default:
		user = explained(err)
	}
	if user == nil {
		return Reply{}, err
	}
	blocks := []Block{}
	if user.Read != "" {
		facts := []Fact{{"read", user.Read}, {"wrong", user.Wrong}}
		if user.Right != "" {
			facts = append(facts, Fact{"right", user.Right})
		}
		blocks = append(blocks, Facts{facts})
	} else {
		blocks = append(blocks, Text{sentence(user.Wrong) + "\n" + sentence(user.Right)})
	}
	if user.Try != "" {
		blocks = append(blocks, Text{"Try"}, Verbatim{user.Try})
	}
	return refused(blocks...), nil
}

func refused(blocks ...Block) Reply { return Reply{Blocks: blocks, Refused: true} }

// explained is the member's sentence for the errors of the parts, or nil when the
// error is not theirs to mend.
func explained(err error) *UserError {
	var input *length.InputError
	var bounds *length.BoundsError
	var conflict *store.Conflict
	var taken *store.NameTaken
	var missing *store.NotFound
	var quota *store.QuotaError
	var invalid *store.InvalidError
	var short *store.NotEnough
	switch {
	case errors.As(err, &input):
		return &UserError{Read: input.Input, Wrong: input.Wrong, Right: input.Right, Cause: err}
	case errors.As(err, &bounds):
		return &UserError{Wrong: bounds.Error(), Cause: err}
	case errors.As(err, &conflict):
		return &UserError{Wrong: fmt.Sprintf("%s %q was changed meanwhile, so nothing was overwritten", conflict.Kind, conflict.Name), Right: "look at it again and repeat your change", Cause: err}
	case errors.As(err, &taken):
		return &UserError{Read: taken.Name, Wrong: fmt.Sprintf("a %s has that name already", taken.Kind), Right: "choose another name", Cause: err}
	case errors.As(err, &missing):
		return &UserError{Read: missing.Name, Wrong: fmt.Sprintf("you have no %s of that name", missing.Kind), Right: "look at the list for the names", Cause: err}
	case errors.As(err, &quota):
		return &UserError{Wrong: quota.Error(), Right: "remove what you no longer need", Cause: err}
	case errors.As(err, &invalid):
		return &UserError{Read: invalid.Read, Wrong: invalid.Reason, Cause: err}
	case errors.As(err, &short):
		return &UserError{Wrong: short.Error(), Right: "look at your shelf with /shelf list", Cause: err}
	case errors.Is(err, store.ErrReadOnly), errors.Is(err, store.ErrFull):
		return &UserError{Wrong: "nothing was saved: " + err.Error(), Right: "reading goes on; tell whoever runs this Larkfold", Cause: err}
	}
	return nil
}

func quoted(text string) string { return "“" + text + "”" }

// sentence begins with a capital and ends with a stop.
func sentence(text string) string {
	if text == "" {
		return ""
	}
	text = strings.ToUpper(text[:1]) + text[1:]
	if !strings.ContainsAny(text[len(text)-1:], ".?!") {
		text += "."
	}
	return text
}
