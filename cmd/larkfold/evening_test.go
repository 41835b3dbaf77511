//go:build unix

package main

import (
	"bytes"
	"cmp"
	"fmt"
	"math/rand/v2"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
	"text/tabwriter"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/bot/platformtest"
)

// BenchmarkEvening is a community's evening with the real program, as a process of
// its own behind its signed endpoint: a hundred members ask /cord at a steady mean
// rate, each for another design, while others complete options, convert and press
// buttons. Arrivals follow a schedule that is the same in every run, and every time
// counts from the scheduled moment, whether or not the generator kept up. A table
// says how long things took, what was turned away, given up or lost, and what the
// program and the generator spent; figures past their bound are marked.
//
//	go test ./cmd/larkfold -run XXX -bench Evening -benchtime 1x -timeout 20m
func BenchmarkEvening(b *testing.B) {
	for _, e := range []evening{
		{name: "50", rate: 50, memory: 100, slack: 1},
		{name: "200", rate: 200, memory: 200, slack: 1, crowded: true},
		{name: "50-and-12-heavy", rate: 50, memory: 200, slack: 1.2, heavy: 12},
	} {
		b.Run(e.name, func(b *testing.B) {
			for b.Loop() {
				e.pass(b)
			}
			b.ReportMetric(0, "ns/op")
		})
	}
}

// evening is one run.
type evening struct {
	name    string
	rate    int     // of /cord, a second
	memory  float64 // MiB of anonymous pages, at most
	slack   float64 // by which bounds may be passed
	crowded bool    // more than two processors can bear: some are turned away
	heavy   int     // of the heaviest questions, by one member
}

const eveningLength = 20 * time.Second

// arrival is one thing that is going to be asked.
type arrival struct {
	at     time.Duration // after the start
	kind   string
	member int
	line   string

	asked *platformtest.Exchange
	delay time.Duration // of the sending, after the scheduled moment
}

// schedule is the arrivals of an evening, in order. Those of a kind come with gaps
// as of independent askers.
func (e evening) schedule() []*arrival {
	random := rand.New(rand.NewPCG(12, 12))
	var all []*arrival
	add := func(kind string, rate float64, line func(n int) string) {
		for at, n := 0.0, 0; ; n++ {
			at += random.ExpFloat64() / rate
			if at > eveningLength.Seconds() {
				return
			}
			all = append(all, &arrival{at: time.Duration(at * float64(time.Second)), kind: kind, member: random.IntN(100), line: line(n)})
		}
	}
	add("cord", float64(e.rate), func(n int) string {
		return fmt.Sprintf("/cord width:%dcm drop:%d.%dcm", 30+n%25, 60+n/25%30, n/750)
	})
	add("convert", 10, func(n int) string { return fmt.Sprintf("/convert what:%d/16 in", 1+n%40) })
	add("complete", 20, func(n int) string { return "/knots show name:" + []string{"s", "sq", "ha", "pl"}[n%4] })
	add("press", 5, func(int) string { return "see the sheet" })
	for n := range e.heavy {
		all = append(all, &arrival{at: 2*time.Second + time.Duration(n)*50*time.Millisecond, kind: "heavy", member: 1000, line: fmt.Sprintf("/project resize name:Large width:%dcm", 279-n)})
	}
	slices.SortFunc(all, func(a, b *arrival) int { return cmp.Compare(a.at, b.at) })
	return all
}

// largest is a design 2.80 m wide, with about as many knots as a sheet may have.
const largest = "piece Large\ncord main 2 mm\npanel a\n  mount 500 folded\n  net square rows 780\n  tail 20 cm\n"

func (e evening) pass(b *testing.B) {
	p := platformtest.Start(lenient{b}, platformtest.Options{Deadline: 3 * time.Second})
	program := start(b, p)
	member := func(n int) *platformtest.Member { return p.Member(fmt.Sprint("member ", n)) }
	member(0).Slash("/cord width:40cm drop:70cm").Until("the picture", func(ex *platformtest.Exchange) bool { return ex.Pictured > 0 })
	if e.heavy > 0 {
		saved := member(1000).Slash("/project new name:Large sheet:" + largest)
		require.Contains(b, plain(saved), "saved: Large")
	}

	all := e.schedule()
	var pressed sync.Map // a custom id of each member's
	generator, bot := processor(b), program.spent(b)
	began := time.Now()
	var sending sync.WaitGroup
	for _, a := range all {
		time.Sleep(time.Until(began.Add(a.at)))
		sending.Go(func() {
			m := member(a.member)
			switch a.kind {
			case "complete":
				a.asked = m.TypeAhead(a.line, "name")
			case "press":
				id, ok := pressed.Load(a.member)
				if !ok {
					return // nothing to press yet
				}
				a.asked = m.PressOn(id.(string))
			default:
				a.asked = m.Type(a.line)
			}
			a.delay = a.asked.Look().Sent.Sub(began.Add(a.at))
			if now := a.asked.Look(); a.kind == "cord" && now.Message != nil && len(now.Message.Buttons) > 1 {
				pressed.Store(a.member, now.Message.Buttons[1].ID)
			}
		})
	}
	sending.Wait()
	time.Sleep(15 * time.Second) // for what is deferred and drawn
	generator, bot = processor(b)-generator, program.spent(b)-bot
	e.report(b, all, program.stop(b), generator, bot)
}

// took is how long some things took, and what became of them.
type took struct {
	asked, given, turned, lost int
	words, pictures, told      []time.Duration
}

func (e evening) report(b *testing.B, all []*arrival, peak float64, generator, bot time.Duration) {
	by := map[string]*took{"cord": {}, "convert": {}, "complete": {}, "press": {}, "heavy": {}}
	empty := 0
	var late []time.Duration
	for _, a := range all {
		if a.asked == nil {
			continue
		}
		t := by[a.kind]
		t.asked++
		late = append(late, a.delay)
		ex := a.asked.Look()
		words := a.delay + ex.Words
		switch text := ex.Text(); {
		case ex.Words == 0:
			t.lost++
			ex.Unanswered()
		case strings.Contains(text, "gave up") || strings.Contains(text, "went wrong"):
			t.given++
		case strings.Contains(text, "Many are asking") || strings.Contains(text, "One thing after the other"):
			t.turned++
			t.told = append(t.told, words)
		case a.kind == "heavy" && !strings.Contains(text, "resized"):
			b.Errorf("a heavy question was answered otherwise: %s", text)
		default:
			t.words = append(t.words, words)
			if a.kind == "complete" && len(ex.Choices) == 0 {
				empty++
			}
			if ex.Pictured > 0 {
				t.pictures = append(t.pictures, a.delay+ex.Pictured)
			}
		}
	}
	var out bytes.Buffer
	w := tabwriter.NewWriter(&out, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(w, "\tasked\tanswered\tp50 ms\tp99 ms\tmost ms\tturned away\ttold ms, most\tgiven up\tlost\t")
	for _, kind := range []string{"cord", "convert", "complete", "press", "heavy"} {
		if t := by[kind]; t.asked > 0 {
			fmt.Fprintf(w, "%s\t%d\t%d\t%.0f\t%.0f\t%.0f\t%d\t%.0f\t%d\t%d\t\n", kind, t.asked, len(t.words),
				percentile(t.words, 50), percentile(t.words, 99), percentile(t.words, 100), t.turned, percentile(t.told, 100), t.given, t.lost)
		}
	}
	_ = w.Flush()
	cord := by["cord"]
	within := 0
	for _, d := range cord.pictures {
		if d <= 3*time.Second {
			within++
		}
	}
	load, _ := os.ReadFile("/proc/loadavg")
	fmt.Fprintf(&out, "pictures: %d of %d answers, %.1f a second within 3 s, the last after %.1f s; %d completions empty\n",
		len(cord.pictures), len(cord.words), float64(within)/eveningLength.Seconds(), percentile(cord.pictures, 100)/1000, empty)
	fmt.Fprintf(&out, "processor: program %.1f s, generator %.1f s, of %.0f s; sent late: p99 %.0f ms; peak anonymous memory %.0f MiB; load %s",
		bot.Seconds(), generator.Seconds(), eveningLength.Seconds()+15, percentile(late, 99), peak, load)
	past := func(what string, got, bound float64) {
		if got > bound {
			fmt.Fprintf(&out, "PAST ITS BOUND: %s %.1f, at most %.1f\n", what, got, bound)
		}
	}
	for kind, bound := range map[string]float64{"cord": 300, "convert": 50, "complete": 100} {
		if kind == "cord" && e.crowded {
			continue
		}
		past("p99 ms of "+kind, percentile(by[kind].words, 99), bound*e.slack)
	}
	for kind, t := range by {
		past("given up or lost: "+kind, float64(t.given+t.lost), 0)
		past("ms until told: "+kind, percentile(t.told, 100), 1000)
		if !e.crowded && kind != "heavy" {
			past("turned away: "+kind, float64(t.turned), 0)
		}
	}
	if heavy := by["heavy"]; e.heavy > 0 && (len(heavy.words) == 0 || heavy.turned == 0) {
		b.Errorf("of %d heavy questions by one member %d were answered and %d turned away: some should be either", heavy.asked, len(heavy.words), heavy.turned)
	}
	past("empty completions", float64(empty), 0)
	if !e.crowded {
		past("pictures that did not come within 3 s, a second", float64(cord.asked-within)/eveningLength.Seconds(), 5*e.slack)
		past("s until the last picture", percentile(cord.pictures, 100)/1000, 15*e.slack)
		past("pictures that never came", float64(cord.asked-len(cord.pictures)), 0)
	}
	past("MiB", peak, e.memory)
	fmt.Printf("\n%s /cord a second\n%s", e.name, &out)
	b.ReportMetric(percentile(cord.words, 99), "cord-p99-ms")
	b.ReportMetric(percentile(by["convert"].words, 99), "convert-p99-ms")
	b.ReportMetric(percentile(by["complete"].words, 99), "complete-p99-ms")
	b.ReportMetric(float64(within)/eveningLength.Seconds(), "pictures/s")
	b.ReportMetric(peak, "peak-MiB")
}

// percentile is a percentile in milliseconds.
func percentile(times []time.Duration, percent int) float64 {
	if len(times) == 0 {
		return 0
	}
	slices.Sort(times)
	return float64(times[min(len(times)-1, len(times)*percent/100)].Microseconds()) / 1000
}

// process is the program as it serves.
type process struct {
	cmd  *exec.Cmd
	log  *bytes.Buffer
	done chan struct{}
	peak chan float64
}

// start builds the program, starts it behind its endpoint, and waits until it answers.
func start(b *testing.B, p *platformtest.Platform) *process {
	binary := filepath.Join(b.TempDir(), "larkfold-itself")
	out, err := exec.Command("go", "build", "-o", binary, ".").CombinedOutput()
	require.NoError(b, err, "%s", out)
	free, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(b, err)
	address := free.Addr().String()
	require.NoError(b, free.Close())
	s := &process{log: &bytes.Buffer{}, done: make(chan struct{}), peak: make(chan float64, 1)}
	s.cmd = exec.Command(binary, "serve", "--http", address, "--data", b.TempDir())
	s.cmd.Env = append(s.cmd.Environ(), "LARKFOLD_TOKEN="+p.Token, "LARKFOLD_PLATFORM="+p.URL, "LARKFOLD_APPLICATION="+p.ApplicationID, "LARKFOLD_PUBLIC_KEY="+p.PublicKey)
	s.cmd.Stderr = s.log
	require.NoError(b, s.cmd.Start())
	p.Endpoint("http://" + address + "/interactions")
	p.Until("commands", func() bool { return p.CommandWrites() > 0 })
	require.Eventually(b, func() bool {
		c, err := net.Dial("tcp", address)
		if err == nil {
			_ = c.Close()
		}
		return err == nil
	}, 10*time.Second, 20*time.Millisecond)
	time.Sleep(time.Second) // for the backup at the start
	go s.watch()
	return s
}

var anonymous = regexp.MustCompile(`(?m)^RssAnon:\s+(\d+)`)

// watch notes the most anonymous memory that is resident.
func (s *process) watch() {
	most := 0.0
	for {
		text, _ := os.ReadFile(fmt.Sprintf("/proc/%d/status", s.cmd.Process.Pid))
		if m := anonymous.FindSubmatch(text); m != nil {
			kib, _ := strconv.ParseFloat(string(m[1]), 64)
			most = max(most, kib/1024)
		}
		select {
		case <-s.done:
			s.peak <- most
			return
		case <-time.After(20 * time.Millisecond):
		}
	}
}

// spent is the processor time of the program so far.
func (s *process) spent(b *testing.B) time.Duration {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/stat", s.cmd.Process.Pid))
	require.NoError(b, err)
	_, rest, _ := bytes.Cut(text, []byte(") "))
	fields := strings.Fields(string(rest))
	user, err := strconv.Atoi(fields[11])
	require.NoError(b, err)
	system, err := strconv.Atoi(fields[12])
	require.NoError(b, err)
	const tick = 10 * time.Millisecond // of Linux's clock for programs
	return time.Duration(user+system) * tick
}

// stop ends the program and returns its peak of memory in MiB.
func (s *process) stop(b *testing.B) float64 {
	close(s.done)
	require.NoError(b, s.cmd.Process.Signal(syscall.SIGTERM))
	require.NoError(b, s.cmd.Wait(), "%s", s.log)
	return <-s.peak
}
