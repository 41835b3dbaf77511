package main

import (
	"bytes"
	"net"
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

// Under a service manager the program says when it answers and when it no longer
// does, serves the watchdog, and is ended by no hangup. The words are those of
// sd_notify(3).
func TestServeTellsTheServiceManager(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("service managers that listen at a socket are Linux's")
	}
	p := platformtest.Start(t, platformtest.Options{})
	manager, err := net.ListenUnixgram("unixgram", &net.UnixAddr{Name: filepath.Join(t.TempDir(), "notify"), Net: "unixgram"})
	require.NoError(t, err)
	defer manager.Close()
	hear := func(wanted string) {
		t.Helper()
		heard := make([]byte, 1<<10)
		for {
			require.NoError(t, manager.SetReadDeadline(time.Now().Add(time.Minute)))
			n, err := manager.Read(heard)
			require.NoError(t, err, "waiting for %s", wanted)
			if strings.Contains(string(heard[:n]), wanted) {
				return
			}
		}
	}
	var log bytes.Buffer
	cmd := exec.Command("larkfold", "serve")
	cmd.Env = append(cmd.Environ(), "LARKFOLD_TOKEN="+p.Token, "LARKFOLD_PLATFORM="+p.URL, "LARKFOLD_DATA="+t.TempDir(),
		"NOTIFY_SOCKET="+manager.LocalAddr().String(), "WATCHDOG_USEC=150000", "WATCHDOG_PID=")
	cmd.Stderr = &log
	require.NoError(t, cmd.Start())
	hear("STATUS=0 of 1 gateway connections are up")
	hear("STATUS=answering\nREADY=1")
	hear("WATCHDOG=1")
	require.NoError(t, cmd.Process.Signal(syscall.SIGHUP))
	hear("WATCHDOG=1")
	hear("WATCHDOG=1")
	p.Drop()
	hear("STATUS=0 of 1 gateway connections are up")
	hear("STATUS=answering\nREADY=1")
	require.NoError(t, cmd.Process.Signal(syscall.SIGTERM))
	hear("STATUS=stopping")
	require.NoError(t, cmd.Wait(), "%s", &log)
	require.Contains(t, log.String(), "SIGHUP changes nothing")
}
