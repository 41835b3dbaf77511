package main

import (
	"bytes"
	"os/exec"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/bot/platformtest"
)

// The log, at its most talkative, holds no member's number, name or words, and no
// token: neither of answers nor of refusals, nor of what the platform does not take.
func TestTheLogHoldsNothingOfMembers(t *testing.T) {
	p := platformtest.Start(t, platformtest.Options{})
	var log bytes.Buffer
	cmd := exec.Command("larkfold", "serve", "--data", t.TempDir(), "--log-level", "debug")
	cmd.Env = append(cmd.Environ(), "LARKFOLD_TOKEN="+p.Token, "LARKFOLD_PLATFORM="+p.URL)
	cmd.Stderr = &log
	require.NoError(t, cmd.Start())
	p.WaitReady(1)
	ana := p.Member("Anastasia")
	for _, line := range []string{
		`/project new name:"Pearlheron" sheet:"piece Pearlheron\ncord main 4 mm single-strand\npanel front\n  mount 4 folded"`,
		`/project show name:"Pearlheron"`, `/shelf add pieces:"77m x3" note:"pearlbag"`, `/project show name:"Mossheron"`,
		`/convert what:pearlcord`,
	} {
		ana.Slash(line)
	}
	ana.Autocomplete("/project show name:Pearl", "name")
	p.Fault(platformtest.RouteCallback, 2, platformtest.RateLimit(10*time.Millisecond))
	ana.Slash("/project list")
	p.Fault(platformtest.RouteCallback, 1, platformtest.Refuse())
	ana.Slash(`/project show name:"Pearlheron"`)
	p.Fault(platformtest.RouteCallback, 1, platformtest.Cut())
	ana.Slash(`/project show name:"Pearlheron"`)
	require.NoError(t, cmd.Process.Signal(syscall.SIGTERM))
	require.NoError(t, cmd.Wait())
	_ = p.Violations() // the answer whose connection was cut came twice
	require.Contains(t, log.String(), `what="project show"`, "the log says what was asked for")
	for _, private := range []string{ana.ID(), "Anastasia", "earlheron", "ossheron", "earlbag", "earlcord", p.Token, "stand-in-interaction-token"} {
		require.NotContains(t, log.String(), private)
	}
}
