package bot

import (
	"fmt"
	"strconv"
	"strings"
)

// Shards says which gateway connections this process holds: shards First to
// Last of Count. The zero value lets the platform say how many there are and
// holds them all.
type Shards struct{ First, Last, Count int }

// ParseShards reads "auto", one shard as "2/16" or a range as "0-3/16"; shards
// count from 0.
func ParseShards(text string) (Shards, error) {
	if text == "" || text == "auto" {
		return Shards{}, nil
	}
	fault := fmt.Errorf("shards %q: write auto, one shard as 2/16 or a range as 0-3/16, counting from 0", text)
	which, total, ok := strings.Cut(text, "/")
	if !ok {
		return Shards{}, fault
	}
	first, last, ranged := strings.Cut(which, "-")
	if !ranged {
		last = first
	}
	var s Shards
	for _, part := range []struct {
		into *int
		text string
	}{{&s.First, first}, {&s.Last, last}, {&s.Count, total}} {
		n, err := strconv.ParseUint(part.text, 10, 16)
		if err != nil {
			return Shards{}, fault
		}
		*part.into = int(n)
	}
	if s.First > s.Last || s.Last >= s.Count {
		return Shards{}, fault
	}
	return s, nil
}

// String is what ParseShards reads.
func (s Shards) String() string {
	switch {
	case s.Count == 0:
		return "auto"
	case s.First == s.Last:
		return fmt.Sprintf("%d/%d", s.First, s.Count)
	}
	return fmt.Sprintf("%d-%d/%d", s.First, s.Last, s.Count)
}

// groups parts the shards into those that may identify together: the platform
// takes one shard of each key, id modulo concurrency, at a time.
func (s Shards) groups(concurrency int) [][]int {
	concurrency = max(1, concurrency)
	var groups [][]int
	for id := s.First; id <= s.Last; id++ {
		if n := len(groups); n > 0 && groups[n-1][0]/concurrency == id/concurrency {
			groups[n-1] = append(groups[n-1], id)
		} else {
			groups = append(groups, []int{id})
		}
	}
	return groups
}
