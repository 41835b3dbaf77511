//go:build unix

package pgstore

import (
	"os"
	"sync"
	"testing"

	"larkfold/store/pairs"
	"larkfold/store/pgstore/pgtest"
	"larkfold/store/storetest"
)

func TestMain(m *testing.M) {
	code := m.Run()
	pgtest.Stop()
	os.Exit(code)
}

func TestEngine(t *testing.T) {
	server := pgtest.SharedServer(t)
	var mu sync.Mutex
	places := map[string]string{} // by directory
	place := func(dir string) string {
		mu.Lock()
		defer mu.Unlock()
		if places[dir] == "" {
			places[dir] = pgtest.Shared(t)
		}
		return places[dir]
	}
	storetest.Run(t, storetest.Subject{
		Open:   func(dir string) (pairs.Engine, error) { return Open(t.Context(), place(dir), Options{}) },
		Shared: true,
		OpenOver: func(dir string) (pairs.Engine, func(storetest.Moment), error) {
			proxy := server.NewProxy(t)
			engine, err := Open(t.Context(), proxy.Address(place(dir)), Options{})
			return engine, func(when storetest.Moment) {
				if when == storetest.BeforeCommit {
					proxy.CutBeforeCommit()
				} else {
					proxy.CutAfterCommit()
				}
			}, err
		},
	})
}
