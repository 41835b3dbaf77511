package main

import (
	"context"
	"errors"
	"log/slog"
	"os"
	"os/signal"
	"syscall"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"golang.org/x/sync/errgroup"

	"larkfold/bot"
	"larkfold/commands"
)

func serveCommand(place *place) *cobra.Command {
	var p platform
	var h housekeeping
	var log logging
	cmd := &cobra.Command{
		Use:   "serve",
		Short: "Run the bot",
		Long:  "Connects to the chat platform, over the gateway or as a signed HTTP endpoint, and answers\nuntil it is told to stop. It logs to standard error and makes checked backups.\n\n" + statuses(),
		Args:  cobra.NoArgs,
		RunE: running(func(cmd *cobra.Command, _ []string) error {
			ctx, stop := untilStopped(cmd.Context())
			defer stop()
			return serve(ctx, cmd.Flags(), place, p, h, log.open(cmd.ErrOrStderr()))
		}),
	}
	f := cmd.Flags()
	p.flags(f)
	log.flags(f)
	f.StringVar(&p.http, "http", "", "take signed interactions at this address instead of the gateway, such as 127.0.0.1:7416 or unix:/run/larkfold/http.sock")
	f.StringVar(&p.publicKey, "public-key", "", "the application's public key, for --http")
	f.StringVar(&p.status, "status", "", "private address for /healthz, /readyz and /metrics, such as 127.0.0.1:7417")
	f.StringVar(&p.shards, "shards", "", "gateway connections of this process: auto, 2/16 or 0-3/16")
	f.BoolVar(&p.noRegister, "no-register", false, "leave the registered commands as they are")
	h.flags(f)
	f.BoolVar(&place.afresh, "afresh", false, "go on with an empty, missing or older store although there is a backup")
	settings(f)
	return cmd
}

// serve runs the bot until the context ends.
func serve(ctx context.Context, f *pflag.FlagSet, place *place, p platform, h housekeeping, log *slog.Logger) (err error) {
	s, err := place.open(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	config, err := p.config(f, commands.New(commands.Config{Store: s.Shelf}), log)
	if err != nil {
		return err
	}
	config.Tell = tellManager(log)
	config.StoreReady = s.alive
	group, ctx := errgroup.WithContext(ctx)
	ctx, end := context.WithCancel(ctx)
	group.Go(func() error {
		defer end()
		return bot.Run(ctx, config)
	})
	group.Go(func() error { h.run(ctx, s, log); return nil })
	group.Go(func() error { return passOverHangups(ctx, log) })
	group.Go(func() error { return watchdog(ctx, s.alive, log) })
	return group.Wait()
}

// passOverHangups keeps the closing of a terminal, or a reload that somebody asks
// for, from ending the bot.
func passOverHangups(ctx context.Context, log *slog.Logger) error {
	hangups := make(chan os.Signal, 1)
	signal.Notify(hangups, syscall.SIGHUP)
	defer signal.Stop(hangups)
	for {
		select {
		case <-ctx.Done():
			return nil
		case <-hangups:
			log.Info("SIGHUP changes nothing: settings are read at the start; restart to change them")
		}
	}
}
