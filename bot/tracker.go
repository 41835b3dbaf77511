package bot

import (
	"sync"
	"time"
)

// tracker counts what is running, so that a stop can wait for it.
type tracker struct {
	mu       sync.Mutex
	count    int
	stopping bool
	idle     chan struct{} // closed when stopping and nothing runs
}

func newTracker() *tracker { return &tracker{idle: make(chan struct{})} }

func (t *tracker) begin() (stopping bool) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.count++
	return t.stopping
}

func (t *tracker) end() {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.count--
	t.settle()
}

// stop lets nothing new begin and waits until all is done, but not longer than limit.
func (t *tracker) stop(limit time.Duration) (left int) {
	t.mu.Lock()
	t.stopping = true
	t.settle()
	t.mu.Unlock()
	select {
	case <-t.idle:
	case <-time.After(limit):
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	return t.count
}

func (t *tracker) settle() {
	if !t.stopping || t.count > 0 {
		return
	}
	select {
	case <-t.idle:
	default:
		close(t.idle)
	}
}

func (t *tracker) inFlight() float64 {
	t.mu.Lock()
	defer t.mu.Unlock()
	return float64(t.count)
}
