package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"golang.org/x/sync/errgroup"

	"larkfold/bot"
	"larkfold/commands"
	"larkfold/commands/member"
	"larkfold/store/seal"
)

// serving is what serve is set to do.
type serving struct {
	place    *place
	platform platform
	keep     housekeeping
	replica  replica
	log      logging
}

func serveCommand(place *place) *cobra.Command {
	s := serving{place: place}
	var check bool
	cmd := &cobra.Command{
		Use:   "serve",
		Short: "Run the bot",
		Long:  "Connects to the chat platform, over the gateway or as a signed HTTP endpoint, and answers\nuntil it is told to stop. It logs to standard error and makes checked backups.\n\n" + statuses(),
		Args:  cobra.NoArgs,
		RunE: running(func(cmd *cobra.Command, _ []string) error {
			ctx, stop := untilStopped(cmd.Context())
			defer stop()
			log := s.log.open(cmd.ErrOrStderr())
			config, err := s.platform.config(cmd.Flags(), commands.New(commands.Config{}), log)
			if err != nil {
				return err
			}
			if _, err := bot.New(config); err != nil { // settings first: nothing is made for such as cannot work
				return err
			}
			if err := s.sound(); err != nil {
				return err
			}
			if check {
				if err := s.tell(cmd.OutOrStdout(), cmd.Flags()); err != nil {
					return err
				}
				_, err = fmt.Fprintln(cmd.OutOrStdout(), "\nThese settings can work. Nothing was opened and nobody was called.")
				return err
			}
			return s.run(ctx, config, log)
		}),
	}
	f := cmd.Flags()
	s.flags(f)
	// These are for one start, so no variable goes with them.
	f.BoolVar(&place.afresh, "afresh", false, "go on with an empty, missing or older store although there is a backup")
	f.BoolVar(&check, "check", false, "only check the settings and say what they come to; nothing is opened and nobody is called")
	return cmd
}

// flags adds the settings of serve.
func (s *serving) flags(f *pflag.FlagSet) {
	s.platform.flags(f)
	s.log.flags(f)
	f.StringVar(&s.platform.http, "http", "", "take signed interactions at this address instead of the gateway, such as 127.0.0.1:7416 or unix:/run/larkfold/http.sock")
	f.StringVar(&s.platform.publicKey, "public-key", "", "the application's public key, for --http")
	f.StringVar(&s.platform.status, "status", "", "private address for /healthz, /readyz and /metrics, such as 127.0.0.1:7417")
	f.StringVar(&s.platform.shards, "shards", "", "gateway connections of this process: auto, 2/16 or 0-3/16")
	f.BoolVar(&s.platform.noRegister, "no-register", false, "leave the registered commands as they are")
	s.keep.flags(f)
	s.replica.flags(f)
	settings(f)
}

// sound refuses settings that cannot work, whatever the platform says.
func (s *serving) sound() error {
	if s.replica.drain < 0 {
		return badSetting{fmt.Errorf("--drain %s is no time to go on answering: 0s ends at once", s.replica.drain)}
	}
	return errors.Join(s.keep.sound(), s.place.sharesKey())
}

// run runs the bot until the context ends.
func (s *serving) run(ctx context.Context, config bot.Config, log *slog.Logger) (err error) {
	stayModest()
	made, err := s.place.makeKey()
	if err != nil {
		return err
	}
	if made != "" {
		log.Warn("a key was made that seals what members save: copy it to another machine now; without it neither the store nor a backup can be read", "file", made)
	}
	seen := newFigures()
	s.place.wrote = seen.wrote
	kept, err := s.place.open(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, kept.Close()) }()
	if kept.remote() {
		s.replica.named()
		log = log.With("replica", s.replica.name)
		config.Log = log
	}
	log.Info("starting", "version", version(), "data", kept.dir, "engine", kept.where, "sealed", kept.opts.Key != nil, "key", keyID(kept.opts.Key), "way", s.platform.way())
	retention := s.keep.retention()
	if kept.remote() {
		retention = member.Retention{Database: true}
	}
	config.App = commands.New(commands.Config{Store: kept.Records, Retention: retention, Greets: true})
	if kept.opts.Key == nil && !s.place.plain {
		log.Warn("what members save is not sealed: seal it with larkfold keygen and larkfold reseal, or say --plain if that is meant")
	}
	config.Version = version()
	config.Tell = tellManager(log)
	config.StoreReady = seen.ready(kept)
	config.Metrics = seen.collectors(kept)
	config.Replicas.Drain = s.replica.drain
	keep := s.keep.run
	if kept.remote() {
		config.StoreReady = kept.alive // another replica's changes may go well while none is tried here
		config.Replicas = s.replica.joins(kept)
		keep = s.replica.keepRemote
	}
	group, ctx := errgroup.WithContext(ctx)
	ctx, end := context.WithCancel(ctx)
	group.Go(func() error {
		defer end()
		return bot.Run(ctx, config)
	})
	group.Go(func() error { keep(ctx, kept, seen, log); return nil })
	if !kept.remote() {
		group.Go(func() error { hear(ctx, kept, log); return nil })
	}
	group.Go(func() error { return passOverHangups(ctx, log) })
	group.Go(func() error { return watchdog(ctx, kept.alive, log) })
	return group.Wait()
}

// keyID names a key without giving it away.
func keyID(key *seal.Key) string {
	if key == nil {
		return "none"
	}
	return key.ID()
}

// stayModest lets the heap grow by half before it is collected, instead of
// doubling, unless the operator has said otherwise: plans and pictures come in
// bursts, and small machines are what communities have.
func stayModest() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(50)
	}
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
