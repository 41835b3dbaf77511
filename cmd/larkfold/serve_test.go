package main

import (
	"context"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/require"
)

// The first backup is due when the last one is old enough, the others after that.
func TestBackupsKeepTheirSchedule(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ctx, stop := context.WithCancel(context.Background())
		defer stop()
		start := time.Now()
		ticks := schedule(ctx, 24*time.Hour, 20*time.Hour)
		require.Equal(t, 4*time.Hour, (<-ticks).Sub(start))
		require.Equal(t, 28*time.Hour, (<-ticks).Sub(start))

		overdue := schedule(ctx, 24*time.Hour, 30*24*time.Hour)
		before := time.Now()
		require.Equal(t, time.Duration(0), (<-overdue).Sub(before))
	})
}
