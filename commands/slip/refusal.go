package slip

import (
	"errors"
	"fmt"
	"strings"
	"unicode/utf8"

	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/store"
)

// Refusal turns an error that the member can mend into a reply, and hands back
// any other.
func Refusal(err error) (reply.Reply, error) {
	var user *reply.UserError
	var faults sheet.Faults
	switch {
	case errors.As(err, &user):
	case errors.As(err, &faults):
		return reply.Refused(reply.Heading("The sheet cannot be sized yet"), reply.Verbatim(faults.Error())), nil
	default:
		user = explained(err)
	}
	if user == nil {
		return reply.Reply{}, err
	}
	user = echoed(*user)
	blocks := []reply.Block{}
	if user.Read != "" {
		facts := []reply.Fact{{Label: "read", Value: user.Read}, {Label: "wrong", Value: user.Wrong}}
		if user.Right != "" {
			facts = append(facts, reply.Fact{Label: "right", Value: user.Right})
		}
		blocks = append(blocks, reply.Facts(facts))
	} else {
		blocks = append(blocks, reply.Text(say.Sentence(user.Wrong)+"\n"+say.Sentence(user.Right)))
	}
	if user.Try != "" {
		blocks = append(blocks, reply.Text(tryWords), reply.Verbatim(user.Try))
	}
	answer := reply.Refused(blocks...)
	if StoreFailed(err) {
		answer.Faults = []error{err}
	}
	return answer, nil
}

// The most characters of what was typed that a refusal repeats, of what it says
// about it, and of a line that it offers to be pasted.
const (
	MostRead    = 200
	mostSaid    = 800
	mostOffered = 2000
)

// echoed is a refusal that repeats no more of what was typed than tells it apart. A
// line to paste is whole or not there.
func echoed(e reply.UserError) *reply.UserError {
	e.Read, e.Wrong, e.Right = say.Shortened(e.Read, MostRead), say.Shortened(e.Wrong, mostSaid), say.Shortened(e.Right, mostSaid)
	if utf8.RuneCountInString(e.Try) > mostOffered {
		e.Try = ""
	}
	return &e
}

// InUnits is a refusal that suggests in the member's units. What they typed stays as
// it is, and so does what is kept for them.
func InUnits(err error, req reply.Request, p sitting.Prefs) error {
	var e *reply.UserError
	if !p.Imperial() || !errors.As(err, &e) {
		return err
	}
	told := *e
	told.Right, told.Cause = p.Sample(e.Right), err
	if strings.HasPrefix(e.Read, "/") { // nothing was typed that it speaks of
		told.Wrong = p.Sample(e.Wrong)
	}
	var typed []string
	for name, value := range req.Options {
		if word := name + ":" + reply.QuotedIfSpaced(value); value != "" && strings.Contains(told.Try, word) {
			told.Try = strings.Replace(told.Try, word, fmt.Sprintf("\x00%d\x00", len(typed)), 1)
			typed = append(typed, word)
		}
	}
	told.Try = p.Sample(told.Try)
	for i, word := range typed {
		told.Try = strings.Replace(told.Try, fmt.Sprintf("\x00%d\x00", i), word, 1)
	}
	return &told
}

// tryWords stand above what a refusal suggests.
const tryWords = "Try"

// Suggestion is the line that a refusal ends with, or nothing.
func Suggestion(answer reply.Reply) string {
	if n := len(answer.Blocks); n >= 2 && answer.Blocks[n-2] == reply.Block(reply.Text(tryWords)) {
		if v, ok := answer.Blocks[n-1].(reply.Verbatim); ok {
			return string(v)
		}
	}
	return ""
}

// StoreFailed tells a fault of the store from what is the member's to mend.
func StoreFailed(err error) bool {
	var fault *store.Fault
	return errors.As(err, &fault) || errors.Is(err, store.ErrDamaged)
}

// Mendable is an error as a refusal; nil for faults of a sheet, which show the line
// put right, and for what is not the member's to mend.
func Mendable(err error) *reply.UserError {
	var user *reply.UserError
	var faults sheet.Faults
	switch {
	case errors.As(err, &user):
		return user
	case errors.As(err, &faults):
		return nil
	}
	return explained(err)
}

// explained is the member's sentence for the errors of the parts, or nil when the
// error is not theirs to mend.
func explained(err error) *reply.UserError {
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
		return &reply.UserError{Read: input.Input, Wrong: input.Wrong, Right: input.Right, Cause: err}
	case errors.As(err, &bounds):
		return &reply.UserError{Wrong: bounds.Error(), Cause: err}
	case errors.As(err, &conflict):
		return &reply.UserError{Wrong: fmt.Sprintf("%s %q was changed meanwhile, so nothing was overwritten", conflict.Kind, conflict.Name), Right: "look at it again and repeat your change", Cause: err}
	case errors.As(err, &taken):
		return &reply.UserError{Read: taken.Name, Wrong: fmt.Sprintf("a %s has that name already", taken.Kind), Right: "choose another name", Cause: err}
	case errors.As(err, &missing):
		return &reply.UserError{Read: missing.Name, Wrong: fmt.Sprintf("you have no %s of that name", missing.Kind), Right: "look at the list for the names", Cause: err}
	case errors.As(err, &quota):
		return &reply.UserError{Wrong: quota.Error(), Right: "remove what you no longer need", Cause: err}
	case errors.As(err, &invalid):
		return &reply.UserError{Read: invalid.Read, Wrong: invalid.Reason, Cause: err}
	case errors.As(err, &short):
		return &reply.UserError{Wrong: short.Error(), Right: "look at your shelf with /shelf list", Cause: err}
	}
	return storeTrouble(err)
}

// storeTrouble is what a member reads when the store fails. What the machine said
// is for the operator; it names files of the server.
func storeTrouble(err error) *reply.UserError {
	told := "what was saved before can still be read, and whoever runs this Larkfold is told; try again later"
	switch {
	case errors.Is(err, store.ErrUnknownCommit):
		return &reply.UserError{Wrong: "the store broke off while this was being saved, and it is not known whether it was", Right: "look whether it is there before you do it again", Cause: err}
	case errors.Is(err, store.ErrFull):
		return &reply.UserError{Wrong: "nothing was saved: there is no room left in the store", Right: told, Cause: err}
	case errors.Is(err, store.ErrReadOnly):
		return &reply.UserError{Wrong: "nothing was saved: the store cannot be written to", Right: told, Cause: err}
	case errors.Is(err, store.ErrUnavailable):
		return &reply.UserError{Wrong: "what is kept cannot be reached just now, and nothing was saved", Right: "try again in a minute", Cause: err}
	case errors.Is(err, store.ErrDamaged):
		return &reply.UserError{Wrong: "a record that this needs is damaged, so nothing was changed", Right: "the others work as ever, and whoever runs this Larkfold is told", Cause: err}
	}
	return nil
}
