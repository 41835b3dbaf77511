package main

import (
	"context"
	"fmt"
	"log/slog"
	"sync"
	"time"

	"github.com/spf13/pflag"

	"larkfold/commands/member"
	"larkfold/store/boltstore"
)

// housekeeping is what serve does to the store from time to time.
type housekeeping struct {
	every time.Duration // between backups
	keep  int
	bytes int64 // that all backups may take, in MiB
}

func (h *housekeeping) flags(f *pflag.FlagSet) {
	f.DurationVar(&h.every, "backup-every", 24*time.Hour, "time between backups; 0 makes none")
	f.IntVar(&h.keep, "keep-backups", 14, "how many backups to keep")
	f.Int64Var(&h.bytes, "backup-mib", 0, "how much room all backups may take, in MiB; 0 means no bound")
}

// sound refuses numbers that would be taken for others.
func (h *housekeeping) sound() error {
	switch {
	case h.every < 0:
		return badSetting{fmt.Errorf("--backup-every %s is no time between backups: 24h is a day, and 0 makes none", h.every)}
	case h.keep < 1:
		return badSetting{fmt.Errorf("--keep-backups %d keeps none: 1 is the fewest; --backup-every 0 makes none", h.keep)}
	case h.bytes < 0:
		return badSetting{fmt.Errorf("--backup-mib %d is no room for backups: 0 means no bound", h.bytes)}
	}
	return nil
}

// retention is how long what was erased may still stand somewhere, while all goes well.
func (h *housekeeping) retention() member.Retention {
	return member.Retention{File: tidyEvery, Backups: h.every * time.Duration(h.keep)}
}

// run looks after the store until the context ends.
func (h housekeeping) run(ctx context.Context, s *opened, seen *figures, log *slog.Logger) {
	var wg sync.WaitGroup
	wg.Go(func() { h.backUp(ctx, s, seen, log) })
	wg.Go(func() { sweepWith(ctx, s.Sweep, log) })
	wg.Go(func() { tidy(ctx, s, seen, log) })
	wg.Wait()
}

// backUp makes backups until the context ends. What fails is logged and tried
// again within minutes.
func (h housekeeping) backUp(ctx context.Context, s *opened, seen *figures, log *slog.Logger) {
	if h.every <= 0 {
		return
	}
	backups := &boltstore.Backups{Engine: s.engine, Dir: s.backups, Keep: h.keep, Bytes: h.bytes << 20, Store: s.options}
	backups.Run(ctx, h.every, func(path string, err error) {
		seen.backups.WithLabelValues(result(err)).Inc()
		if err != nil {
			log.Error("no backup was made", "error", err)
			return
		}
		log.Info("backup made", "file", path)
	})
}

// When the store's file is written afresh: a while after the start and then
// every day, so that what was erased stays in unused parts of it no longer;
// sooner when somebody was forgotten, or when most of a large file is unused.
const (
	tidyLook   = 10 * time.Minute
	tidyEvery  = 24 * time.Hour
	tidySooner = time.Hour
	tidyLarge  = 16 << 20 // bytes
)

// tidyDue tells whether a file that was last tidied at a time, zero for never, wants it now.
func tidyDue(now, last time.Time, forgot bool, stats boltstore.Stats) bool {
	since := now.Sub(last)
	mostlyUnused := stats.Bytes > tidyLarge && stats.Free > stats.Bytes/2
	return since > tidyEvery-tidyLook || since >= tidySooner && (forgot || mostlyUnused)
}

// tidy writes the store's file afresh when it is due, until the context ends.
func tidy(ctx context.Context, s *opened, seen *figures, log *slog.Logger) {
	looks := time.NewTicker(tidyLook)
	defer looks.Stop()
	var last time.Time
	for {
		select {
		case <-ctx.Done():
			return
		case now := <-looks.C:
			stats, err := s.engine.Stats(ctx)
			if err != nil {
				log.Error("the store cannot be looked at", "error", err)
			}
			forgot := s.forgot.Load()
			if !tidyDue(now, last, forgot > 0, stats) {
				continue
			}
			before, after, err := s.engine.Tidy(ctx)
			seen.tidyings.WithLabelValues(result(err)).Inc()
			if err != nil {
				log.Error("the store was not tidied", "error", err)
				continue
			}
			last = now
			s.forgot.Add(-forgot)
			log.Info("the store was tidied", "bytes_before", before, "bytes_after", after)
		}
	}
}

// sweepEvery is the time between two sweeps of what has expired.
const sweepEvery = time.Hour

// sweepWith takes out what has expired, now and then until the context ends.
func sweepWith(ctx context.Context, sweep func(context.Context, time.Time) (int, error), log *slog.Logger) {
	ticks := time.NewTicker(sweepEvery)
	defer ticks.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case now := <-ticks.C:
			if n, err := sweep(ctx, now); err != nil {
				log.Error("what has expired could not be swept out", "error", err)
			} else if n > 0 {
				log.Info("swept out what has expired", "records", n)
			}
		}
	}
}
