package seal

import (
	"bytes"
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"strings"
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

// KeyFileError says in a sentence why a text is no key file.
type KeyFileError struct{ Sentence string }

// Error returns the sentence.
func (e *KeyFileError) Error() string { return e.Sentence }

// ParseKey reads a key from the text of a key file: a line
// "larkfold-key-1:ID:SECRET"; blank lines and lines that begin with # are passed over. Errors: [KeyFileError].
func ParseKey(text []byte) (*Key, error) {
	refuse := func(why string) (*Key, error) {
		return nil, &KeyFileError{"This is no key file: " + why + "."}
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

// Text is what a key file holds.
func (k *Key) Text() []byte {
	var b bytes.Buffer
	b.WriteString("# Seals a Larkfold store. Whoever loses this file loses the store; whoever has it can read it.\n")
	fmt.Fprintf(&b, "%s:%s:%s\n", keyLabel, k.ID(), base64.RawURLEncoding.EncodeToString(k.secret[:]))
	return b.Bytes()
}
