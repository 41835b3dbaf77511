package bot

import (
	"sync"
	"time"
)

// seldom lets something through at most once in a while and counts the rest.
type seldom struct {
	every time.Duration
	mu    sync.Mutex
	next  time.Time
	held  int
}

// allow tells whether it may be said now, and how often it was held back before.
func (s *seldom) allow(now time.Time) (held int, ok bool) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if now.Before(s.next) {
		s.held++
		return 0, false
	}
	held, s.held, s.next = s.held, 0, now.Add(s.every)
	return held, true
}
