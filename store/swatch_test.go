package store_test

import (
	"encoding/json"
	"fmt"
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

// Numbered by their age, swatches of one moment stand in the order in which they were
// saved, and one that was saved in a later moment does not come between them.
func TestSwatchesOfOneMomentStandInTheirOrder(t *testing.T) {
	onEngines(t, store.Options{}, func(t *testing.T, s *store.Records) {
		var saved []store.Swatch
		for n := range 12 {
			at := noon
			if n == 6 {
				at = noon.Add(time.Hour)
			}
			swatch, err := s.SaveSwatch(t.Context(), "ann", at, store.Swatch{Knot: fmt.Sprint("knot ", n)}, 0)
			require.NoError(t, err)
			require.WithinDuration(t, at, swatch.Created, time.Microsecond)
			saved = append(saved, swatch)
		}
		saved = append(append(saved[:6:6], saved[7:]...), saved[6])
		list, err := s.Swatches(t.Context(), "ann")
		require.NoError(t, err)
		require.Equal(t, saved, list)
	})
}
