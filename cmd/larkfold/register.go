package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"larkfold/bot"
	"larkfold/commands"
)

// caller is what the verbs share that call the platform and leave.
type caller struct {
	platform platform
	log      logging
}

func (c *caller) flags(cmd *cobra.Command) {
	c.platform.flags(cmd.Flags())
	c.log.flags(cmd.Flags())
	settings(cmd.Flags())
}

func (c *caller) bot(cmd *cobra.Command) (*bot.Bot, error) {
	config, err := c.platform.config(cmd.Flags(), commands.New(commands.Config{}), c.log.open(cmd.ErrOrStderr()))
	if err != nil {
		return nil, err
	}
	if config.Token == "" {
		return nil, badSetting{errors.New("there is no token to ask the platform with: set LARKFOLD_TOKEN_FILE, or --token-file, to the file that holds it")}
	}
	return bot.New(config)
}

func registerCommand() *cobra.Command {
	var c caller
	var dryRun bool
	cmd := &cobra.Command{
		Use:   "register",
		Short: "Register the commands with the platform, where they differ",
		Args:  cobra.NoArgs,
		RunE: running(func(cmd *cobra.Command, _ []string) error {
			ctx, stop := untilStopped(cmd.Context())
			defer stop()
			b, err := c.bot(cmd)
			if err != nil {
				return err
			}
			r, err := b.Register(ctx, c.platform.guild, dryRun)
			if err != nil {
				return err
			}
			if err := registered(cmd, r); err != nil {
				return err
			}
			twice, err := b.Doubled(ctx)
			if len(twice) > 0 {
				fmt.Fprintf(cmd.OutOrStdout(), "that server sees twice, because they are registered everywhere too: %s\n`larkfold unregister` takes out those for everywhere\n", strings.Join(twice, ", "))
			}
			return err
		}),
	}
	c.flags(cmd)
	cmd.Flags().BoolVar(&dryRun, "dry-run", false, "only say what differs")
	return cmd
}

func unregisterCommand() *cobra.Command {
	var c caller
	cmd := &cobra.Command{
		Use:   "unregister",
		Short: "Take the commands out of one server's list, or out of the list for everywhere",
		Long: "Takes the commands out of the list of one server, with --guild, or else out of the list for\n" +
			"everywhere. Commands that stand in both lists are shown twice in that server.",
		Args: cobra.NoArgs,
		RunE: running(func(cmd *cobra.Command, _ []string) error {
			ctx, stop := untilStopped(cmd.Context())
			defer stop()
			b, err := c.bot(cmd)
			if err != nil {
				return err
			}
			gone, err := b.Unregister(ctx, c.platform.guild)
			if err != nil {
				return err
			}
			if len(gone) == 0 {
				_, err = fmt.Fprintln(cmd.OutOrStdout(), "no commands were registered")
				return err
			}
			_, err = fmt.Fprintf(cmd.OutOrStdout(), "removed: %s\n", strings.Join(gone, ", "))
			return err
		}),
	}
	c.flags(cmd)
	return cmd
}

func inviteCommand() *cobra.Command {
	var c caller
	cmd := &cobra.Command{
		Use:   "invite",
		Short: "Print the link that installs the bot in a server",
		Args:  cobra.NoArgs,
		RunE: running(func(cmd *cobra.Command, _ []string) error {
			ctx, stop := untilStopped(cmd.Context())
			defer stop()
			application := c.platform.application
			if application == "" {
				b, err := c.bot(cmd)
				if err != nil {
					return err
				}
				if application, err = b.Application(ctx); err != nil {
					return err
				}
			}
			link, err := bot.Invite(application)
			if err != nil {
				return err
			}
			_, err = fmt.Fprintln(cmd.OutOrStdout(), link)
			return err
		}),
	}
	c.flags(cmd)
	return cmd
}

func registered(cmd *cobra.Command, r bot.Registration) error {
	out := cmd.OutOrStdout()
	if r.Same() {
		_, err := fmt.Fprintln(out, "the registered commands are the same already")
		return err
	}
	for _, change := range []struct {
		what  string
		names []string
	}{{"added", r.Added}, {"changed", r.Changed}, {"removed", r.Removed}} {
		if len(change.names) > 0 {
			fmt.Fprintf(out, "%s: %s\n", change.what, strings.Join(change.names, ", "))
		}
	}
	last := "written"
	if !r.Written {
		last = "nothing was written"
	}
	_, err := fmt.Fprintln(out, last)
	return err
}
