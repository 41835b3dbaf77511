package files

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A path is named back from where somebody stands, else from home, else whole.
func TestPathsAreNamedAsAPersonWould(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("its paths are written in another way")
	}
	root, err := filepath.EvalSymlinks(t.TempDir())
	require.NoError(t, err)
	home, here := filepath.Join(root, "home"), filepath.Join(root, "home", "here")
	require.NoError(t, os.MkdirAll(here, 0o700))
	t.Setenv("HOME", home)
	t.Chdir(here)
	for path, want := range map[string]string{
		"owl.txt":                        "owl.txt",
		"./a/../owl.txt":                 "owl.txt",
		filepath.Join(here, "a", "b"):    "a/b",
		filepath.Join(home, "owl.txt"):   "~/owl.txt",
		filepath.Join(root, "owl.txt"):   filepath.Join(root, "owl.txt"),
		filepath.Join(root, "homestead"): filepath.Join(root, "homestead"),
	} {
		require.Equal(t, want, Short(path), path)
	}
	for path, want := range map[string]string{"~/owl.txt": filepath.Join(home, "owl.txt"), "~owl.txt": "~owl.txt", "a/~/b": "a/~/b", "owl.txt": "owl.txt"} {
		require.Equal(t, want, FromHome(path), path)
	}
	require.NoError(t, os.WriteFile(filepath.Join(home, "owl.txt"), []byte("piece Owl"), 0o600))
	text, err := Text("~/owl.txt")
	require.NoError(t, err)
	require.Equal(t, "piece Owl", text)
}

// A file of the largest size is read, and one that is not there is told without the system call.
func TestWhatIsReadOfAFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "large")
	require.NoError(t, os.WriteFile(path, []byte(strings.Repeat("x", 64<<10)), 0o600))
	text, err := Text(path)
	require.NoError(t, err)
	require.Len(t, text, 64<<10)
	_, err = Text(path + ".none")
	require.EqualError(t, err, path+".none: no such file or directory")
	require.ErrorIs(t, err, fs.ErrNotExist)
	other := errors.New("another trouble")
	require.Equal(t, other, Plain(other))
}
