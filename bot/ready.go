package bot

import (
	"context"
	"fmt"
	"sync"
)

// readiness is whether the bot answers, and if not, why.
type readiness struct {
	store  func(context.Context) error       // of the configuration; may be nil
	tell   func(answering bool, what string) // of the configuration; may be nil
	mu     sync.Mutex
	stage  stage
	wanted int // gateway connections; none with the HTTP way in
	live   int // gateway connections that are up
}

type stage int

const (
	starting stage = iota
	started
	stopping
)

// enter goes on to a stage.
func (r *readiness) enter(s stage) {
	r.change(func() { r.stage = max(r.stage, s) })
}

// want says how many gateway connections there should be.
func (r *readiness) want(connections int) {
	r.change(func() { r.wanted = connections })
}

// connected counts gateway connections that come up, and with -1 those that go.
func (r *readiness) connected(n int) {
	r.change(func() { r.live += n })
}

func (r *readiness) change(what func()) {
	r.mu.Lock()
	defer r.mu.Unlock()
	before := r.state()
	what()
	if after := r.state(); after != before && r.tell != nil {
		r.tell(r.answering(), after)
	}
}

func (r *readiness) answering() bool { return r.stage == started && r.live == r.wanted }

// state is what the bot is at, in a few words. r.mu is held.
func (r *readiness) state() string {
	switch {
	case r.stage == stopping:
		return "stopping"
	case r.wanted > 0 && r.live < r.wanted:
		return fmt.Sprintf("%d of %d gateway connections are up", r.live, r.wanted)
	case r.stage == starting:
		return "starting"
	}
	return "answering"
}

// leaving tells that the bot was told to stop.
func (r *readiness) leaving() bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.stage == stopping
}

func (r *readiness) gatewayConnections() float64 {
	r.mu.Lock()
	defer r.mu.Unlock()
	return float64(r.live)
}

// check returns nothing when the bot answers, and else what keeps it from that.
func (r *readiness) check(ctx context.Context) string {
	r.mu.Lock()
	answering, state := r.answering(), r.state()
	r.mu.Unlock()
	if !answering {
		return state
	}
	if r.store != nil {
		if err := r.store(ctx); err != nil {
			return "the store: " + err.Error()
		}
	}
	return ""
}
