package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"time"

	"larkfold/cmd/larkfold/files"
	"larkfold/store"
	"larkfold/store/boltstore"
)

// copyBeforeUpgrade keeps a checked copy of a store whose records are about to be
// brought to a newer format, and says so: an older program reads only the copy.
func copyBeforeUpgrade(ctx context.Context, engine *boltstore.Engine, file string, opts store.Options) error {
	stored, newest, err := store.Formats(ctx, engine, opts)
	if err != nil || stored == newest {
		return err
	}
	path := fmt.Sprintf("%s.format-%d-%s", file, stored, time.Now().UTC().Format("20060102T150405Z"))
	_, err = engine.Copy(ctx, path, opts)
	if errors.Is(err, store.ErrWrongKey) { // it is plain as yet
		_, err = engine.Copy(ctx, path, store.Options{})
	}
	if err != nil {
		return fmt.Errorf("the store has format %d and is left as it is, for it cannot be copied before it is brought to format %d: %w", stored, newest, err)
	}
	fmt.Fprintf(os.Stderr, "note: the store had format %d and was copied to %s, for older programs; it is brought to format %d now\n", stored, files.Short(path), newest)
	return nil
}
