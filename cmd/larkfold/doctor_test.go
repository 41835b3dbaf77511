package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/bot/platformtest"
)

// marks are the judgements of an examination: what -> mark.
func marks(output string) map[string]string {
	all := map[string]string{}
	for _, m := range regexp.MustCompile(`(?m)^(ok|look|bad) +(\w+) `).FindAllStringSubmatch(output, -1) {
		all[m[2]] = m[1]
	}
	return all
}

// Doctor finds nothing to do beside a bot that runs as it should, and says of each
// thing that is wrong what to do about it.
func TestDoctor(t *testing.T) {
	p := platformtest.Start(t, platformtest.Options{})
	dir := t.TempDir()
	data := filepath.Join(dir, "data")
	socket := filepath.Join(dir, "status.sock")
	key := filepath.Join(dir, "key")
	run := func(verb string, env ...string) *exec.Cmd {
		cmd := exec.Command("larkfold", verb)
		cmd.Env = append(cmd.Environ(), append([]string{"LARKFOLD_TOKEN=" + p.Token, "LARKFOLD_PLATFORM=" + p.URL,
			"LARKFOLD_DATA=" + data, "LARKFOLD_KEY_FILE=" + key, "LARKFOLD_STATUS=unix:" + socket}, env...)...)
		return cmd
	}
	doctor := func(status int, env ...string) string {
		t.Helper()
		cmd := run("doctor", env...)
		out, _ := cmd.CombinedOutput()
		require.Equal(t, status, cmd.ProcessState.ExitCode(), "%s", out)
		require.NotContains(t, string(out), p.Token)
		return string(out)
	}
	out := doctor(exitRefused)
	require.Contains(t, out, "bad   settings   the key cannot be read: "+key)

	_, err := exec.Command("larkfold", "keygen", key).Output()
	require.NoError(t, err)
	out = doctor(exitAnswered)
	require.Equal(t, map[string]string{"key": "ok", "store": "ok", "disk": "ok", "backups": "ok", "platform": "ok", "clock": "ok", "commands": "look", "bot": "look"}, marks(out), out)
	require.Regexp(t, `not as they should be: \d+ missing, 0 other, 0 too many`, out)
	require.Contains(t, out, "does not run")
	made, err := filepath.Glob(filepath.Join(dir, "*"))
	require.NoError(t, err)
	require.Equal(t, []string{key}, made, "nothing is made")

	serving := run("serve")
	require.NoError(t, serving.Start())
	p.WaitReady(1)
	require.Eventually(t, func() bool {
		backups, err := filepath.Glob(filepath.Join(data, "backups", "*.db"))
		return err == nil && len(backups) == 1
	}, time.Minute, 20*time.Millisecond)
	out = doctor(exitAnswered)
	for what, mark := range marks(out) {
		require.Equal(t, "ok", mark, "%s\n%s", what, out)
	}
	require.Contains(t, out, "in use: the bot runs")
	require.Contains(t, out, "runs and answers")

	out = doctor(exitRefused, "LARKFOLD_GUILD="+p.Guild)
	require.Contains(t, out, "stand in the list for everywhere too, and that server sees them twice\n"+strings.Repeat(" ", 16)+" -> larkfold unregister\n")

	require.NoError(t, serving.Process.Signal(syscall.SIGTERM))
	require.NoError(t, serving.Wait())
	backup, err := filepath.Glob(filepath.Join(data, "backups", "*.db"))
	require.NoError(t, err)
	require.NoError(t, os.Rename(backup[0], filepath.Join(data, "backups", "backup-20200102T030405Z.db")))
	require.NoError(t, os.WriteFile(filepath.Join(data, storeName), []byte(strings.Repeat("nonsense ", 4<<10)), 0o600))
	out = doctor(exitRefused, "LARKFOLD_PLATFORM=http://127.0.0.1:1")
	require.Equal(t, map[string]string{"key": "ok", "store": "bad", "disk": "ok", "backups": "bad", "platform": "bad", "bot": "look"}, marks(out), out)
	require.Contains(t, out, "larkfold restore, with the newest backup that larkfold check finds sound")
}

func TestClockFinding(t *testing.T) {
	for ahead, want := range map[time.Duration]mark{
		0: fine, 10 * time.Second: fine, -10 * time.Second: fine, 11 * time.Second: look, -11 * time.Second: look,
		2 * time.Minute: look, 121 * time.Second: bad, -time.Hour: bad,
	} {
		f := clockFinding(ahead)
		require.Equal(t, want, f.mark, "%s: %s", ahead, f.says)
		require.Equal(t, ahead < -10*time.Second, strings.Contains(f.says, "behind"), f.says)
	}
}

func TestSizesAreRead(t *testing.T) {
	for n, want := range map[int64]string{0: "0 KiB", 1: "1 KiB", 1024: "1 KiB", 1025: "2 KiB", 1 << 20: "1.0 MiB", 1<<30 - 1: "1024.0 MiB", 1 << 30: "1.0 GiB"} {
		require.Equal(t, want, inBytes(n))
	}
}
