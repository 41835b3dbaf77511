package main

import (
	"context"
	"fmt"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/boltstore"
)

// A store in an older format is copied before it is brought up to date, and the
// way back is to restore the copy: in it the old format stands.
func TestUpgradeAndBack(t *testing.T) {
	unlessRaced(t)
	for name, env := range map[string]string{"plain": "LARKFOLD_PLAIN=true", "sealed later": "LARKFOLD_KEY_FILE="} {
		t.Run(name, func(t *testing.T) {
			s := &site{t: t, dir: t.TempDir()}
			s.saved("LARKFOLD_PLAIN=true")
			_, newest := s.formats()
			s.format(newest - 1)
			if name == "sealed later" {
				env += s.key("key")
			}
			run := func(args ...string) string {
				cmd := exec.Command("larkfold", append([]string{"--data", filepath.Join(s.dir, "data")}, args...)...)
				cmd.Env = append(cmd.Environ(), env)
				out, err := cmd.CombinedOutput()
				require.NoError(t, err, "%s", out)
				return string(out)
			}
			require.Regexp(t, `^note: the store had format \d and was copied to .*larkfold\.db\.format-\d-`, run("try", "/prefs"))
			require.NotContains(t, run("try", "/prefs"), "was copied", "once is enough")
			stored, _ := s.formats()
			require.Equal(t, newest, stored)
			copies, err := filepath.Glob(s.store() + ".format-*")
			require.NoError(t, err)
			require.Len(t, copies, 1)

			env = "LARKFOLD_PLAIN=true"
			run("check", copies[0])
			run("restore", "--force", copies[0])
			stored, _ = s.formats()
			require.Equal(t, newest-1, stored, "an older program reads this")

			looks := exec.Command("larkfold", "--plain", "--data", filepath.Join(s.dir, "data"), "stats")
			out, _ := looks.CombinedOutput()
			require.Equal(t, exitStore, looks.ProcessState.ExitCode())
			require.Equal(t, fmt.Sprintf("larkfold: The store has format %d, and the next start of serve brings it to format %d.\n", newest-1, newest), string(out))
			stored, _ = s.formats()
			require.Equal(t, newest-1, stored, "who only looks changes nothing")
		})
	}
}

// A program that is too old for a store names the version that wrote it.
func TestTooOldForAStore(t *testing.T) {
	s := &site{t: t, dir: t.TempDir()}
	s.saved("LARKFOLD_PLAIN=true")
	s.format(99)
	cmd := exec.Command("larkfold", "--plain", "--data", filepath.Join(s.dir, "data"), "try", "/prefs")
	out, err := cmd.CombinedOutput()
	require.Error(t, err)
	require.Equal(t, exitStore, cmd.ProcessState.ExitCode())
	require.Contains(t, string(out), "Use version "+strings.Fields(version())[0])
	require.NotRegexp(t, regexp.MustCompile("copied"), string(out))
}

// formats are the format of a plain store and the newest one.
func (s *site) formats() (stored, newest int) {
	engine, err := boltstore.Open(s.store(), boltstore.Options{ReadOnly: true})
	require.NoError(s.t, err)
	defer engine.Close()
	stored, newest, err = store.Formats(context.Background(), engine, store.Options{})
	if err != nil {
		stored, newest, err = store.Formats(context.Background(), engine, store.Options{Key: s.given})
	}
	require.NoError(s.t, err)
	return stored, newest
}
