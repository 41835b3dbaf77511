package main

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestStateFolder(t *testing.T) {
	home := t.TempDir()
	t.Setenv("HOME", home)
	t.Setenv("XDG_STATE_HOME", "relative/is/not/allowed")
	dir, err := stateFolder("linux")
	require.NoError(t, err)
	require.Equal(t, filepath.Join(home, ".local", "state"), dir)
	t.Setenv("XDG_STATE_HOME", filepath.Join(home, "state"))
	dir, err = stateFolder("linux")
	require.NoError(t, err)
	require.Equal(t, filepath.Join(home, "state"), dir)

	dir, err = (&place{dir: "flag"}).folder()
	require.NoError(t, err)
	require.Equal(t, "flag", dir)
}
