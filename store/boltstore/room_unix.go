//go:build linux || darwin || freebsd

package boltstore

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
)

// DiskRoom returns how many bytes this user may still write on the disk of a
// folder; negative where the system does not say.
func DiskRoom(dir string) (int64, error) {
	var s syscall.Statfs_t
	if err := syscall.Statfs(dir, &s); err != nil {
		return 0, fmt.Errorf("looking for room on the disk: %w", err)
	}
	return int64(s.Bavail) * int64(s.Bsize), nil
}

// likeFile gives a file the mode and the owner of another one, or where that is
// missing the owner of its folder.
func likeFile(path, model string) error {
	info, err := os.Stat(model)
	mode := fs.FileMode(0o600)
	switch {
	case err == nil:
		mode = info.Mode().Perm()
	case errors.Is(err, fs.ErrNotExist):
		if info, err = os.Stat(filepath.Dir(model)); err != nil {
			return err
		}
	default:
		return err
	}
	mine, err := os.Stat(path)
	if err != nil {
		return err
	}
	want, ok := info.Sys().(*syscall.Stat_t)
	have, ok2 := mine.Sys().(*syscall.Stat_t)
	if ok && ok2 && (want.Uid != have.Uid || want.Gid != have.Gid) {
		if err := os.Chown(path, int(want.Uid), int(want.Gid)); err != nil {
			return fmt.Errorf("keeping the owner of %s: %w", model, err)
		}
	}
	return os.Chmod(path, mode)
}
