package formula

import "sync"

// Cache compiles every formula once and keeps the most recent ones. It may be
// used by many goroutines.
type Cache struct {
	mu       sync.Mutex
	most     int
	formulas map[cacheKey]*Formula
	order    []cacheKey // oldest first
}

type cacheKey struct {
	source string
	use    Use
}

// NewCache returns a cache of at most so many formulas, and at least one.
func NewCache(most int) *Cache {
	return &Cache{most: max(most, 1), formulas: map[cacheKey]*Formula{}}
}

// Compile is the same as the function Compile; a formula seen before comes from
// the cache. Refused formulas are not kept.
func (c *Cache) Compile(source string, use Use) (*Formula, error) {
	key := cacheKey{source, use}
	c.mu.Lock()
	f, ok := c.formulas[key]
	c.mu.Unlock()
	if ok {
		return f, nil
	}
	f, err := Compile(source, use)
	if err != nil {
		return nil, err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	if _, ok := c.formulas[key]; ok {
		return c.formulas[key], nil
	}
	if len(c.order) == c.most {
		delete(c.formulas, c.order[0])
		c.order = c.order[1:]
	}
	c.formulas[key] = f
	c.order = append(c.order, key)
	return f, nil
}
