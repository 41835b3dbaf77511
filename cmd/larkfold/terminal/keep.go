package terminal

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"larkfold/cmd/larkfold/files"
)

// picturesIn puts pictures and files into a folder. The same bytes are kept once;
// others of the same name get a number.
func picturesIn(dir string) func(name string, data []byte) (string, error) {
	return func(name string, data []byte) (string, error) {
		if err := os.MkdirAll(dir, 0o700); err != nil {
			return "", err
		}
		name = filepath.Base(name)
		ending := filepath.Ext(name)
		for n := 1; ; n++ {
			path := filepath.Join(dir, name)
			if n > 1 {
				path = filepath.Join(dir, fmt.Sprintf("%s-%d%s", strings.TrimSuffix(name, ending), n, ending))
			}
			there, err := os.ReadFile(path)
			switch {
			case err == nil && bytes.Equal(there, data):
				return files.Short(path), nil
			case errors.Is(err, fs.ErrNotExist):
				return files.Short(path), os.WriteFile(path, data, 0o600)
			case err != nil:
				return "", err
			}
		}
	}
}
