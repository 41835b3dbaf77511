package main

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store/boltstore"
)

// TestTidyIsDue has both sides of every edge. What is said to members, that
// erased values are gone from the file within a day, hangs on it.
func TestTidyIsDue(t *testing.T) {
	now := time.Date(2026, 3, 1, 12, 0, 0, 0, time.UTC)
	small := boltstore.Stats{Bytes: tidyLarge, Free: tidyLarge}
	unused := boltstore.Stats{Bytes: 2*tidyLarge + 2, Free: tidyLarge + 2}
	used := boltstore.Stats{Bytes: 2*tidyLarge + 2, Free: tidyLarge + 1}
	for name, row := range map[string]struct {
		since  time.Duration
		forgot bool
		stats  boltstore.Stats
		due    bool
	}{
		"never yet":                    {now.Sub(time.Time{}), false, used, true},
		"a day ago at the next look":   {tidyEvery - tidyLook + 1, false, used, true},
		"a day ago not yet":            {tidyEvery - tidyLook, false, used, false},
		"forgotten, an hour ago":       {tidySooner, true, used, true},
		"forgotten, too soon":          {tidySooner - 1, true, used, false},
		"half of it unused":            {tidySooner, false, unused, true},
		"half of it unused, too soon":  {tidySooner - 1, false, unused, false},
		"less than half of it unused":  {tidySooner, false, used, false},
		"a small file, all of it free": {tidySooner, false, small, false},
	} {
		require.Equal(t, row.due, tidyDue(now, now.Add(-row.since), row.forgot, row.stats), name)
	}
}
