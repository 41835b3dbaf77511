package main

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"larkfold/bot"
	"larkfold/cmd/larkfold/terminal"
	"larkfold/store"
)

// Exit statuses. The platform's own are named in the bot's package. 2 is none of
// them: a Go program that crashes ends with it.
const (
	exitAnswered = 0
	exitRefused  = 1
	exitLocked   = 3
	exitDamaged  = 4
	exitStore    = 5
	exitUsage    = 64 // EX_USAGE
	exitFault    = 70 // EX_SOFTWARE
	exitStopped  = 130
)

// ending is one exit status: what it means, and whether starting `serve` again may
// help. The unit file and the container's page follow it, see the tests.
type ending struct {
	status int
	means  string
	again  bool
}

func endings() []ending {
	return []ending{
		{exitAnswered, "answered, or stopped as told", false},
		{exitRefused, "refused, the input was bad", false},
		{exitLocked, "another program has the store", true},
		{exitDamaged, "the store is damaged", false},
		{exitStore, "the store cannot be used as it is (another key, a newer format, no permission)", false},
		{exitUsage, "bad command line", false},
		{bot.ExitNoStarts, "no session starts left today", true},
		{exitFault, "any other fault", true},
		{bot.ExitPassing, "what passes: the platform lost, an address in use, no room on the disk, the store's server out of reach", true},
		{bot.ExitConfig, "settings that cannot work, or that the platform refuses", false},
		{exitStopped, "interrupted", false},
	}
}

// statuses is what help says about them.
func statuses() string {
	var b strings.Builder
	b.WriteString("Exit statuses (* starting serve again may help):\n")
	for _, e := range endings() {
		mark := " "
		if e.again {
			mark = "*"
		}
		fmt.Fprintf(&b, "%5d%s %s\n", e.status, mark, e.means)
	}
	return strings.TrimSuffix(b.String(), "\n")
}

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

// badSetting is a setting that cannot work, told on standard error.
type badSetting struct{ error }

func (badSetting) ExitCode() int   { return bot.ExitConfig }
func (b badSetting) Unwrap() error { return b.error }

// sentence is what is told of an error.
func sentence(err error) string {
	if errors.Is(err, context.Canceled) {
		return "stopped before it was done; what was there is left whole, and it can be run again"
	}
	return err.Error()
}

// status is the exit status for an error.
func status(err error) int {
	var did ran
	var bad badInput
	var unread *terminal.InputError
	var fault *store.Fault
	var own interface{ ExitCode() int }
	switch {
	case err == nil:
		return exitAnswered
	case !errors.As(err, &did):
		return exitUsage
	case errors.Is(err, errRefused), errors.As(err, &bad), errors.As(err, &unread):
		return exitRefused
	case errors.As(err, &own):
		return own.ExitCode()
	case errors.Is(err, context.Canceled):
		return exitStopped
	case errors.Is(err, store.ErrLocked):
		return exitLocked
	case errors.Is(err, store.ErrDamaged), errors.Is(err, store.ErrLost):
		return exitDamaged
	case errors.Is(err, store.ErrFull), errors.Is(err, store.ErrUnavailable):
		return bot.ExitPassing
	case errors.As(err, &fault):
		return exitStore
	}
	return exitFault
}
