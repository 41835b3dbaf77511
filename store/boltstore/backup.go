package boltstore

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"larkfold/store"
)

// Backups keeps a row of copies of an engine in a directory, which may be on
// another disk. A copy gets its name in the row when every record of it is checked.
type Backups struct {
	Engine *Engine
	Dir    string               // made with mode 0700 if it is not there
	Keep   int                  // how many to keep, at least 1
	Bytes  int64                // how much room all of them may take; zero means no bound
	Store  func() store.Options // opens a backup: keys, where it is sealed; nil for a plain store
}

const (
	backupTime   = "20060102T150405Z"
	backupPrefix = "backup-"
	backupSuffix = ".db"
)

// retryAfter is how long to wait after a backup that failed; the wait doubles
// until it is as long as that between two backups.
const retryAfter = time.Minute

// Run makes a backup every so often until the context ends, the first one when
// the newest has that age, and hands what came of each to report. One that
// failed is tried again within minutes.
func (b *Backups) Run(ctx context.Context, every time.Duration, report func(path string, err error)) {
	for wait, retry := every-b.age(time.Now()), retryAfter; ; {
		select {
		case <-ctx.Done():
			return
		case <-time.After(max(0, wait)):
		}
		path, err := b.Make(ctx, time.Now())
		if ctx.Err() != nil {
			return
		}
		report(path, err)
		if err == nil {
			wait, retry = every, retryAfter
			continue
		}
		wait, retry = min(retry, every), 2*retry
	}
}

// age is the time since the newest backup was made, and none when it is from the future.
func (b *Backups) age(now time.Time) time.Duration {
	row, err := b.List()
	if err != nil || len(row) == 0 {
		return 1 << 62
	}
	return max(0, now.Sub(row[len(row)-1].Time))
}

// Make writes one backup, named for the time, checks it, gives it its name and
// removes the oldest ones beyond Keep and Bytes. A copy that does not check, or
// whose check is broken off, leaves nothing behind, and no older backup is
// given up for it. While the clock is behind the newest backup none is given up at all.
func (b *Backups) Make(ctx context.Context, now time.Time) (path string, err error) {
	if err := os.MkdirAll(b.Dir, 0o700); err != nil {
		return "", fmt.Errorf("making the directory of backups: %w", err)
	}
	if err := b.clearUnfinished(); err != nil {
		return "", err
	}
	before, err := b.List()
	if err != nil {
		return "", err
	}
	now = now.UTC().Truncate(time.Second)
	made := Backup{Path: filepath.Join(b.Dir, backupPrefix+now.Format(backupTime)+backupSuffix), Time: now}
	behind := len(before) > 0 && now.Before(before[len(before)-1].Time)
	if behind && b.Bytes > 0 && total(before) > b.Bytes {
		return "", &store.Fault{Kind: store.ErrFull, Sentence: fmt.Sprintf(
			"The clock is behind the newest backup, %s, so none is given up, and there is no room for another one. Set the clock, or remove backups by hand.",
			before[len(before)-1].Path)}
	}
	var options store.Options
	if b.Store != nil {
		options = b.Store()
	}
	_, err = b.Engine.Copy(ctx, made.Path, options)
	switch {
	case err == nil:
	case ctx.Err() != nil:
		return "", ctx.Err()
	case errors.Is(err, store.ErrDamaged):
		return "", fmt.Errorf("the new backup is not sound: %w", err)
	default:
		return "", err
	}
	if behind {
		return made.Path, nil
	}
	return made.Path, b.rotate(made)
}

// Backup is one backup in a row.
type Backup struct {
	Path  string
	Time  time.Time // when it was made, by its name
	Bytes int64
}

func total(row []Backup) (n int64) {
	for _, b := range row {
		n += b.Bytes
	}
	return n
}

// List returns the backups, the oldest first.
func (b *Backups) List() ([]Backup, error) { return listBackups(b.Dir) }

func listBackups(dir string) (row []Backup, err error) {
	entries, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, &store.Fault{Kind: fs.ErrInvalid, Cause: err,
			Sentence: fmt.Sprintf("The folder of the backups, %s, cannot be looked into by this user, or is none.", dir)}
	}
	for _, entry := range entries {
		name := strings.TrimSuffix(strings.TrimPrefix(entry.Name(), backupPrefix), backupSuffix)
		at, err := time.Parse(backupTime, name)
		if err != nil || entry.Name() != backupPrefix+name+backupSuffix {
			continue
		}
		info, err := entry.Info()
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil {
			return nil, fmt.Errorf("looking for backups: %w", err)
		}
		row = append(row, Backup{filepath.Join(dir, entry.Name()), at, info.Size()})
	}
	slices.SortFunc(row, func(a, b Backup) int { return a.Time.Compare(b.Time) })
	return row, nil
}

// rotate removes the oldest backups that are too many or too large in all, never the one just made.
func (b *Backups) rotate(made Backup) error {
	row, err := b.List()
	if err != nil {
		return err
	}
	for left, bytes := len(row), total(row); len(row) > 0; row = row[1:] {
		oldest := row[0]
		if oldest.Path == made.Path || left <= max(b.Keep, 1) && (b.Bytes <= 0 || bytes <= b.Bytes) {
			break
		}
		if err := os.Remove(oldest.Path); err != nil {
			return fmt.Errorf("removing an old backup: %w", err)
		}
		left, bytes = left-1, bytes-oldest.Bytes
	}
	return nil
}

// clearUnfinished removes what a backup that was killed has left.
func (b *Backups) clearUnfinished() error {
	left, err := filepath.Glob(filepath.Join(b.Dir, backupPrefix+"*"+backupSuffix+unfinished))
	for _, path := range left {
		err = errors.Join(err, removeIfThere(path))
	}
	if err != nil {
		return fmt.Errorf("clearing away an unfinished backup: %w", err)
	}
	return nil
}
