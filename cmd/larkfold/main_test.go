package main

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"larkfold/store/boltstore"
	"larkfold/store/pgstore/pgtest"
)

var update = flag.Bool("update", false, "write what the program prints into the scripts")

func TestMain(m *testing.M) {
	testscript.Main(all{m}, map[string]func(){"larkfold": main})
}

// all runs the tests, and then stops what they shared.
type all struct{ *testing.M }

func (a all) Run() int {
	defer pgtest.Stop()
	return a.M.Run()
}

// TestScripts runs the program as people run it.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(env *testscript.Env) error {
			home := filepath.Join(env.WorkDir, "home")
			env.Vars = append(env.Vars, "HOME="+home, "USERPROFILE="+home, "LocalAppData="+home, "AppData="+home, "XDG_STATE_HOME=")
			return os.Mkdir(home, 0o700)
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits":    exits,
			"hold":     hold,
			"truncate": truncate,
			"scribble": scribble,
			"mode":     mode,
		},
	})
}

// exits STATUS PROGRAM ARGUMENTS... runs a program that must exit with a status.
func exits(ts *testscript.TestScript, _ bool, args []string) {
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	err = ts.Exec(args[1], args[2:]...)
	got := 0
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		got = exit.ExitCode()
	} else {
		ts.Check(err)
	}
	if got != want {
		ts.Fatalf("exit status %d, not %d", got, want)
	}
}

// hold FILE keeps a store open, as another program would, until the script ends.
func hold(ts *testscript.TestScript, _ bool, args []string) {
	engine, err := boltstore.Open(ts.MkAbs(args[0]), boltstore.Options{})
	ts.Check(err)
	ts.Defer(func() { ts.Check(engine.Close()) })
}

// truncate FILE BYTES keeps the beginning of a file.
func truncate(ts *testscript.TestScript, _ bool, args []string) {
	n, err := strconv.ParseInt(args[1], 10, 64)
	ts.Check(err)
	ts.Check(os.Truncate(ts.MkAbs(args[0]), n))
}

// scribble FILE FROM writes nonsense over the rest of a file.
func scribble(ts *testscript.TestScript, _ bool, args []string) {
	from, err := strconv.Atoi(args[1])
	ts.Check(err)
	path := ts.MkAbs(args[0])
	data, err := os.ReadFile(path)
	ts.Check(err)
	for i := from; i < len(data); i++ {
		data[i] = byte(i*7 + 13)
	}
	ts.Check(os.WriteFile(path, data, 0o600))
}

// mode MODE PATH checks the permissions of a file or folder.
func mode(ts *testscript.TestScript, _ bool, args []string) {
	info, err := os.Stat(ts.MkAbs(args[1]))
	ts.Check(err)
	if got := fmt.Sprintf("%04o", info.Mode().Perm()); got != args[0] {
		ts.Fatalf("%s has mode %s, not %s", args[1], got, args[0])
	}
}
