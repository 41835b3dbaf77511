package store_test

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store"
)

func TestSwatches(t *testing.T) {
	onEngines(t, store.Options{}, func(t *testing.T, s *store.Records) {
		ctx := t.Context()
		first, err := s.SaveSwatch(ctx, "ann", noon, store.Swatch{Knot: "square knot", Cord: " 3 mm  cotton ", Data: json.RawMessage(`{"used": 12}`)}, 0)
		require.NoError(t, err)
		require.Equal(t, "3 mm cotton", first.Cord)
		later := noon.Add(time.Hour)
		second, err := s.SaveSwatch(ctx, "ann", later, store.Swatch{Knot: "half hitch"}, 0)
		require.NoError(t, err)

		first.Data = json.RawMessage(`{"used": 13}`)
		changed, err := s.SaveSwatch(ctx, "ann", later, first, 1)
		require.NoError(t, err)
		require.Equal(t, uint64(2), changed.Revision)
		_, err = s.SaveSwatch(ctx, "ann", later, first, 1)
		var conflict *store.Conflict
		require.ErrorAs(t, err, &conflict)
		require.Equal(t, changed, conflict.Stored.(store.Swatch))
		_, err = s.SaveSwatch(ctx, "ann", later, store.Swatch{Knot: "square knot"}, 3)
		require.ErrorIs(t, err, store.ErrInvalid)
		_, err = s.SaveSwatch(ctx, "ann", later, store.Swatch{Knot: " "}, 0)
		require.ErrorIs(t, err, store.ErrInvalid)

		list, err := s.Swatches(ctx, "ann")
		require.NoError(t, err)
		require.Equal(t, []store.Swatch{changed, second}, list)
		gone, err := s.DeleteSwatch(ctx, "ann", later, first.ID)
		require.NoError(t, err)
		require.Equal(t, changed, gone)
		_, err = s.DeleteSwatch(ctx, "ann", later, first.ID)
		require.ErrorIs(t, err, store.ErrNotFound)
	})
}
