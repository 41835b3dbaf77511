//go:build unix

package pgtest

import (
	"fmt"
	"path/filepath"
	"strconv"
	"testing"
	"time"
)

// Primary starts a server that a standby may follow, and that keeps what it
// acknowledged. It is stopped when the test ends.
func Primary(t testing.TB) *Server {
	t.Helper()
	if _, err := binaries(); err != nil {
		skipWithout(t, err)
	}
	home, err := create()
	if err != nil {
		t.Fatal(err)
	}
	s, err := start(home, "max_connections=100", "shared_buffers=64MB", "max_wal_senders=5")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.stop)
	return s
}

// Standby starts a server that follows this one and without which this one
// acknowledges nothing.
func (s *Server) Standby(t testing.TB) *Server {
	t.Helper()
	home := Folder(t)
	from := fmt.Sprintf("host=127.0.0.1 port=%d user=%s application_name=follower", s.Port, userName)
	if err := tool("pg_basebackup", "--checkpoint=fast", "--no-sync", "--write-recovery-conf", "--dbname="+from, "--pgdata="+filepath.Join(home, "data")); err != nil {
		t.Fatal(err)
	}
	standby, err := start(home, "max_connections=100", "shared_buffers=64MB", "hot_standby=on",
		"primary_conninfo="+from+" password='"+password+"'")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(standby.stop)
	s.Exec(t, "ALTER SYSTEM SET synchronous_standby_names = 'follower'")
	s.Exec(t, "SELECT pg_reload_conf()")
	for range 500 {
		if s.Ask(t, "SELECT count(*) FROM pg_stat_replication WHERE sync_state = 'sync'") == "1" {
			return standby
		}
		time.Sleep(20 * time.Millisecond)
	}
	t.Fatal("the standby " + strconv.Itoa(standby.Port) + " does not follow")
	return nil
}

// Promote makes a standby the primary. It returns when it can be written to.
func (s *Server) Promote(t testing.TB) {
	t.Helper()
	if s.Ask(t, "SELECT pg_promote(true, 30)") != "true" {
		t.Fatal("the standby was not promoted")
	}
}
