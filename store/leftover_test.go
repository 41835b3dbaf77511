package store_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store"
)

const metre = store.Nanometres(1_000_000_000)

func offcut(length store.Nanometres, count int) store.Leftover {
	return store.Leftover{Kind: store.Offcut, Cord: "3 mm cotton", Length: length, Count: count}
}

// pieces shows a shelf as length in whole metres to count.
func pieces(shelf store.Leftovers) map[int]int {
	m := map[int]int{}
	for _, e := range shelf.Entries {
		m[int(e.Length/metre)] += e.Count
	}
	return m
}

func TestUsedOffcutsGoOutAndRemaindersComeIn(t *testing.T) {
	onEngines(t, store.Options{}, func(t *testing.T, s *store.Records) {
		ctx := t.Context()
		shelf, err := s.ChangeLeftovers(ctx, "ann", noon, store.LeftoverChange{Why: "found in a drawer",
			Add: []store.Leftover{offcut(5*metre, 3), offcut(2*metre, 4), {Kind: store.Spool, Cord: "3 MM cotton", Length: 100 * metre, Count: 1}}}, 0)
		require.NoError(t, err)
		require.Equal(t, uint64(1), shelf.Revision)
		require.Equal(t, store.Spool, shelf.Entries[0].Kind, "spools come first")
		five := shelf.Entries[1]
		require.Equal(t, 5*metre, five.Length)

		later := noon.Add(time.Hour)
		shelf, err = s.ChangeLeftovers(ctx, "ann", later, store.LeftoverChange{Why: "cut Owl",
			Take: []store.Take{{ID: five.ID, Count: 2}, {ID: shelf.Entries[2].ID}},
			Add:  []store.Leftover{offcut(1*metre, 2), offcut(5*metre, 1)}}, 1)
		require.NoError(t, err)
		require.Equal(t, map[int]int{100: 1, 5: 2, 1: 2}, pieces(shelf))
		again, err := s.Leftovers(ctx, "ann")
		require.NoError(t, err)
		require.Equal(t, shelf, again)

		_, err = s.ChangeLeftovers(ctx, "ann", later, store.LeftoverChange{
			Add: []store.Leftover{offcut(9*metre, 1)}, Take: []store.Take{{ID: five.ID, Count: 3}}}, 2)
		var short *store.NotEnough
		require.ErrorAs(t, err, &short)
		require.Equal(t, 2, short.Have)
		require.Equal(t, 3, short.Asked)
		again, err = s.Leftovers(ctx, "ann")
		require.NoError(t, err)
		require.Equal(t, shelf, again, "a refused change has changed nothing")

		_, err = s.ChangeLeftovers(ctx, "ann", later, store.LeftoverChange{Clear: true}, 1)
		var conflict *store.Conflict
		require.ErrorAs(t, err, &conflict)
		require.Equal(t, shelf, conflict.Stored.(store.Leftovers))

		shelf, err = s.UndoLeftovers(ctx, "ann", later, 1, 2)
		require.NoError(t, err)
		require.Equal(t, map[int]int{100: 1, 5: 3, 2: 4}, pieces(shelf))
		shelf, err = s.UndoLeftovers(ctx, "ann", later, 1, 3)
		require.NoError(t, err)
		require.Equal(t, map[int]int{100: 1, 5: 2, 1: 2}, pieces(shelf), "undoing the undoing")
		shelf, err = s.ChangeLeftovers(ctx, "ann", later, store.LeftoverChange{Why: "gave it away", Clear: true}, 4)
		require.NoError(t, err)
		require.Empty(t, shelf.Entries)
		shelf, err = s.UndoLeftovers(ctx, "ann", later, 5, 5)
		require.NoError(t, err)
		require.Empty(t, shelf.Entries)
		shelf, err = s.UndoLeftovers(ctx, "ann", later, 2, 5)
		require.NoError(t, err)
		require.Equal(t, map[int]int{100: 1, 5: 3, 2: 4}, pieces(shelf))

		_, err = s.UndoLeftovers(ctx, "ann", later, 7, store.AnyRevision)
		require.ErrorIs(t, err, store.ErrInvalid)
		require.ErrorContains(t, err, "the last 6 changes")
	})
}

func TestLeftoverIsRefused(t *testing.T) {
	onEngines(t, store.Options{}, func(t *testing.T, s *store.Records) {
		for name, piece := range map[string]store.Leftover{
			"kind":   {Kind: "bit", Cord: "cotton", Length: 1, Count: 1},
			"length": {Kind: store.Offcut, Cord: "cotton", Length: 0, Count: 1},
			"count":  {Kind: store.Offcut, Cord: "cotton", Length: 1, Count: -1},
			"cord":   {Kind: store.Offcut, Cord: "cott\xffon", Length: 1, Count: 1},
			"data":   {Kind: store.Offcut, Cord: "cotton", Length: 1, Count: 1, Data: []byte("{")},
		} {
			_, err := s.ChangeLeftovers(t.Context(), "ann", noon, store.LeftoverChange{Add: []store.Leftover{piece}}, 0)
			require.ErrorIs(t, err, store.ErrInvalid, name)
			require.ErrorContains(t, err, name)
		}
	})
}

// As many changes of the shelf can be undone as the limits say, and no more.
func TestOldChangesOfTheShelfAreForgotten(t *testing.T) {
	onEngines(t, store.Options{Limits: store.Limits{Changes: 3}}, func(t *testing.T, s *store.Records) {
		ctx := t.Context()
		for n := range 4 {
			_, err := s.ChangeLeftovers(ctx, "ann", noon, store.LeftoverChange{Why: "found", Add: []store.Leftover{offcut(store.Nanometres(n+1)*metre, 1)}}, store.AnyRevision)
			require.NoError(t, err)
		}
		_, err := s.UndoLeftovers(ctx, "ann", noon, 4, store.AnyRevision)
		require.ErrorContains(t, err, "the last 3 changes of your shelf can be undone")
		shelf, err := s.UndoLeftovers(ctx, "ann", noon, 3, store.AnyRevision)
		require.NoError(t, err)
		require.Equal(t, map[int]int{1: 1}, pieces(shelf))
	})
}

// A million pieces are put on the shelf at once, one more is a slip.
func TestMostPiecesOfALeftover(t *testing.T) {
	onEngines(t, store.Options{}, func(t *testing.T, s *store.Records) {
		_, err := s.ChangeLeftovers(t.Context(), "ann", noon, store.LeftoverChange{Add: []store.Leftover{offcut(metre, 1_000_000)}}, store.AnyRevision)
		require.NoError(t, err)
		_, err = s.ChangeLeftovers(t.Context(), "ann", noon, store.LeftoverChange{Add: []store.Leftover{offcut(metre, 1_000_001)}}, store.AnyRevision)
		require.ErrorContains(t, err, "at most 1000000 pieces are put on the shelf at once")
	})
}
