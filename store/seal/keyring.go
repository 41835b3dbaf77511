package seal

import "slices"

// keyring is what values are sealed with. It is never changed, only replaced.
type keyring struct {
	current *sealer   // nil when values are not sealed
	known   []*sealer // every key that values may be sealed with, the current one included
	plain   bool      // values may be plain
}

// Current is the id of the key that values are sealed with, empty for plain ones.
func (c *Codec) Current() string {
	if k := c.keys.Load().current; k != nil {
		return k.id.String()
	}
	return ""
}

// Knows tells whether values sealed with the key of that id can be read.
func (c *Codec) Knows(id string) bool {
	return slices.ContainsFunc(c.keys.Load().known, func(s *sealer) bool { return s.id.String() == id })
}

// Begin goes on from what a store has noted: whether any of its values may be plain,
// and how many the current key has sealed at most.
func (c *Codec) Begin(plain bool, sealed uint64) {
	keys := *c.keys.Load()
	keys.plain = plain
	c.keys.Store(&keys)
	if keys.current != nil {
		keys.current.start(sealed)
	}
}

// RefusePlain takes plain values for damaged from now on: all are sealed.
func (c *Codec) RefusePlain() {
	keys := *c.keys.Load()
	keys.plain = false
	c.keys.Store(&keys)
}

// PartlyPlain tells that values are sealed and that some may be plain still.
func (c *Codec) PartlyPlain() bool {
	keys := c.keys.Load()
	return keys.current != nil && keys.plain
}

// Rekeyed returns a codec that seals with another key and reads all that c reads, or
// nil when c seals with that key already. From then on c reads what the other seals;
// [Codec.Become] makes it seal so too.
func (c *Codec) Rekeyed(key *Key) (*Codec, error) {
	now := c.keys.Load()
	next, err := newSealer(key)
	if err != nil {
		return nil, err
	}
	if now.current != nil && now.current.id == next.id {
		return nil, nil
	}
	known := append([]*sealer{next}, now.known...)
	c.keys.Store(&keyring{current: now.current, known: known, plain: now.plain})
	return newCodec(c.format, c.longest, &keyring{current: next, known: known, plain: now.plain}), nil
}

// Become seals with the keys of another codec from now on.
func (c *Codec) Become(other *Codec) { c.keys.Store(other.keys.Load()) }
