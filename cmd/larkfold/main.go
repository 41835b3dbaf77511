// Command larkfold answers macramé makers: in the terminal, in scripts and as a
// chat bot.
//
//	larkfold try '/cord width:40cm drop:70cm'   answers once
//	larkfold try                                asks for commands
//	larkfold size FILE                          sizes one working sheet
//	larkfold pack FILE                          solves one cutting instance
//	larkfold serve                              runs the bot
//
// Its exit statuses are in [endings].
package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"syscall"
)

func main() { os.Exit(run()) }

func run() int {
	cmd, err := root().ExecuteContextC(context.Background())
	if err != nil && !errors.Is(err, errRefused) {
		fmt.Fprintln(os.Stderr, errorMark()+"larkfold: "+sentence(err))
	}
	if status(err) == exitUsage {
		fmt.Fprintf(os.Stderr, "it is written: %s\n`%s --help` says more\n", cmd.UseLine(), cmd.CommandPath())
	}
	return status(err)
}

// untilStopped ends a context when the program is told to stop, so that what runs
// can come to an end; told again, it ends at once. Commands that wait for input do
// without: they just stop.
func untilStopped(ctx context.Context) (context.Context, context.CancelFunc) {
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop)
	return ctx, stop
}
