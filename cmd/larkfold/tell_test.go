package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/store/seal"
)

// serve --check says what the settings come to and where each was set, shows no
// secret, makes nothing and calls nobody.
func TestServeChecksItsSettings(t *testing.T) {
	dir := t.TempDir()
	key := seal.GenerateKey()
	require.NoError(t, writeKey(filepath.Join(dir, "key"), key))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "token"), []byte("abc.secret.def"), 0o600))
	cmd := exec.Command("larkfold", "serve", "--check", "--token-file", "token", "--guild", "42", "--keep-backups", "1", "--backup-mib", "1")
	cmd.Dir = dir
	cmd.Env = append(cmd.Environ(), "LARKFOLD_PLATFORM=http://127.0.0.1:1", "LARKFOLD_DATA="+filepath.Join(dir, "data"),
		"LARKFOLD_KEY_FILE=key", "LARKFOLD_STATUS=unix:status.sock", "LARKFOLD_LOG_LEVEL=warn", "LARKFOLD_TOKEN=overruled")
	out, err := cmd.CombinedOutput()
	require.NoError(t, err, "%s", out)
	for _, line := range []string{
		"way in       gateway\n",
		"token        in token (--token-file)\n",
		"commands     registered in the server 42 only (--guild)\n",
		"store        " + filepath.Join(dir, "data", storeName) + " (LARKFOLD_DATA)\n",
		"key          " + key.ID() + " in key (LARKFOLD_KEY_FILE)\n",
		"the newest 1 are kept, in 1 MiB at most (--keep-backups) (--backup-mib)\n",
		"status       unix:status.sock (LARKFOLD_STATUS)\n",
		"from WARN on (LARKFOLD_LOG_LEVEL)\n",
	} {
		require.Contains(t, string(out), line)
	}
	require.NotContains(t, string(out), "secret")
	require.NotContains(t, string(out), "overruled")
	made, err := filepath.Glob(filepath.Join(dir, "*"))
	require.NoError(t, err)
	require.Len(t, made, 2, "only the key and the token")
}
