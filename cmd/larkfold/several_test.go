//go:build unix

package main

import (
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/bot/platformtest"
	"larkfold/store/pgstore/pgtest"
)

// The trial of several machines on one, as its page says it, by an ordinary user
// and with the stand-in in the platform's place. Members ask in between.
func TestSeveralMachinesOnOne(t *testing.T) {
	slow(t)
	home := pgtest.Folder(t) // of somebody who may run PostgreSQL
	program, err := exec.LookPath("larkfold")
	require.NoError(t, err)
	copyTo(t, program, filepath.Join(home, "larkfold"))
	for _, name := range []string{"several.sh", "postgresql.conf", "nginx-several.conf"} {
		copyTo(t, "../../deploy/"+name, filepath.Join(home, name))
	}
	p := platformtest.Start(t, platformtest.Options{Deadline: time.Minute, Patience: time.Minute})
	port := 10000 + os.Getpid()%2000*8 // below those that systems give away
	run := func(commands string) string {
		t.Helper()
		cmd := exec.Command("sh", "-euc", commands)
		cmd.Dir = home
		cmd.Env = append(os.Environ(), "HOME="+home, "LARKFOLD="+filepath.Join(home, "larkfold"), fmt.Sprint("PORT=", port), "LARKFOLD_DRAIN=300ms",
			"LARKFOLD_APPLICATION="+p.ApplicationID, "LARKFOLD_PUBLIC_KEY="+p.PublicKey, "LARKFOLD_TOKEN="+p.Token, "LARKFOLD_PLATFORM="+p.URL)
		pgtest.AsServant(t, cmd)
		log, err := os.Create(filepath.Join(t.TempDir(), "log"))
		require.NoError(t, err)
		defer log.Close()
		cmd.Stdout, cmd.Stderr = log, log // a file, because what is started keeps it open
		err = cmd.Run()
		out, readErr := os.ReadFile(log.Name())
		require.NoError(t, readErr)
		if err != nil {
			for _, server := range []string{"one", "two"} {
				more, _ := os.ReadFile(filepath.Join(home, "trial", server+".log"))
				out = append(out, more[max(0, len(more)-2000):]...)
			}
		}
		require.NoError(t, err, "%s\n%s", commands, out)
		return string(out)
	}
	t.Cleanup(func() { run("./several.sh trial stop || true") })
	through := func(replica int) { p.Endpoint(fmt.Sprintf("http://127.0.0.1:%d/interactions", port+1+2*replica)) }
	ana := p.Member("Ana")

	text, err := os.ReadFile("../../deploy/several.md")
	require.NoError(t, err)
	for _, b := range blocks(t, string(text)) {
		if b.needs != "" {
			continue
		}
		out := run(b.commands)
		switch {
		case strings.Contains(b.commands, "trial start"):
			require.Contains(t, out, "server one: primary\nserver two: standby\nreplica a: ready\nreplica b: ready\n")
			through(1)
			says(t, ana.Slash("/shelf add pieces:45cm"), "45 cm")
		case strings.Contains(b.commands, "trial fail"):
			require.Contains(t, out, "server one: does not run\nserver two: primary\n")
			through(2)
			says(t, ana.Slash("/shelf list"), "45 cm")
			says(t, ana.Slash("/shelf add pieces:55cm"), "55 cm")
			require.Contains(t, run("./several.sh trial status"), "server one: standby\nserver two: primary\n")
		case strings.Contains(b.commands, "trial restore"):
			require.Contains(t, out, "checked ")
			through(1)
			says(t, ana.Slash("/shelf list"), "45 cm", "55 cm")
		}
	}
	require.Contains(t, run("./several.sh trial status"), "server two: does not run\n")
}

func copyTo(t *testing.T, from, to string) {
	t.Helper()
	source, err := os.Open(from)
	require.NoError(t, err)
	defer source.Close()
	target, err := os.OpenFile(to, os.O_CREATE|os.O_WRONLY, 0o755)
	require.NoError(t, err)
	_, err = io.Copy(target, source)
	require.NoError(t, err)
	require.NoError(t, target.Close())
}
