//go:build unix

package pgtest

import (
	"crypto/rand"
	"strings"
	"sync"
	"testing"
)

// shared is the server that the tests of one binary share. It forgets what it
// acknowledged when the machine stops, which no test of it looks at.
var shared = sync.OnceValues(func() (*Server, error) {
	home, err := create()
	if err != nil {
		return nil, err
	}
	s, err := start(home, "fsync=off", "max_connections=200", "shared_buffers=64MB")
	started = s
	return s, err
})

var started *Server

// Shared returns the address of an empty place on the shared server, which on a busy
// machine may take long to let somebody in.
func Shared(t testing.TB) string {
	t.Helper()
	s := SharedServer(t)
	name := "t" + strings.ToLower(rand.Text())
	s.Exec(t, "CREATE SCHEMA "+name)
	return s.URL() + "&connect_timeout=60&search_path=" + name
}

// SharedServer returns the shared server itself.
func SharedServer(t testing.TB) *Server {
	t.Helper()
	if _, err := binaries(); err != nil {
		skipWithout(t, err)
	}
	s, err := shared()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Stop stops the shared server, if there is one.
func Stop() {
	if started != nil {
		started.stop()
	}
}
