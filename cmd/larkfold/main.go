// Command larkfold answers macramé makers: in the terminal, in scripts and as a
// chat bot.
//
//	larkfold try '/cord width:40cm drop:70cm'   answers once
//	larkfold try                                asks for commands
//	larkfold size FILE                          sizes one working sheet
//	larkfold pack FILE                          solves one cutting instance
//	larkfold serve                              runs the bot
//
// Its exit statuses are in [statuses].
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
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	err := root().ExecuteContext(ctx)
	if err != nil && !errors.Is(err, errRefused) {
		fmt.Fprintln(os.Stderr, "larkfold: "+err.Error())
	}
	return status(err)
}
