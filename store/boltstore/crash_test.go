package boltstore

import (
	"bufio"
	"context"
	"flag"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/storetest"
)

var kills = flag.Int("kills", 5, "how many times the crash test kills a writing process")

// crashVariable, when set, makes the test binary the process that writes until it is killed.
const crashVariable = "LARKFOLD_TEST_CRASH_STORE"

func TestMain(m *testing.M) {
	if path := os.Getenv(crashVariable); path != "" {
		if err := writeUntilKilled(path, os.Getenv(crashVariable+"_ROUND")); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		return
	}
	os.Exit(m.Run())
}

const crashWriters = 8

// crashSheet is long enough for a record to span pages now and then.
func crashSheet(mark string) string { return strings.Repeat(mark+"\n", 1+len(mark)*20) }

// writeUntilKilled saves revisions of one project per writer and says so on its
// output only after the save was acknowledged: "member project revision mark".
// All the while the store is tidied, so that kills hit that too.
func writeUntilKilled(path, round string) error {
	e, err := Open(path, Options{})
	if err != nil {
		return err
	}
	s, err := store.New(context.Background(), e, store.Options{})
	if err != nil {
		return err
	}
	var out sync.Mutex
	var wg sync.WaitGroup
	go func() {
		for {
			if _, _, err := e.Tidy(context.Background()); err != nil {
				fmt.Fprintln(os.Stderr, "tidying:", err)
			}
		}
	}()
	for w := range crashWriters {
		wg.Go(func() {
			member := fmt.Sprintf("member-%s-%d", round, w)
			p, err := s.SaveProject(context.Background(), member, time.Now(), store.Project{Name: "round " + round, Sheet: "start"}, 0)
			for n := 0; err == nil; n++ {
				mark := fmt.Sprintf("%s-%d-%d", round, w, n)
				p.Sheet = crashSheet(mark)
				if p, err = s.SaveProject(context.Background(), member, time.Now(), p, p.Revision); err == nil {
					out.Lock()
					fmt.Println(p.Owner, p.ID, p.Revision, mark)
					out.Unlock()
				}
			}
			fmt.Fprintln(os.Stderr, err)
		})
	}
	wg.Wait()
	return fmt.Errorf("the writers have stopped by themselves")
}

// acknowledged is the last save of a project that the killed process has told of.
type acknowledged struct {
	member, id, mark string
	revision         uint64
}

// TestAcknowledgedSavesSurviveKills kills a process that saves under load, at
// random moments, and looks for every save that it had acknowledged. More kills:
// go test ./store/boltstore -run Kills -kills 1000
func TestAcknowledgedSavesSurviveKills(t *testing.T) {
	r := rand.New(rand.NewPCG(storetest.Seed(t), 2))
	path := filepath.Join(t.TempDir(), "store.db")
	all := map[string]acknowledged{}
	saves := 0
	for round := range *kills {
		told := map[string]acknowledged{}
		saves += writeAndKill(t, path, round, time.Duration(20+r.IntN(200))*time.Millisecond, told)
		requireAcknowledged(t, path, told)
		maps.Copy(all, told)
	}
	require.Positive(t, saves, "nothing was acknowledged at all")
	report, err := CheckFile(t.Context(), path, store.Options{})
	require.NoError(t, err)
	require.Empty(t, report.Problems)
	requireAcknowledged(t, path, all) // nothing was lost in a later kill either
	t.Logf("%d kills, %d acknowledged saves, all there", *kills, saves)
}

// writeAndKill runs the writing process, kills it a while after its first save, and returns how many saves it told of.
func writeAndKill(t *testing.T, path string, round int, after time.Duration, told map[string]acknowledged) int {
	t.Helper()
	self, err := os.Executable()
	require.NoError(t, err)
	child := exec.Command(self, "-test.run=^$")
	child.Env = append(os.Environ(), crashVariable+"="+path, fmt.Sprintf("%s_ROUND=%d", crashVariable, round))
	var complaints strings.Builder
	child.Stderr = &complaints
	out, err := child.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, child.Start())
	var timer *time.Timer
	lines := 0
	for scanner := bufio.NewScanner(out); scanner.Scan(); {
		if timer == nil {
			timer = time.AfterFunc(after, func() { _ = child.Process.Kill() })
		}
		var a acknowledged
		if n, err := fmt.Sscan(scanner.Text(), &a.member, &a.id, &a.revision, &a.mark); n != 4 || err != nil {
			continue // the line that the kill has cut off
		}
		told[a.id] = a
		lines++
	}
	require.Error(t, child.Wait(), "the child was not killed")
	require.Empty(t, complaints.String())
	return lines
}

func requireAcknowledged(t *testing.T, path string, told map[string]acknowledged) {
	t.Helper()
	e, err := Open(path, Options{})
	require.NoError(t, err)
	defer func() { require.NoError(t, e.Close()) }()
	s, err := store.New(t.Context(), e, store.Options{})
	require.NoError(t, err)
	for _, a := range told {
		p, err := s.ProjectByID(t.Context(), a.member, a.id)
		require.NoError(t, err)
		require.GreaterOrEqual(t, p.Revision, a.revision)
		if p.Revision == a.revision {
			require.Equal(t, crashSheet(a.mark), p.Sheet)
			continue
		}
		history, err := s.History(t.Context(), a.member, a.id)
		require.NoError(t, err)
		i := int(p.Revision-a.revision) - 1
		require.Less(t, i, 2, "at most one save per writer was under way")
		require.Equal(t, crashSheet(a.mark), history[i].Sheet)
	}
}
