package main

import (
	"os"
	"path/filepath"
	"testing"

	"larkfold/store"
	"larkfold/store/seal"

	"github.com/stretchr/testify/require"
)

func TestAKeyFileIsItsOwnersAndStays(t *testing.T) {
	path := filepath.Join(t.TempDir(), "key")
	key := seal.GenerateKey()
	require.NoError(t, writeKey(path, key))
	info, err := os.Stat(path)
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o600), info.Mode().Perm())
	require.ErrorIs(t, writeKey(path, seal.GenerateKey()), store.ErrExists)
	read, err := readKey(path)
	require.NoError(t, err)
	require.Equal(t, key, read)
}
