//go:build unix

package main

import (
	"bytes"
	"context"
	"crypto/ed25519"
	"encoding/hex"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/boltstore"
)

var kills = flag.Int("kills", 3, "how many times the bot is killed while members save")

// killed is a bot that is killed again and again, as one sees it from outside:
// its program, its endpoint, and the store that it leaves.
type killed struct {
	t       *testing.T
	data    string
	socket  string
	private ed25519.PrivateKey
	public  string
	client  *http.Client
	ids     atomic.Int64

	platform string        // address of a platform that takes every answer
	answers  sync.Map      // channels of them, by the token of the interaction
	dead     chan struct{} // closed when the bot is
}

// askForPatience is an answer that only asks for patience.
var askForPatience = regexp.MustCompile(`"type":5\b`)

var tokenInPath = regexp.MustCompile(`/(t[0-9]+)/`)

// take takes an answer that the bot sends to the platform. One that only asks for patience is none.
func (k *killed) take(w http.ResponseWriter, r *http.Request) {
	body, err := io.ReadAll(r.Body)
	w.Header().Set("Content-Type", "application/json")
	_, _ = io.WriteString(w, "{}")
	token := tokenInPath.FindStringSubmatch(r.URL.Path)
	if err != nil || token == nil || askForPatience.Match(body) {
		return
	}
	if answer, waiting := k.answers.Load(token[1]); waiting {
		answer.(chan string) <- string(body)
	}
}

// kept is what a member was told is saved.
type kept struct {
	member, name, sheet string // a design
	millimetres         int    // or a piece on the shelf
}

// TestNothingAcknowledgedIsLostInKills runs the real bot, lets members save by
// signed requests, kills it at a random moment, sometimes while its file is
// written afresh, and looks into the store for what was acknowledged: each once,
// letter for letter. More kills:
//
//	go test ./cmd/larkfold -run InKills -kills 1000 -timeout 30m -v
func TestNothingAcknowledgedIsLostInKills(t *testing.T) {
	public, private, err := ed25519.GenerateKey(nil)
	require.NoError(t, err)
	dir := t.TempDir()
	k := &killed{t: t, data: filepath.Join(dir, "data"), socket: filepath.Join(dir, "http"), private: private, public: hex.EncodeToString(public)}
	platform := httptest.NewServer(http.HandlerFunc(k.take))
	defer platform.Close()
	k.platform = platform.URL
	k.client = &http.Client{Timeout: 20 * time.Second, Transport: &http.Transport{
		DisableKeepAlives: true,
		DialContext: func(ctx context.Context, _, _ string) (net.Conn, error) {
			return (&net.Dialer{}).DialContext(ctx, "unix", k.socket)
		},
	}}
	k.ids.Store((time.Now().UnixMilli() - 1420070400000) << 22)
	seed := uint64(time.Now().UnixNano())
	random := rand.New(rand.NewPCG(seed, 1))
	began := time.Now()
	var all []kept
	tidied := 0
	for round := range *kills {
		saved, underWay, tidying := k.round(round, time.Duration(random.IntN(300))*time.Millisecond)
		k.find(saved, underWay)
		all = append(all, saved...)
		if tidying {
			tidied++
		}
	}
	require.Greater(t, len(all), *kills, "several saves a round")
	report, err := boltstore.CheckFile(t.Context(), filepath.Join(k.data, storeName), store.Options{})
	require.NoError(t, err)
	require.Empty(t, report.Problems)
	k.find(all, len(all)) // nothing was lost in a later kill either
	t.Logf("%d kills (%d of them while the file was written afresh), %d acknowledged saves, none lost, none twice, in %v; seed %d",
		*kills, tidied, len(all), time.Since(began).Round(time.Second), seed)
}

const killWriters = 4

// round starts the bot, lets members save, and kills it a while after the first
// save. It returns what was acknowledged, and how many saves more were under way at most.
func (k *killed) round(round int, after time.Duration) (saved []kept, underWay int, tidying bool) {
	t := k.t
	cmd := exec.Command("larkfold", "serve", "--plain", "--data", k.data, "--http", "unix:"+k.socket, "--public-key", k.public, "--application", "1", "--no-register", "--backup-every", "0", "--platform", k.platform, "--log-level", "error")
	cmd.Env = append(cmd.Environ(), "LARKFOLD_TOKEN=x")
	var log bytes.Buffer
	cmd.Stderr = &log
	_ = os.Remove(k.socket)
	require.NoError(t, cmd.Start())
	dead := make(chan struct{})
	k.dead = dead
	ended := make(chan error, 1)
	go func() {
		ended <- cmd.Wait()
		close(dead)
	}()
	require.Eventually(t, func() bool {
		conn, err := net.Dial("unix", k.socket)
		if err != nil {
			return false
		}
		return conn.Close() == nil
	}, 30*time.Second, 2*time.Millisecond, "%s", &log)
	tidying = round%3 == 2
	if tidying {
		go func() {
			p := &place{dir: k.data}
			for {
				if _, err := p.ask(t.Context(), io.Discard, order{Verb: "tidy"}); err != nil {
					return
				}
			}
		}()
	}
	var mu sync.Mutex
	var kill *time.Timer
	var wg sync.WaitGroup
	for w := range killWriters {
		wg.Go(func() {
			for n := 0; ; n++ {
				one := kept{member: fmt.Sprint(1_000_000_000_000_000_000 + round*killWriters + w)}
				if n%4 == 3 {
					one.millimetres = 300 + n
				} else {
					one.name = fmt.Sprintf("Heron %d %d %d", round, w, n)
					one.sheet = fmt.Sprintf("piece %s\ncord main %d mm single-strand\npanel front\n  mount %d folded\n  net square rows %d", one.name, 3+n%4, 8+n%4*2, 2+n%9)
				}
				answer, err := k.ask(one)
				if err != nil {
					return // killed
				}
				if !strings.Contains(answer, "aved") && !strings.Contains(answer, "Added") {
					t.Errorf("round %d: %+v: %s", round, one, answer)
					_ = cmd.Process.Kill()
					return
				}
				mu.Lock()
				if saved = append(saved, one); kill == nil {
					kill = time.AfterFunc(after, func() { _ = cmd.Process.Kill() })
				}
				mu.Unlock()
			}
		})
	}
	wg.Wait()
	_ = cmd.Process.Kill()
	require.Error(t, <-ended)
	require.NotEmpty(t, saved, "%s", &log)
	require.NotContains(t, log.String(), "panic")
	return saved, killWriters, tidying
}

// ask types a command for a member, and returns the answer.
func (k *killed) ask(one kept) (answer string, err error) {
	option := func(name, value string) map[string]any {
		return map[string]any{"type": 3, "name": name, "value": value}
	}
	data := map[string]any{"id": "9", "type": 1, "name": "shelf", "options": []any{map[string]any{"type": 1, "name": "add", "options": []any{option("pieces", strconv.Itoa(one.millimetres)+"mm")}}}}
	if one.name != "" {
		data = map[string]any{"id": "9", "type": 1, "name": "project", "options": []any{map[string]any{"type": 1, "name": "new", "options": []any{option("name", one.name), option("sheet", one.sheet)}}}}
	}
	id := strconv.FormatInt(k.ids.Add(1), 10)
	body, err := json.Marshal(map[string]any{"id": id, "application_id": "1", "type": 2, "token": "t" + id, "version": 1, "channel_id": "2",
		"user": map[string]any{"id": one.member, "username": "ana"}, "data": data, "locale": "en-GB"})
	if err != nil {
		return "", err
	}
	req, err := http.NewRequest(http.MethodPost, "http://bot/interactions", bytes.NewReader(body))
	if err != nil {
		return "", err
	}
	stamp := strconv.FormatInt(time.Now().Unix(), 10)
	req.Header.Set("Content-Type", "application/json")
	req.Header.Set("X-Signature-Timestamp", stamp)
	req.Header.Set("X-Signature-Ed25519", hex.EncodeToString(ed25519.Sign(k.private, append([]byte(stamp), body...))))
	answers := make(chan string, 10)
	k.answers.Store("t"+id, answers)
	defer k.answers.Delete("t" + id)
	resp, err := k.client.Do(req)
	if err != nil {
		return "", err
	}
	defer resp.Body.Close()
	text, err := io.ReadAll(resp.Body)
	if err != nil || resp.StatusCode != http.StatusAccepted && !askForPatience.Match(text) { // the answer, or a refusal
		return resp.Status + " " + string(text), err
	}
	select {
	case answer = <-answers:
		return answer, nil
	case <-k.dead:
		select {
		case answer = <-answers: // it had come before
			return answer, nil
		default:
			return "", errors.New("killed")
		}
	}
}

// find looks for everything that was acknowledged in the store that the bot left.
func (k *killed) find(all []kept, underWay int) {
	t := k.t
	engine, err := boltstore.Open(filepath.Join(k.data, storeName), boltstore.Options{ReadOnly: true})
	require.NoError(t, err)
	defer func() { require.NoError(t, engine.Close()) }()
	s, err := store.New(t.Context(), engine, store.Options{})
	require.NoError(t, err)
	designs, pieces := map[string]map[string]string{}, map[string]map[int]int{}
	there := 0
	for _, one := range all {
		if designs[one.member] != nil {
			continue
		}
		designs[one.member], pieces[one.member] = map[string]string{}, map[int]int{}
		list, err := s.Projects(t.Context(), one.member)
		require.NoError(t, err)
		for _, summary := range list {
			p, err := s.ProjectByID(t.Context(), one.member, summary.ID)
			require.NoError(t, err)
			require.EqualValues(t, 1, p.Revision, "nothing is saved twice")
			designs[one.member][p.Name] = p.Sheet
			there++
		}
		shelf, err := s.Leftovers(t.Context(), one.member)
		require.NoError(t, err)
		for _, e := range shelf.Entries {
			pieces[one.member][int(e.Length/1_000_000)] += e.Count
			there++
		}
	}
	for _, one := range all {
		if one.name != "" {
			require.Equal(t, one.sheet, strings.TrimRight(designs[one.member][one.name], "\n"), "%+v", one)
		} else {
			require.Equal(t, 1, pieces[one.member][one.millimetres], "%+v", one)
		}
	}
	require.LessOrEqual(t, there, len(all)+underWay, "nothing is there that nobody asked for")
}
