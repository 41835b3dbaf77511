package main

import (
	"context"
	"log/slog"
	"time"

	"github.com/coreos/go-systemd/v22/daemon"
)

// tellManager tells the service manager, where there is one that wants to know,
// when the bot answers and what it is at; see sd_notify(3).
func tellManager(log *slog.Logger) func(answering bool, what string) {
	return func(answering bool, what string) {
		state := "STATUS=" + what
		if answering {
			state += "\n" + daemon.SdNotifyReady
		}
		if _, err := daemon.SdNotify(false, state); err != nil {
			log.Warn("the service manager cannot be told", "error", err)
		}
	}
}

// watchdog tells the service manager that the program lives, as often as that
// asks for, for as long as the store can be read. What makes reading fail is not
// mended by a restart; what makes it hang may be.
func watchdog(ctx context.Context, alive func(context.Context) error, log *slog.Logger) error {
	most, err := daemon.SdWatchdogEnabled(false)
	if err != nil {
		log.Warn("the service manager's watchdog cannot be served", "error", err)
	}
	if most == 0 {
		return nil
	}
	ticks := time.NewTicker(most / 3)
	defer ticks.Stop()
	for {
		select {
		case <-ctx.Done():
			return nil
		case <-ticks.C:
			_ = alive(ctx)
			if _, err := daemon.SdNotify(false, daemon.SdNotifyWatchdog); err != nil {
				log.Warn("the service manager cannot be told", "error", err)
			}
		}
	}
}
