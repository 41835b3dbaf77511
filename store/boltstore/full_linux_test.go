package boltstore

import (
	"os/signal"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/storetest"
)

// TestFullDisk fills a small file system of its own. It needs leave to mount one.
func TestFullDisk(t *testing.T) {
	dir := storetest.SmallDisk(t, "800k")
	fillUpAndGoOn(t, filepath.Join(dir, "store.db"), Options{}, func() {
		storetest.Enlarge(t, dir, "8m")
	})
}

// TestFileSizeLimit lets the system refuse to let the file grow.
func TestFileSizeLimit(t *testing.T) {
	signal.Ignore(syscall.SIGXFSZ)
	defer signal.Reset(syscall.SIGXFSZ)
	var old syscall.Rlimit
	require.NoError(t, syscall.Getrlimit(syscall.RLIMIT_FSIZE, &old))
	limited := old
	limited.Cur = 1_500_000
	path := filepath.Join(t.TempDir(), "store.db")
	require.NoError(t, syscall.Setrlimit(syscall.RLIMIT_FSIZE, &limited))
	defer func() { require.NoError(t, syscall.Setrlimit(syscall.RLIMIT_FSIZE, &old)) }()
	fillUpAndGoOn(t, path, Options{}, func() {
		require.NoError(t, syscall.Setrlimit(syscall.RLIMIT_FSIZE, &old))
	})
}

// TestReadOnlyFileSystem opens a store on a file system that takes no writes.
func TestReadOnlyFileSystem(t *testing.T) {
	dir := storetest.SmallDisk(t, "4m")
	path := filepath.Join(dir, "store.db")
	saved := filled(t, path, 3, store.Options{})
	storetest.WriteProtect(t, dir)
	_, err := Open(path, Options{})
	require.ErrorIs(t, err, store.ErrReadOnly)
	require.ErrorContains(t, err, "cannot be written to")
	requireHolds(t, path, store.Options{}, saved)
}
