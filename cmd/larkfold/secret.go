package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"

	"larkfold/cmd/larkfold/files"
	"larkfold/store"
	"larkfold/store/seal"
)

// readSecret reads a file that holds a secret, such as a key or a token. One that
// anybody on the machine may read is refused. A group may: that is how systemd
// from version 254 on hands its credentials to a service's own user.
func readSecret(what, path string) (string, error) {
	info, err := os.Stat(files.FromHome(path))
	switch {
	case err != nil:
		return "", badSetting{fmt.Errorf("the %s cannot be read: %w", what, files.Plain(err))}
	case info.IsDir():
		return "", badSetting{fmt.Errorf("the %s should be in a file; %s is a folder", what, path)}
	case info.Mode().Perm()&0o007 != 0 && runtime.GOOS != "windows":
		return "", badSetting{fmt.Errorf("the %s is in %s, which everybody on this machine can read or change (mode %04o). Make it mode 0600",
			what, path, info.Mode().Perm())}
	}
	text, err := files.Text(path)
	if err != nil {
		return "", badSetting{fmt.Errorf("the %s cannot be read: %w", what, err)}
	}
	return text, nil
}

// readKey reads a key file.
func readKey(path string) (*seal.Key, error) {
	text, err := readSecret("key", path)
	if err != nil {
		return nil, err
	}
	key, err := seal.ParseKey([]byte(text))
	if err != nil {
		return nil, badSetting{fmt.Errorf("%s: %w", path, err)}
	}
	return key, nil
}

// writeKey writes a key to a new file that only its owner may read. It never
// overwrites a file, and leaves none that is not whole.
func writeKey(path string, k *seal.Key) error {
	if err := free(path); err != nil {
		return err
	}
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return unwritten(path, err)
	}
	_, err = f.Write(k.Text())
	if err := errors.Join(err, f.Sync(), f.Close()); err != nil {
		return unwritten(path, errors.Join(err, os.Remove(path))) // half a key is none
	}
	return nil
}

// free refuses the path of a file that is to be made, where it cannot be.
func free(path string) error {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return badInput{fmt.Sprintf("%s is a folder; name a file that is to be made in it", path)}
	}
	if _, err := os.Lstat(path); err == nil {
		return &store.Fault{Kind: store.ErrExists, Sentence: fmt.Sprintf("The file %s exists already and is left as it is.", path)}
	}
	if info, err := os.Stat(filepath.Dir(path)); errors.Is(err, fs.ErrNotExist) || err == nil && !info.IsDir() {
		return badInput{fmt.Sprintf("there is no folder %s to make %s in", files.Short(filepath.Dir(path)), filepath.Base(path))}
	}
	return nil
}

// unwritten says why a file that was to be made is not there.
func unwritten(path string, err error) error {
	because := func(kind error, why string) error {
		return &store.Fault{Kind: kind, Sentence: fmt.Sprintf("The file %s was not made: %s.", path, why), Cause: files.Plain(err)}
	}
	switch {
	case errors.Is(err, syscall.ENOSPC), errors.Is(err, syscall.EDQUOT):
		return because(store.ErrFull, "there is no room on its disk")
	case errors.Is(err, fs.ErrPermission):
		return because(fs.ErrPermission, "this user may not write there")
	}
	return badInput{fmt.Sprintf("the file %q cannot be made: %v", path, files.Plain(err))}
}

// readToken reads a file that holds the bot's token and nothing else.
func readToken(path string) (string, error) {
	text, err := readSecret("token", path)
	if err != nil {
		return "", err
	}
	if words := strings.Fields(text); len(words) == 1 || len(words) == 2 && words[0] == "Bot" {
		return words[len(words)-1], nil
	}
	return "", badSetting{fmt.Errorf("%s should hold the token and nothing else", path)}
}
