package main

import (
	"cmp"
	"context"
	"errors"
	"log/slog"
	"os"
	"os/signal"
	"path/filepath"
	"syscall"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"golang.org/x/sync/errgroup"

	"larkfold/bot"
	"larkfold/commands"
	"larkfold/store/boltstore"
)

// housekeeping is what serve does to the store from time to time.
type housekeeping struct {
	dir   string // of the backups
	every time.Duration
	keep  int
}

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
	f.StringVar(&h.dir, "backups", "", "folder of the backups; backups beside the store if silent")
	f.DurationVar(&h.every, "backup-every", 24*time.Hour, "time between backups; 0 makes none")
	f.IntVar(&h.keep, "keep-backups", 14, "how many backups to keep")
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
	group.Go(func() error { return h.backUp(ctx, s, log) })
	group.Go(func() error { return sweep(ctx, s, log) })
	group.Go(func() error { return passOverHangups(ctx, log) })
	group.Go(func() error { return watchdog(ctx, s.alive, log) })
	return group.Wait()
}

// backUp makes backups until the context ends. What fails is logged and tried
// again the next time.
func (h housekeeping) backUp(ctx context.Context, s *opened, log *slog.Logger) error {
	if h.every <= 0 {
		return nil
	}
	backups := &boltstore.Backups{Engine: s.engine, Dir: cmp.Or(h.dir, filepath.Join(s.dir, "backups")), Keep: h.keep, Store: s.opts}
	backups.Run(ctx, schedule(ctx, h.every, sinceLast(backups)), func(path string, err error) {
		if err != nil {
			log.Error("no backup was made", "error", err)
			return
		}
		log.Info("backup made", "file", path)
	})
	return nil
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

// sinceLast is the age of the newest backup.
func sinceLast(b *boltstore.Backups) time.Duration {
	const ages = 100 * 365 * 24 * time.Hour
	paths, err := b.List()
	if err != nil || len(paths) == 0 {
		return ages
	}
	info, err := os.Stat(paths[len(paths)-1])
	if err != nil {
		return ages
	}
	return time.Since(info.ModTime())
}

// schedule ticks every so often, the first time when the last one is that old.
func schedule(ctx context.Context, every, age time.Duration) <-chan time.Time {
	ticks := make(chan time.Time)
	go func() {
		for wait := max(0, every-age); ; wait = every {
			select {
			case <-ctx.Done():
				return
			case now := <-time.After(wait):
				select {
				case ticks <- now:
				case <-ctx.Done():
					return
				}
			}
		}
	}()
	return ticks
}
