package seal

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// record is what is written in the tests here.
type record struct{ ID, Text string }

const (
	testFormat  = 7
	testLongest = 1 << 16
)

func testCodecs(t testing.TB) map[string]*Codec {
	plain, err := New(testFormat, testLongest, nil, nil)
	require.NoError(t, err)
	sealed, err := New(testFormat, testLongest, GenerateKey(), []*Key{GenerateKey()})
	require.NoError(t, err)
	return map[string]*Codec{"plain": plain, "sealed": sealed}
}

func requireDamage(t require.TestingT, err error, message ...any) {
	require.ErrorAs(t, err, new(*Damage), message...)
}

// TestCodecRoundTrip writes and reads any record, and finds any one flipped bit.
func TestCodecRoundTrip(t *testing.T) {
	for name, c := range testCodecs(t) {
		t.Run(name, rapid.MakeCheck(func(t *rapid.T) {
			p := record{rapid.String().Draw(t, "id"), strings.Repeat(rapid.String().Draw(t, "text"), rapid.IntRange(1, 90).Draw(t, "times"))}
			key := rapid.SliceOfN(rapid.Byte(), 1, 60).Draw(t, "key")
			value, err := c.Encode(key, p)
			require.NoError(t, err)
			var back record
			require.NoError(t, c.Decode(key, value, &back))
			require.Equal(t, p, back)

			bit := rapid.IntRange(0, 8*len(value)-1).Draw(t, "bit")
			value[bit/8] ^= 1 << (bit % 8)
			requireDamage(t, c.Decode(key, value, &back))
			value[bit/8] ^= 1 << (bit % 8)
			requireDamage(t, c.Decode(append(key, 'x'), value, &back), "under another key")
			requireDamage(t, c.Decode(key, value[:len(value)-1], &back), "cut short")
		}))
	}
}

func TestRecordOfANewerFormat(t *testing.T) {
	c := testCodecs(t)["plain"]
	key := []byte("key")
	for format, want := range map[byte]error{testFormat: nil, testFormat + 1: ErrNewer, 1: nil} {
		require.Equal(t, want, c.Decode(key, c.Close(key, format, []byte("{}")), &record{}), format)
	}
	requireDamage(t, c.Decode(key, c.Close(key, 0, []byte("{}")), &record{}), "it carries no format")
}

// A record that is copied is read under its new key alone, and packed if it was not.
func TestCopiedRecord(t *testing.T) {
	for name, c := range testCodecs(t) {
		t.Run(name, func(t *testing.T) {
			from, to := []byte("M0123456789abcdefp1"), []byte("M0123456789abcdefh1")
			p := record{ID: "1", Text: strings.Repeat("row square 12\n", 40)}
			body, err := json.Marshal(p)
			require.NoError(t, err)
			unpacked := c.Close(from, testFormat, body)
			value, err := c.Copied(from, to, unpacked)
			require.NoError(t, err)
			require.Less(t, len(value), len(unpacked)/2)
			var read record
			require.NoError(t, c.Decode(to, value, &read))
			require.Equal(t, p, read)
			requireDamage(t, c.Decode(from, value, &read))
			again, err := c.Copied(to, from, value)
			require.NoError(t, err)
			require.Len(t, again, len(value))
			_, err = c.Copied(from, to, value)
			requireDamage(t, err)
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
	for _, c := range codecs {
		value, err := c.Encode([]byte("key"), record{"1", "Owl"})
		require.NoError(f, err)
		f.Add([]byte("key"), value)
		f.Add([]byte("key"), value[:3])
	}
	f.Add([]byte{}, []byte{})
	f.Add([]byte("key"), []byte("\x01\x01{}"))
	f.Fuzz(func(t *testing.T, key, value []byte) {
		for _, c := range codecs {
			_ = c.Decode(key, value, &record{})
			_ = c.UpToDate(value)
			_, _ = c.Reseal(key, value)
			_ = c.Decode(key, c.Close(key, testFormat, value), &record{}) // past the checksum
		}
	})
}
