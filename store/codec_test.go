package store

import (
	"errors"
	"iter"
	"testing"
	"time"

	"larkfold/store/pairs"
	"larkfold/store/seal"

	"github.com/stretchr/testify/require"
)

func testCodecs(t testing.TB) map[string]codec {
	plain, err := newCodec(nil, nil)
	require.NoError(t, err)
	old := seal.GenerateKey()
	sealed, err := newCodec(seal.GenerateKey(), []*seal.Key{old})
	require.NoError(t, err)
	return map[string]codec{"plain": plain, "sealed": sealed}
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
			_ = c.UpToDate(value)
		}
		_, _ = codecs["sealed"].reseal(key, value)
		// Past the checksum: any JSON under any key.
		c := codecs["plain"]
		sound := c.Close(key, format, value)
		probe := *s
		probe.codec = c
		if err := probe.checkPair(emptyReader{}, pairs.Pair{Key: key, Value: sound}, waitingNames{}); err != nil && !errors.Is(err, ErrDamaged) && !errors.Is(err, ErrInvalid) {
			t.Errorf("%v", err)
		}
	})
}

// emptyReader holds nothing.
type emptyReader struct{}

func (emptyReader) Get([]byte) ([]byte, bool, error) { return nil, false, nil }

func (emptyReader) Scan(_, _ []byte) iter.Seq2[pairs.Pair, error] {
	return func(func(pairs.Pair, error) bool) {}
}

// What the codec says of a value is told of the record that stands there.
func TestWhatIsWrongWithAValueNamesTheRecord(t *testing.T) {
	c := testCodecs(t)["plain"]
	key := HeaderKey()
	var newer *Fault
	require.ErrorAs(t, c.decode(key, c.Close(key, format+1, []byte("{}")), &header{}), &newer)
	require.Equal(t, ErrNewerFormat, newer.Kind)
	var damage *DamagedError
	require.ErrorAs(t, c.decode(key, []byte("x"), &header{}), &damage)
	require.Equal(t, DamagedError{Key: key, Record: DescribeKey(key), Reason: "it begins with an unknown byte"}, *damage)
	require.NoError(t, c.decode(key, c.Close(key, format, []byte("{}")), &header{}))
}
