package seal

import (
	"bytes"
	"compress/flate"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// Programs from before wrote and read what is packed with the standard library.
func TestWhatIsPackedIsReadByOthersAndTheirsHere(t *testing.T) {
	for _, text := range []string{
		strings.Repeat("row square\n", 24), strings.Repeat("row square\n", 2000), strings.Repeat("0123456789abcdef", 16) + "äöü",
		strings.Repeat("net square rows 6 apart 1.5 cm\n", 40_000), // several blocks of 32 KiB
	} {
		body := []byte(`{"sheet":"` + text + `"}`)
		own, err := pack(body)
		require.NoError(t, err)
		require.Less(t, len(own), len(body))
		require.EqualValues(t, packed, own[0])
		read, err := io.ReadAll(flate.NewReader(bytes.NewReader(own[1:])))
		require.NoError(t, err)
		require.Equal(t, body, read)

		theirs := bytes.NewBuffer([]byte{packed})
		w, err := flate.NewWriter(theirs, flate.BestSpeed)
		require.NoError(t, err)
		_, err = w.Write(body)
		require.NoError(t, err)
		require.NoError(t, w.Close())
		for _, p := range [][]byte{own, theirs.Bytes()} {
			read, err = unpack(p, len(body))
			require.NoError(t, err)
			require.Equal(t, body, read)
			_, err = unpack(p, len(body)-1)
			require.ErrorIs(t, err, errTooLarge)
			_, err = unpack(p[:len(p)/2], len(body))
			require.Error(t, err)
		}
	}
}
