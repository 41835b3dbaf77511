package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/bot/platformtest"
)

// The container file copies every room that the program is built from, names its
// images in full, and calls the program by verbs that there are. That it builds
// needs a container engine and is not tested.
func TestContainerFile(t *testing.T) {
	text, err := os.ReadFile("../../deploy/Containerfile")
	require.NoError(t, err)
	for _, image := range regexp.MustCompile(`(?m)^FROM (\S+)`).FindAllStringSubmatch(string(text), -1) {
		require.True(t, image[1] == "scratch" || strings.HasPrefix(image[1], "docker.io/"), "%s: engines ask which registry is meant", image[1])
	}
	out, err := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{if .Main}}{{$.Dir}}{{end}}{{end}}", ".").Output()
	if err != nil {
		t.Skipf("go list says nothing: %v", err)
	}
	root, err := filepath.Abs("../..")
	require.NoError(t, err)
	for _, dir := range strings.Fields(string(out)) {
		inside, err := filepath.Rel(root, dir)
		require.NoError(t, err)
		top, _, _ := strings.Cut(filepath.ToSlash(inside), "/")
		require.Contains(t, string(text), "\nCOPY "+top+" "+top+"\n")
	}
	for _, call := range regexp.MustCompile(`/larkfold"?,? "?(\w+)|CMD \["(\w+)"\]`).FindAllStringSubmatch(string(text), -1) {
		if name := call[1] + call[2]; name != "" && name != "ENTRYPOINT" {
			require.Equal(t, name, verb(t, name).Name())
		}
	}
}

// The container's health check asks the bot beside it.
func TestReady(t *testing.T) {
	p := platformtest.Start(t, platformtest.Options{})
	status := "unix:" + filepath.Join(t.TempDir(), "status.sock")
	ready := func() (string, int) {
		cmd := exec.Command("larkfold", "ready")
		cmd.Env = append(cmd.Environ(), "LARKFOLD_STATUS="+status)
		out, _ := cmd.CombinedOutput()
		return string(out), cmd.ProcessState.ExitCode()
	}
	said, code := ready()
	require.Equal(t, exitRefused, code, said)
	serving := exec.Command("larkfold", "serve", "--status", status, "--data", t.TempDir())
	serving.Env = append(serving.Environ(), "LARKFOLD_TOKEN="+p.Token, "LARKFOLD_PLATFORM="+p.URL)
	require.NoError(t, serving.Start())
	p.Until("ready", func() bool {
		said, code = ready()
		return code == exitAnswered
	})
	require.Equal(t, "ready\n", said)
	require.NoError(t, serving.Process.Signal(os.Interrupt))
	require.NoError(t, serving.Wait())
}
