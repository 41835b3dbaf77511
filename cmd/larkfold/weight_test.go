package main

import (
	"bytes"
	"crypto/rand"
	"encoding/base64"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/bot/platformtest"
	"larkfold/store"
	"larkfold/store/boltstore"
)

var designs = flag.Int("designs", 30, "how many designs with a full history the larger account of the memory test has; 500 are allowed")

// TestExportAndForgetTakeLittleMemory lets the real bot hand out and erase two
// full accounts: one of text that cannot be packed, and one whose text packs so
// well that it is many times what is stored. Each arrives as one attachment that
// the platform takes; the bot's own memory stays within 64 MiB of what it takes
// idle.
func TestExportAndForgetTakeLittleMemory(t *testing.T) {
	if runtime.GOOS != "linux" || testing.Short() {
		t.Skip("it reads /proc, and fills accounts for some seconds")
	}
	p := platformtest.Start(t, platformtest.Options{Deadline: 2 * time.Minute, Patience: 2 * time.Minute})
	data := t.TempDir()
	dense, loose := p.Member("Dora"), p.Member("Lou")
	fillAccounts(t, filepath.Join(data, storeName), dense.ID(), loose.ID())
	var log bytes.Buffer
	bot := exec.Command("larkfold", "serve", "--plain", "--data", data, "--backup-every", "0", "--platform", p.URL)
	bot.Env = append(bot.Environ(), "LARKFOLD_TOKEN="+p.Token)
	bot.Stderr = &log
	require.NoError(t, bot.Start())
	p.WaitReady(1)
	require.Contains(t, dense.Slash("/convert what:1.5m").Text(), "1.5 m")
	time.Sleep(time.Second)
	idle := rssAnonOf(t, bot.Process.Pid)
	var peak atomic.Int64
	stop, stopped := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(stopped)
		for {
			select {
			case <-stop:
				return
			case <-time.After(2 * time.Millisecond):
				peak.Store(max(peak.Load(), rssAnonOf(t, bot.Process.Pid)))
			}
		}
	}()
	for _, member := range []*platformtest.Member{dense, loose} {
		began := time.Now()
		export := member.Slash("/mydata export")
		file := export.File("larkfold-mydata-1.zip")
		require.NotNil(t, file, export.Text())
		require.NotContains(t, export.Text(), "For the rest")
		all, err := unzip(file.Data)
		require.NoError(t, err)
		require.True(t, json.Valid(all))
		took := time.Since(began)
		require.Contains(t, member.Slash(`/mydata forget confirm:"forget me"`).Text(), "You are forgotten")
		t.Logf("%s: %d bytes of JSON in an attachment of %d, in %v", member.ID(), len(all), len(file.Data), took.Round(time.Millisecond))
	}
	close(stop)
	<-stopped
	require.NoError(t, bot.Process.Signal(syscall.SIGTERM))
	require.NoError(t, bot.Wait(), log.String())
	t.Logf("anonymous memory: idle %.1f MiB, peak %.1f MiB", float64(idle)/1024, float64(peak.Load())/1024)
	require.LessOrEqual(t, peak.Load()-idle, int64(64*1024), "KiB")
}

var rssAnon = regexp.MustCompile(`(?m)^RssAnon:\s+(\d+)`)

// rssAnonOf is the memory in KiB that a process has of its own.
func rssAnonOf(t *testing.T, pid int) int64 {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		t.Error(err)
		return 0
	}
	m := rssAnon.FindSubmatch(text)
	if m == nil {
		return 0
	}
	n, err := strconv.ParseInt(string(m[1]), 10, 64)
	if err != nil {
		t.Error(err)
	}
	return n
}

// fillAccounts fills one account with text that cannot be packed, to the last
// byte, and one with designs of the greatest size and a full history.
func fillAccounts(t *testing.T, path, dense, loose string) {
	t.Helper()
	engine, err := boltstore.Open(path, boltstore.Options{})
	require.NoError(t, err)
	defer func() { require.NoError(t, engine.Close()) }()
	s, err := store.New(t.Context(), engine, store.Options{})
	require.NoError(t, err)
	now := time.Now()
	for n := 0; ; n++ {
		_, err := s.SaveProject(t.Context(), dense, now, store.Project{Name: fmt.Sprint("p", n), Sheet: noise(30 << 10)}, 0)
		if err != nil {
			require.ErrorIs(t, err, store.ErrQuota)
			break
		}
	}
	row := strings.Repeat("  row square 12 # along the harbour wall\n", 780)
	for n := range *designs {
		_, _, err := s.Once(t.Context(), loose, now, "", func(tx *store.Tx) (_ json.RawMessage, err error) {
			p := store.Project{Name: fmt.Sprint("p", n)}
			for i := range 21 {
				p.Sheet = fmt.Sprintf("%s# %d %d", row, n, i)
				if p, err = tx.SaveProject(p, p.Revision); err != nil {
					return nil, err
				}
			}
			return nil, nil
		})
		require.NoError(t, err)
	}
}

// noise is text that cannot be made much shorter.
func noise(n int) string {
	b := make([]byte, n*3/4)
	rand.Read(b)
	return base64.StdEncoding.EncodeToString(b)
}
