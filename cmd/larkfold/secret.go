package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"runtime"
	"strings"

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
// overwrites a file.
func writeKey(path string, k *seal.Key) (err error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if errors.Is(err, fs.ErrExist) {
		return &store.Fault{Kind: store.ErrExists, Sentence: fmt.Sprintf("The key file %s exists already and is left as it is.", path)}
	}
	if err != nil {
		return fmt.Errorf("writing the key file: %w", err)
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	if _, err := f.Write(k.Text()); err != nil {
		return fmt.Errorf("writing the key file: %w", err)
	}
	return f.Sync()
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
