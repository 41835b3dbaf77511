package main

import (
	"context"
	"errors"
	"fmt"
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
			if err := bot.Ready(ctx, address); err != nil {
				return badInput{err.Error()}
			}
			_, err := fmt.Fprintln(cmd.OutOrStdout(), "ready")
			return err
		}),
	}
	cmd.Flags().StringVar(&address, "status", "", "address that serve has for its status")
	settings(cmd.Flags())
	return cmd
}
