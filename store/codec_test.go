package store

import (
	"encoding/json"
	"errors"
	"iter"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func testCodecs(t testing.TB) map[string]*codec {
	plain, err := newCodec(nil, nil)
	require.NoError(t, err)
	old := GenerateKey()
	sealed, err := newCodec(GenerateKey(), []*Key{old})
	require.NoError(t, err)
	return map[string]*codec{"plain": plain, "sealed": sealed}
}

// TestCodecRoundTrip writes and reads any project, and finds any one flipped bit.
func TestCodecRoundTrip(t *testing.T) {
	for name, c := range testCodecs(t) {
		t.Run(name, rapid.MakeCheck(func(t *rapid.T) {
			p := Project{
				ID: rapid.StringMatching(`[0-9a-z]{13}`).Draw(t, "id"), Owner: rapid.String().Draw(t, "owner"),
				Name: rapid.String().Draw(t, "name"), Sheet: rapid.String().Draw(t, "sheet"),
				Revision: rapid.Uint64().Draw(t, "revision"), Created: time.Unix(rapid.Int64Range(0, 1<<33).Draw(t, "created"), 0).UTC(),
			}
			key := rapid.SliceOfN(rapid.Byte(), 1, 60).Draw(t, "key")
			value, err := c.encode(key, p)
			require.NoError(t, err)
			var back Project
			require.NoError(t, c.decode(key, value, &back))
			require.Equal(t, p, back)

			bit := rapid.IntRange(0, 8*len(value)-1).Draw(t, "bit")
			value[bit/8] ^= 1 << (bit % 8)
			require.ErrorIs(t, c.decode(key, value, &back), ErrDamaged)
			value[bit/8] ^= 1 << (bit % 8)
			require.ErrorIs(t, c.decode(append(key, 'x'), value, &back), ErrDamaged, "under another key")
			require.ErrorIs(t, c.decode(key, value[:len(value)-1], &back), ErrDamaged, "cut short")
		}))
	}
}

func TestRecordOfANewerFormat(t *testing.T) {
	c := testCodecs(t)["plain"]
	key := []byte("key")
	body := []byte{schemePlain, format + 1, '{', '}'}
	value := append(body, checksum(key, body)...)
	require.ErrorIs(t, c.decode(key, value, &Project{}), ErrNewerFormat)
	body[1] = 0
	require.ErrorIs(t, c.decode(key, append(body[:4:4], checksum(key, body[:4])...), &Project{}), ErrDamaged)
}

// A record that is copied is read under its new key alone, and packed if it was not.
func TestCopiedRecord(t *testing.T) {
	for name, c := range testCodecs(t) {
		t.Run(name, func(t *testing.T) {
			from, to := []byte("M0123456789abcdefp1"), []byte("M0123456789abcdefh1")
			p := Project{ID: "1", Sheet: strings.Repeat("row square 12\n", 40)}
			body, err := json.Marshal(p)
			require.NoError(t, err)
			unpacked := c.close(from, format, body)
			value, err := c.copied(from, to, unpacked)
			require.NoError(t, err)
			require.Less(t, len(value), len(unpacked)/2)
			var read Project
			require.NoError(t, c.decode(to, value, &read))
			require.Equal(t, p, read)
			require.ErrorIs(t, c.decode(from, value, &read), ErrDamaged)
			again, err := c.copied(to, from, value)
			require.NoError(t, err)
			require.Len(t, again, len(value))
			_, err = c.copied(from, to, value)
			require.ErrorIs(t, err, ErrDamaged)
		})
	}
}

// TestChecksum compares with the check value of CRC-32C, as listed for
// CRC-32/ISCSI (RFC 3720) in published catalogues: "123456789" gives e3069283.
func TestChecksum(t *testing.T) {
	require.Equal(t, []byte{0xe3, 0x06, 0x92, 0x83}, checksum([]byte("1234"), []byte("56789")))
}

// FuzzDecode gives the decoder any key and any value: an error or a record, never a panic.
func FuzzDecode(f *testing.F) {
	codecs := testCodecs(f)
	s := &Records{hash: newHasher(make([]byte, secretSize)), format: format}
	for _, c := range codecs {
		key := ownedKey(spaceMember, s.hash.member("ann"), projectRecord, []byte("0123456789abc"))
		value, err := c.encode(key, Project{ID: "0123456789abc", Owner: "ann", Name: "Owl"})
		require.NoError(f, err)
		f.Add(key, value)
		f.Add(key, value[:3])
		f.Add(expiryKey(time.Unix(1, 0), key), value)
	}
	f.Add([]byte("A"), []byte(`{}`))
	f.Add([]byte{}, []byte{})
	f.Add([]byte("M0123456789abcdefp"), []byte("\x01\x01{}"))
	f.Fuzz(func(t *testing.T, key, value []byte) {
		_ = DescribeKey(key)
		for _, c := range codecs {
			for _, record := range []any{&Project{}, &header{}, &shelfChange{}, &Share{}, &Entry{}, &operation{}} {
				_ = c.decode(key, value, record)
			}
			_ = c.upToDate(value)
		}
		_, _ = codecs["sealed"].reseal(key, value)
		// Past the checksum: any JSON under any key.
		c := codecs["plain"]
		body := append([]byte{schemePlain, format}, value...)
		sound := append(body, checksum(key, body)...)
		probe := *s
		probe.codec = c
		if err := probe.checkPair(emptyReader{}, Pair{Key: key, Value: sound}, waitingNames{}); err != nil && !errors.Is(err, ErrDamaged) && !errors.Is(err, ErrInvalid) {
			t.Errorf("%v", err)
		}
	})
}

// FuzzParseKey gives the reader of key files any text.
func FuzzParseKey(f *testing.F) {
	f.Add(GenerateKey().text())
	f.Add([]byte(keyLabel + "::"))
	f.Add([]byte("# nothing\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		k, err := ParseKey(text)
		if err != nil {
			require.ErrorIs(t, err, ErrWrongKey)
			return
		}
		again, err := ParseKey(k.text())
		require.NoError(t, err)
		require.Equal(t, k, again)
	})
}

// emptyReader holds nothing.
type emptyReader struct{}

func (emptyReader) Get([]byte) ([]byte, bool, error) { return nil, false, nil }

func (emptyReader) Scan(_, _ []byte) iter.Seq2[Pair, error] {
	return func(func(Pair, error) bool) {}
}
