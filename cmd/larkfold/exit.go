package main

import (
	"context"
	"errors"

	"github.com/spf13/cobra"

	"larkfold/store"
)

// Exit statuses. A bot that ends by itself adds its own: 69, 75 and 78, which
// are told in the bot's package.
const (
	exitAnswered = 0
	exitRefused  = 1  // the input was bad; the answer says what would be right
	exitUsage    = 2  // the command line was bad
	exitLocked   = 3  // another program has the store
	exitDamaged  = 4  // the store is damaged
	exitStore    = 5  // the store cannot be used: wrong key, newer format, no room, no permission
	exitFault    = 70 // anything else, a fault of this program or of the machine
	exitStopped  = 130
)

// statuses is what help says about them.
const statuses = `Exit statuses: 0 answered; 1 refused, the input was bad; 2 bad command line;
3 another program has the store; 4 the store is damaged; 5 the store cannot be
used (wrong key, newer format, no room, no permission); 70 any other fault; 130 interrupted.
serve also: 69 no session starts left today; 75 lost the platform, start again;
78 the platform refuses these settings, do not start again.`

// errRefused ends the program after a refusal that has been shown.
var errRefused = errors.New("refused")

// ran is an error of a command that did run. Every other error is one of usage.
type ran struct{ error }

func (r ran) Unwrap() error { return r.error }

// running marks the errors of a command's work.
func running(work func(cmd *cobra.Command, args []string) error) func(*cobra.Command, []string) error {
	return func(cmd *cobra.Command, args []string) error {
		if err := work(cmd, args); err != nil {
			return ran{err}
		}
		return nil
	}
}

// badInput is a refusal that is told on standard error.
type badInput struct{ sentence string }

func (b badInput) Error() string { return b.sentence }

// status is the exit status for an error.
func status(err error) int {
	var did ran
	var bad badInput
	var fault *store.Fault
	var own interface{ ExitCode() int }
	switch {
	case err == nil:
		return exitAnswered
	case !errors.As(err, &did):
		return exitUsage
	case errors.Is(err, errRefused), errors.As(err, &bad):
		return exitRefused
	case errors.As(err, &own):
		return own.ExitCode()
	case errors.Is(err, context.Canceled):
		return exitStopped
	case errors.Is(err, store.ErrLocked):
		return exitLocked
	case errors.Is(err, store.ErrDamaged):
		return exitDamaged
	case errors.As(err, &fault):
		return exitStore
	}
	return exitFault
}
