package boltstore

import (
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/storetest"
)

// withoutRights does something as a user who owns nothing.
func withoutRights(t *testing.T, do func() error) (err error) {
	t.Helper()
	storetest.AsStranger(t, func() { err = do() })
	return err
}

// TestWhatThisUserMayNot tells reading from writing, and neither from damage.
func TestWhatThisUserMayNot(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.Chmod(filepath.Dir(dir), 0o755)) // strangers get as far as the files
	path, other := filepath.Join(dir, "store.db"), filepath.Join(dir, "other.db")
	saved := filled(t, path, 3, store.Options{})
	require.NoError(t, os.Chmod(path, 0o444))

	check := func() error { _, err := CheckFile(t.Context(), path, store.Options{}); return err }
	open := func() error { _, err := Open(path, Options{}); return err }
	restore := func() error {
		_, err := Restore(t.Context(), path, other, RestoreOptions{Now: noon})
		return err
	}
	require.NoError(t, withoutRights(t, check), "it may be read")
	err := withoutRights(t, open)
	require.ErrorIs(t, err, store.ErrReadOnly)
	require.ErrorContains(t, err, "The store "+path+" cannot be written to")

	require.NoError(t, os.Chmod(path, 0))
	for name, do := range map[string]func() error{"check": check, "open": open, "restore": restore} {
		err := withoutRights(t, do)
		require.ErrorIs(t, err, fs.ErrPermission, name)
		require.NotErrorIs(t, err, store.ErrReadOnly, name)
		require.ErrorContains(t, err, "The file "+path+" cannot be read: this user may not.", name)
		require.NotContains(t, err.Error(), "sound", name)
	}
	require.NoFileExists(t, other)

	hidden := filepath.Join(dir, "hidden")
	require.NoError(t, os.Mkdir(hidden, 0))
	for name, do := range map[string]func() error{
		"restore": func() error {
			_, err := Restore(t.Context(), path, filepath.Join(hidden, "store.db"), RestoreOptions{Now: noon})
			return err
		},
		"backups": func() error { _, err := Open(other, Options{Backups: hidden}); return err },
	} {
		var fault *store.Fault
		require.ErrorAs(t, withoutRights(t, do), &fault, name)
		require.Contains(t, fault.Sentence, "by this user", name)
		require.Contains(t, fault.Sentence, hidden, name)
	}
	require.NoError(t, os.Chmod(hidden, 0o700))
	require.NoError(t, os.Chmod(path, 0o600))
	requireHolds(t, path, store.Options{}, saved)
}

// TestRestoreOnAFullDisk leaves the store before, and says what is missing.
func TestRestoreOnAFullDisk(t *testing.T) {
	dir := storetest.SmallDisk(t, "2m")
	path, backup := filepath.Join(dir, "store.db"), filepath.Join(t.TempDir(), "backup.db")
	filled(t, backup, 3, store.Options{})
	saved := filled(t, path, 5, store.Options{})
	fill := filepath.Join(dir, "fill")
	require.ErrorIs(t, os.WriteFile(fill, make([]byte, 2<<20), 0o600), syscall.ENOSPC)
	_, err := Restore(t.Context(), backup, path, RestoreOptions{Now: noon, Force: true})
	require.ErrorIs(t, err, store.ErrFull)
	require.ErrorContains(t, err, "Nothing was restored: there is no room for the store beside the one before.")
	require.Equal(t, []string{"fill", "store.db"}, namesIn(t, dir))
	requireHolds(t, path, store.Options{}, saved)

	require.NoError(t, os.Remove(fill))
	_, err = Restore(t.Context(), backup, path, RestoreOptions{Now: noon, Force: true})
	require.NoError(t, err)
}
