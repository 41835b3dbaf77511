package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/bot/platformtest"
)

// TestLiveAdministration gives every order while the bot has the store, and the
// same ones again without it.
func TestLiveAdministration(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("it listens as Unix does")
	}
	p := platformtest.Start(t, platformtest.Options{})
	data, elsewhere := t.TempDir(), t.TempDir()
	run := func(args ...string) (string, int) {
		cmd := exec.Command("larkfold", args...)
		cmd.Dir = elsewhere
		cmd.Env = append(cmd.Environ(), "LARKFOLD_TOKEN="+p.Token, "LARKFOLD_PLATFORM="+p.URL, "LARKFOLD_DATA="+data)
		out, _ := cmd.CombinedOutput()
		return string(out), cmd.ProcessState.ExitCode()
	}
	says := func(text string, args ...string) string {
		t.Helper()
		out, code := run(args...)
		require.Zero(t, code, out)
		require.Contains(t, out, text)
		return out
	}
	var log bytes.Buffer
	serving := exec.Command("larkfold", "serve", "--backup-every", "0")
	serving.Env = append(serving.Environ(), "LARKFOLD_TOKEN="+p.Token, "LARKFOLD_PLATFORM="+p.URL, "LARKFOLD_DATA="+data)
	serving.Stderr = &log
	require.NoError(t, serving.Start())
	p.WaitReady(1)
	ana := p.Member("Ana")
	require.Contains(t, ana.Slash("/cord width:20cm drop:40cm save:Curlew").Text(), "Curlew")

	// A new store is sealed with a key that serve has made and tells of.
	keyFile := filepath.Join(data, keyName)
	key, err := readKey(keyFile)
	require.NoError(t, err)
	require.Eventually(t, func() bool { _, err := os.Stat(filepath.Join(data, socketName)); return err == nil }, time.Minute, 10*time.Millisecond)
	info, err := os.Stat(filepath.Join(data, socketName))
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o600), info.Mode().Perm())

	orders := func(backup string) {
		t.Helper()
		says("1  project\n", "check")
		says("backup of ", "backup", backup)
		info, err := os.Stat(filepath.Join(elsewhere, backup))
		require.NoError(t, err)
		require.Equal(t, os.FileMode(0o600), info.Mode().Perm())
		says("checked ", "check", backup)
		out, code := run("backup", backup)
		require.Equal(t, exitStore, code, out)
		require.Contains(t, out, "exists already")
		says("tidied the store: ", "tidy")
		says("with key "+key.ID(), "stats")
		says(`0 records erased; nothing was kept about "nobody"; make sure that this is their id`, "forget", "nobody")
		out, code = run("backup", filepath.Join("nowhere", backup))
		require.Equal(t, exitRefused, code, out)
		require.Equal(t, "larkfold: there is no folder nowhere to make "+backup+" in\n", out, "and no backup is said to be made")
	}
	orders("live.db")
	left, err := filepath.Glob(filepath.Join(data, copyPrefix+"*"))
	require.NoError(t, err)
	require.Empty(t, left)

	// The key is changed while the bot runs, and the bot goes on with the new one.
	newKey := filepath.Join(elsewhere, "new.key")
	says("key ", "keygen", newKey)
	says("before its next start", "--key-file", newKey, "reseal")
	require.Contains(t, ana.Slash("/project show name:Curlew").Text(), "Curlew")
	require.Contains(t, ana.Slash("/cord width:20cm drop:41cm save:Plover").Text(), "Plover")
	changed, err := readKey(newKey)
	require.NoError(t, err)
	says("with key "+changed.ID(), "stats")
	says("2  project\n", "check")
	out, code := run("try", "/project list")
	require.Equal(t, exitLocked, code, out)

	// A bot that is killed leaves its socket; the commands then do the work themselves.
	require.NoError(t, serving.Process.Kill())
	_ = serving.Wait()
	require.NotContains(t, log.String(), ana.ID(), "no member in the log")
	require.FileExists(t, filepath.Join(data, socketName))
	out, code = run("check")
	require.Equal(t, exitStore, code, out)
	require.Contains(t, out, "This store needs the key "+changed.ID())
	require.NoError(t, os.Rename(newKey, keyFile))
	key = changed
	says("2  project\n", "check")
	_, code = run("try", "/project list")
	require.Zero(t, code)

	erased := says("records erased; nothing of the member is left", "forget", ana.ID())
	require.Contains(t, erased, "tidied the store: ")
	require.NotContains(t, says("checked ", "check"), "  project\n")
	raw, err := os.ReadFile(filepath.Join(data, storeName))
	require.NoError(t, err)
	require.NotContains(t, string(raw), "Curlew")
}

// TestOrders: a socket that was left over is cleared away, and what is no order is refused.
func TestOrders(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("it listens as Unix does")
	}
	p := platformtest.Start(t, platformtest.Options{})
	data := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(data, socketName), []byte("left over"), 0o600))
	var log bytes.Buffer
	serving := exec.Command("larkfold", "serve", "--plain", "--backup-every", "0", "--data", data, "--platform", p.URL)
	serving.Env = append(serving.Environ(), "LARKFOLD_TOKEN="+p.Token)
	serving.Stderr = &log
	require.NoError(t, serving.Start())
	p.WaitReady(1)
	place := &place{dir: data}
	var out bytes.Buffer
	require.Eventually(t, func() bool {
		answered, err := place.ask(t.Context(), &out, order{Verb: "stats"})
		return answered && err == nil
	}, time.Minute, 20*time.Millisecond)
	require.Contains(t, out.String(), "sealed   no\n")
	require.NoFileExists(t, filepath.Join(data, keyName), "plain was asked for")
	for o, text := range map[order]string{
		{Verb: "sing"}:                                  `knows no "sing"`,
		{Verb: "backup", Arg: "../larkfold.db"}:         "a name of its own",
		{Verb: "reseal", Key: "nonsense"}:               "no key file",
		{Verb: "backup", Arg: "larkfold.db"}:            "a name of its own",
		{Verb: "forget", Arg: ""}:                       "name the member by their id",
		{Verb: "forget", Arg: strings.Repeat("x", 201)}: "an id has at most",
	} {
		answered, err := place.ask(t.Context(), &out, o)
		require.True(t, answered)
		require.ErrorContains(t, err, text)
	}
	require.NoError(t, serving.Process.Signal(syscall.SIGTERM))
	require.NoError(t, serving.Wait(), log.String())
	require.NoFileExists(t, filepath.Join(data, socketName))
	answered, err := place.ask(t.Context(), &out, order{Verb: "stats"})
	require.NoError(t, err)
	require.False(t, answered)
}
