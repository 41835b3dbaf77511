package files

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestText(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		return path
	}
	text, err := Text(write("crlf", "\ufeffpiece Owl\r\npanel a\r\n"))
	require.NoError(t, err)
	require.Equal(t, "piece Owl\npanel a\n", text)
	_, err = Text(write("large", strings.Repeat("x", largest+1)))
	require.ErrorContains(t, err, "larger than 64 KiB")
	_, err = Text(write("bytes", "\xff\xfe"))
	require.ErrorContains(t, err, "no text in UTF-8")
}
