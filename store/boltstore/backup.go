package boltstore

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"larkfold/store"
)

// Backups keeps a row of snapshots of an engine in a directory, each one opened
// and checked before it counts.
type Backups struct {
	Engine *Engine
	Dir    string        // made with mode 0700 if it is not there
	Keep   int           // how many to keep, at least 1
	Store  store.Options // opens a snapshot: keys, where it is sealed
}

const (
	backupTime   = "20060102T150405Z"
	backupPrefix = "backup-"
	backupSuffix = ".db"
)

// Run makes a backup at every tick until the context ends and hands what came
// of it to report.
func (b *Backups) Run(ctx context.Context, ticks <-chan time.Time, report func(path string, err error)) {
	for {
		select {
		case <-ctx.Done():
			return
		case now, ok := <-ticks:
			if !ok {
				return
			}
			report(b.Make(ctx, now))
		}
	}
}

// Make writes one backup, named for the time, checks it, and removes the
// oldest ones beyond Keep. A backup that is not sound is removed, and no older
// one is given up for it.
func (b *Backups) Make(ctx context.Context, now time.Time) (path string, err error) {
	if err := os.MkdirAll(b.Dir, 0o700); err != nil {
		return "", fmt.Errorf("making the directory of backups: %w", err)
	}
	path = filepath.Join(b.Dir, backupPrefix+now.UTC().Format(backupTime)+backupSuffix)
	if err := b.Engine.SnapshotFile(ctx, path); err != nil {
		return "", err
	}
	report, err := CheckFile(ctx, path, b.Store)
	if err == nil {
		err = errors.Join(report.Problems...)
	}
	if err != nil {
		return "", errors.Join(fmt.Errorf("the new backup is not sound: %w", err), os.Remove(path))
	}
	return path, b.rotate()
}

// List returns the paths of the backups, the oldest first.
func (b *Backups) List() ([]string, error) {
	entries, err := os.ReadDir(b.Dir)
	if err != nil {
		return nil, fmt.Errorf("looking for backups: %w", err)
	}
	var paths []string
	for _, entry := range entries {
		name := strings.TrimSuffix(strings.TrimPrefix(entry.Name(), backupPrefix), backupSuffix)
		if _, err := time.Parse(backupTime, name); err == nil && entry.Name() == backupPrefix+name+backupSuffix {
			paths = append(paths, filepath.Join(b.Dir, entry.Name()))
		}
	}
	slices.Sort(paths)
	return paths, nil
}

func (b *Backups) rotate() error {
	paths, err := b.List()
	if err != nil {
		return err
	}
	for _, path := range paths[:max(0, len(paths)-max(b.Keep, 1))] {
		if err := os.Remove(path); err != nil {
			return fmt.Errorf("removing an old backup: %w", err)
		}
	}
	return nil
}
