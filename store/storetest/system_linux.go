package storetest

import (
	"os"
	"path/filepath"
	"runtime"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"
)

// SmallDisk is a folder on a file system of its own that has so much room, such as 64k,
// until the test ends. A test that has no leave to mount one is skipped.
func SmallDisk(t *testing.T, size string) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "small")
	require.NoError(t, os.Mkdir(dir, 0o700))
	if err := mount(dir, 0, "size="+size); err != nil {
		t.Skipf("cannot mount a small file system: %v", err)
	}
	t.Cleanup(func() { require.NoError(t, syscall.Unmount(dir, syscall.MNT_DETACH)) })
	return dir
}

// Enlarge gives a small disk more room.
func Enlarge(t *testing.T, dir, size string) {
	t.Helper()
	require.NoError(t, mount(dir, syscall.MS_REMOUNT, "size="+size))
}

// WriteProtect lets a small disk take no more writes.
func WriteProtect(t *testing.T, dir string) {
	t.Helper()
	require.NoError(t, mount(dir, syscall.MS_REMOUNT|syscall.MS_RDONLY, ""))
}

func mount(dir string, flags uintptr, options string) error {
	return syscall.Mount("larkfold-test", dir, "tmpfs", flags, options)
}

// AsStranger does something as a user who owns nothing where root runs the test: the
// system lets a thread, which ends with it, look at files as somebody else. A test whose
// root may not is skipped.
func AsStranger(t *testing.T, do func()) {
	t.Helper()
	if os.Getuid() != 0 {
		do()
		return
	}
	const stranger = 65534
	done, became := make(chan struct{}), false
	go func() {
		defer close(done)
		runtime.LockOSThread()
		_, _, _ = syscall.RawSyscall(syscall.SYS_SETFSUID, stranger, 0, 0)
		now, _, _ := syscall.RawSyscall(syscall.SYS_SETFSUID, stranger, 0, 0) // says who it was
		if became = now == stranger; became {
			do()
		}
	}()
	<-done
	if !became {
		t.Skip("this root may not become somebody else")
	}
}
