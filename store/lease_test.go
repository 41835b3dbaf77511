package store_test

import (
	"context"
	"encoding/json"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/storetest"
)

func TestLease(t *testing.T) {
	engine := storetest.NewMemory()
	shelf := func() *store.Records {
		s, err := store.New(t.Context(), engine, store.Options{})
		require.NoError(t, err)
		return s
	}
	one, two := shelf(), shelf()
	const life = 10 * time.Minute
	take := func(s *store.Records, holder string, at time.Time) (store.Lease, bool) {
		lease, taken, err := s.Take(t.Context(), "sweep", holder, at, life)
		require.NoError(t, err)
		return lease, taken
	}
	first, taken := take(one, "one", noon)
	require.True(t, taken)
	_, taken = take(two, "two", noon.Add(life-time.Second))
	require.False(t, taken, "one has it")
	longer, taken := take(one, "one", noon.Add(life-time.Second))
	require.True(t, taken, "the holder may go on")
	require.Equal(t, first.Fence, longer.Fence)
	_, taken = take(two, "two", noon.Add(2*life-2*time.Second))
	require.False(t, taken)
	second, taken := take(two, "two", noon.Add(2*life-time.Second))
	require.True(t, taken, "it has run out")
	require.Greater(t, second.Fence, first.Fence)

	// The first holder comes back late and must not go on.
	late, now := one.Under(longer), two.Under(second)
	_, err := late.SaveProject(t.Context(), "ann", noon, store.Project{Name: "Late", Sheet: "s"}, 0)
	require.ErrorIs(t, err, store.ErrLeaseLost)
	_, _, err = late.Once(t.Context(), "ann", noon, "late", func(*store.Tx) (json.RawMessage, error) { return nil, nil })
	require.ErrorIs(t, err, store.ErrLeaseLost)
	_, err = now.SaveProject(t.Context(), "ann", noon, store.Project{Name: "In time", Sheet: "s"}, 0)
	require.NoError(t, err)
	list, err := late.Projects(t.Context(), "ann")
	require.NoError(t, err, "reading harms nobody")
	require.Len(t, list, 1)

	require.NoError(t, one.GiveBack(t.Context(), longer), "it is no longer theirs to give")
	_, taken = take(one, "one", noon.Add(2*life))
	require.False(t, taken)
	require.NoError(t, two.GiveBack(t.Context(), second))
	third, taken := take(one, "one", noon.Add(2*life))
	require.True(t, taken)
	require.Greater(t, third.Fence, second.Fence)
	_, err = now.SaveProject(t.Context(), "ann", noon, store.Project{Name: "Given back", Sheet: "s"}, 0)
	require.ErrorIs(t, err, store.ErrLeaseLost)

	report, err := one.Check(t.Context())
	require.NoError(t, err)
	require.Empty(t, report.Problems)
	require.Equal(t, 1, report.Records[store.KindLease])
}

// Of many who want it at once, one gets it, and every change of hands has its own fence.
func TestLeaseIsTakenByOne(t *testing.T) {
	s, err := store.New(t.Context(), storetest.NewMemory(), store.Options{})
	require.NoError(t, err)
	fences := map[uint64]bool{}
	for round := range 10 {
		var group sync.WaitGroup
		var got atomic.Int64
		var mu sync.Mutex
		for n := range 8 {
			group.Go(func() {
				lease, taken, err := s.Take(context.Background(), "sweep", fmt.Sprint("replica ", round, n), noon.Add(time.Duration(round)*time.Hour), time.Minute)
				if err != nil {
					t.Error(err)
				}
				if taken {
					got.Add(1)
					mu.Lock()
					fences[lease.Fence] = true
					mu.Unlock()
				}
			})
		}
		group.Wait()
		require.EqualValues(t, 1, got.Load())
	}
	require.Len(t, fences, 10)
}
