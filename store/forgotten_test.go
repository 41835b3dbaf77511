package store_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/store"
	"larkfold/store/seal"
)

// spoken returns what a store holds of a member: every value that names the
// member or stands under the member's key, and of shares and of the community's
// knots those that the member wrote.
func spoken(t *testing.T, path string, others map[string][]byte) map[string][]byte {
	t.Helper()
	mine := map[string][]byte{}
	for key, value := range keysOf(t, path) {
		if key == "A" {
			continue // the header counts what is sealed
		}
		if before, there := others[key]; !there || !bytes.Equal(before, value) {
			mine[key] = value
		}
	}
	return mine
}

// TestForgottenIsForgotten looks at the bytes of files. After forgetting and
// tidying, while the store is in use, nothing that the store held of the member
// stands in its file, nor in a copy made after forgetting and before tidying.
func TestForgottenIsForgotten(t *testing.T) {
	for mode, options := range map[string]store.Options{"plain": {}, "sealed": {Key: seal.GenerateKey()}} {
		t.Run(mode, func(t *testing.T) {
			dir := t.TempDir()
			path := filepath.Join(dir, "store.db")
			s, engine, err := openFile(t, path, options)
			require.NoError(t, err)
			fill(t, s, "ben")
			require.NoError(t, engine.Close())
			others := keysOf(t, path)
			s, engine, err = openFile(t, path, options)
			require.NoError(t, err)
			for range 3 { // several generations of pages
				fill(t, s, "member-0815")
				_, err = s.Forget(t.Context(), "member-0815")
				require.NoError(t, err)
				_, err = s.DeleteCommunityEntry(t.Context(), "ben", noon, "guild-4711", store.KindKnot, "crown of member-0815")
				require.NoError(t, err)
			}
			fill(t, s, "member-0815")
			for n := range 40 { // more pages than forgetting needs for itself
				save(t, s, "member-0815", fmt.Sprint("long ", n), noise(2000))
			}
			require.NoError(t, engine.Close())
			held := spoken(t, path, others)
			kinds := map[byte]bool{}
			for key := range held {
				kinds[key[0]] = true
			}
			require.Len(t, kinds, 4, "members', communities', shares' and expiry notes")
			s, engine, err = openFile(t, path, options)
			require.NoError(t, err)
			_, err = s.Forget(t.Context(), "member-0815")
			require.NoError(t, err)
			raw, err := os.ReadFile(path)
			require.NoError(t, err)
			used := filepath.Join(dir, "used.db")
			require.NoError(t, os.WriteFile(used, raw, 0o600))
			_, err = engine.Copy(t.Context(), filepath.Join(dir, "copy.db"), options)
			require.NoError(t, err)
			_, _, err = engine.Tidy(t.Context())
			require.NoError(t, err)
			save(t, s, "ben", "After", "the store is in use")
			require.NoError(t, engine.Close())
			after := keysOf(t, path)
			for key := range others {
				require.Contains(t, after, key)
			}
			require.Greater(t, tracesIn(t, used, held, after), 5, "the test finds what unused pages hold")
			for _, file := range []string{path, filepath.Join(dir, "copy.db")} {
				require.Zero(t, tracesIn(t, file, held, after), file)
				raw, err := os.ReadFile(file)
				require.NoError(t, err)
				// The name of the contribution holds the id only because this test put it there.
				require.NotContains(t, string(bytes.ReplaceAll(raw, []byte("crown of member-0815"), nil)), "member-0815")
			}
			requireNoFile(t, path+".unfinished")
		})
	}
}

func requireNoFile(t *testing.T, path string) {
	t.Helper()
	_, err := os.Stat(path)
	require.ErrorIs(t, err, os.ErrNotExist)
}

// tracesIn counts the values of which a file holds a part, beside the records
// that it is to hold: values change little from one revision to the next.
func tracesIn(t *testing.T, path string, held, live map[string][]byte) (n int) {
	t.Helper()
	const piece = 24
	raw, err := os.ReadFile(path)
	require.NoError(t, err)
	var kept []byte
	for key, value := range live {
		kept = append(append(append(kept, key...), value...), 0)
	}
	for _, value := range held {
		for at := 0; at+piece <= len(value); at += 4 {
			if part := value[at : at+piece]; bytes.Contains(raw, part) && !bytes.Contains(kept, part) {
				n++
				break
			}
		}
	}
	return n
}
