package seal

import (
	"crypto/aes"
	"crypto/cipher"
	"crypto/hkdf"
	"crypto/sha256"
	"fmt"
	"sync"
	"sync/atomic"
)

// sealer seals values with one key: AES-256-GCM with random nonces, which is
// good for 2^32 values per key (NIST SP 800-38D, section 8.3).
type sealer struct {
	id   keyID
	aead cipher.AEAD

	sealed   atomic.Uint64 // how many values so far
	reserved atomic.Uint64 // how many the store's header allows for
	counting sync.Mutex    // held while the header is told of more
}

const sealedHead = 1 + len(keyID{})

func newSealer(k *Key) (*sealer, error) {
	secret, err := hkdf.Key(sha256.New, k.secret[:], nil, "larkfold values 1", 32)
	if err != nil {
		return nil, fmt.Errorf("preparing the key: %w", err)
	}
	block, err := aes.NewCipher(secret)
	if err != nil {
		return nil, fmt.Errorf("preparing the key: %w", err)
	}
	aead, err := cipher.NewGCMWithRandomNonce(block)
	if err != nil {
		return nil, fmt.Errorf("preparing the key: %w", err)
	}
	return &sealer{id: k.id, aead: aead}, nil
}

// bound is what a sealed value is bound to: its head and its key.
func (s *sealer) bound(key []byte) []byte {
	return append(s.head(), key...)
}

func (s *sealer) head() []byte { return append([]byte{schemeSealed}, s.id[:]...) }

func (s *sealer) seal(key, body []byte) []byte {
	s.sealed.Add(1)
	return s.aead.Seal(s.head(), nil, body, s.bound(key))
}

func (s *sealer) open(key, value []byte) ([]byte, error) {
	return s.aead.Open(nil, nil, value[sealedHead:], s.bound(key))
}

// start goes on counting from what the header allows for.
func (s *sealer) start(reserved uint64) {
	s.sealed.Store(reserved)
	s.reserved.Store(reserved)
}

// Limit is how many values one key may seal: the chance that two of that
// many random nonces are the same stays below 2^-32 (NIST SP 800-38D, section 8.3).
const Limit = 1 << 32

// Reserved is how many values a store notes at once that it will seal.
const Reserved = 1 << 16

const ahead = 1 << 10 // more than one transaction seals, but for the largest

// Reserve sees to it that a store has noted, with note, the values that the next
// transaction seals before it seals them, so that a crash never makes the count too
// low. Note adds [Reserved] to what is noted and returns the sum; its error is
// returned and reserves nothing.
func (c *Codec) Reserve(note func() (uint64, error)) error {
	k := c.keys.Load().current
	if k == nil || k.sealed.Load()+ahead <= k.reserved.Load() {
		return nil
	}
	k.counting.Lock()
	defer k.counting.Unlock()
	if k.sealed.Load()+ahead <= k.reserved.Load() {
		return nil
	}
	reserved, err := note()
	if err != nil {
		return err
	}
	k.sealed.Store(max(k.sealed.Load(), reserved-Reserved))
	k.reserved.Store(reserved)
	return nil
}

// Sealed tells how many values the current key has sealed at most, of [Limit].
func (c *Codec) Sealed() uint64 {
	k := c.keys.Load().current
	if k == nil {
		return 0
	}
	return k.sealed.Load()
}

// SealedWith returns the id of the key that a value is sealed with, false for a plain one.
func SealedWith(value []byte) (id string, ok bool) {
	key, ok := sealedWith(value)
	if !ok {
		return "", false
	}
	return key.String(), true
}

// sealedWith returns the id of the key that a value is sealed with.
func sealedWith(value []byte) (keyID, bool) {
	if len(value) < sealedHead || value[0] != schemeSealed {
		return keyID{}, false
	}
	return keyID(value[1:sealedHead]), true
}
