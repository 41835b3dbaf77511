package store

import (
	"encoding/binary"
	"encoding/json"
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
// where format is the one that the record was written in, see migrate.go, and
// the JSON may be packed, see pack.go.
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

// codec turns records into stored values and back.
type codec struct{ keys atomic.Pointer[keyring] }

// keyring is what values are sealed with. It is never changed, only replaced.
type keyring struct {
	current *sealer   // nil when values are not sealed
	known   []*sealer // every key that values may be sealed with, the current one included
	plain   bool      // values may be plain
}

// encode returns the stored value of a record under its key.
func (c *codec) encode(key []byte, record any) ([]byte, error) {
	body, err := json.Marshal(record)
	if err != nil {
		return nil, fmt.Errorf("writing the %s: %w", DescribeKey(key), err)
	}
	if body, err = pack(body); err != nil {
		return nil, err
	}
	return c.close(key, format, body), nil
}

// close returns the stored value of a record's JSON under its key.
func (c *codec) close(key []byte, written byte, body []byte) []byte {
	if sealer := c.keys.Load().current; sealer != nil {
		return sealer.seal(key, append([]byte{written}, body...))
	}
	value := append(append(make([]byte, 0, len(body)+2+checksumSize), schemePlain, written), body...)
	return append(value, checksum(key, value)...)
}

// copied returns the stored value of a record under another key, its JSON unread
// and packed.
func (c *codec) copied(from, to, value []byte) ([]byte, error) {
	written, body, err := c.open(from, value)
	if err != nil {
		return nil, err
	}
	if len(body) > 0 && body[0] != packed {
		if body, err = pack(body); err != nil {
			return nil, err
		}
	}
	return c.close(to, written, body), nil
}

// decode reads a stored value into record.
func (c *codec) decode(key, value []byte, record any) error {
	written, body, err := c.open(key, value)
	if err != nil {
		return err
	}
	if written > format {
		return &Fault{Kind: ErrNewerFormat, Sentence: fmt.Sprintf(
			"The stored record %s was written by a newer version of this program. Use that version.", DescribeKey(key))}
	}
	if written == 0 {
		return damaged(key, "it carries no format")
	}
	if body, err = unpack(body); err != nil {
		return damaged(key, "it cannot be unpacked: "+err.Error())
	}
	if err := json.Unmarshal(body, record); err != nil {
		return damaged(key, "it cannot be read: "+err.Error())
	}
	return nil
}

// open checks a stored value and returns its format and JSON.
func (c *codec) open(key, value []byte) (written byte, body []byte, err error) {
	if len(value) == 0 {
		return 0, nil, damaged(key, "it is empty")
	}
	switch value[0] {
	case schemePlain:
		return c.openPlain(key, value)
	case schemeSealed:
		return c.openSealed(key, value)
	}
	return 0, nil, damaged(key, "it begins with an unknown byte")
}

func (c *codec) openPlain(key, value []byte) (byte, []byte, error) {
	n := len(value) - checksumSize
	if n < 2 {
		return 0, nil, damaged(key, "it is cut short")
	}
	if !slices.Equal(checksum(key, value[:n]), value[n:]) {
		return 0, nil, damaged(key, "its checksum does not fit")
	}
	if !c.keys.Load().plain {
		return 0, nil, damaged(key, "it is not sealed although the store is")
	}
	return value[1], value[2:n], nil
}

func (c *codec) openSealed(key, value []byte) (byte, []byte, error) {
	id, ok := sealedWith(value)
	if !ok {
		return 0, nil, damaged(key, "it is cut short")
	}
	known := c.keys.Load().known
	i := slices.IndexFunc(known, func(s *sealer) bool { return s.id == id })
	if i < 0 {
		return 0, nil, damaged(key, fmt.Sprintf("it is sealed with the key %s, which is not at hand", id))
	}
	body, err := known[i].open(key, value)
	if err != nil {
		return 0, nil, damaged(key, "its seal is broken")
	}
	if len(body) == 0 {
		return 0, nil, damaged(key, "it is cut short")
	}
	return body[0], body[1:], nil
}

// upToDate tells whether a stored value has the scheme and key that are written now.
func (c *codec) upToDate(value []byte) bool {
	current := c.keys.Load().current
	if current == nil {
		return len(value) > 0 && value[0] == schemePlain
	}
	id, ok := sealedWith(value)
	return ok && id == current.id
}

// reseal opens a value with whatever key it has and seals its record, unread, with the current one.
func (c *codec) reseal(key, value []byte) ([]byte, error) {
	written, body, err := c.open(key, value)
	if err != nil {
		return nil, err
	}
	return c.close(key, written, body), nil
}

func damaged(key []byte, reason string) error {
	return &DamagedError{Key: slices.Clone(key), Record: DescribeKey(key), Reason: reason}
}
