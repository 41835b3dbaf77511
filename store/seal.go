package store

import (
	"bytes"
	"context"
	"crypto/aes"
	"crypto/cipher"
	"crypto/hkdf"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"
	"sync"
	"sync/atomic"
)

// Key seals a store's values. It is never printed.
type Key struct {
	id     keyID
	secret [secretSize]byte
}

const (
	secretSize = 32
	keyLabel   = "larkfold-key-1"
)

// keyID tells keys apart and shows a mistyped key file; it gives away nothing useful of the secret.
type keyID [4]byte

func (id keyID) String() string { return hex.EncodeToString(id[:]) }

func newKey(secret [secretSize]byte) *Key {
	sum := sha256.Sum256(append([]byte("larkfold key id"), secret[:]...))
	return &Key{id: keyID(sum[:4]), secret: secret}
}

// GenerateKey returns a new random key.
func GenerateKey() *Key {
	var secret [secretSize]byte
	rand.Read(secret[:]) // never fails, see crypto/rand
	return newKey(secret)
}

// ID names the key without giving it away: eight hexadecimal digits.
func (k *Key) ID() string { return k.id.String() }

// String shows the id only.
func (k *Key) String() string { return "key " + k.ID() }

// GoString shows the id only.
func (k *Key) GoString() string { return k.String() }

// ParseKey reads a key from the text of a key file: a line
// "larkfold-key-1:ID:SECRET"; blank lines and lines that begin with # are passed over.
func ParseKey(text []byte) (*Key, error) {
	refuse := func(why string) (*Key, error) {
		return nil, &Fault{Kind: ErrWrongKey, Sentence: "This is no key file: " + why + "."}
	}
	var line string
	for l := range strings.Lines(string(text)) {
		l = strings.TrimSpace(l)
		if l == "" || strings.HasPrefix(l, "#") {
			continue
		}
		if line != "" {
			return refuse("it holds more than one key")
		}
		line = l
	}
	parts := strings.Split(line, ":")
	if len(parts) != 3 || parts[0] != keyLabel {
		return refuse("it should hold one line that begins with " + keyLabel + ":")
	}
	secret, err := base64.RawURLEncoding.DecodeString(parts[2])
	if err != nil || len(secret) != secretSize {
		return refuse("its secret is cut short or mistyped")
	}
	k := newKey([secretSize]byte(secret))
	if k.ID() != parts[1] {
		return refuse("its id and its secret do not belong together; it may be mistyped")
	}
	return k, nil
}

// text is what a key file holds.
func (k *Key) text() []byte {
	var b bytes.Buffer
	b.WriteString("# Seals a Larkfold store. Whoever loses this file loses the store; whoever has it can read it.\n")
	fmt.Fprintf(&b, "%s:%s:%s\n", keyLabel, k.ID(), base64.RawURLEncoding.EncodeToString(k.secret[:]))
	return b.Bytes()
}

// WriteKeyFile writes a key to a new file that only its owner may read. It
// never overwrites a file.
func WriteKeyFile(path string, k *Key) (err error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return &Fault{Kind: ErrExists, Sentence: fmt.Sprintf("The key file %s exists already and is left as it is.", path)}
	}
	if err != nil {
		return fmt.Errorf("writing the key file: %w", err)
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	if _, err := f.Write(k.text()); err != nil {
		return fmt.Errorf("writing the key file: %w", err)
	}
	return f.Sync()
}

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

// SealLimit is how many values one key may seal: the chance that two of that
// many random nonces are the same stays below 2^-32 (NIST SP 800-38D, section 8.3).
const SealLimit = 1 << 32

const (
	sealsReserved = 1 << 16 // that the header is told of at once
	sealsAhead    = 1 << 10 // more than one transaction seals, but for the largest
)

// countSeals sees to it that the header knows of the values that the next
// transaction seals, before it seals them, so that a crash never makes the
// count too low. It refuses a key that has sealed as much as it may.
func (s *Records) countSeals(ctx context.Context) error {
	k := s.codec.keys.Load().current
	if k == nil || k.sealed.Load()+sealsAhead <= k.reserved.Load() {
		return nil
	}
	k.counting.Lock()
	defer k.counting.Unlock()
	if k.sealed.Load()+sealsAhead <= k.reserved.Load() {
		return nil
	}
	reserved := uint64(0)
	err := s.changeHeader(ctx, func(h *header) error {
		if h.Sealed+sealsReserved > SealLimit {
			return &Fault{Kind: ErrWrongKey, Sentence: fmt.Sprintf(
				"The key %s has sealed as many values as a key may. Nothing was saved; `larkfold keygen` and `larkfold reseal` give the store another key.", k.id)}
		}
		h.Sealed += sealsReserved
		reserved = h.Sealed
		return nil
	})
	if err == nil {
		k.sealed.Store(max(k.sealed.Load(), reserved-sealsReserved))
		k.reserved.Store(reserved)
	}
	return err
}

// Sealing tells which key seals the store, empty for none, and how many values
// it has sealed at most, of [SealLimit].
func (s *Records) Sealing() (key string, sealed uint64) {
	k := s.codec.keys.Load().current
	if k == nil {
		return "", 0
	}
	return k.id.String(), k.sealed.Load()
}

// sealedWith returns the id of the key that a value is sealed with.
func sealedWith(value []byte) (keyID, bool) {
	if len(value) < sealedHead || value[0] != schemeSealed {
		return keyID{}, false
	}
	return keyID(value[1:sealedHead]), true
}
