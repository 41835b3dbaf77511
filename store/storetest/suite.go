package storetest

import (
	"context"
	"errors"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/pairs"
)

// Subject is an engine under test.
type Subject struct {
	// Open opens the engine that is kept in a directory, or makes it there.
	Open func(dir string) (pairs.Engine, error)

	// Check looks for damage in what a closed engine has left in a directory.
	// It runs after every test. Nil for an engine that leaves nothing.
	Check func(dir string) error

	// Forgets is set for an engine that keeps nothing when it is closed.
	Forgets bool

	// Shared is set for an engine that several programs may have open at once.
	Shared bool

	// OpenOver opens the engine by way of a connection that cut breaks, once,
	// while the next change is being made durable. Nil for an engine without a
	// connection: the suite then feigns it.
	OpenOver func(dir string) (engine pairs.Engine, cut func(Moment), err error)
}

// Moment is when a connection breaks.
type Moment int

// The moments at which nobody who asked can know whether a change was made.
const (
	BeforeCommit Moment = iota // the store never hears of it
	AfterCommit                // its answer is lost
)

// SeedVariable names the environment variable that fixes the seed of the random tests.
const SeedVariable = "STORETEST_SEED"

// Seed returns the seed of a random test and prints it should the test fail.
func Seed(t testing.TB) uint64 {
	seed, err := strconv.ParseUint(os.Getenv(SeedVariable), 10, 64)
	if err != nil {
		seed = uint64(time.Now().UnixNano())
	}
	t.Cleanup(func() {
		if t.Failed() {
			t.Logf("run it again with %s=%d", SeedVariable, seed)
		}
	})
	return seed
}

func random(t testing.TB) *rand.Rand { return rand.New(rand.NewPCG(Seed(t), 1)) }

// Run runs the suite.
func Run(t *testing.T, subject Subject) {
	tests := []struct {
		name string
		run  func(t *testing.T, rig *rig)
	}{
		{"a value is found, replaced and deleted", testPutGetDelete},
		{"an empty value is not a missing one", testEmptyValue},
		{"a failed change leaves nothing", testRollback},
		{"a change sees its own writes", testOwnWrites},
		{"a reader's picture does not change", testPicture},
		{"keys and values can be reused", testReuse},
		{"keys have a size", testKeySize},
		{"large values", testLargeValues},
		{"scans", testScans},
		{"scans stop, nest and read", testScanUse},
		{"a cancelled context", testCancelled},
		{"a scan is cancelled on its way", testCancelledScan},
		{"a panic reaches the caller and does no harm", testPanic},
		{"a change that ends its goroutine does no harm", testGoexit},
		{"a closed engine says so", testClosed},
		{"what was written is there when opened again", testReopen},
		{"random changes against a model", testModel},
		{"concurrent writers against a model", testConcurrentWriters},
		{"concurrent failures disturb nobody", testConcurrentFailures},
		{"two edits at once never lose one", testConcurrentEdits},
		{"an operation pressed twice at once happens once", testConcurrentOnce},
		{"a commit that is neither yes nor no says so", testUnknownCommit},
		{"what is asked again under its key happens once", testAskedAgain},
		{"two clients who each read what the other writes", testTwoClients},
		{"phantoms: what others insert where a change has looked", testPhantomInserts},
		{"phantoms: what others delete where a change has looked", testPhantomDeletes},
		{"a long reader beside writers", testLongView},
		{"ten thousand keys under one prefix", testManyKeys},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			rig := &rig{t: t, subject: subject, dir: t.TempDir()}
			rig.open()
			test.run(t, rig)
			rig.close()
			if subject.Check != nil {
				require.NoError(t, subject.Check(rig.dir), "the engine left damage")
			}
		})
	}
}

// rig is one engine being tested.
type rig struct {
	t       *testing.T
	subject Subject
	dir     string
	engine  pairs.Engine
}

func (rig *rig) open() {
	rig.t.Helper()
	engine, err := rig.subject.Open(rig.dir)
	require.NoError(rig.t, err)
	rig.engine = engine
	rig.t.Cleanup(rig.close)
}

func (rig *rig) close() {
	if rig.engine != nil {
		require.NoError(rig.t, rig.engine.Close())
		rig.engine = nil
	}
}

func (rig *rig) update(change func(w pairs.Writer) error) {
	rig.t.Helper()
	require.NoError(rig.t, rig.engine.Update(rig.t.Context(), change))
}

func (rig *rig) view(read func(r pairs.Reader) error) {
	rig.t.Helper()
	require.NoError(rig.t, rig.engine.View(rig.t.Context(), read))
}

func (rig *rig) put(texts ...string) {
	rig.t.Helper()
	rig.update(func(w pairs.Writer) error {
		for i := 0; i < len(texts); i += 2 {
			if err := w.Put([]byte(texts[i]), []byte(texts[i+1])); err != nil {
				return err
			}
		}
		return nil
	})
}

// all returns everything in the engine, keys and values in turn.
func (rig *rig) all() (texts []string) {
	rig.t.Helper()
	rig.view(func(r pairs.Reader) (err error) {
		texts, err = listed(r, "", "")
		return err
	})
	return texts
}

func listed(r pairs.Reader, prefix, from string) (texts []string, err error) {
	texts = []string{}
	for pair, err := range r.Scan([]byte(prefix), []byte(from)) {
		if err != nil {
			return nil, err
		}
		texts = append(texts, string(pair.Key), string(pair.Value))
	}
	return texts, nil
}

// value returns the value of a key, or "(none)".
func value(r pairs.Reader, key string) (string, error) {
	v, found, err := r.Get([]byte(key))
	if err != nil || !found {
		return "(none)", err
	}
	return string(v), nil
}

// patiently makes a change that an engine may give up because too many met at once, of
// which nothing is written then. The busier a machine is, the more of them meet.
func patiently(change func() error) (err error) {
	for range 1000 {
		if err = change(); !errors.Is(err, store.ErrUnavailable) {
			return err
		}
	}
	return err
}

var errOnPurpose = errors.New("on purpose")

// cancelled returns a context that has ended.
func cancelled(t *testing.T) context.Context {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	return ctx
}
