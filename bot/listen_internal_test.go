package bot

import (
	"errors"
	"net"
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/require"
)

// An address that is taken may be free later; one that cannot be listened at
// stays wrong.
func TestListenSaysWhetherItMayPass(t *testing.T) {
	taken, err := listen("127.0.0.1:0")
	require.NoError(t, err)
	defer taken.Close()
	file := filepath.Join(t.TempDir(), "file")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	for address, code := range map[string]int{
		taken.Addr().String():        ExitPassing,
		"192.0.2.1:7416":             ExitPassing, // RFC 5737: nobody's address
		"127.0.0.1":                  ExitConfig,
		"127.0.0.1:999999":           ExitConfig,
		"unix:/nowhere/at/all.sock":  ExitConfig,
		"unix:" + file:               ExitConfig, // in the way
		"unix:" + file + "/too.sock": ExitConfig,
	} {
		_, err := listen(address)
		var exit *ExitError
		require.ErrorAs(t, err, &exit, address)
		require.Equal(t, code, exit.Code, "%s: %v", address, err)
	}
	require.FileExists(t, file, "no file that is not a socket is taken away")
}

// A socket that a killed process left is taken over; one in use is not.
func TestListenAtASocket(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("sockets have no modes there")
	}
	path := filepath.Join(t.TempDir(), "status.sock")
	first, err := listen("unix:" + path)
	require.NoError(t, err)
	info, err := os.Stat(path)
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o666), info.Mode().Perm(), "the folder's mode says who may come in")

	_, err = listen("unix:" + path)
	var exit *ExitError
	require.ErrorAs(t, err, &exit)
	require.Equal(t, ExitPassing, exit.Code)

	first.(*net.UnixListener).SetUnlinkOnClose(false) // as if killed
	require.NoError(t, first.Close())
	again, err := listen("unix:" + path)
	require.NoError(t, err)
	require.NoError(t, again.Close())
	_, err = os.Stat(path)
	require.True(t, errors.Is(err, os.ErrNotExist), "a socket goes with its listener")
}
