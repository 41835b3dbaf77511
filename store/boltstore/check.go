package boltstore

import (
	"context"
	"errors"
	"fmt"
	"os"
	"slices"
	"sync"

	"go.etcd.io/bbolt"

	"larkfold/store"
)

// Check goes through the structure of the file while it stays in use, with a
// reader of its own that no damage can mislead. In a file that is open for
// reading only it runs bbolt's check after that, which a writer would disturb.
// What is in the records is checked by [store.Records.Check].
func (e *Engine) Check(ctx context.Context) error {
	// Two changes later the meta of this moment is written over, so none may pass before it is read.
	e.turn <- struct{}{}
	release := sync.OnceFunc(func() { <-e.turn })
	defer release()
	return e.view(ctx, func(f *file, tx *bbolt.Tx) error {
		meta, err := f.meta(tx, false)
		release()
		if err == nil {
			err = checkTree(f.handle, tx.Size(), meta, wholePages)
		}
		if err != nil {
			return damagedFile(f.path, err)
		}
		if !f.db.IsReadOnly() {
			return nil
		}
		return boltCheck(f.path, tx)
	})
}

// checkPages walks the pages of a picture of the file.
func (f *file) checkPages(tx *bbolt.Tx, depth checkDepth, stepBack bool) error {
	meta, err := f.meta(tx, stepBack)
	if err != nil {
		return err
	}
	if err := checkTree(f.handle, tx.Size(), meta, depth); err != nil {
		return damagedFile(f.path, err)
	}
	return nil
}

// meta returns the meta that a picture began with. When the other one is
// damaged that may be the last change's, and is refused unless stepping back is meant.
func (f *file) meta(tx *bbolt.Tx, stepBack bool) (fileMeta, error) {
	metas := readMetas(f.handle)
	i := slices.IndexFunc(metas, func(m fileMeta) bool { return m.txid == uint64(tx.ID()) })
	switch {
	case i < 0:
		return fileMeta{}, damagedFile(f.path, errNoMeta)
	case len(metas) < 2 && !stepBack:
		return fileMeta{}, &store.Fault{Kind: store.ErrDamaged, Sentence: fmt.Sprintf(
			"One of the two first pages of %s is damaged. If it was the newer one, the last change is missing. "+
				"`larkfold tidy --step-back` goes on with what is there; `larkfold restore` brings back the newest good backup.", f.path)}
	}
	return metas[i], nil
}

// mostProblems is how many problems of one file are told.
const mostProblems = 10

// boltCheck is bbolt's own check.
func boltCheck(path string, tx *bbolt.Tx) error {
	var problems []error
	for err := range tx.Check() {
		if len(problems) < mostProblems {
			problems = append(problems, err)
		}
	}
	if len(problems) > 0 {
		return damagedFile(path, errors.Join(problems...))
	}
	return nil
}

// CheckFile checks a file that no program has open for writing: its structure
// and then every record. Damaged records are in the report, a damaged structure
// in the error.
func CheckFile(ctx context.Context, path string, options store.Options) (store.CheckReport, error) {
	e, err := Open(path, Options{ReadOnly: true})
	if err != nil {
		return store.CheckReport{}, err
	}
	report, err := e.checkAll(ctx, options)
	return report, errors.Join(err, e.Close())
}

func (e *Engine) checkAll(ctx context.Context, options store.Options) (store.CheckReport, error) {
	if err := e.Check(ctx); err != nil {
		return store.CheckReport{}, err
	}
	return store.Verify(ctx, e, options)
}

// checkClosed checks the structure of a file that bbolt cannot open.
func checkClosed(path string) error {
	handle, err := os.Open(path)
	if err != nil {
		return fmt.Errorf("checking the store: %w", err)
	}
	defer handle.Close()
	info, err := handle.Stat()
	if err != nil {
		return fmt.Errorf("checking the store: %w", err)
	}
	meta, err := bothMetas(handle)
	if err == nil {
		err = checkTree(handle, info.Size(), meta, wholePages)
	}
	if err != nil {
		return damagedFile(path, err)
	}
	return nil
}
