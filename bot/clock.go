package bot

import (
	"strconv"
	"sync"
	"time"
)

// clock tells how old an interaction is. Its id says when the platform made it, by
// the platform's own clock; how far this machine's is ahead of that is the least
// difference between making and receiving that was seen lately, for no message
// arrives before it was sent.
type clock struct {
	ahead func() (by time.Duration, known bool) // as the platform's answers say, to the second

	mu    sync.Mutex
	least [2]time.Duration // of this span and of the one before
	seen  [2]bool
	since time.Time // when this span began
}

const (
	clockSpan = 5 * time.Minute
	tokenLife = 15 * time.Minute
	epoch     = 1420070400000 // of the platform's ids, in milliseconds of Unix time
)

// made is when the platform made an id, by the platform's clock.
func made(id string) (time.Time, bool) {
	n, err := strconv.ParseUint(id, 10, 64)
	if err != nil {
		return time.Time{}, false
	}
	return time.UnixMilli(int64(n>>22) + epoch), true
}

// age is how long before its receipt an interaction was made. What is older than
// its token's life, or younger than nothing, has no age that could be used.
func (c *clock) age(id string, received time.Time) time.Duration {
	at, ok := made(id)
	if !ok {
		return 0
	}
	difference := received.Sub(at)
	c.mu.Lock()
	defer c.mu.Unlock()
	skew, known := c.skew(received)
	if !known {
		skew = difference
	}
	age := difference - skew
	if age > tokenLife {
		return 0
	}
	if !c.seen[0] || difference < c.least[0] {
		c.least[0], c.seen[0] = difference, true
	}
	return max(0, age)
}

// skew is how far this machine's clock is ahead, as far as that is known. c.mu is held.
func (c *clock) skew(now time.Time) (skew time.Duration, known bool) {
	if now.Sub(c.since) > clockSpan {
		c.least[1], c.seen[1], c.seen[0], c.since = c.least[0], c.seen[0] && now.Sub(c.since) <= 2*clockSpan, false, now
	}
	for i, seen := range c.seen {
		if seen && (!known || c.least[i] < skew) {
			skew, known = c.least[i], true
		}
	}
	if by, told := c.ahead(); told {
		const within = time.Second // that the platform's answers are dated to
		switch {
		case !known:
			skew, known = by, true
		case by+within < skew: // all that was seen lately came late
			skew = by + within
		}
	}
	return skew, known
}
