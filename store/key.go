package store

import (
	"bytes"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"hash"
	"io"
	"slices"
	"sync"
	"time"
)

// Keys begin with the byte of a space. In the space of members and communities
// a keyed hash (a token) follows, then the tag of a record type, then the rest.
// No name and no id of a member or a community stands in a key.
const (
	spaceMove      = '!' // before all others
	spaceHeader    = 'A'
	spaceCommunity = 'C'
	spaceExpiry    = 'E'
	spaceLease     = 'L'
	spaceMember    = 'M'
	spaceShare     = 'S'
)

const tokenSize = 16

type token [tokenSize]byte

// MarshalText writes a token in hexadecimal.
func (t token) MarshalText() ([]byte, error) { return hex.AppendEncode(nil, t[:]), nil }

// UnmarshalText reads it again.
func (t *token) UnmarshalText(text []byte) error {
	if hex.DecodedLen(len(text)) != tokenSize {
		return fmt.Errorf("a token of %d digits", len(text))
	}
	_, err := hex.Decode(t[:], text)
	return err
}

// recordType is a sort of record: its name and its tag in keys.
type recordType struct {
	kind Kind
	tag  byte
}

var (
	headerRecord      = recordType{kind: KindHeader}
	shareRecord       = recordType{kind: KindShare}
	expiryRecord      = recordType{kind: KindExpiry}
	leaseRecord       = recordType{kind: KindLease}
	projectRecord     = recordType{kind: KindProject, tag: 'p'}
	nameRecord        = recordType{kind: KindName, tag: 'n'}
	revisionRecord    = recordType{kind: KindRevision, tag: 'h'}
	binRecord         = recordType{kind: KindBin, tag: 'b'}
	leftoverRecord    = recordType{kind: KindLeftover, tag: 'l'}
	shelfRecord       = recordType{kind: KindShelf, tag: 'v'}
	changeRecord      = recordType{kind: KindChange, tag: 'j'}
	swatchRecord      = recordType{kind: KindSwatch, tag: 's'}
	preferencesRecord = recordType{kind: KindPreferences, tag: 'f'}
	knotRecord        = recordType{kind: KindKnot, tag: 'k'}
	ruleRecord        = recordType{kind: KindRule, tag: 'r'}
	shareOfRecord     = recordType{kind: KindShareOf, tag: 'x'}
	draftRecord       = recordType{kind: KindDraft, tag: 'd'}
	operationRecord   = recordType{kind: KindOperation, tag: 'o'}
	settingsRecord    = recordType{kind: KindSettings, tag: 'g'}
	contributedRecord = recordType{kind: KindContributed, tag: 'a'}
	tallyRecord       = recordType{kind: KindTally, tag: 't'}
)

// ownedTypes are the record types that stand under a member or a community.
var ownedTypes = []recordType{projectRecord, nameRecord, revisionRecord, binRecord, leftoverRecord, shelfRecord, changeRecord,
	swatchRecord, preferencesRecord, knotRecord, ruleRecord, shareOfRecord, draftRecord, operationRecord, settingsRecord, contributedRecord, tallyRecord}

// HeaderKey is the key of a store's header, which comes first.
func HeaderKey() []byte { return []byte{spaceHeader} }

// MoveKey is the key of the note that a store is being moved here. Its value is no record.
func MoveKey() []byte { return []byte{spaceMove} }

func leaseKey(work string) []byte { return append([]byte{spaceLease}, work...) }

func shareKey(id string) []byte { return append([]byte{spaceShare}, id...) }

// ownedKey builds the key of a record that stands under a member or a community.
func ownedKey(space byte, owner token, t recordType, rest ...[]byte) []byte {
	key := make([]byte, 0, 2+tokenSize+40)
	key = append(append(append(key, space), owner[:]...), t.tag)
	for _, part := range rest {
		key = append(key, part...)
	}
	return key
}

func ownerPrefix(o bookOwner) []byte { return append([]byte{o.space}, o.token[:]...) }

func memberPrefix(owner token) []byte { return ownerPrefix(bookOwner{spaceMember, owner}) }

func expiryKey(at time.Time, record []byte) []byte {
	return append(binary.BigEndian.AppendUint64([]byte{spaceExpiry}, uint64(at.Unix())), record...)
}

// splitExpiryKey takes an expiry key apart into its second and the key of the record
// that expires; a note of no record is none.
func splitExpiryKey(key []byte) (at int64, record []byte, ok bool) {
	if len(key) <= 9 || key[0] != spaceExpiry {
		return 0, nil, false
	}
	return int64(binary.BigEndian.Uint64(key[1:])), key[9:], true
}

func number(n uint64) []byte { return binary.BigEndian.AppendUint64(nil, n) }

// typeOf tells which record type stands under a key, and the key's owner where it has one.
func typeOf(key []byte) (t recordType, owner token, ok bool) {
	if len(key) == 0 {
		return recordType{}, token{}, false
	}
	switch key[0] {
	case spaceHeader:
		return headerRecord, token{}, len(key) == 1
	case spaceShare:
		return shareRecord, token{}, len(key) > 1
	case spaceExpiry:
		return expiryRecord, token{}, len(key) > 9
	case spaceLease:
		return leaseRecord, token{}, len(key) > 1
	case spaceMember, spaceCommunity:
		if len(key) < 2+tokenSize {
			return recordType{}, token{}, false
		}
		i := slices.IndexFunc(ownedTypes, func(t recordType) bool { return t.tag == key[1+tokenSize] })
		if i < 0 {
			return recordType{}, token{}, false
		}
		return ownedTypes[i], token(key[1 : 1+tokenSize]), true
	}
	return recordType{}, token{}, false
}

// DescribeKey tells in words which record an engine's key belongs to.
func DescribeKey(key []byte) string {
	t, owner, ok := typeOf(key)
	if !ok {
		return fmt.Sprintf("with the unknown key %x", key)
	}
	switch key[0] {
	case spaceHeader:
		return string(t.kind)
	case spaceShare:
		return fmt.Sprintf("%s %s", t.kind, printable(key[1:]))
	case spaceLease:
		return fmt.Sprintf("%s %s", t.kind, key[1:])
	case spaceExpiry:
		return fmt.Sprintf("%s of the %s", t.kind, DescribeKey(key[9:]))
	}
	whose := "member"
	if key[0] == spaceCommunity {
		whose = "community"
	}
	rest := key[2+tokenSize:]
	if len(rest) == 0 {
		return fmt.Sprintf("%s of %s %x", t.kind, whose, owner)
	}
	return fmt.Sprintf("%s %s of %s %x", t.kind, printable(rest), whose, owner)
}

// printable shows the leading letters and digits of an id as they are and the rest as hexadecimal.
func printable(b []byte) string {
	n := bytes.IndexFunc(b, func(r rune) bool { return (r < '0' || r > '9') && (r < 'a' || r > 'z') })
	switch {
	case n < 0:
		return string(b)
	case n < idSize:
		return hex.EncodeToString(b)
	}
	return string(b[:n]) + "/" + hex.EncodeToString(b[n:])
}

// hasher makes the tokens of one store from its secret.
type hasher struct{ macs *sync.Pool } // of *mac

// mac is a keyed hash that is used again and again.
type mac struct {
	hash.Hash
	length [8]byte // of what is hashed next
	sum    [sha256.Size]byte
}

func newHasher(secret []byte) hasher {
	return hasher{&sync.Pool{New: func() any { return &mac{Hash: hmac.New(sha256.New, secret)} }}}
}

func (h hasher) sum(label string, parts ...[]byte) token {
	m := h.macs.Get().(*mac)
	defer h.macs.Put(m)
	m.Reset()
	_, _ = io.WriteString(m, label) // a hash takes everything
	for _, p := range parts {
		binary.BigEndian.PutUint64(m.length[:], uint64(len(p)))
		m.Write(m.length[:])
		m.Write(p)
	}
	return token(m.Sum(m.sum[:0])[:tokenSize])
}

func (h hasher) member(id string) token    { return h.sum("member", []byte(id)) }
func (h hasher) community(id string) token { return h.sum("community", []byte(id)) }

func (h hasher) name(owner token, t recordType, folded string) []byte {
	sum := h.sum("name", owner[:], []byte{t.tag}, []byte(folded))
	return sum[:]
}

func (h hasher) operation(owner token, key string) []byte {
	sum := h.sum("operation", owner[:], []byte(key))
	return sum[:]
}
