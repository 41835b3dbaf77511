package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"golang.org/x/sync/errgroup"

	"larkfold/bot"
	"larkfold/commands"
)

// platform is how to reach the chat platform. What is not given as a flag comes
// from the environment.
type platform struct {
	token, tokenFile, application, publicKey, guild, http, status, address, shards string
	noRegister                                                                     bool
}

func (p *platform) flags(f *pflag.FlagSet) {
	f.StringVar(&p.token, "token", "", "the bot's token; other users of this machine can see it here, so better LARKFOLD_TOKEN or --token-file")
	f.StringVar(&p.tokenFile, "token-file", os.Getenv("LARKFOLD_TOKEN_FILE"), "file with the bot's token (LARKFOLD_TOKEN_FILE)")
	f.StringVar(&p.application, "application", os.Getenv("LARKFOLD_APPLICATION"), "application id; asked from the platform when silent (LARKFOLD_APPLICATION)")
	f.StringVar(&p.guild, "guild", os.Getenv("LARKFOLD_GUILD"), "register the commands in this server only (LARKFOLD_GUILD)")
	f.StringVar(&p.address, "platform", os.Getenv("LARKFOLD_PLATFORM"), "another address of the platform, for tests (LARKFOLD_PLATFORM)")
}

// config is the bot's configuration.
func (p *platform) config(app bot.App, log *slog.Logger) (bot.Config, error) {
	c := bot.Config{
		App: app, Log: log, Token: cmp.Or(p.token, os.Getenv("LARKFOLD_TOKEN")), ApplicationID: p.application, Guild: p.guild,
		SkipRegister: p.noRegister, HTTP: p.http, PublicKey: p.publicKey, Status: p.status, PlatformURL: p.address,
	}
	if c.Token == "" && p.tokenFile != "" {
		text, err := readText(p.tokenFile)
		if err != nil {
			return c, &bot.ExitError{Code: bot.ExitConfig, Message: "the token cannot be read: " + err.Error()}
		}
		c.Token = strings.TrimSpace(text)
	}
	if p.shards != "" {
		var err error
		if c.Shards, err = bot.ParseShards(p.shards); err != nil {
			return c, &bot.ExitError{Code: bot.ExitConfig, Message: err.Error()}
		}
	}
	return c, nil
}

func serveCommand(place *place) *cobra.Command {
	var p platform
	var h housekeeping
	cmd := &cobra.Command{
		Use:   "serve",
		Short: "Run the bot",
		Long:  "Connects to the chat platform, over the gateway or as a signed HTTP endpoint, and answers\nuntil it is told to stop. It logs to standard error and makes checked backups.\n\n" + statuses,
		Args:  cobra.NoArgs,
		RunE: running(func(cmd *cobra.Command, _ []string) error {
			ctx, stop := untilStopped(cmd.Context())
			defer stop()
			return serve(ctx, place, p, h, slog.New(slog.NewTextHandler(cmd.ErrOrStderr(), nil)))
		}),
	}
	f := cmd.Flags()
	p.flags(f)
	f.StringVar(&p.http, "http", os.Getenv("LARKFOLD_HTTP"), "take signed interactions at this address instead of the gateway, such as :8080 (LARKFOLD_HTTP)")
	f.StringVar(&p.publicKey, "public-key", os.Getenv("LARKFOLD_PUBLIC_KEY"), "the application's public key, for --http (LARKFOLD_PUBLIC_KEY)")
	f.StringVar(&p.status, "status", os.Getenv("LARKFOLD_STATUS"), "private address for /healthz, /readyz and /metrics, such as 127.0.0.1:9090 (LARKFOLD_STATUS)")
	f.StringVar(&p.shards, "shards", os.Getenv("LARKFOLD_SHARDS"), "gateway connections of this process: auto, 2/16 or 0-3/16 (LARKFOLD_SHARDS)")
	f.BoolVar(&p.noRegister, "no-register", false, "leave the registered commands as they are")
	f.StringVar(&place.backups, "backups", "", "folder of the backups, better on another disk (default: backups beside the store; LARKFOLD_BACKUPS)")
	h.flags(f)
	f.BoolVar(&place.afresh, "afresh", false, "go on with an empty, missing or older store although there is a backup")
	return cmd
}

// serve runs the bot until the context ends.
func serve(ctx context.Context, place *place, p platform, h housekeeping, log *slog.Logger) (err error) {
	s, err := place.open(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	config, err := p.config(commands.New(commands.Config{Store: s.Shelf}), log)
	if err != nil {
		return err
	}
	group, ctx := errgroup.WithContext(ctx)
	ctx, end := context.WithCancel(ctx)
	group.Go(func() error {
		defer end()
		return bot.Run(ctx, config)
	})
	group.Go(func() error { h.run(ctx, s, log); return nil })
	return group.Wait()
}

func registerCommand() *cobra.Command {
	var p platform
	var dryRun bool
	cmd := &cobra.Command{
		Use:   "register",
		Short: "Register the commands with the platform, where they differ",
		Args:  cobra.NoArgs,
		RunE: running(func(cmd *cobra.Command, _ []string) error {
			ctx, stop := untilStopped(cmd.Context())
			defer stop()
			config, err := p.config(commands.New(commands.Config{}), slog.New(slog.NewTextHandler(cmd.ErrOrStderr(), nil)))
			if err != nil {
				return err
			}
			b, err := bot.New(config)
			if err != nil {
				return err
			}
			r, err := b.Register(ctx, p.guild, dryRun)
			if err != nil {
				return err
			}
			return registered(cmd, r)
		}),
	}
	p.flags(cmd.Flags())
	cmd.Flags().BoolVar(&dryRun, "dry-run", false, "only say what differs")
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
