package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// noticeFile is what modules call the files that must go along with a program.
var noticeFile = regexp.MustCompile(`(?i)^(licen[cs]e|copying|notice|third_party)`)

// notices collects the notices of the modules that a build of the program holds,
// and of Go's own library.
func notices(t *testing.T) string {
	t.Helper()
	list := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}} {{.Version}}\t{{.Dir}}{{end}}{{end}}", ".")
	list.Env = append(os.Environ(), "GOOS=linux", "GOARCH=amd64", "CGO_ENABLED=0")
	out, err := list.Output()
	if err != nil {
		t.Skipf("go list says nothing: %v", err)
	}
	root, err := exec.Command("go", "env", "GOROOT").Output()
	require.NoError(t, err)

	var b strings.Builder
	b.WriteString("This program holds the work of others, under these terms.\n")
	modules := strings.Split(strings.TrimSpace(string(out)), "\n")
	slices.Sort(modules)
	modules = append([]string{"Go's standard library\t" + strings.TrimSpace(string(root))}, slices.Compact(modules)...)
	for _, module := range modules {
		name, dir, _ := strings.Cut(module, "\t")
		files, err := os.ReadDir(dir)
		require.NoError(t, err)
		found := 0
		for _, f := range files {
			if f.IsDir() || !noticeFile.MatchString(f.Name()) {
				continue
			}
			text, err := os.ReadFile(filepath.Join(dir, f.Name()))
			require.NoError(t, err)
			fmt.Fprintf(&b, "\n======== %s: %s\n\n%s\n", name, f.Name(), strings.TrimSpace(strings.ReplaceAll(string(text), "\r\n", "\n")))
			found++
		}
		require.NotZero(t, found, "%s has no notice", name)
	}
	return b.String()
}

// `larkfold licences` prints the notice of every library in the program, and of
// the embedded fonts.
func TestLicencesAreThoseOfTheBuild(t *testing.T) {
	want := notices(t)
	if *update {
		require.NoError(t, os.WriteFile("licences.txt", []byte(want), 0o644))
		return
	}
	require.True(t, want == licences, "write them anew: go test ./cmd/larkfold -run Licences -update")
	require.Contains(t, licences, "SIL OPEN FONT LICENSE", "the fonts in pictures and prints")
	out, err := exec.Command("larkfold", "licences").Output()
	require.NoError(t, err)
	require.True(t, licences == string(out))
}
