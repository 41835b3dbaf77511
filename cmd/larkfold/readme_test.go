package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// example is one command of the README with the output that stands below it. A
// line "..." in the output stands for any lines.
type example struct{ command, output string }

var consoleBlock = regexp.MustCompile("(?ms)^```console\n(.*?)^```$")

// examples are the commands in the console blocks of a text.
func examples(text string) []example {
	var all []example
	for _, block := range consoleBlock.FindAllStringSubmatch(text, -1) {
		first := len(all)
		for l := range strings.Lines(block[1]) {
			if command, ok := strings.CutPrefix(l, "$ "); ok {
				all = append(all, example{command: strings.TrimSpace(command)})
			} else if len(all) > first {
				all[len(all)-1].output += l
			}
		}
	}
	return all
}

// matches tells whether an output is the expected one.
func (e example) matches(output string) bool {
	parts := strings.Split("\n"+strings.TrimSpace(e.output)+"\n", "\n...\n")
	for i, p := range parts {
		parts[i] = regexp.QuoteMeta(p)
	}
	pattern := strings.Join(parts, `\n(?:.*\n)*?`)
	return regexp.MustCompile(`^` + pattern + `$`).MatchString("\n" + strings.TrimSpace(output) + "\n")
}

func TestExamplesAreFoundAndCompared(t *testing.T) {
	got := examples("x\n```console\n$ larkfold a\none\n\ntwo\n$ larkfold b\n```\n```sh\n$ larkfold c\n```\n")
	require.Equal(t, []example{{"larkfold a", "one\n\ntwo\n"}, {"larkfold b", ""}}, got)
	for _, test := range []struct {
		want, got string
		same      bool
	}{
		{"one\ntwo\n", "one\ntwo\n", true},
		{"one\ntwo\n", "one\n2\n", false},
		{"one\n...\nthree\n", "one\ntwo\nthree\n", true},
		{"one\n...\nthree\n", "one\nthree\n", true},
		{"one\n...\n", "one\ntwo\nthree\n", true},
		{"...\nthree\n", "one\ntwo\nthree\n", true},
		{"one\n...\nfour\n", "one\ntwo\nthree\n", false},
		{"a.c\n", "abc\n", false},
		{"", "", true},
		{"", "something\n", false},
	} {
		require.Equal(t, test.same, example{output: test.want}.matches(test.got), "%q %q", test.want, test.got)
	}
}

// Every command in a console block of the README prints what stands below it. The
// commands run one after the other, in a folder of their own where testdata is
// the repository's, with a home of their own. Those that need the platform or a
// long time are left out.
func TestREADME(t *testing.T) {
	if testing.Short() {
		t.Skip("a long test")
	}
	root, err := filepath.Abs("../..")
	require.NoError(t, err)
	text, err := os.ReadFile(filepath.Join(root, "README.md"))
	require.NoError(t, err)
	shell, err := exec.LookPath("sh")
	if err != nil {
		t.Skip("there is no sh to run the commands with")
	}
	dir, home := t.TempDir(), t.TempDir()
	require.NoError(t, os.CopyFS(filepath.Join(dir, "testdata"), os.DirFS(filepath.Join(root, "testdata"))))
	ran := 0
	for _, e := range examples(string(text)) {
		command := strings.ReplaceAll(e.command, "go run ./cmd/larkfold", "larkfold")
		words := strings.Fields(command)
		if !slices.Contains(words, "larkfold") || slices.Contains(words, "serve") || slices.Contains(words, "register") || slices.Contains(words, "derive") {
			continue
		}
		cmd := exec.Command(shell, "-c", command)
		cmd.Dir = dir
		cmd.Env = append(os.Environ(), "HOME="+home, "XDG_STATE_HOME=", "LARKFOLD_DATA=", "LARKFOLD_KEY_FILE=")
		output, err := cmd.CombinedOutput()
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			require.NoError(t, err)
		}
		if !e.matches(string(output)) {
			t.Errorf("README.md: $ %s\nprints\n%s\nand not\n%s", e.command, output, e.output)
		}
		ran++
	}
	t.Logf("%d commands of the README were run", ran)
	require.NotZero(t, ran, "the README shows no command in a console block")
}
