package boltstore

import (
	"os"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

func requireOwner(t *testing.T, path string, user, group uint32) {
	t.Helper()
	info, err := os.Stat(path)
	require.NoError(t, err)
	stat := info.Sys().(*syscall.Stat_t)
	require.Equal(t, [2]uint32{user, group}, [2]uint32{stat.Uid, stat.Gid}, path)
}
