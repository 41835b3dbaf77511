package main

import (
	"bytes"
	"net"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/bot"
	"larkfold/store/seal"
	"larkfold/store/storetest"
)

// asStranger runs the program as a user who owns nothing.
func asStranger(t *testing.T, args ...string) (said string, exit int) {
	t.Helper()
	var out bytes.Buffer
	storetest.AsStranger(t, func() {
		cmd := root()
		cmd.SetArgs(args)
		cmd.SetOut(&out)
		err := cmd.Execute()
		if err != nil {
			out.WriteString(sentence(err))
		}
		exit = status(err)
	})
	return out.String(), exit
}

// Where the user may not look, nobody is told that nothing is there.
func TestWhatAStrangerReads(t *testing.T) {
	t.Setenv("LARKFOLD_TOKEN", "")
	dir := t.TempDir()
	require.NoError(t, os.Chmod(filepath.Dir(dir), 0o755)) // strangers get as far as the folders
	data, file := filepath.Join(dir, "data"), filepath.Join(dir, "data", storeName)
	require.NoError(t, os.Mkdir(data, 0o755))
	opened, err := (&place{dir: data}).open(t.Context())
	require.NoError(t, err)
	require.NoError(t, opened.Close())
	before, err := os.ReadFile(file)
	require.NoError(t, err)

	says := func(exit int, text string, args ...string) {
		t.Helper()
		said, got := asStranger(t, append([]string{"--data", data}, args...)...)
		require.Contains(t, said, text, args)
		require.Equal(t, exit, got, said)
	}
	running, err := net.Listen("unix", filepath.Join(data, socketName))
	require.NoError(t, err)
	require.NoError(t, os.Chmod(filepath.Join(data, socketName), 0))
	for _, verb := range []string{"check", "stats", "tidy"} {
		says(exitStore, "The running bot cannot be asked: only its own user and root reach the socket "+filepath.Join(data, socketName)+".", verb)
	}
	require.NoError(t, running.Close())

	require.NoError(t, os.Chmod(file, 0))
	for _, verb := range []string{"check", "stats", "tidy"} {
		says(exitStore, "The file "+file+" cannot be read: this user may not.", verb)
	}
	says(exitRefused, "bad   store      "+file+": permission denied\n"+
		"                 -> ask as the bot's user, or as root: sudo larkfold-admin doctor\n", "doctor")
	says(exitStore, "The file "+filepath.Join(data, "key")+" was not made: this user may not write there.", "keygen", filepath.Join(data, "key"))

	require.NoError(t, os.Chmod(data, 0))
	for _, verb := range [][]string{{"check"}, {"stats"}, {"tidy"}, {"backup", filepath.Join(dir, "copy")}, {"move", "--from", file, "--to", filepath.Join(dir, "copy")}} {
		says(exitStore, "this user may not look for a store at "+file+"; do this as the bot's user, or as root", verb...)
	}
	require.NoError(t, os.Chmod(data, 0o700))
	require.NoError(t, os.Chmod(file, 0o600))
	after, err := os.ReadFile(file)
	require.NoError(t, err)
	require.Equal(t, before, after)
	require.NoFileExists(t, filepath.Join(dir, "copy"))
}

// A key that there was no room for is not there: half a key would keep a bot from starting.
func TestNoRoomForAFile(t *testing.T) {
	dir := storetest.SmallDisk(t, "64k")
	fill, path := filepath.Join(dir, "fill"), filepath.Join(dir, "key")
	require.ErrorIs(t, os.WriteFile(fill, make([]byte, 1<<20), 0o600), syscall.ENOSPC)
	from := filepath.Join(t.TempDir(), "copy")
	require.NoError(t, os.WriteFile(from, make([]byte, 1<<10), 0o600))

	for name, err := range map[string]error{"a key": writeKey(path, seal.GenerateKey()), "a copy": bring(from, path)} {
		require.EqualError(t, err, "The file "+path+" was not made: there is no room on its disk. ("+filepath.Join(dir, map[string]string{"a key": "key", "a copy": "key.unfinished"}[name])+": no space left on device)")
		require.Equal(t, bot.ExitPassing, status(ran{err}), name)
	}
	left, err := filepath.Glob(filepath.Join(dir, "*"))
	require.NoError(t, err)
	require.Equal(t, []string{fill}, left)

	require.NoError(t, os.Remove(fill))
	require.NoError(t, writeKey(path, seal.GenerateKey()))
	_, err = readKey(path)
	require.NoError(t, err)
}
