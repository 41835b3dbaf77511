package seal

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// The current key seals, whatever else is known, and every known key's values are read.
func TestWhichKeySeals(t *testing.T) {
	old, current, other := GenerateKey(), GenerateKey(), GenerateKey()
	for name, row := range map[string]struct {
		current *Key
		old     []*Key
	}{
		"alone":      {current, nil},
		"beside one": {current, []*Key{old}},
		"none":       {nil, nil},
		"only old":   {nil, []*Key{old}},
	} {
		t.Run(name, func(t *testing.T) {
			c, err := New(testFormat, testLongest, row.current, row.old)
			require.NoError(t, err)
			value, err := c.Encode([]byte("key"), record{"1", "Owl"})
			require.NoError(t, err)
			id, sealed := SealedWith(value)
			require.Equal(t, row.current != nil, sealed)
			if sealed {
				require.Equal(t, current.ID(), id)
				require.Equal(t, current.ID(), c.Current())
			} else {
				require.Empty(t, c.Current())
			}
			require.Equal(t, sealed, c.Knows(current.ID()))
			require.Equal(t, row.old != nil, c.Knows(old.ID()))
			require.False(t, c.Knows(other.ID()))
			require.True(t, c.UpToDate(value))
			require.Equal(t, sealed, c.PartlyPlain(), "until the store says otherwise")
		})
	}
}

// A value is up to date with the scheme and the key that are written now.
func TestUpToDate(t *testing.T) {
	codecs := testCodecs(t)
	plain, err := codecs["plain"].Encode([]byte("key"), record{})
	require.NoError(t, err)
	sealed, err := codecs["sealed"].Encode([]byte("key"), record{})
	require.NoError(t, err)
	another, err := New(testFormat, testLongest, GenerateKey(), nil)
	require.NoError(t, err)
	for name, row := range map[string]struct {
		codec *Codec
		value []byte
		want  bool
	}{
		"plain":               {codecs["plain"], plain, true},
		"sealed":              {codecs["sealed"], sealed, true},
		"plain to be sealed":  {codecs["sealed"], plain, false},
		"sealed to be plain":  {codecs["plain"], sealed, false},
		"sealed with another": {another, sealed, false},
		"nothing":             {codecs["plain"], nil, false},
		"nothing to be seal":  {codecs["sealed"], nil, false},
		"no more than a head": {codecs["sealed"], sealed[:sealedHead], true},
		"less than a head":    {codecs["sealed"], sealed[:sealedHead-1], false},
	} {
		require.Equal(t, row.want, row.codec.UpToDate(row.value), name)
	}
	resealed, err := codecs["sealed"].Reseal([]byte("key"), plain)
	require.NoError(t, err)
	require.True(t, codecs["sealed"].UpToDate(resealed))
	codecs["sealed"].RefusePlain()
	require.False(t, codecs["sealed"].PartlyPlain())
	_, err = codecs["sealed"].Reseal([]byte("key"), plain)
	requireDamage(t, err)
}

// Whoever seals with another key reads what was sealed before, and the one who did not
// change over yet reads what is sealed now.
func TestAnotherKey(t *testing.T) {
	first, second := GenerateKey(), GenerateKey()
	c, err := New(testFormat, testLongest, first, nil)
	require.NoError(t, err)
	same, err := c.Rekeyed(first)
	require.NoError(t, err)
	require.Nil(t, same, "it seals with that already")
	before, err := c.Encode([]byte("key"), record{ID: "before"})
	require.NoError(t, err)
	next, err := c.Rekeyed(second)
	require.NoError(t, err)
	require.Equal(t, first.ID(), c.Current())
	require.Equal(t, second.ID(), next.Current())
	after, err := next.Encode([]byte("key"), record{ID: "after"})
	require.NoError(t, err)
	for _, reader := range []*Codec{c, next} {
		for _, value := range [][]byte{before, after} {
			require.NoError(t, reader.Decode([]byte("key"), value, &record{}))
		}
	}
	c.Become(next)
	require.Equal(t, second.ID(), c.Current())

	plain, err := New(testFormat, testLongest, nil, nil)
	require.NoError(t, err)
	sealing, err := plain.Rekeyed(first)
	require.NoError(t, err)
	require.Equal(t, first.ID(), sealing.Current())
	require.True(t, sealing.PartlyPlain())
	sealing.Begin(false, 0)
	require.False(t, sealing.PartlyPlain())
}

// What a key seals is noted before, in steps, and a transaction of 1024 values never
// goes beyond what is noted.
func TestReserve(t *testing.T) {
	c, err := New(testFormat, testLongest, GenerateKey(), nil)
	require.NoError(t, err)
	c.Begin(false, 0)
	noted, times := uint64(0), 0
	note := func() (uint64, error) {
		noted, times = noted+Reserved, times+1
		return noted, nil
	}
	reserve := func(want int) {
		t.Helper()
		require.NoError(t, c.Reserve(note))
		require.Equal(t, want, times)
	}
	reserve(1)
	require.Zero(t, c.Sealed())
	reserve(1)
	sealed := &c.keys.Load().current.sealed
	sealed.Store(Reserved - 1024)
	reserve(1)
	sealed.Store(Reserved - 1023)
	reserve(2)
	require.EqualValues(t, Reserved, c.Sealed(), "what was noted before counts as sealed")
	sealed.Store(2 * Reserved)
	noted = 5 * Reserved // others have the same key
	reserve(3)
	require.EqualValues(t, 5*Reserved, c.Sealed(), "and from what others may have sealed")

	sealed.Store(6 * Reserved)
	refused := errors.New("refused")
	require.ErrorIs(t, c.Reserve(func() (uint64, error) { return 0, refused }), refused)
	reserve(4)
	_, err = c.Encode([]byte("key"), record{})
	require.NoError(t, err)
	require.EqualValues(t, 6*Reserved+1, c.Sealed())

	c.Begin(false, 7*Reserved)
	require.EqualValues(t, 7*Reserved, c.Sealed(), "after a start, what is noted counts as sealed")

	plain, err := New(testFormat, testLongest, nil, nil)
	require.NoError(t, err)
	plain.Begin(true, 0)
	require.NoError(t, plain.Reserve(func() (uint64, error) { return 0, refused }), "plain values need no count")
	require.Zero(t, plain.Sealed())
}

// Packing begins at 256 bytes, and an empty record is none the worse for being copied.
func TestTheShortestValues(t *testing.T) {
	for n, packs := range map[int]bool{255: false, 256: true} {
		body, err := pack([]byte(strings.Repeat(" ", n)))
		require.NoError(t, err)
		require.Equal(t, packs, len(body) < n, n)
	}
	for name, c := range testCodecs(t) {
		empty := c.Close([]byte("a"), testFormat, nil)
		copied, err := c.Copied([]byte("a"), []byte("b"), empty)
		require.NoError(t, err, name)
		written, body, err := c.Open([]byte("b"), copied)
		require.NoError(t, err, name)
		require.EqualValues(t, testFormat, written)
		require.Empty(t, body)
		for n := range copied {
			_, _, err := c.Open([]byte("b"), copied[:n])
			requireDamage(t, err, name)
		}
	}
	plain := testCodecs(t)["plain"]
	short := []byte{schemePlain}
	_, _, err := plain.Open([]byte("a"), append(short, checksum([]byte("a"), short)...))
	require.EqualError(t, err, "it is cut short", "there is no room for a format")
}
