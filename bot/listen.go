package bot

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net"
	"net/http"
	"os"
	"strings"
	"syscall"
	"time"
)

// unixAddress is what an address begins with that names a Unix socket.
const unixAddress = "unix:"

// listen opens a TCP address, such as ":7416", or a Unix socket, as
// "unix:/run/larkfold/http.sock". That it is taken may pass; anything else that
// is wrong with it stays wrong. No address is no listener.
func listen(address string) (net.Listener, error) {
	if address == "" {
		return nil, nil
	}
	path, local := strings.CutPrefix(address, unixAddress)
	if !local {
		listener, err := net.Listen("tcp", address)
		return listener, listenFault(err)
	}
	if err := removeStale(path); err != nil {
		return nil, listenFault(err)
	}
	listener, err := net.Listen("unix", path)
	if err != nil {
		return nil, listenFault(err)
	}
	// Like a port, it is open to whoever gets as far; the folder's mode says who does.
	if err := os.Chmod(path, 0o666); err != nil {
		return nil, errors.Join(listenFault(err), listener.Close())
	}
	return listener, nil
}

// removeStale takes away a socket that a process left behind which ended without
// closing it. One that somebody still answers is left, and so is any other file.
func removeStale(path string) error {
	if conn, err := net.DialTimeout("unix", path, time.Second); err == nil {
		_ = conn.Close()
		return &net.OpError{Op: "listen", Net: "unix", Addr: &net.UnixAddr{Name: path, Net: "unix"}, Err: os.NewSyscallError("bind", syscall.EADDRINUSE)}
	}
	info, err := os.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	case info.Mode().Type() != fs.ModeSocket:
		return fmt.Errorf("%s is there already and is no socket", path)
	}
	return os.Remove(path)
}

func listenFault(err error) error {
	switch {
	case err == nil:
		return nil
	case errors.Is(err, syscall.EADDRINUSE):
		return &ExitError{ExitPassing, err.Error() + ": another program listens there, perhaps an earlier copy of this one"}
	case errors.Is(err, syscall.EADDRNOTAVAIL):
		return &ExitError{ExitPassing, err.Error() + ": this machine has no such address, or not yet"}
	}
	return &ExitError{ExitConfig, err.Error()}
}

// Ready asks the bot that serves its status at an address whether it is ready.
// What it says instead is the error.
func Ready(ctx context.Context, address string) error {
	network, at := "tcp", address
	if path, local := strings.CutPrefix(address, unixAddress); local {
		network, at = "unix", path
	}
	var dialer net.Dialer
	client := http.Client{Transport: &http.Transport{DialContext: func(ctx context.Context, _, _ string) (net.Conn, error) {
		return dialer.DialContext(ctx, network, at)
	}}}
	defer client.CloseIdleConnections()
	req, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://status/readyz", nil)
	if err != nil {
		return err
	}
	resp, err := client.Do(req)
	if err != nil {
		return err
	}
	defer resp.Body.Close()
	const longest = 1 << 10
	text, err := io.ReadAll(io.LimitReader(resp.Body, longest))
	if err == nil && resp.StatusCode != http.StatusOK {
		err = errors.New(strings.TrimSpace(string(text)))
	}
	return err
}
