package main

import (
	"cmp"
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"log/slog"
	"os"
	"time"

	"github.com/spf13/pflag"

	"larkfold/bot"
	"larkfold/store"
	"larkfold/store/pgstore"
)

// openRemote opens a store on a server, which other replicas may have open too.
func (p *place) openRemote(ctx context.Context, dir string, opts store.Options) (*opened, error) {
	engine, err := pgstore.Open(ctx, p.address, pgstore.Options{})
	if err != nil {
		return nil, err
	}
	o := &opened{holds: engine, where: engine.Place(), dir: dir, opts: opts}
	if o.Records, err = store.New(ctx, engine, opts); err != nil {
		return nil, errors.Join(err, engine.Close())
	}
	o.notePartlyPlain()
	return o, nil
}

// remote tells that other replicas may have the store open too.
func (o *opened) remote() bool { return o.engine == nil }

// checkRemote checks every record of a store on a server.
func (p *place) checkRemote(ctx context.Context) (store.CheckReport, error) {
	_, opts, err := p.file()
	if err != nil {
		return store.CheckReport{}, err
	}
	engine, err := pgstore.Open(ctx, p.address, pgstore.Options{ReadOnly: true})
	if err != nil {
		return store.CheckReport{}, err
	}
	defer engine.Close()
	return store.Verify(ctx, engine, opts)
}

// onFile refuses what only a store in a file needs.
func (p *place) onFile(instead string) error {
	if p.address == "" {
		return nil
	}
	return badInput{"the store is on a PostgreSQL server (--store), which looks after that itself: " + instead}
}

// replica is one of several programs that serve one store.
type replica struct {
	name  string
	drain time.Duration
	id    string // of this process; no two have the same
}

func (r *replica) flags(f *pflag.FlagSet) {
	f.StringVar(&r.name, "replica", "", "name of this replica in logs and metrics, for a store that several share; the machine's name if silent")
	f.DurationVar(&r.drain, "drain", 0, "with --http, how long to go on answering after being told to stop, while /readyz says no")
}

// named gives a replica its name.
func (r *replica) named() {
	if r.name == "" {
		name, err := os.Hostname()
		if err != nil {
			name = ""
		}
		r.name = cmp.Or(name, "nameless")
	}
	r.id = r.name + " " + rand.Text()
}

// joins makes a bot one of several.
func (r *replica) joins(s *opened) bot.Replicas {
	return bot.Replicas{
		Name: r.name, Drain: r.drain,
		Alone: func(ctx context.Context, work string, do func(context.Context) error) error {
			return r.alone(ctx, s, work, do)
		},
		First: func(ctx context.Context, member, interaction string) (bool, error) {
			_, first, err := s.Once(ctx, member, time.Now(), "post "+interaction, func(*store.Tx) (json.RawMessage, error) { return nil, nil })
			return first, err
		},
	}
}

// How long a replica may be silent before another does its work, and how often
// the others look.
const (
	turnLife = time.Minute
	turnLook = time.Second
)

// alone waits for the turn of this replica and does the work.
func (r *replica) alone(ctx context.Context, s *opened, work string, do func(context.Context) error) error {
	for {
		lease, mine, err := s.Take(ctx, work, r.id, time.Now(), turnLife)
		if err != nil {
			return err
		}
		if mine {
			return errors.Join(do(ctx), s.GiveBack(context.WithoutCancel(ctx), lease))
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(turnLook):
		}
	}
}

// sweep takes out what has expired, unless another replica did so in this
// sweepEvery: the lease is kept until it runs out.
func (r *replica) sweep(ctx context.Context, s *opened, now time.Time) (int, error) {
	lease, mine, err := s.Take(ctx, "sweep", r.id, now, sweepEvery)
	if err != nil || !mine {
		return 0, err
	}
	return s.Under(lease).Sweep(ctx, now)
}

// keepRemote looks after a store that several replicas share, until the context
// ends. Backups and tidying are the server's own.
func (r *replica) keepRemote(ctx context.Context, s *opened, _ *figures, log *slog.Logger) {
	sweepWith(ctx, func(ctx context.Context, now time.Time) (int, error) { return r.sweep(ctx, s, now) }, log)
}
