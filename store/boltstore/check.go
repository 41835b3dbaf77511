package boltstore

import (
	"context"
	"errors"
	"fmt"
	"os"
	"sync"

	"go.etcd.io/bbolt"

	"larkfold/store"
)

// Check goes through the structure of the file while it stays in use, with a
// reader of its own that no damage can mislead. In a file that is open for
// reading only it runs bbolt's check after that, which a writer would disturb.
// What is in the records is checked by [store.Shelf.Check].
func (e *Engine) Check(ctx context.Context) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	if err := e.checkPages(wholePages); err != nil || !e.db.IsReadOnly() {
		return err
	}
	return e.fault(guard(func() error { return e.db.View(e.boltCheck) }))
}

// checkPages walks the pages of the file as they are at this moment.
func (e *Engine) checkPages(depth checkDepth) error {
	file, err := os.Open(e.db.Path())
	if err != nil {
		return fmt.Errorf("checking the store: %w", err)
	}
	defer file.Close()
	// Two changes later the meta of this moment is written over, so none may pass before it is read.
	e.turn <- struct{}{}
	release := sync.OnceFunc(func() { <-e.turn })
	defer release()
	return e.fault(guard(func() error {
		return e.db.View(func(tx *bbolt.Tx) error {
			meta, err := findMeta(file, uint64(tx.ID()))
			if err == nil && depth == wholePages {
				_, err = bothMetas(file)
			}
			release()
			if err == nil {
				err = checkTree(file, tx.Size(), meta, depth)
			}
			if err != nil {
				return damagedFile(e.db.Path(), err)
			}
			return nil
		})
	}))
}

// mostProblems is how many problems of one file are told.
const mostProblems = 10

func (e *Engine) boltCheck(tx *bbolt.Tx) error {
	var problems []error
	for err := range tx.Check() {
		if len(problems) < mostProblems {
			problems = append(problems, err)
		}
	}
	if len(problems) > 0 {
		return damagedFile(e.db.Path(), errors.Join(problems...))
	}
	return nil
}

func damagedFile(path string, cause error) error {
	return &store.Fault{Kind: store.ErrDamaged, Cause: cause,
		Sentence: fmt.Sprintf("The file %s is damaged. Restore the newest good backup.", path)}
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

// checkPages checks a file's structure without bbolt.
func checkPages(path string) error {
	file, err := os.Open(path)
	if err != nil {
		return fmt.Errorf("checking the store: %w", err)
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return fmt.Errorf("checking the store: %w", err)
	}
	meta, err := bothMetas(file)
	if err == nil {
		err = checkTree(file, info.Size(), meta, wholePages)
	}
	if err != nil {
		return damagedFile(path, err)
	}
	return nil
}
