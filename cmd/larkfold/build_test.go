package main

import (
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The build script compiles the program three times:
//
//	go test ./cmd/larkfold -run Build -build
var build = flag.Bool("build", false, "build the release's archives, which takes minutes")

// A release is an archive for each kind of machine, with the program and the pages
// that an operator needs; its checksums are right and its version is stamped.
func TestBuild(t *testing.T) {
	if !*build {
		t.Skip("takes minutes: -build")
	}
	dir := filepath.Join(t.TempDir(), "dist")
	out, err := exec.Command("../../deploy/build.sh", "9.8.7", dir).CombinedOutput()
	require.NoError(t, err, "%s", out)
	check := exec.Command("sha256sum", "--check", "SHA256SUMS")
	check.Dir = dir
	out, err = check.CombinedOutput()
	require.NoError(t, err, "%s", out)
	require.Equal(t, 3, strings.Count(string(out), ": OK"))

	text, err := os.ReadFile("../../deploy/README.md")
	require.NoError(t, err)
	linked := regexp.MustCompile(`\]\(([a-z-]+\.[a-z]+)\)`).FindAllStringSubmatch(string(text), -1)
	require.NotEmpty(t, linked)
	for _, machine := range []string{"amd64", "arm64", "armv7"} {
		name := "larkfold-9.8.7-linux-" + machine
		out, err := exec.Command("tar", "-C", dir, "-xzf", filepath.Join(dir, name+".tar.gz")).CombinedOutput()
		require.NoError(t, err, "%s", out)
		for _, file := range []string{"larkfold", "larkfold-admin", "larkfold.service", "larkfold.env", "README.md", "nginx.conf", "alerts.yml", "dashboard.json", "privacy-notice.md", "terms-of-use.md"} {
			require.FileExists(t, filepath.Join(dir, name, file))
		}
		for _, page := range linked {
			require.FileExists(t, filepath.Join(dir, name, page[1]), "the page links it")
		}
		info, err := os.Stat(filepath.Join(dir, name, "larkfold"))
		require.NoError(t, err)
		require.NotZero(t, info.Mode().Perm()&0o100)
		if machine == runtime.GOARCH {
			out, err := exec.Command(filepath.Join(dir, name, "larkfold"), "version").Output()
			require.NoError(t, err)
			require.Contains(t, string(out), "larkfold 9.8.7 go")
		}
	}
	again := filepath.Join(t.TempDir(), "again")
	out, err = exec.Command("../../deploy/build.sh", "9.8.7", again).CombinedOutput()
	require.NoError(t, err, "%s", out)
	first, err := os.ReadFile(filepath.Join(dir, "SHA256SUMS"))
	require.NoError(t, err)
	second, err := os.ReadFile(filepath.Join(again, "SHA256SUMS"))
	require.NoError(t, err)
	require.Equal(t, string(first), string(second), "the same state gives the same bytes")
}
