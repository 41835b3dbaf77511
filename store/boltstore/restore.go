package boltstore

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"time"

	"go.etcd.io/bbolt"

	"larkfold/store"
)

// RestoreOptions says how a backup is restored.
type RestoreOptions struct {
	Force   bool          // put an existing store aside; without it one is refused
	Now     time.Time     // names the file that is put aside
	Store   store.Options // opens the backup: keys, where it is sealed
	Backups string        // folder of the backups, so that the restored store counts as newer than all of them
}

// Restore checks a backup, every record of it, and puts a copy in the place of
// a store that no program has open. The copy has the owner and the mode of the
// store before, or where there is none the owner of its folder. An existing
// store is refused with [store.ErrExists], or with Force kept aside under the
// name that is returned; an empty file is no store.
func Restore(ctx context.Context, backup, path string, options RestoreOptions) (aside string, err error) {
	exists, err := settled(path)
	if err != nil {
		return "", err
	}
	if exists && !options.Force {
		return "", &store.Fault{Kind: store.ErrExists, Sentence: fmt.Sprintf(
			"There is a store %s already. Restore with --force to put it aside and use the backup.", path)}
	}
	fresh := path + unfinished
	if err := checkAndCopy(ctx, backup, fresh, options.Store); err != nil {
		return "", errors.Join(err, removeIfThere(fresh))
	}
	if err := countOn(fresh, path, options); err != nil {
		return "", notPut(errors.Join(err, removeIfThere(fresh)))
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

// checkAndCopy checks a backup while it is copied to a fresh file, which nobody
// opens before it is known to be sound.
func checkAndCopy(ctx context.Context, backup, fresh string, options store.Options) error {
	copying, giveUp := context.WithCancel(ctx)
	defer giveUp()
	written := make(chan error, 1)
	go func() { written <- copyTo(copying, backup, fresh) }()
	report, err := CheckFile(ctx, backup, options)
	if err == nil {
		err = errors.Join(report.Problems...)
	}
	if err != nil {
		giveUp()
	}
	failed := <-written
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case errors.Is(err, store.ErrDamaged):
		return fmt.Errorf("the backup %s is not sound, nothing was restored: %w", backup, err)
	case err != nil:
		return fmt.Errorf("nothing was restored: %w", err)
	case failed != nil:
		return notPut(failed)
	}
	return nil
}

// notPut puts into a sentence that a restored store cannot be written.
func notPut(err error) error {
	switch {
	case noRoom(err):
		return &store.Fault{Kind: store.ErrFull, Sentence: "Nothing was restored: there is no room for the store beside the one before.", Cause: err}
	case errors.Is(err, fs.ErrPermission), errors.Is(err, syscall.EROFS):
		return &store.Fault{Kind: store.ErrReadOnly, Sentence: "Nothing was restored: this user may not write in the folder of the store, or its disk is read-only.", Cause: err}
	}
	return fmt.Errorf("restoring the store: %w", err)
}

// copyTo copies a file to a fresh one of mode 0600.
func copyTo(ctx context.Context, from, fresh string) error {
	handle, err := os.OpenFile(fresh, os.O_RDWR|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return err
	}
	return errors.Join(copyFile(ctx, from, handle), handle.Close())
}

// countOn makes a fresh file count more changes than the store that it replaces
// and than every backup, and gives it that store's owner and mode.
func countOn(fresh, path string, options RestoreOptions) error {
	counted, err := newestBackup(fresh, Options{Backups: options.Backups, Afresh: true})
	if err != nil {
		return err
	}
	if n, err := changes(path, Options{StepBack: true}); err == nil {
		counted = max(counted, n)
	}
	f, err := openFile(fresh, Options{LockTimeout: defaultLockTimeout})
	if err != nil {
		return err
	}
	err = f.update(func(tx *bbolt.Tx) error {
		b, err := records(tx)
		if err != nil {
			return err
		}
		return b.SetSequence(max(counted, b.Sequence()) + 1)
	})
	return errors.Join(err, f.db.Close(), likeFile(fresh, path))
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
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return false, nil
	case err != nil:
		return false, &store.Fault{Kind: fs.ErrPermission, Sentence: fmt.Sprintf("The store %s cannot be looked at by this user.", path), Cause: err}
	case info.IsDir():
		return false, &store.Fault{Kind: fs.ErrInvalid, Sentence: fmt.Sprintf("%s is a folder where the store should be. It is left as it is: move it away and restore again.", path)}
	case info.Size() == 0:
		return false, nil
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
	_, err = io.Copy(to, &contextReader{ctx: ctx, r: f})
	return errors.Join(err, f.Close())
}

// contextReader stops reading when its context ends.
type contextReader struct {
	ctx context.Context
	r   io.Reader
}

func (r *contextReader) Read(b []byte) (int, error) {
	if err := r.ctx.Err(); err != nil {
		return 0, err
	}
	return r.r.Read(b)
}
