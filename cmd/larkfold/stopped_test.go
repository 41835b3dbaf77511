package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// What is told to stop says so, ends with a status of its own and leaves what was there.
func TestStoppedBeforeItWasDone(t *testing.T) {
	dir := t.TempDir()
	place := &place{dir: dir}
	opened, err := place.open(t.Context())
	require.NoError(t, err)
	require.NoError(t, opened.Close())
	file, copied := filepath.Join(dir, storeName), filepath.Join(dir, "copy.db")
	run := func(ctx context.Context, args ...string) error {
		cmd := root()
		cmd.SetArgs(append([]string{"--data", dir}, args...))
		cmd.SetOut(&bytes.Buffer{})
		return cmd.ExecuteContext(ctx)
	}
	stopped, stop := context.WithCancel(t.Context())
	stop()
	require.NoError(t, run(t.Context(), "backup", copied))
	before, err := os.ReadFile(file)
	require.NoError(t, err)
	names, err := filepath.Glob(filepath.Join(dir, "*"))
	require.NoError(t, err)
	for _, args := range [][]string{
		{"check"}, {"backup", filepath.Join(dir, "other.db")}, {"restore", "--force", copied}, {"tidy"}, {"move", "--from", copied, "--to", filepath.Join(t.TempDir(), "m.db")},
	} {
		err := run(stopped, args...)
		require.Error(t, err, args)
		require.Equal(t, "stopped before it was done; what was there is left whole, and it can be run again", sentence(err), args)
		require.Equal(t, exitStopped, status(err), args)
		now, err := os.ReadFile(file)
		require.NoError(t, err)
		require.Equal(t, before, now, args)
		left, err := filepath.Glob(filepath.Join(dir, "*"))
		require.NoError(t, err)
		require.Equal(t, names, left, args)
	}
}
