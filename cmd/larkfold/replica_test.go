//go:build unix

package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"os/exec"
	"runtime"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/bot"
	"larkfold/bot/platformtest"
)

// slow is a test that waits more than it works: it runs beside others, and not in a short run.
func slow(t *testing.T) {
	if testing.Short() {
		t.Skip("takes seconds")
	}
	t.Parallel()
}

// replicaProcess is `larkfold serve --http` as a process of its own, one of several.
type replicaProcess struct {
	t                testing.TB
	p                *platformtest.Platform
	name, store      string
	endpoint, status string
	run              *exec.Cmd
	log              *errorLog
	ended            chan struct{}
	ready            atomic.Bool
}

// startReplica starts a replica and waits until it is ready.
func startReplica(t testing.TB, p *platformtest.Platform, name, store string) *replicaProcess {
	t.Helper()
	r := &replicaProcess{t: t, p: p, name: name, store: store, endpoint: freeAddress(t), status: freeAddress(t)}
	r.start()
	t.Cleanup(func() {
		_ = r.run.Process.Kill()
		<-r.ended
		if t.Failed() {
			t.Logf("%s:\n%s", name, r.log)
		}
	})
	return r
}

func (r *replicaProcess) start() {
	r.t.Helper()
	r.run = exec.Command("larkfold", "serve", "--http", r.endpoint, "--public-key", r.p.PublicKey, "--status", r.status,
		"--application", r.p.ApplicationID, "--replica", r.name, "--drain", "500ms", "--plain")
	r.run.Env = append(os.Environ(), "LARKFOLD_TOKEN="+r.p.Token, "LARKFOLD_PLATFORM="+r.p.URL, "LARKFOLD_STORE="+r.store)
	log, ended := &errorLog{}, make(chan struct{})
	r.log, r.ended, r.run.Stderr = log, ended, log
	require.NoError(r.t, r.run.Start())
	run := r.run
	go func() {
		_ = run.Wait()
		r.ready.Store(false)
		close(ended)
	}()
	require.Eventually(r.t, r.look, 2*time.Minute, 20*time.Millisecond, "%s: %s", r.name, log)
}

// look asks the replica whether it is ready, as a balancer does now and then.
func (r *replicaProcess) look() bool {
	ctx, cancel := context.WithTimeout(context.Background(), time.Second)
	defer cancel()
	ready := bot.Ready(ctx, r.status) == nil
	r.ready.Store(ready)
	return ready
}

// stop tells the replica to stop, and waits until it has.
func (r *replicaProcess) stop() {
	r.t.Helper()
	require.NoError(r.t, r.run.Process.Signal(syscall.SIGTERM))
	<-r.ended
	require.Zero(r.t, r.run.ProcessState.ExitCode(), r.log.String())
}

// freeAddress is a loopback address that nobody listens on. It is not the usual one, if
// there are others, so that its port goes to nobody else before it is used.
func freeAddress(t testing.TB) string {
	t.Helper()
	listener, err := net.Listen("tcp", fmt.Sprintf("127.%d.%d.%d:0", 1+rand.IntN(250), rand.IntN(250), 1+rand.IntN(250)))
	if err != nil {
		listener, err = net.Listen("tcp", "127.0.0.1:0")
	}
	require.NoError(t, err)
	defer listener.Close()
	return listener.Addr().String()
}

// balance starts a balancer before replicas, which sends a request to one that is
// ready, if there is one, and to the next when a connection breaks.
func balance(t testing.TB, replicas ...*replicaProcess) (address string) {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	var looking sync.WaitGroup
	for _, r := range replicas {
		looking.Go(func() {
			for ctx.Err() == nil {
				r.look()
				time.Sleep(50 * time.Millisecond)
			}
		})
	}
	var turn atomic.Int64
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	server := &http.Server{Handler: http.HandlerFunc(func(w http.ResponseWriter, req *http.Request) {
		body, err := io.ReadAll(req.Body)
		if err != nil {
			return
		}
		for _, ready := range []bool{true, false} {
			first := int(turn.Add(1))
			for i := range replicas {
				r := replicas[(first+i)%len(replicas)]
				if r.ready.Load() == ready && hand(w, req, body, r.endpoint) {
					return
				}
			}
		}
		w.WriteHeader(http.StatusBadGateway)
	})}
	go func() { _ = server.Serve(listener) }()
	t.Cleanup(func() {
		stop()
		looking.Wait()
		_ = server.Close()
	})
	return "http://" + listener.Addr().String() + "/interactions"
}

// hand passes a request on, and back what it is answered with. It fails when the
// connection breaks before that.
func hand(w http.ResponseWriter, req *http.Request, body []byte, to string) bool {
	onward, err := http.NewRequestWithContext(req.Context(), req.Method, "http://"+to+"/interactions", bytes.NewReader(body))
	if err != nil {
		return false
	}
	onward.Header = req.Header
	answer, err := http.DefaultClient.Do(onward)
	if err != nil {
		return false
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		return false
	}
	w.Header().Set("Content-Type", answer.Header.Get("Content-Type"))
	w.WriteHeader(answer.StatusCode)
	_, _ = w.Write(text)
	return true
}

// typedBy sends a line of a member and waits for the answer, which is nothing if
// none came. p was started with a lenient test.
func typedBy(p *platformtest.Platform, m *platformtest.Member, line string) (answer *platformtest.Exchange) {
	var done sync.WaitGroup
	done.Go(func() {
		ex := m.Type(line)
		ex.Unanswered()
		if ex.HTTPStatus != http.StatusOK && ex.HTTPStatus != http.StatusAccepted {
			runtime.Goexit()
		}
		answer = m.Wait(ex)
	})
	done.Wait()
	return answer
}
