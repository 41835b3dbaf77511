package seal

import (
	"bytes"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestKeyFile(t *testing.T) {
	key := GenerateKey()
	text := key.Text()
	read, err := ParseKey(text)
	require.NoError(t, err)
	require.Equal(t, key, read)

	secret := string(bytes.TrimSpace(text[bytes.LastIndexByte(text, ':')+1:]))
	require.NotContains(t, fmt.Sprintf("%v %+v %#v %s", key, key, key, key), secret)

	for name, bad := range map[string]string{
		"empty":     "",
		"mistyped":  string(bytes.Replace(text, []byte(secret[:4]), []byte("AAAA"), 1)),
		"cut short": string(text[:len(text)-5]),
		"two":       string(text) + string(text),
		"newer":     string(bytes.Replace(text, []byte("key-1"), []byte("key-2"), 1)),
	} {
		_, err := ParseKey([]byte(bad))
		var refused *KeyFileError
		require.ErrorAs(t, err, &refused, name)
		require.Regexp(t, `^This is no key file: .+\.$`, refused.Sentence)
	}
}

// FuzzParseKey gives the reader of key files any text.
func FuzzParseKey(f *testing.F) {
	f.Add(GenerateKey().Text())
	f.Add([]byte(keyLabel + "::"))
	f.Add([]byte("# nothing\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		k, err := ParseKey(text)
		if err != nil {
			require.ErrorAs(t, err, new(*KeyFileError))
			return
		}
		again, err := ParseKey(k.Text())
		require.NoError(t, err)
		require.Equal(t, k, again)
	})
}
