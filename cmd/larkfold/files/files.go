// Package files reads the files that a person names at a terminal, and names files
// to a person.
//
// What will hurt you: a text file may be 64 KiB long and no longer, it must be UTF-8,
// and its lines end in line feeds when it is handed on.
package files

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"unicode/utf8"
)

// largest is the most that is read of a file, in bytes.
const largest = 64 << 10

// Text reads a file of text, whose path may begin with ~/ as in a shell.
func Text(path string) (string, error) {
	f, err := os.Open(FromHome(path))
	if err != nil {
		return "", Plain(err)
	}
	defer f.Close()
	return TextOf(f, path)
}

// TextOf reads a text to its end; name is what errors call it.
func TextOf(from io.Reader, name string) (string, error) {
	data, err := io.ReadAll(io.LimitReader(from, largest+1))
	switch {
	case err != nil:
		return "", Plain(err)
	case len(data) > largest:
		return "", fmt.Errorf("%s is larger than %d KiB", name, largest>>10)
	case !utf8.Valid(data):
		return "", fmt.Errorf("%s is no text in UTF-8", name)
	}
	return strings.ReplaceAll(strings.TrimPrefix(string(data), "\ufeff"), "\r\n", "\n"), nil
}

// FromHome reads ~/ at the beginning of a path as a shell does.
func FromHome(path string) string {
	if rest, ok := strings.CutPrefix(path, "~/"); ok {
		if home, err := os.UserHomeDir(); err == nil {
			return filepath.Join(home, rest)
		}
	}
	return path
}

// Short writes a path as a person would: from the current folder where it lies
// in it, else from the home folder.
func Short(path string) string {
	full, err := filepath.Abs(path)
	if err != nil {
		return path
	}
	if here, err := os.Getwd(); err == nil {
		if rel, err := filepath.Rel(here, full); err == nil && filepath.IsLocal(rel) {
			return rel
		}
	}
	if home, err := os.UserHomeDir(); err == nil && filepath.Separator == '/' {
		if rel, err := filepath.Rel(home, full); err == nil && filepath.IsLocal(rel) {
			return "~/" + rel
		}
	}
	return full
}

// Plain is the error of a file without which system call failed.
func Plain(err error) error {
	var path *os.PathError
	if errors.As(err, &path) {
		return fmt.Errorf("%s: %w", path.Path, path.Err)
	}
	return err
}
