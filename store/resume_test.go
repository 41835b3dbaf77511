package store_test

import (
	"bytes"
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/boltstore"
	"larkfold/store/pairs"
	"larkfold/store/seal"
	"larkfold/store/storetest"
)

// copyOf copies everything into a new engine in memory.
func copyOf(t *testing.T, from pairs.Engine) pairs.Engine {
	t.Helper()
	to := storetest.NewMemory()
	require.NoError(t, from.View(t.Context(), func(r pairs.Reader) error {
		return to.Update(t.Context(), func(w pairs.Writer) error {
			for pair, err := range r.Scan(nil, nil) {
				if err != nil {
					return err
				}
				if err := w.Put(bytes.Clone(pair.Key), pair.Value); err != nil {
					return err
				}
			}
			return nil
		})
	}))
	return to
}

// TestLongWorkIsTakenUpAgain breaks off bringing up to date, sealing anew and
// forgetting after every single transaction, and does them again.
func TestLongWorkIsTakenUpAgain(t *testing.T) {
	if testing.Short() {
		t.Skip("many records, one after the other")
	}
	ctx := t.Context()
	file, err := boltstore.Open(keptFile(t, "format1.db"), boltstore.Options{ReadOnly: true})
	require.NoError(t, err)
	defer file.Close()
	filled := storetest.NewMemory()
	s, err := store.New(ctx, filled, store.Options{})
	require.NoError(t, err)
	for n := range 30 {
		fill(t, s, fmt.Sprint("member ", n))
	}
	for n := range 400 {
		save(t, s, "member 7", fmt.Sprint("more ", n), "text")
	}
	key := seal.GenerateKey()

	for _, work := range []struct {
		name  string
		start pairs.Engine
		run   func(engine pairs.Engine) error
		least int // transactions it must take to be worth the test
	}{
		{"bring up to date", file, func(engine pairs.Engine) error {
			_, err := store.New(ctx, engine, store.Options{})
			return err
		}, 2},
		{"seal", filled, func(engine pairs.Engine) error {
			s, err := store.New(ctx, engine, store.Options{Key: key})
			if err == nil {
				_, err = s.Reseal(ctx)
			}
			return err
		}, 5},
		{"forget", filled, func(engine pairs.Engine) error {
			s, err := store.New(ctx, engine, store.Options{})
			if err == nil {
				_, err = s.Forget(ctx, "member 7")
			}
			return err
		}, 3},
	} {
		t.Run(work.name, func(t *testing.T) {
			whole := copyOf(t, work.start)
			require.NoError(t, work.run(whole))
			updates := 0
			for ; ; updates++ {
				engine := copyOf(t, work.start)
				err := work.run(&storetest.Breaking{Engine: engine, Left: updates})
				if err == nil {
					break
				}
				require.ErrorIs(t, err, storetest.ErrBroken)
				require.NoError(t, work.run(engine), "taken up again after %d transactions", updates)
				requireSameRecords(t, whole, engine, key)
			}
			require.GreaterOrEqual(t, updates, work.least)
			t.Logf("broken off after each of %d transactions", updates)
		})
	}
}

// requireSameRecords compares what two checks count; sealed values differ in their bytes.
func requireSameRecords(t *testing.T, want, got pairs.Engine, key *seal.Key) {
	t.Helper()
	var reports []store.CheckReport
	for _, engine := range []pairs.Engine{want, got} {
		report, err := store.Verify(t.Context(), engine, store.Options{})
		if errors.Is(err, store.ErrWrongKey) {
			report, err = store.Verify(t.Context(), engine, store.Options{Key: key})
		}
		require.NoError(t, err)
		require.Empty(t, report.Problems)
		reports = append(reports, report)
	}
	require.InDelta(t, reports[0].Bytes, reports[1].Bytes, 16, "the header counts what was sealed")
	reports[0].Bytes = reports[1].Bytes
	require.Equal(t, reports[0], reports[1])
}
