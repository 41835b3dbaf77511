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
	fillAccounts(t, filepath.Join(data, storeName), loose.ID(), dense.ID())
	bot := weigh(t, p, data)
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
	require.LessOrEqual(t, bot.gained(), 64.0, "MiB")
}

// TestSixExportsAtOnce has six members with full accounts ask for them in the same
// moment: each gets everything, and the bot's own memory stays within 64 MiB of what
// it takes idle, though the six attachments alone are 27 MB.
func TestSixExportsAtOnce(t *testing.T) {
	if runtime.GOOS != "linux" || testing.Short() {
		t.Skip("it reads /proc, and fills accounts for some seconds")
	}
	p := platformtest.Start(t, platformtest.Options{Deadline: 2 * time.Minute, Patience: 2 * time.Minute})
	data := t.TempDir()
	var members []*platformtest.Member
	var ids []string
	for n := range 6 {
		members = append(members, p.Member(fmt.Sprint("member ", n)))
		ids = append(ids, members[n].ID())
	}
	fillAccounts(t, filepath.Join(data, storeName), "", ids...)
	bot := weigh(t, p, data)
	var asked []*platformtest.Exchange
	for _, member := range members {
		asked = append(asked, member.Type("/mydata export"))
	}
	for n, member := range members {
		export := member.Wait(asked[n])
		file := export.File("larkfold-mydata-1.zip")
		require.NotNil(t, file, export.Text())
		require.Greater(t, len(file.Data), 4_400_000)
		all, err := unzip(file.Data)
		require.NoError(t, err)
		require.True(t, json.Valid(all))
	}
	require.LessOrEqual(t, bot.gained(), 64.0, "MiB")
}

// weighed is a bot whose memory is watched.
type weighed struct {
	t    *testing.T
	cmd  *exec.Cmd
	log  bytes.Buffer
	idle int64 // KiB
	peak atomic.Int64
	stop chan struct{}
	done chan struct{}
}

// weigh starts the real bot over a store, and watches its memory from when it is idle.
func weigh(t *testing.T, p *platformtest.Platform, data string) *weighed {
	w := &weighed{t: t, stop: make(chan struct{}), done: make(chan struct{})}
	w.cmd = exec.Command("larkfold", "serve", "--plain", "--data", data, "--backup-every", "0", "--platform", p.URL)
	w.cmd.Env = append(w.cmd.Environ(), "LARKFOLD_TOKEN="+p.Token)
	w.cmd.Stderr = &w.log
	require.NoError(t, w.cmd.Start())
	p.WaitReady(1)
	require.Contains(t, p.Member("Ida").Slash("/convert what:1.5m").Text(), "1.5 m")
	time.Sleep(time.Second)
	w.idle = rssAnonOf(t, w.cmd.Process.Pid)
	go func() {
		defer close(w.done)
		for {
			select {
			case <-w.stop:
				return
			case <-time.After(2 * time.Millisecond):
				w.peak.Store(max(w.peak.Load(), rssAnonOf(t, w.cmd.Process.Pid)))
			}
		}
	}()
	return w
}

// gained ends the bot and returns by how many MiB its memory went over what it was idle.
func (w *weighed) gained() float64 {
	close(w.stop)
	<-w.done
	require.NoError(w.t, w.cmd.Process.Signal(syscall.SIGTERM))
	require.NoError(w.t, w.cmd.Wait(), "%s", &w.log)
	idle, peak := float64(w.idle)/1024, float64(w.peak.Load())/1024
	w.t.Logf("anonymous memory: idle %.1f MiB, peak %.1f MiB", idle, peak)
	return peak - idle
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

// fillAccounts fills accounts with text that cannot be packed, to the last byte,
// and one, if it is named, with designs of the greatest size and a full history.
func fillAccounts(t *testing.T, path, loose string, dense ...string) {
	t.Helper()
	engine, err := boltstore.Open(path, boltstore.Options{})
	require.NoError(t, err)
	defer func() { require.NoError(t, engine.Close()) }()
	s, err := store.New(t.Context(), engine, store.Options{})
	require.NoError(t, err)
	now := time.Now()
	for _, member := range dense {
		for n, at := 0, 50; at > 0; { // so many in one transaction, the last ones singly
			_, _, err := s.Once(t.Context(), member, now, "", func(tx *store.Tx) (json.RawMessage, error) {
				for i := range at {
					if _, err := tx.SaveProject(store.Project{Name: fmt.Sprint("p", n+i), Sheet: noise(30 << 10)}, 0); err != nil {
						return nil, err
					}
				}
				return nil, nil
			})
			if err != nil {
				require.ErrorIs(t, err, store.ErrQuota)
				at /= 50
				continue
			}
			n += at
		}
	}
	if loose == "" {
		return
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
