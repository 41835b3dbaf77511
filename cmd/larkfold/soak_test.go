package main

import (
	"bufio"
	"bytes"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/bot/platformtest"
)

// The soak runs the real bot for a while:
//
//	go test ./cmd/larkfold -run Soak -soak 10m -timeout 20m -v
var soak = flag.Duration("soak", 0, "how long to soak the bot in questions and the platform's faults; 0 leaves it out")

// soakQuestions are asked in turn, each by another of a hundred members.
var soakQuestions = []string{
	"/cord width:40cm drop:70cm", "/convert what:3/16in", "/wrap ends:16 turns:5 thickness:5mm", "/prefs units:both",
	"/cut finished:1.2m count:8 thickness:5mm", "/knots show name:square thickness:4mm", "/project list", "/cord width:16in drop:28in thickness:3/16in",
	`/project new name:"Soak %d" sheet:"piece Soak\ncord main 4 mm\npanel a\n  mount 8 folded\n  net square rows 6"`,
	`/plan pieces:"12 x 3.2m, 40 x 50cm" spool:100m`, "/shelf add pieces:45cm x12", "/shelf list", "/fringe drop:22cm loops:12 per-loop:2 thickness:4mm", "/help",
}

// sample is how much the bot takes at one moment.
type sample struct{ resident, anonymous, goroutines, files float64 }

// take reads a sample off a process and its metrics.
func take(t *testing.T, pid int, status string) (s sample) {
	t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	require.NoError(t, err)
	resp, err := http.Get("http://" + status + "/metrics")
	require.NoError(t, err)
	defer resp.Body.Close()
	metrics, err := io.ReadAll(resp.Body)
	require.NoError(t, err)
	figure := func(in []byte, pattern string) float64 {
		m := regexp.MustCompile(`(?m)` + pattern).FindSubmatch(in)
		require.NotNil(t, m, pattern)
		n, err := strconv.ParseFloat(string(m[1]), 64)
		require.NoError(t, err)
		return n
	}
	return sample{
		resident: figure(text, `^VmRSS:\s+(\d+)`) / 1024, anonymous: figure(text, `^RssAnon:\s+(\d+)`) / 1024,
		goroutines: figure(metrics, `^go_goroutines (\S+)`), files: figure(metrics, `^process_open_fds (\S+)`),
	}
}

// middle is the median of one figure of some samples.
func middle(samples []sample, of func(sample) float64) float64 {
	all := make([]float64, len(samples))
	for i, s := range samples {
		all[i] = of(s)
	}
	slices.Sort(all)
	return all[len(all)/2]
}

// tries notes when the bot tried to send an interaction's first answer.
type tries struct {
	mu sync.Mutex
	at map[string][]time.Time
}

var interactionInPath = regexp.MustCompile(`/interactions/(\d+)/`)

// Ten questions a second of many kinds while three of ten calls to the platform
// meet a fault: memory, goroutines and files stay where they were, what could be
// sent is sent, and the log has about a line an answer.
func TestSoak(t *testing.T) {
	if *soak == 0 {
		t.Skip("a long run: -soak 10m")
	}
	p := platformtest.Start(t, platformtest.Options{Deadline: 3 * time.Second})
	var log bytes.Buffer
	status := "127.0.0.1:17417"
	cmd := exec.Command("larkfold", "serve", "--status", status, "--data", t.TempDir())
	cmd.Env = append(cmd.Environ(), "LARKFOLD_TOKEN="+p.Token, "LARKFOLD_PLATFORM="+p.URL)
	cmd.Stderr = &log
	require.NoError(t, cmd.Start())
	p.WaitReady(1)
	time.Sleep(2 * time.Second)
	idle := take(t, cmd.Process.Pid, status)
	t.Logf("idle: resident %.1f MiB, anonymous %.1f MiB, %.0f goroutines, %.0f files", idle.resident, idle.anonymous, idle.goroutines, idle.files)

	random := rand.New(rand.NewPCG(1, 2)) // Weather is asked by one call at a time
	seen := tries{at: map[string][]time.Time{}}
	faults := []platformtest.Fault{
		platformtest.Status(500), platformtest.Status(503), platformtest.RateLimit(200 * time.Millisecond), platformtest.RateLimitPage(),
		platformtest.Cut(), platformtest.LostResponse(), platformtest.Late(400 * time.Millisecond),
	}
	met := 0
	p.Weather(func(route string, r *http.Request) platformtest.Fault {
		if m := interactionInPath.FindStringSubmatch(r.URL.Path); m != nil {
			seen.mu.Lock()
			seen.at[m[1]] = append(seen.at[m[1]], time.Now())
			seen.mu.Unlock()
		}
		if random.IntN(10) >= 3 {
			return nil
		}
		met++
		return faults[random.IntN(len(faults))]
	})

	var samples []sample
	asked := map[string]time.Time{}
	var exchanges []*platformtest.Exchange
	begun := time.Now()
	for n := 0; time.Since(begun) < *soak; n++ {
		time.Sleep(time.Until(begun.Add(time.Duration(n) * 100 * time.Millisecond)))
		line := soakQuestions[n%len(soakQuestions)]
		if strings.Contains(line, "%d") {
			line = fmt.Sprintf(line, n)
		}
		ex := p.Member(fmt.Sprint("member", n%100)).Type(line)
		asked[ex.ID] = time.Now()
		exchanges = append(exchanges, ex)
		if n%100 == 0 {
			samples = append(samples, take(t, cmd.Process.Pid, status))
		}
	}
	time.Sleep(5 * time.Second)
	p.Weather(nil)
	for _, v := range p.Violations() { // what arrived although its response was lost, and so came again
		require.Contains(t, v, "was acknowledged twice")
	}

	answered, unsent, couldBeSent := 0, 0, 0
	for _, ex := range exchanges {
		var now *platformtest.Exchange
		ex.Until("a look", func(e *platformtest.Exchange) bool { now = e; return true })
		if now.Acknowledged > 0 {
			answered++
			continue
		}
		unsent++
		ex.Unanswered()
		at := seen.at[ex.ID]
		// The platform waits three seconds; a bot that gave up in the first two could have tried again.
		if len(at) == 0 || at[len(at)-1].Sub(asked[ex.ID]) < 2*time.Second {
			couldBeSent++
			t.Logf("%s: given up after %d tries, the last %s after it was asked", ex.ID, len(at), at[len(at)-1].Sub(asked[ex.ID]))
		}
	}
	require.NoError(t, cmd.Process.Signal(syscall.SIGTERM))
	require.NoError(t, cmd.Wait())
	lines := 0
	for scan := bufio.NewScanner(&log); scan.Scan(); {
		lines++
	}
	load, err := os.ReadFile("/proc/loadavg")
	require.NoError(t, err)
	t.Logf("%d asked, %d answered, %d not, of which %d could have been; %d calls met a fault; %.2f log lines an answer; load %s",
		len(exchanges), answered, unsent, couldBeSent, met, float64(lines)/float64(len(exchanges)), load)
	third := len(samples) / 3
	require.Greater(t, third, 1, "too short a soak")
	first, last := samples[third:2*third], samples[2*third:] // the first third warms up
	for _, figure := range []struct {
		name   string
		of     func(sample) float64
		allows float64 // to grow
	}{
		{"resident MiB", func(s sample) float64 { return s.resident }, 16},
		{"anonymous MiB", func(s sample) float64 { return s.anonymous }, 16},
		{"goroutines", func(s sample) float64 { return s.goroutines }, 20},
		{"files", func(s sample) float64 { return s.files }, 20},
	} {
		before, after := middle(first, figure.of), middle(last, figure.of)
		t.Logf("%s: %.1f in the second third, %.1f in the last", figure.name, before, after)
		require.LessOrEqual(t, after, before+figure.allows, figure.name)
	}
	require.Zero(t, couldBeSent)
}
