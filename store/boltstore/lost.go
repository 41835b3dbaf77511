package boltstore

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"

	"go.etcd.io/bbolt"

	"larkfold/store"
)

// newestBackup returns how many changes the newest good backup counts, and
// refuses a file that is missing, empty or counts fewer, unless it is meant.
func newestBackup(path string, options Options) (counted uint64, err error) {
	if options.Backups == "" {
		return 0, nil
	}
	row, err := listBackups(options.Backups)
	if err != nil {
		return 0, err
	}
	best := ""
	for _, b := range slices.Backward(row) {
		if n, err := changes(b.Path, options); err == nil { // a damaged backup says nothing
			best, counted = b.Path, n
			break
		}
	}
	if best == "" || options.Afresh {
		return counted, nil
	}
	what := ""
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		what = "is missing"
	case err != nil:
		return 0, fmt.Errorf("looking at the store: %w", err)
	case info.Size() == 0:
		what = "is empty"
	default:
		n, err := changes(path, options)
		if err != nil {
			return 0, err
		}
		if n >= counted {
			return counted, nil
		}
		what = "is older than a backup of it"
	}
	return 0, &store.Fault{Kind: store.ErrLost, Sentence: fmt.Sprintf(
		"The store %s %s, so something has been lost. `larkfold restore --force %s` brings that backup back; serve --afresh goes on without it.", path, what, best)}
}

// changes returns how many changes a file counts.
func changes(path string, options Options) (n uint64, err error) {
	f, err := openChecked(path, Options{LockTimeout: options.LockTimeout, StepBack: options.StepBack})
	if err != nil {
		return 0, err
	}
	err = guard(func() error {
		return f.db.View(func(tx *bbolt.Tx) error {
			if b := tx.Bucket(bucketName); b != nil {
				n = b.Sequence()
			}
			return nil
		})
	})
	return n, errors.Join(err, f.db.Close())
}
