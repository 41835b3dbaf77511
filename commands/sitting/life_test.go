package sitting

import (
	"context"
	"testing"
	"time"

	"larkfold/commands/reply"
	"larkfold/store"
	"larkfold/store/storetest"

	"github.com/stretchr/testify/require"
)

// Buttons work for the 7 days that the privacy notice tells, and what is in the
// making or under way for the 30 days that refusals tell, not a moment longer.
func TestDraftsLiveAsLongAsIsTold(t *testing.T) {
	records, err := store.New(context.Background(), storetest.NewMemory(), store.Options{})
	require.NoError(t, err)
	made := time.Date(2026, time.January, 2, 12, 0, 0, 0, time.UTC)
	const day = 24 * time.Hour
	for life, draft := range map[time.Duration]Remembered{
		7 * day:  {Kind: "sheet", Holds: 1},
		30 * day: {Kind: "work", Holds: 1, For: UnderwayLife},
	} {
		key, err := draft.KeepAlone(context.Background(), records, reply.Request{Member: "11", Now: made})
		require.NoError(t, err)
		_, err = records.Draft(context.Background(), "11", made.Add(life-time.Nanosecond), key)
		require.NoError(t, err, "%s", draft.Kind)
		_, err = records.Draft(context.Background(), "11", made.Add(life), key)
		require.ErrorIs(t, err, store.ErrNotFound, "%s", draft.Kind)
	}
}
