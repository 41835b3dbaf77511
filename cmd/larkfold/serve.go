package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"golang.org/x/sync/errgroup"

	"larkfold/bot"
	"larkfold/commands"
	"larkfold/store/boltstore"
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

// housekeeping is what serve does to the store from time to time.
type housekeeping struct {
	every time.Duration // between backups
	keep  int
	bytes int64 // that all backups may take, in MiB
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
	f.DurationVar(&h.every, "backup-every", 24*time.Hour, "time between backups; 0 makes none")
	f.IntVar(&h.keep, "keep-backups", 14, "how many backups to keep")
	f.Int64Var(&h.bytes, "backup-mib", 0, "how much room all backups may take, in MiB; 0 means no bound")
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
	group.Go(func() error { return h.backUp(ctx, s, log) })
	group.Go(func() error { return sweep(ctx, s, log) })
	group.Go(func() error { return tidy(ctx, s, log) })
	return group.Wait()
}

// backUp makes backups until the context ends. What fails is logged and tried
// again within minutes.
func (h housekeeping) backUp(ctx context.Context, s *opened, log *slog.Logger) error {
	if h.every <= 0 {
		return nil
	}
	backups := &boltstore.Backups{Engine: s.engine, Dir: s.backups, Keep: h.keep, Bytes: h.bytes << 20, Store: s.opts}
	backups.Run(ctx, h.every, func(path string, err error) {
		if err != nil {
			log.Error("no backup was made", "error", err)
			return
		}
		log.Info("backup made", "file", path)
	})
	return nil
}

// tidyEvery is the time between two tidyings of the store's file, and so how
// long what was erased may stay in unused parts of it.
const tidyEvery = 24 * time.Hour

// tidyCheck is how often somebody looks whether the store wants tidying sooner.
const tidyCheck = 10 * time.Minute

// tidy writes the store's file afresh when it is due, until the context ends.
func tidy(ctx context.Context, s *opened, log *slog.Logger) error {
	looks := time.NewTicker(tidyCheck)
	defer looks.Stop()
	last := time.Now()
	for {
		select {
		case <-ctx.Done():
			return nil
		case now := <-looks.C:
			stats, err := s.engine.Stats(ctx)
			if err == nil && now.Sub(last) < tidyEvery && stats.Free <= stats.Bytes/2 {
				continue
			}
			before, after, err := s.engine.Tidy(ctx)
			if err != nil {
				log.Error("the store was not tidied", "error", err)
				continue
			}
			last = now
			log.Info("the store was tidied", "bytes_before", before, "bytes_after", after)
		}
	}
}

// sweepEvery is the time between two sweeps of what has expired.
const sweepEvery = time.Hour

// sweep takes out what has expired until the context ends.
func sweep(ctx context.Context, s *opened, log *slog.Logger) error {
	ticks := time.NewTicker(sweepEvery)
	defer ticks.Stop()
	for {
		select {
		case <-ctx.Done():
			return nil
		case now := <-ticks.C:
			if n, err := s.Sweep(ctx, now); err != nil {
				log.Error("what has expired could not be swept out", "error", err)
			} else if n > 0 {
				log.Info("swept out what has expired", "records", n)
			}
		}
	}
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
