package main

import (
	"net/url"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/bot/platformtest"
)

// operator runs the program as somebody does who has set the token, and wants a
// status of it.
func operator(t *testing.T, p *platformtest.Platform, status int, args ...string) (output string) {
	t.Helper()
	cmd := exec.Command("larkfold", args...)
	cmd.Env = append(cmd.Environ(), "LARKFOLD_TOKEN="+p.Token, "LARKFOLD_PLATFORM="+p.URL)
	out, err := cmd.CombinedOutput()
	require.NotNil(t, cmd.ProcessState, "%v", err)
	require.Equal(t, status, cmd.ProcessState.ExitCode(), "%v: %s", args, out)
	return string(out)
}

// One server first and all later: commands that stand in both lists are told, and
// unregister takes them out of one.
func TestNoCommandStandsInTwoLists(t *testing.T) {
	p := platformtest.Start(t, platformtest.Options{})
	require.Contains(t, operator(t, p, exitAnswered, "register", "--guild", p.Guild), "added: /cord")
	require.NotEmpty(t, p.Commands(p.Guild))
	require.NotContains(t, operator(t, p, exitAnswered, "register", "--guild", p.Guild), "twice")

	operator(t, p, exitAnswered, "register")
	require.Contains(t, operator(t, p, exitAnswered, "register", "--guild", p.Guild), "sees twice, because they are registered everywhere too: /build")

	require.Contains(t, operator(t, p, exitAnswered, "unregister", "--guild", p.Guild), "removed: /build")
	require.Empty(t, p.Commands(p.Guild))
	require.NotEmpty(t, p.Commands(""), "the other list is left")
	require.Equal(t, "no commands were registered\n", operator(t, p, exitAnswered, "unregister", "--guild", p.Guild))
	operator(t, p, exitAnswered, "unregister")
	require.Empty(t, p.Commands(""))
}

// The link asks for the commands and for nothing else. The parameters are those
// of the platform's page on OAuth2, authorization URLs.
func TestInviteAsksForCommandsOnly(t *testing.T) {
	p := platformtest.Start(t, platformtest.Options{})
	for _, args := range [][]string{{"invite"}, {"invite", "--application", p.ApplicationID}} {
		link, err := url.Parse(strings.TrimSpace(operator(t, p, exitAnswered, args...)))
		require.NoError(t, err)
		require.Equal(t, "https://discord.com/oauth2/authorize", link.Scheme+"://"+link.Host+link.Path)
		require.Equal(t, url.Values{"client_id": {p.ApplicationID}, "scope": {"applications.commands"}}, link.Query())
	}
	require.Contains(t, operator(t, p, 78, "invite", "--application", "my bot"), "is not a number")
}
