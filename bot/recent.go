package bot

import "sync"

// recent remembers the last interactions by id, so that one delivered twice is
// answered once. Its memory is bounded: the oldest id makes room.
type recent struct {
	mu    sync.Mutex
	known map[string]struct{}
	ring  []string
	next  int
}

func newRecent(size int) *recent {
	return &recent{known: make(map[string]struct{}, size), ring: make([]string, size)}
}

// first reports whether id has not been seen among the last ids.
func (r *recent) first(id string) bool {
	r.mu.Lock()
	defer r.mu.Unlock()
	if _, seen := r.known[id]; seen {
		return false
	}
	delete(r.known, r.ring[r.next])
	r.ring[r.next] = id
	r.next = (r.next + 1) % len(r.ring)
	r.known[id] = struct{}{}
	return true
}
