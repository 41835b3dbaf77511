package main

import (
	"bytes"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/bot"
	"larkfold/bot/platformtest"
)

// The program registers its commands, answers a member, makes a backup, and stops
// when it is told to.
func TestServe(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("signals are sent as Unix has them")
	}
	p := platformtest.Start(t, platformtest.Options{})
	data := t.TempDir()
	run := func(args ...string) *exec.Cmd {
		cmd := exec.Command("larkfold", args...)
		cmd.Env = append(cmd.Environ(), "LARKFOLD_TOKEN="+p.Token, "LARKFOLD_PLATFORM="+p.URL, "LARKFOLD_DATA="+data)
		return cmd
	}
	out, err := run("register", "--dry-run").CombinedOutput()
	require.NoError(t, err, "%s", out)
	require.Contains(t, string(out), "added: ")
	require.Contains(t, string(out), "nothing was written")
	require.Zero(t, p.CommandWrites())

	var log bytes.Buffer
	serving := run("serve")
	serving.Stderr = &log
	require.NoError(t, serving.Start())
	p.WaitReady(1)
	answer := p.Member("Ana").Slash("/cord width:40cm drop:70cm")
	require.Contains(t, answer.Text(), "40 cm")

	busy := run("try", "/project list")
	require.Error(t, busy.Run())
	require.Equal(t, exitLocked, busy.ProcessState.ExitCode(), "the bot has the store")

	require.Eventually(t, func() bool {
		backups, err := filepath.Glob(filepath.Join(data, "backups", "*"))
		return err == nil && len(backups) == 1
	}, time.Minute, 20*time.Millisecond)
	require.NoError(t, serving.Process.Signal(syscall.SIGTERM))
	require.NoError(t, serving.Wait(), "%s", &log)
	require.Contains(t, log.String(), "backup made")
	require.Regexp(t, `msg=starting version=.* data=`+regexp.QuoteMeta(data)+` engine=file sealed=true key=[0-9a-f]+ way=gateway`, log.String())
	require.NotContains(t, log.String(), p.Token)

	out, err = run("register").CombinedOutput()
	require.NoError(t, err, "%s", out)
	require.Contains(t, string(out), "the same already")
	require.NoError(t, run("check").Run())
}

// A token that the platform refuses ends the program with the status that must not
// be restarted.
func TestServeWithARefusedToken(t *testing.T) {
	p := platformtest.Start(t, platformtest.Options{})
	cmd := exec.Command("larkfold", "serve", "--data", t.TempDir(), "--platform", p.URL, "--token", "wrong")
	out, err := cmd.CombinedOutput()
	require.Error(t, err)
	require.Equal(t, bot.ExitConfig, cmd.ProcessState.ExitCode(), "%s", out)
	require.Contains(t, string(out), "token")
}
