//go:build unix

package main

import (
	"flag"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/bot/platformtest"
	"larkfold/store"
	"larkfold/store/pgstore/pgtest"
)

var failovers = flag.Int("failovers", 1, "how many times the failover test kills a primary and a replica")

// saving is one thing that a member was about to save, and what came of it.
type saving struct {
	member, name string // of a design; empty for pieces
	length       store.Nanometres
	answer       string // empty where none came
	took         time.Duration
	at           time.Time // it was asked
}

func (s saving) acknowledged() bool {
	return strings.Contains(s.answer, "Saved") || strings.Contains(s.answer, "Added")
}
func (s saving) refused() bool { return strings.Contains(s.answer, "nothing was saved") }

// Two replicas serve members over a primary with a synchronous standby. In the
// midst of it the primary is killed, the standby promoted, and a replica killed
// too: what members were told is saved is there, once, and what they were told
// is not saved is not. More of it: go test ./cmd/larkfold -run Failover -failovers 20
func TestFailover(t *testing.T) {
	slow(t)
	for round := range *failovers {
		t.Run(fmt.Sprint(round), func(t *testing.T) {
			// Somebody has to notice first: at once, or after a while.
			failover(t, []time.Duration{2500, 200, 5000, 1200}[round%4]*time.Millisecond)
		})
	}
}

func failover(t *testing.T, unnoticed time.Duration) {
	primary := pgtest.Primary(t)
	standby := primary.Standby(t)
	address := primary.URLWith(standby)
	p := platformtest.Start(lenient{t}, platformtest.Options{Deadline: time.Minute, Patience: 45 * time.Second})
	one, two := startReplica(t, p, "one", address), startReplica(t, p, "two", address)
	p.Endpoint(balance(t, one, two))

	const members = 6
	stop := make(chan struct{})
	savings := make([][]saving, members)
	var load sync.WaitGroup
	var acknowledged atomic.Int64
	wait := func() { // for some more to be saved, however slow the machine is
		t.Helper()
		enough := acknowledged.Load() + 20
		require.Eventually(t, func() bool { return acknowledged.Load() >= enough }, time.Minute, 10*time.Millisecond)
	}
	for m := range members {
		load.Go(func() {
			member := p.Member(fmt.Sprint("member ", m))
			for n := 0; ; n++ {
				select {
				case <-stop:
					return
				default:
				}
				s := saving{member: member.ID(), at: time.Now(), length: store.Nanometres(300+n) * 1_000_000}
				line := fmt.Sprintf("/shelf add pieces:%dmm", 300+n)
				if n%8 == 7 {
					s.name = fmt.Sprint("Heron ", n)
					line = fmt.Sprintf("/cord width:20cm drop:%dcm save:%q", 30+n%40, s.name)
				}
				if ex := typedBy(p, member, line); ex != nil {
					s.answer, s.took = plain(ex), ex.Took
				}
				savings[m] = append(savings[m], s)
				if s.acknowledged() {
					acknowledged.Add(1)
				}
				time.Sleep(5 * time.Millisecond)
			}
		})
	}
	wait()
	primary.Kill()
	killed := time.Now()
	time.Sleep(unnoticed / 2)
	require.NoError(t, two.run.Process.Kill())
	if unnoticed > 2*time.Second {
		require.Eventually(t, func() bool { return !one.ready.Load() }, 10*time.Second, 10*time.Millisecond, "without a primary no replica is ready")
	}
	time.Sleep(unnoticed / 2)
	standby.Promote(t)
	promoted := time.Since(killed)
	require.Eventually(t, func() bool { return one.ready.Load() }, 20*time.Second, 10*time.Millisecond, "the other replica finds the new primary")
	ready := time.Since(killed)
	wait()
	close(stop)
	load.Wait()

	tally(t, slices.Concat(savings...), killed, promoted, ready)
	checkSavings(t, standby.URL(), slices.Concat(savings...), killed)
}

var numbers = regexp.MustCompile(`[0-9]+(\.[0-9]+)?`)

// tally tells what members read and how long they waited.
func tally(t *testing.T, all []saving, killed time.Time, promoted, ready time.Duration) {
	read := map[string]int{}
	longest := time.Duration(0)
	for _, s := range all {
		longest = max(longest, s.took)
		switch {
		case s.answer == "":
			read["(no answer: the replica that had promised one was killed)"]++
		case s.acknowledged():
			read["saved"]++
		default:
			read[numbers.ReplaceAllString(strings.Join(strings.Fields(s.answer), " "), "#")]++
		}
	}
	t.Logf("promoted after %s, ready after %s; longest wait of a member %s", promoted.Round(time.Millisecond), ready.Round(time.Millisecond), longest.Round(time.Millisecond))
	for _, text := range slices.Sorted(maps.Keys(read)) {
		t.Logf("%5d  %s", read[text], text)
	}
}

// checkSavings looks for everything in the store.
func checkSavings(t *testing.T, address string, all []saving, killed time.Time) {
	t.Helper()
	s := openedShared(t, address)
	before, after := 0, 0
	for _, done := range all {
		there := timesThere(t, s, done)
		switch {
		case done.acknowledged():
			require.Equal(t, 1, there, "acknowledged, so there once: %+v", done)
			if done.at.Before(killed) {
				before++
			} else {
				after++
			}
		case done.refused():
			require.Zero(t, there, "not saved, so not there: %+v", done)
		default:
			require.LessOrEqual(t, there, 1, "never twice: %+v", done)
		}
	}
	require.Greater(t, before, 10, "saved before the failover")
	require.Greater(t, after, 10, "saved after it")
	report, err := s.Check(t.Context())
	require.NoError(t, err)
	require.Empty(t, report.Problems)
}

func timesThere(t *testing.T, s *opened, done saving) (n int) {
	t.Helper()
	if done.name == "" {
		shelf, err := s.Leftovers(t.Context(), done.member)
		require.NoError(t, err)
		for _, entry := range shelf.Entries {
			if entry.Length == done.length {
				n += entry.Count
			}
		}
		return n
	}
	list, err := s.Projects(t.Context(), done.member)
	require.NoError(t, err)
	for _, summary := range list {
		if summary.Name != done.name {
			continue
		}
		project, err := s.ProjectByID(t.Context(), done.member, summary.ID)
		require.NoError(t, err)
		require.Contains(t, project.Sheet, "panel")
		require.EqualValues(t, 1, project.Revision)
		n++
	}
	return n
}

// Both replicas are restarted one after the other while members ask: nobody
// notices.
func TestRollingRestart(t *testing.T) {
	slow(t)
	address := pgtest.Shared(t)
	p := platformtest.Start(lenient{t}, platformtest.Options{Deadline: time.Minute, Patience: 45 * time.Second})
	one, two := startReplica(t, p, "one", address), startReplica(t, p, "two", address)
	p.Endpoint(balance(t, one, two))
	require.Equal(t, 1, p.CommandWrites(), "one has registered the commands")

	const perSecond = 20
	stop := make(chan struct{})
	var asked sync.WaitGroup
	var mu sync.Mutex
	var took []time.Duration
	asked.Go(func() {
		ticks := time.NewTicker(time.Second / perSecond)
		defer ticks.Stop()
		for n := 0; ; n++ {
			var due time.Time
			select {
			case <-stop:
				return
			case due = <-ticks.C:
			}
			asked.Go(func() {
				line, says := "/convert what:\"3/16 in\"", "4.76 mm"
				if n%2 == 0 {
					line, says = fmt.Sprintf("/shelf add pieces:%dmm", 300+n), "Added"
				}
				ex := typedBy(p, p.Member(fmt.Sprint("member ", n%10)), line)
				if ex == nil || !strings.Contains(plain(ex), says) {
					t.Errorf("question %d, %s: %v", n, line, ex)
					return
				}
				mu.Lock()
				defer mu.Unlock()
				took = append(took, time.Since(due))
			})
		}
	})
	time.Sleep(300 * time.Millisecond)
	for _, r := range []*replicaProcess{one, two} {
		r.stop()
		r.start()
	}
	time.Sleep(300 * time.Millisecond)
	close(stop)
	asked.Wait()
	require.Empty(t, p.Violations())
	require.Contains(t, one.log.String(), "replica=one")
	require.Contains(t, two.log.String(), "replica=two")
	slices.Sort(took)
	t.Logf("%d questions, all answered; the slowest took %s", len(took), took[len(took)-1].Round(time.Millisecond))
}
