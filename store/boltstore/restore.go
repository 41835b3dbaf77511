package boltstore

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"larkfold/store"
)

// RestoreOptions says how a backup is restored.
type RestoreOptions struct {
	Force bool          // put an existing store aside; without it one is refused
	Now   time.Time     // names the file that is put aside
	Store store.Options // opens the backup: keys, where it is sealed
}

// Restore checks a backup, every record of it, and puts a copy in the place of
// a store that no program has open. An existing store is refused with
// [store.ErrExists], or with Force kept aside under the name that is returned.
func Restore(ctx context.Context, backup, path string, options RestoreOptions) (aside string, err error) {
	exists, err := settled(path)
	if err != nil {
		return "", err
	}
	if exists && !options.Force {
		return "", &store.Fault{Kind: store.ErrExists, Sentence: fmt.Sprintf(
			"There is a store %s already. Restore with force to put it aside and use the backup.", path)}
	}
	report, err := CheckFile(ctx, backup, options.Store)
	if err == nil {
		err = errors.Join(report.Problems...)
	}
	if err != nil {
		return "", fmt.Errorf("the backup %s is not sound, nothing was restored: %w", backup, err)
	}
	fresh := path + ".restored"
	if err := writeWhole(fresh, func(f *os.File) error { return copyFile(ctx, backup, f) }); err != nil {
		return "", err
	}
	if exists {
		aside = path + ".before-" + options.Now.UTC().Format(backupTime)
		if err := refuseExisting(aside); err != nil {
			return "", errors.Join(err, os.Remove(fresh))
		}
		if err := putAside(path, aside); err != nil {
			return "", errors.Join(fmt.Errorf("putting the store aside: %w", err), os.Remove(fresh))
		}
	}
	if err := errors.Join(os.Rename(fresh, path), syncDir(filepath.Dir(path))); err != nil {
		return aside, fmt.Errorf("restoring the store: %w", err)
	}
	return aside, nil
}

// putAside gives a file a second name, so that there is a store at every moment,
// or where the file system has no second names, another name.
func putAside(path, aside string) error {
	if os.Link(path, aside) == nil {
		return nil
	}
	return os.Rename(path, aside)
}

// settled tells whether there is a file, and refuses one that a program has open.
func settled(path string) (exists bool, err error) {
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return false, nil
	} else if err != nil {
		return false, fmt.Errorf("looking at the store: %w", err)
	}
	e, err := Open(path, Options{ReadOnly: true})
	if errors.Is(err, store.ErrLocked) {
		return true, err
	}
	if err != nil {
		return true, nil // damaged: that is what restoring is for
	}
	return true, e.Close()
}

func copyFile(ctx context.Context, from string, to io.Writer) error {
	f, err := os.Open(from)
	if err != nil {
		return err
	}
	_, err = io.Copy(&contextWriter{ctx: ctx, w: to}, f)
	return errors.Join(err, f.Close())
}
