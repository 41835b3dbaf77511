package main

import (
	"context"
	"errors"
	"fmt"
	"net/url"
	"time"

	"github.com/spf13/cobra"

	"larkfold/bot"
)

func readyCommand() *cobra.Command {
	var address string
	cmd := &cobra.Command{
		Use:   "ready",
		Short: "Ask a running bot whether it answers",
		Long:  "Asks the bot that serves its status at --status whether it is ready, and fails if it is not:\na health check for containers, which hold no other program that could ask.",
		Args:  cobra.NoArgs,
		RunE: running(func(cmd *cobra.Command, _ []string) error {
			if address == "" {
				return badSetting{errors.New("there is no status address to ask at; give --status")}
			}
			ctx, stop := context.WithTimeout(cmd.Context(), 3*time.Second)
			defer stop()
			err := bot.Ready(ctx, address)
			var nobody *url.Error
			if errors.As(err, &nobody) {
				return badInput{fmt.Sprintf("no bot answers at %s: %v", address, nobody.Err)}
			}
			if err != nil {
				return badInput{"the bot runs and is not ready: " + err.Error()}
			}
			_, err = fmt.Fprintln(cmd.OutOrStdout(), "ready")
			return err
		}),
	}
	cmd.Flags().StringVar(&address, "status", "", "address that serve has for its status")
	settings(cmd.Flags())
	return cmd
}
