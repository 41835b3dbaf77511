package boltstore

import (
	"path/filepath"
	"testing"

	"larkfold/store"
	"larkfold/store/storetest"
)

func TestEngine(t *testing.T) {
	file := func(dir string) string { return filepath.Join(dir, "store.db") }
	storetest.Run(t, storetest.Subject{
		Open: func(dir string) (store.Engine, error) { return Open(file(dir), Options{}) },
		Check: func(dir string) error {
			if err := checkPages(file(dir)); err != nil {
				return err
			}
			e, err := Open(file(dir), Options{ReadOnly: true})
			if err != nil {
				return err
			}
			defer e.Close()
			return e.Check(t.Context())
		},
	})
}
