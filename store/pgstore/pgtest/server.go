//go:build unix

// Package pgtest starts real PostgreSQL servers for tests, on loopback, as a user
// without privileges and in a temporary folder, from the machine's own binaries.
//
// [Shared] gives a test a place of its own on one server that all tests of a
// binary share; [Primary] and [Server.Standby] give servers to be killed. A
// binary that uses Shared stops the server with [Stop] in its TestMain; servers
// also end when the test's process does, however it ends.
//
// Where there are no binaries a test is skipped; with [RequiredVariable] set in
// the environment it fails.
package pgtest

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"
)

// RequiredVariable, set in the environment, makes tests fail where there is no PostgreSQL.
const RequiredVariable = "TEST_WITH_POSTGRESQL"

// Server is one running server.
type Server struct {
	Port int

	home  string // its data lie in home/data
	lives io.Closer
	run   *exec.Cmd
	ended chan struct{}
}

// binaries is the newest folder of PostgreSQL programs on this machine. What is on
// the PATH may be there alone, so Debian's folders come first.
func binaries() (string, error) {
	found, _ := filepath.Glob("/usr/lib/postgresql/*/bin/initdb")
	version := func(path string) int {
		n, _ := strconv.Atoi(filepath.Base(filepath.Dir(filepath.Dir(path))))
		return n
	}
	if len(found) > 0 {
		return filepath.Dir(slices.MaxFunc(found, func(a, b string) int { return version(a) - version(b) })), nil
	}
	path, err := exec.LookPath("initdb")
	if err == nil {
		path, err = filepath.EvalSymlinks(path)
	}
	if err != nil {
		return "", errors.New("there is no PostgreSQL on this machine (Debian: package postgresql)")
	}
	return filepath.Dir(path), nil
}

// skipWithout skips a test, or fails it where PostgreSQL must be there.
func skipWithout(t testing.TB, err error) {
	t.Helper()
	if os.Getenv(RequiredVariable) != "" {
		t.Fatal(err)
	}
	t.Skip(err)
}

// servant is who runs servers: this user, or another one when this is root, whom PostgreSQL refuses.
func servant() (*syscall.Credential, error) {
	if os.Getuid() != 0 {
		return nil, nil
	}
	for _, name := range []string{"postgres", "nobody"} {
		if u, err := user.Lookup(name); err == nil {
			uid, _ := strconv.ParseUint(u.Uid, 10, 32)
			gid, _ := strconv.ParseUint(u.Gid, 10, 32)
			return &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}, nil
		}
	}
	return nil, errors.New("there is no user to run PostgreSQL as")
}

// command is a PostgreSQL program run by the servant.
func command(name string, args ...string) (*exec.Cmd, error) {
	dir, err := binaries()
	if err != nil {
		return nil, err
	}
	who, err := servant()
	if err != nil {
		return nil, err
	}
	cmd := exec.Command(filepath.Join(dir, name), args...)
	cmd.Dir = "/"
	cmd.Env = append(os.Environ(), "LC_ALL=C.UTF-8", "PGPASSWORD="+password)
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: who}
	return cmd, nil
}

// tool runs a PostgreSQL program to its end.
func tool(name string, args ...string) error {
	cmd, err := command(name, args...)
	if err != nil {
		return err
	}
	if out, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("%s: %w\n%s", name, err, out)
	}
	return nil
}

// The user that servers are made with.
const (
	userName = "larkfold"
	password = "only for tests"
)

// folder makes a folder for the servant.
func folder() (string, error) {
	dir, err := os.MkdirTemp("", "larkfold-pg-")
	if err != nil {
		return "", err
	}
	who, err := servant()
	if err != nil || who == nil {
		return dir, err
	}
	return dir, os.Chown(dir, int(who.Uid), int(who.Gid))
}

// Folder makes a folder for who runs servers, which goes with the test; see [AsServant].
func Folder(t testing.TB) string {
	t.Helper()
	if _, err := binaries(); err != nil {
		skipWithout(t, err)
	}
	dir, err := folder()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = os.RemoveAll(dir) })
	return dir
}

// AsServant has a command run by who runs servers, who is never root.
func AsServant(t testing.TB, cmd *exec.Cmd) {
	t.Helper()
	who, err := servant()
	if err != nil {
		t.Fatal(err)
	}
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: who}
}

// create makes the data of a new server.
func create() (home string, err error) {
	if home, err = folder(); err != nil {
		return "", err
	}
	defer func() {
		if err != nil {
			_ = os.RemoveAll(home)
		}
	}()
	secret := filepath.Join(home, "password")
	if err := os.WriteFile(secret, []byte(password+"\n"), 0o644); err != nil {
		return home, err
	}
	return home, tool("initdb", "--no-sync", "--encoding=UTF8", "--locale=C", "--auth=scram-sha-256",
		"--username="+userName, "--pwfile="+secret, "--pgdata="+filepath.Join(home, "data"))
}

// start runs a server over the data in a home, until it is stopped or this process ends.
func start(home string, settings ...string) (*Server, error) {
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return nil, err
	}
	s := &Server{Port: listener.Addr().(*net.TCPAddr).Port, home: home, ended: make(chan struct{})}
	_ = listener.Close()
	return s, s.launch(settings...)
}

func (s *Server) launch(settings ...string) error {
	log, err := os.Create(filepath.Join(s.home, "log"))
	if err != nil {
		return err
	}
	defer log.Close()
	args := []string{"-D", s.home + "/data", "-p", strconv.Itoa(s.Port), "-c", "listen_addresses=127.0.0.1", "-c", "unix_socket_directories="}
	for _, setting := range settings {
		args = append(args, "-c", setting)
	}
	server, err := command("postgres", args...)
	if err != nil {
		return err
	}
	// The shell outlives this process for as long as it takes to see that its
	// input has ended, and then ends the server.
	s.run = exec.Command("/bin/sh", append([]string{"-c", `"$@" </dev/null & server=$!; (cat >/dev/null; kill -QUIT $server) <&3 & wait $server`, "sh", server.Path}, args...)...)
	s.run.Dir, s.run.Env, s.run.SysProcAttr = server.Dir, server.Env, server.SysProcAttr
	s.run.SysProcAttr.Setpgid = true
	s.run.Stdout, s.run.Stderr = log, log
	input, lives, err := os.Pipe()
	if err != nil {
		return err
	}
	defer input.Close()
	s.run.ExtraFiles, s.lives = []*os.File{input}, lives
	if err := s.run.Start(); err != nil {
		return err
	}
	go func() {
		_ = s.run.Wait()
		close(s.ended)
	}()
	return s.awaitAnswer()
}

// awaitAnswer waits until the server lets somebody in.
func (s *Server) awaitAnswer() error {
	const long = 30 * time.Second
	ctx, cancel := context.WithTimeout(context.Background(), long)
	defer cancel()
	for {
		conn, err := pgx.Connect(ctx, s.URL())
		if err == nil {
			return conn.Close(ctx)
		}
		select {
		case <-s.ended:
			log, _ := os.ReadFile(filepath.Join(s.home, "log"))
			return fmt.Errorf("the server ended:\n%s", log)
		case <-ctx.Done():
			return fmt.Errorf("no answer from the server: %w", err)
		case <-time.After(20 * time.Millisecond):
		}
	}
}

// URL is the address of the server, with the password.
func (s *Server) URL() string { return address("127.0.0.1:" + strconv.Itoa(s.Port)) }

// URLWith is the address of the server and, should that be no primary, of another.
func (s *Server) URLWith(other *Server) string {
	return address(fmt.Sprintf("127.0.0.1:%d,127.0.0.1:%d", s.Port, other.Port))
}

func address(hosts string) string {
	return fmt.Sprintf("postgres://%s:%s@%s/postgres?sslmode=disable", userName, strings.ReplaceAll(password, " ", "%20"), hosts)
}

// Exec runs one statement.
func (s *Server) Exec(t testing.TB, sql string) {
	t.Helper()
	if err := s.exec(sql); err != nil {
		t.Fatal(err)
	}
}

func (s *Server) exec(sql string) error {
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Second)
	defer cancel()
	conn, err := pgx.Connect(ctx, s.URL())
	if err != nil {
		return err
	}
	_, err = conn.Exec(ctx, sql)
	return errors.Join(err, conn.Close(ctx))
}

// Kill ends every process of the server at once, as a machine that loses its power does.
func (s *Server) Kill() {
	s.signal(syscall.SIGKILL)
	_ = s.lives.Close()
	<-s.ended
}

// stop ends the server and throws its data away.
func (s *Server) stop() {
	s.Kill()
	_ = os.RemoveAll(s.home)
}

// Ask runs a question with one answer and returns it as text.
func (s *Server) Ask(t testing.TB, sql string) (text string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 60*time.Second)
	defer cancel()
	conn, err := pgx.Connect(ctx, s.URL())
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(ctx)
	var value any
	if err := conn.QueryRow(ctx, sql).Scan(&value); err != nil {
		t.Fatal(err)
	}
	return fmt.Sprint(value)
}

// Freeze keeps the server from answering until it is thawed, as a machine does
// that hangs.
func (s *Server) Freeze() { s.signal(syscall.SIGSTOP) }

// Thaw ends a freeze.
func (s *Server) Thaw() { s.signal(syscall.SIGCONT) }

// signal reaches every process of the server. Those that serve connections are
// children of the first, and in groups of their own.
func (s *Server) signal(sig syscall.Signal) {
	text, err := os.ReadFile(filepath.Join(s.home, "data", "postmaster.pid"))
	if err != nil {
		return
	}
	first, _, _ := strings.Cut(string(text), "\n")
	parent, err := strconv.Atoi(first)
	if err != nil {
		return
	}
	if sig != syscall.SIGCONT {
		_ = syscall.Kill(parent, syscall.SIGSTOP) // it starts no more of them
	}
	for reached := map[int]bool{}; ; { // until none is left that was just being started
		before := len(reached)
		for _, child := range childrenOf(parent) {
			reached[child] = true
			_ = syscall.Kill(child, sig)
		}
		if len(reached) == before {
			break
		}
	}
	_ = syscall.Kill(parent, sig)
}

// childrenOf lists the processes that a process has started, as Linux tells them.
func childrenOf(parent int) (children []int) {
	stats, _ := filepath.Glob("/proc/[0-9]*/stat")
	for _, path := range stats {
		stat, err := os.ReadFile(path)
		if err != nil {
			continue // it has just ended
		}
		// pid (name) state parent ...
		_, rest, _ := strings.Cut(string(stat), ") ")
		if fields := strings.Fields(rest); len(fields) > 1 && fields[1] == strconv.Itoa(parent) {
			child, _ := strconv.Atoi(filepath.Base(filepath.Dir(path)))
			children = append(children, child)
		}
	}
	return children
}
