package seal

import (
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"slices"
	"sync/atomic"
)

// A stored value is one of
//
//	plain:  1 | format | JSON | CRC-32C of key and everything before it
//	sealed: 2 | key id | nonce | sealed(format | JSON), bound to the key and to everything before it
//
// where format is the one that the record was written in, and the JSON may be packed,
// see pack.go.
const (
	schemePlain  = 1
	schemeSealed = 2
)

const checksumSize = 4

// castagnoli is CRC-32C, as in RFC 3720 appendix B.4.
var castagnoli = crc32.MakeTable(crc32.Castagnoli)

func checksum(key, body []byte) []byte {
	sum := crc32.Update(crc32.Checksum(key, castagnoli), castagnoli, body)
	return binary.BigEndian.AppendUint32(nil, sum)
}

// Codec turns records into stored values and back. It may be used by many
// goroutines at once.
type Codec struct {
	format  byte
	longest int
	keys    atomic.Pointer[keyring]
}

// New returns a codec that writes records in a format, none of them longer than so
// many bytes of JSON. It seals with the current key, which is nil for plain values,
// and reads what that and the old keys sealed, and plain values too until
// [Codec.RefusePlain].
func New(format byte, longest int, current *Key, old []*Key) (*Codec, error) {
	keys := &keyring{plain: true}
	for _, k := range append([]*Key{current}, old...) {
		if k == nil {
			continue
		}
		s, err := newSealer(k)
		if err != nil {
			return nil, err
		}
		keys.known = append(keys.known, s)
		if k == current {
			keys.current = s
		}
	}
	return newCodec(format, longest, keys), nil
}

func newCodec(format byte, longest int, keys *keyring) *Codec {
	c := &Codec{format: format, longest: longest}
	c.keys.Store(keys)
	return c
}

// Damage says why a stored value is not what was written.
type Damage struct{ Reason string }

// Error returns the reason.
func (d *Damage) Error() string { return d.Reason }

// ErrNewer says that a record was written in a format newer than this program's.
var ErrNewer = errors.New("the record was written in a newer format")

// Encode returns the stored value of a record under its key.
func (c *Codec) Encode(key []byte, record any) ([]byte, error) {
	body, err := json.Marshal(record)
	if err != nil {
		return nil, err
	}
	if body, err = pack(body); err != nil {
		return nil, err
	}
	return c.Close(key, c.format, body), nil
}

// Close returns the stored value of a record's JSON under its key.
func (c *Codec) Close(key []byte, written byte, body []byte) []byte {
	if sealer := c.keys.Load().current; sealer != nil {
		return sealer.seal(key, append([]byte{written}, body...))
	}
	value := append(append(make([]byte, 0, len(body)+2+checksumSize), schemePlain, written), body...)
	return append(value, checksum(key, value)...)
}

// Copied returns the stored value of a record under another key, its JSON unread
// and packed.
func (c *Codec) Copied(from, to, value []byte) ([]byte, error) {
	written, body, err := c.Open(from, value)
	if err != nil {
		return nil, err
	}
	if len(body) > 0 && body[0] != packed {
		if body, err = pack(body); err != nil {
			return nil, err
		}
	}
	return c.Close(to, written, body), nil
}

// Decode reads a stored value into record.
func (c *Codec) Decode(key, value []byte, record any) error {
	written, body, err := c.Open(key, value)
	if err != nil {
		return err
	}
	if written > c.format {
		return ErrNewer
	}
	if written == 0 {
		return damage("it carries no format")
	}
	if body, err = unpack(body, c.longest); err != nil {
		return damage("it cannot be unpacked: " + err.Error())
	}
	if err := json.Unmarshal(body, record); err != nil {
		return damage("it cannot be read: " + err.Error())
	}
	return nil
}

// Open checks a stored value and returns its format and JSON.
func (c *Codec) Open(key, value []byte) (written byte, body []byte, err error) {
	if len(value) == 0 {
		return 0, nil, damage("it is empty")
	}
	switch value[0] {
	case schemePlain:
		return c.openPlain(key, value)
	case schemeSealed:
		return c.openSealed(key, value)
	}
	return 0, nil, damage("it begins with an unknown byte")
}

func (c *Codec) openPlain(key, value []byte) (byte, []byte, error) {
	n := len(value) - checksumSize
	if n < 2 {
		return 0, nil, damage("it is cut short")
	}
	if !slices.Equal(checksum(key, value[:n]), value[n:]) {
		return 0, nil, damage("its checksum does not fit")
	}
	if !c.keys.Load().plain {
		return 0, nil, damage("it is not sealed although the store is")
	}
	return value[1], value[2:n], nil
}

func (c *Codec) openSealed(key, value []byte) (byte, []byte, error) {
	id, ok := sealedWith(value)
	if !ok {
		return 0, nil, damage("it is cut short")
	}
	known := c.keys.Load().known
	i := slices.IndexFunc(known, func(s *sealer) bool { return s.id == id })
	if i < 0 {
		return 0, nil, damage(fmt.Sprintf("it is sealed with the key %s, which is not at hand", id))
	}
	body, err := known[i].open(key, value)
	if err != nil {
		return 0, nil, damage("its seal is broken")
	}
	if len(body) == 0 {
		return 0, nil, damage("it is cut short")
	}
	return body[0], body[1:], nil
}

// UpToDate tells whether a stored value has the scheme and key that are written now.
func (c *Codec) UpToDate(value []byte) bool {
	current := c.keys.Load().current
	if current == nil {
		return len(value) > 0 && value[0] == schemePlain
	}
	id, ok := sealedWith(value)
	return ok && id == current.id
}

// Reseal opens a value with whatever key it has and seals its record, unread, with the current one.
func (c *Codec) Reseal(key, value []byte) ([]byte, error) {
	written, body, err := c.Open(key, value)
	if err != nil {
		return nil, err
	}
	return c.Close(key, written, body), nil
}

func damage(reason string) error { return &Damage{reason} }
