package main

import (
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"github.com/stretchr/testify/require"

	"larkfold/bot"
)

// verb finds a command of the program.
func verb(t *testing.T, name string) *cobra.Command {
	t.Helper()
	cmd, _, err := root().Find([]string{name})
	require.NoError(t, err)
	return cmd
}

// settingsOf are the settings of a verb by their variables.
func settingsOf(t *testing.T, name string) map[string]*pflag.Flag {
	t.Helper()
	cmd, all := verb(t, name), map[string]*pflag.Flag{}
	for _, set := range []*pflag.FlagSet{cmd.LocalFlags(), cmd.InheritedFlags()} {
		set.VisitAll(func(f *pflag.Flag) {
			if v := variableOf(f); v != "" {
				all[v] = f
			}
		})
	}
	return all
}

// Every flag of serve has its variable, but for those that are for one start; the
// help says which, and the pages of deploy name no other.
func TestEveryFlagOfServeHasItsVariable(t *testing.T) {
	cmd := verb(t, "serve")
	known := settingsOf(t, "serve")
	visit := func(f *pflag.Flag) {
		if slices.Contains([]string{"help", "check", "afresh"}, f.Name) {
			require.Empty(t, variableOf(f))
			return
		}
		require.NotEmpty(t, variableOf(f), "--%s has no variable", f.Name)
		require.Contains(t, f.Usage, "("+variableOf(f)+")")
	}
	cmd.LocalFlags().VisitAll(visit)
	cmd.InheritedFlags().VisitAll(visit)

	files, err := filepath.Glob("../../deploy/*")
	require.NoError(t, err)
	named := regexp.MustCompile(`\bLARKFOLD_[A-Z_]+\b`)
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		for _, name := range named.FindAllString(string(text), -1) {
			require.Contains(t, known, name, file)
		}
	}
}

// A flag beats a variable; a variable beats the default; one that cannot be read
// is told by its name.
func TestSettingsAreInherited(t *testing.T) {
	var keep int
	set := func(args ...string) (*pflag.FlagSet, error) {
		f := pflag.NewFlagSet("", pflag.ContinueOnError)
		f.IntVar(&keep, "keep-backups", 14, "how many")
		settings(f)
		require.NoError(t, f.Parse(args))
		return f, inherit(f)
	}
	t.Setenv("LARKFOLD_KEEP_BACKUPS", "")
	f, err := set()
	require.NoError(t, err)
	require.Equal(t, 14, keep, "an empty variable is none")
	require.Empty(t, givenBy(f.Lookup("keep-backups")))

	t.Setenv("LARKFOLD_KEEP_BACKUPS", "7")
	f, err = set()
	require.NoError(t, err)
	require.Equal(t, 7, keep)
	require.Equal(t, "LARKFOLD_KEEP_BACKUPS", givenBy(f.Lookup("keep-backups")))

	f, err = set("--keep-backups", "3")
	require.NoError(t, err)
	require.Equal(t, 3, keep)
	require.Equal(t, "--keep-backups", givenBy(f.Lookup("keep-backups")))

	t.Setenv("LARKFOLD_KEEP_BACKUPS", "many")
	_, err = set()
	require.ErrorContains(t, err, `LARKFOLD_KEEP_BACKUPS: "many"`)
	require.Equal(t, bot.ExitConfig, status(ran{err}))
	_, err = set("--keep-backups", "3")
	require.NoError(t, err, "what is not used may be wrong")
}

// Two ways of setting one thing: a flag beats a variable, and equals are refused.
func TestTheTokenIsSetOnce(t *testing.T) {
	const text, file = "LARKFOLD_TOKEN", "LARKFOLD_TOKEN_FILE"
	for _, test := range []struct {
		name  string
		args  []string
		env   []string
		used  string
		error string
	}{
		{name: "none"},
		{name: "a flag", args: []string{"--token", "x"}, used: "token"},
		{name: "a variable", env: []string{file}, used: "token-file"},
		{name: "a flag over its own variable", args: []string{"--token", "x"}, env: []string{text}, used: "token"},
		{name: "a flag over the other variable", args: []string{"--token-file", "x"}, env: []string{text}, used: "token-file"},
		{name: "a flag over both variables", args: []string{"--token", "x"}, env: []string{text, file}, used: "token"},
		{name: "two flags", args: []string{"--token", "x", "--token-file", "x"}, error: "the token is set twice, by --token and by --token-file; keep one of them"},
		{name: "two variables", env: []string{text, file}, error: "the token is set twice, by LARKFOLD_TOKEN and by LARKFOLD_TOKEN_FILE; keep one of them"},
	} {
		t.Run(test.name, func(t *testing.T) {
			for _, name := range []string{text, file} {
				t.Setenv(name, "")
				if slices.Contains(test.env, name) {
					t.Setenv(name, "x")
				}
			}
			var p platform
			f := pflag.NewFlagSet("", pflag.ContinueOnError)
			p.flags(f)
			settings(f)
			require.NoError(t, f.Parse(test.args))
			require.NoError(t, inherit(f))
			used, err := oneOf(f, "the token", "token", "token-file")
			require.Equal(t, test.used, used)
			if test.error == "" {
				require.NoError(t, err)
				return
			}
			require.EqualError(t, err, test.error)
			require.Equal(t, bot.ExitConfig, status(ran{err}))
		})
	}
}

// A file with a secret may be read by its owner and its group, and by nobody else.
func TestSecretsAreTheirOwners(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("files have no modes there")
	}
	path := filepath.Join(t.TempDir(), "token")
	require.NoError(t, os.WriteFile(path, []byte(" Bot abc.def\n"), 0o600))
	for mode, fine := range map[os.FileMode]bool{
		0o400: true, 0o600: true, 0o440: true, 0o640: true, // 0440 is what systemd hands over
		0o604: false, 0o444: false, 0o602: false, 0o601: false, 0o644: false,
	} {
		require.NoError(t, os.Chmod(path, mode))
		token, err := readToken(path)
		if fine {
			require.NoError(t, err, "%04o", mode)
			require.Equal(t, "abc.def", token)
			continue
		}
		require.ErrorContains(t, err, "Make it mode 0600", "%04o", mode)
		require.Equal(t, bot.ExitConfig, status(ran{err}))
		require.NotContains(t, err.Error(), "abc.def")
	}
	require.NoError(t, os.Chmod(path, 0o600))
	for _, text := range []string{"", "\n", "abc def", "abc\ndef\n", "Bot abc def"} {
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		_, err := readToken(path)
		require.ErrorContains(t, err, "the token and nothing else", "%q", text)
	}
	for _, wrong := range []string{path + ".none", filepath.Dir(path)} {
		_, err := readToken(wrong)
		require.ErrorContains(t, err, wrong)
		_, err = readKey(wrong)
		require.Equal(t, bot.ExitConfig, status(ran{err}), "%v", err)
	}
}

// What may be started again is decided in one table, which the help and the unit
// file follow. 2 is what a Go program that crashes exits with: it must be
// started again.
func TestTheUnitRestartsWhatMayMendItself(t *testing.T) {
	unit, err := os.ReadFile("../../deploy/larkfold.service")
	require.NoError(t, err)
	line := regexp.MustCompile(`(?m)^RestartPreventExitStatus=(.*)$`).FindStringSubmatch(string(unit))
	require.NotNil(t, line)
	prevented := strings.Fields(line[1])
	require.NotContains(t, prevented, "2")
	help := root().Long
	for _, e := range endings() {
		require.Contains(t, help, e.means)
		switch e.status {
		case exitAnswered, exitRefused, exitStopped: // no way that serve fails
			continue
		}
		require.Equal(t, e.again, !slices.Contains(prevented, strconv.Itoa(e.status)), "%d: %s", e.status, e.means)
	}
}
