package main

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/bot/platformtest"
)

// block is a block of commands in the operator's page.
type block struct {
	needs    string // what it needs that a test has not; nothing if it can be run
	commands string
}

var fence = regexp.MustCompile("(?ms)(?:^<!-- needs ([^\n]*) -->\n)?^```(\\w*)\n(.*?)^```$")

// blocks are the blocks of a page, in order.
func blocks(t *testing.T, text string) []block {
	var all []block
	for _, m := range fence.FindAllStringSubmatch(text, -1) {
		require.Equal(t, "sh", m[2], "a block of the page is neither run nor marked:\n%s", m[3])
		all = append(all, block{m[1], m[3]})
	}
	return all
}

// machine is a small machine in a folder: its /etc, /usr/local and /var are there.
type machine struct {
	t    *testing.T
	root string
	p    *platformtest.Platform
}

// here moves paths of a machine into its folder, where nobody is root.
func (m *machine) here(text string) string {
	text = regexp.MustCompile(`(^|[\s"'=])/(etc|usr/local|var)/`).ReplaceAllString(text, "${1}"+m.root+"/$2/")
	return strings.ReplaceAll(text, "sudo ", "")
}

func (m *machine) run(commands string) string {
	m.t.Helper()
	cmd := m.command("sh", "-euc", m.here(commands))
	out, err := cmd.CombinedOutput()
	require.NoError(m.t, err, "%s\n%s", commands, out)
	return string(out)
}

func (m *machine) command(name string, args ...string) *exec.Cmd {
	cmd := exec.Command(name, args...)
	cmd.Dir = filepath.Join(m.root, "unpacked")
	cmd.Env = append(cmd.Environ(), "LARKFOLD_PLATFORM="+m.p.URL, "LARKFOLD_STATUS=unix:"+m.root+"/status.sock",
		"PATH="+m.root+"/usr/local/bin:"+os.Getenv("PATH"), "HOME="+m.root)
	return cmd
}

// serve does what the service manager does: it starts the bot and, once a member
// has saved something and a backup is made, stops it.
func (m *machine) serve(member, line string) {
	m.t.Helper()
	var log bytes.Buffer
	cmd := m.command(filepath.Join(m.root, "usr/local/bin/larkfold-admin"), "serve")
	cmd.Stderr = &log
	before := m.p.Sessions()
	require.NoError(m.t, cmd.Start())
	m.p.Until("a session", func() bool { return m.p.Sessions() > before })
	require.NotContains(m.t, m.p.Member(member).Slash(line).Text(), "went wrong")
	require.Eventually(m.t, func() bool {
		made, err := filepath.Glob(filepath.Join(m.root, "var/lib/larkfold/backups/*.db"))
		return err == nil && len(made) > 0
	}, time.Minute, 20*time.Millisecond)
	require.NoError(m.t, cmd.Process.Signal(syscall.SIGTERM))
	require.NoError(m.t, cmd.Wait(), "%s", &log)
}

// The operator's page, from top to bottom, on a machine in a folder, with the
// stand-in in the platform's place: every command that needs no systemd, no
// container engine and no person is run.
func TestOperatorsPage(t *testing.T) {
	unlessRaced(t)
	if runtime.GOOS != "linux" {
		t.Skip("the page is for Linux")
	}
	text, err := os.ReadFile("../../deploy/README.md")
	require.NoError(t, err)
	m := &machine{t: t, root: t.TempDir(), p: platformtest.Start(t, platformtest.Options{})}
	require.Equal(t, "900000000000000002", m.p.Guild, "the page's example is the stand-in's server")
	for _, dir := range []string{"etc", "usr/local/bin", "var/lib", "unpacked"} {
		require.NoError(t, os.MkdirAll(filepath.Join(m.root, dir), 0o755))
	}
	require.NoError(t, os.CopyFS(filepath.Join(m.root, "unpacked"), os.DirFS("../../deploy")))
	admin := filepath.Join(m.root, "unpacked/larkfold-admin")
	script, err := os.ReadFile(admin)
	require.NoError(t, err)
	script = []byte(strings.Replace(m.here(string(script)), "exec /usr", "exec "+m.root+"/usr", 1))
	require.NoError(t, os.WriteFile(admin, script, 0o700))
	program, err := exec.LookPath("larkfold")
	require.NoError(t, err)
	require.NoError(t, os.Link(program, filepath.Join(m.root, "unpacked/larkfold")))
	env := filepath.Join(m.root, "unpacked/larkfold.env")
	settings, err := os.ReadFile(env)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(env, bytes.ReplaceAll(settings, []byte("\nLARKFOLD_STATUS="), []byte("\n#LARKFOLD_STATUS=")), 0o600))

	ran := 0
	for _, b := range blocks(t, string(text)) {
		switch b.needs {
		case "":
			out := m.run(b.commands)
			require.NotContains(t, out, m.p.Token)
			ran += strings.Count(b.commands, "\n")
		case "you":
			require.NoError(t, os.WriteFile(filepath.Join(m.root, "etc/larkfold/token"), []byte(m.p.Token+"\n"), 0o600))
		case "systemd":
			if strings.Contains(b.commands, "enable --now") {
				m.serve("Ana", `/project new name:"Herring" sheet:"piece Herring\ncord main 4 mm\npanel a\n  mount 4 folded"`)
			}
		default:
			require.Contains(t, []string{"the source", "a container engine", "a PostgreSQL server"}, b.needs, "an unknown mark")
		}
	}
	require.Greater(t, ran, 10)
	m.serve("Ana", "/project list")

	// A new machine has no folder for the store yet.
	require.NoError(t, os.Rename(filepath.Join(m.root, "var/lib/larkfold"), filepath.Join(m.root, "elsewhere")))
	m.run(`sudo larkfold-admin restore "` + filepath.Join(m.root, "elsewhere", storeName) + `"`)
	require.FileExists(t, filepath.Join(m.root, "var/lib/larkfold", storeName))
	require.NoError(t, filepath.WalkDir(filepath.Join(m.root, "etc/larkfold"), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		info, err := d.Info()
		require.Zero(t, info.Mode().Perm()&0o077, "%s can be read by others", path)
		return err
	}))
}

// What the page says of exit statuses is what the program does.
func TestOperatorsPageSaysTheExitStatuses(t *testing.T) {
	text, err := os.ReadFile("../../deploy/README.md")
	require.NoError(t, err)
	for _, e := range endings() {
		if slices.Contains([]int{exitAnswered, exitRefused, exitStopped}, e.status) {
			continue // no way that serve fails
		}
		again := "no"
		if e.again {
			again = "yes"
		}
		row := fmt.Sprintf("\n| %d | %s | %s |\n", e.status, e.means, again)
		require.True(t, strings.Contains(string(text), row), "the page has no row%s", row)
	}
}
