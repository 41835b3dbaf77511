package main

import (
	"context"
	"errors"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"larkfold/cmd/larkfold/terminal"
	"larkfold/commands"
)

func tryCommand(place *place) *cobra.Command {
	return &cobra.Command{
		Use:   "try [LINE]",
		Short: "Answer commands here, without an account or a network",
		Long: "Answers one command, or every line of standard input, or asks for commands.\n" +
			"A line is a command as the bot takes it:\n\n" +
			"  /cord width:40cm drop:70cm\n" +
			"  /project show name:\"Tide Line\"\n" +
			"  /project new name:Owl sheet:@owl.txt   reads the sheet from a file\n" +
			"  3                                      picks what the last answer offered, or\n" +
			"  Next step net                          the same as it is written\n\n" +
			"A form takes a line for each of its fields; an empty line keeps what stands there,\n" +
			"and - empties a field that may be empty.\n" +
			"So a design can be built by pressing at the prompt, and from a script:\n\n" +
			"  printf '%s\\n' '/build demo:tide-line' 'Next step row' '' '' '' '' '' 'undo' | larkfold try\n\n" +
			"The store and the pictures lie in the user's state folder, or in --data.",
		Example: "  larkfold try '/cord width:40cm drop:70cm'",
		RunE: running(func(cmd *cobra.Command, args []string) error {
			return try(cmd.Context(), place, cmd.InOrStdin(), cmd.OutOrStdout(), strings.Join(args, " "))
		}),
	}
}

// try answers one line, or all there are to read.
func try(ctx context.Context, place *place, in io.Reader, out io.Writer, line string) error {
	store, err := place.open(ctx)
	if err != nil {
		return err
	}
	if _, err := store.Sweep(ctx, time.Now()); err != nil {
		return errors.Join(err, store.Close())
	}
	front := terminal.Front{App: commands.New(commands.Config{Store: store.Records}), In: in, Out: out, Dir: store.dir}
	refused, err := front.Answer(ctx, line)
	if err := errors.Join(err, store.Close()); err != nil {
		return err
	}
	if refused {
		return errRefused
	}
	return nil
}
