package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"net"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"time"

	"larkfold/store"
)

// While serve has the store it takes orders at a socket in the folder of the
// store, which only its own user can reach. The commands that look after a store
// send theirs there when somebody listens, and open the store themselves when
// nobody does: either way the same chore is done.

const socketName = "larkfold.sock"

// order is what a command asks of the running bot, as one JSON object.
type order struct {
	Verb string `json:"verb"`
	Arg  string `json:"arg,omitempty"`
	Key  string `json:"key,omitempty"` // what a key file holds, for reseal
}

// word is what the bot answers, as JSON objects: lines to print, and at last the
// status to end with and why.
type word struct {
	Line   string `json:"line,omitempty"`
	End    bool   `json:"end,omitempty"`
	Status int    `json:"status,omitempty"`
	Error  string `json:"error,omitempty"`
}

// chore is the work of a command that looks after an open store.
type chore func(ctx context.Context, s *opened, out io.Writer, o order) error

func chores() map[string]chore {
	return map[string]chore{"backup": backUpLive, "check": checkOpen, "tidy": tidyOpen, "reseal": resealOpen, "stats": showStats, "forget": forgetMember}
}

// hear takes orders until the context ends.
func hear(ctx context.Context, s *opened, log *slog.Logger) {
	path := filepath.Join(s.dir, socketName)
	listener, err := listenPrivately(path)
	if err != nil {
		log.Warn("backup, check, tidy, reseal, stats and forget will not work while the bot runs", "error", err)
		return
	}
	var wg sync.WaitGroup
	defer wg.Wait()
	defer os.Remove(path)
	stop := context.AfterFunc(ctx, func() { _ = listener.Close() })
	defer stop()
	for {
		conn, err := listener.Accept()
		if ctx.Err() != nil {
			return
		}
		if err != nil {
			log.Error("an order could not be taken", "error", err)
			time.Sleep(time.Second)
			continue
		}
		wg.Go(func() { obey(ctx, s, conn, log) })
	}
}

// listenPrivately listens at a socket that nobody else can reach at any moment:
// it is made in a private folder and then put into its place.
func listenPrivately(path string) (net.Listener, error) {
	dir, err := os.MkdirTemp(filepath.Dir(path), "sock-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	listener, err := net.ListenUnix("unix", &net.UnixAddr{Name: filepath.Join(dir, "s"), Net: "unix"})
	if err != nil {
		return nil, err
	}
	listener.SetUnlinkOnClose(false)
	if err := errors.Join(os.Chmod(filepath.Join(dir, "s"), 0o600), os.Rename(filepath.Join(dir, "s"), path)); err != nil {
		return nil, errors.Join(err, listener.Close())
	}
	return listener, nil
}

// patience is how long an order may take to arrive.
const patience = 5 * time.Second

// obey does one chore. It is broken off when who asked goes away.
func obey(ctx context.Context, s *opened, conn net.Conn, log *slog.Logger) {
	defer conn.Close()
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	var o order
	_ = conn.SetReadDeadline(time.Now().Add(patience))
	in := json.NewDecoder(io.LimitReader(conn, 1<<16))
	if err := in.Decode(&o); err != nil {
		return
	}
	_ = conn.SetReadDeadline(time.Time{})
	go func() {
		_, _ = io.Copy(io.Discard, conn) // ends when the other side goes
		cancel()
	}()
	out := json.NewEncoder(conn)
	err := fmt.Errorf("the running bot knows no %q; it may be another version", o.Verb)
	if do := chores()[o.Verb]; do != nil {
		err = do(ctx, s, lineWriter{out}, o)
	}
	end := word{End: true}
	if err != nil {
		end.Status, end.Error = status(ran{err}), sentence(err)
	}
	log.Info("did what the command line asked for", "verb", o.Verb, "status", end.Status)
	_ = out.Encode(end)
}

// lineWriter sends every write, which is one line, as a word.
type lineWriter struct{ to *json.Encoder }

func (w lineWriter) Write(b []byte) (int, error) {
	return len(b), w.to.Encode(word{Line: string(b)})
}

// farError is how a chore that the running bot did has ended.
type farError struct{ word }

func (e farError) Error() string { return e.word.Error }

// ExitCode is the status that the same error would have here.
func (e farError) ExitCode() int { return e.Status }

// ask sends an order to the bot that has the store, and prints what it answers.
// It returns false when nobody listens.
func (p *place) ask(ctx context.Context, out io.Writer, o order) (answered bool, err error) {
	dir, err := p.folder()
	if err != nil || p.address != "" {
		return false, err
	}
	conn, err := net.Dial("unix", filepath.Join(dir, socketName))
	switch {
	case errors.Is(err, fs.ErrNotExist), errors.Is(err, syscall.ECONNREFUSED), errors.Is(err, syscall.EINVAL):
		return false, nil // no bot, one that was killed, or a path too long for a socket
	case errors.Is(err, fs.ErrPermission):
		return false, &store.Fault{Kind: fs.ErrPermission, Cause: err,
			Sentence: "The running bot cannot be asked: only its own user and root reach the socket " + filepath.Join(dir, socketName) + "."}
	case err != nil:
		return false, fmt.Errorf("asking the running bot: %w", err)
	}
	defer conn.Close()
	defer context.AfterFunc(ctx, func() { _ = conn.Close() })()
	if err := json.NewEncoder(conn).Encode(o); err != nil {
		return true, fmt.Errorf("asking the running bot: %w", err)
	}
	for in := json.NewDecoder(conn); ; {
		var w word
		if err := in.Decode(&w); err != nil {
			return true, errors.Join(ctx.Err(), fmt.Errorf("the running bot broke off: %w", err))
		}
		switch {
		case w.End && w.Error != "":
			return true, farError{w}
		case w.End:
			return true, nil
		}
		if _, err := io.WriteString(out, w.Line); err != nil {
			return true, err
		}
	}
}

// backUpLive writes a checked copy beside the store, from where the command that
// asked for it takes it away.
func backUpLive(ctx context.Context, s *opened, out io.Writer, o order) error {
	if o.Arg != filepath.Base(o.Arg) || !strings.HasPrefix(o.Arg, copyPrefix) {
		return badInput{"a copy for the command line has a name of its own"}
	}
	report, err := s.engine.Copy(ctx, filepath.Join(s.dir, o.Arg), s.options())
	if err != nil {
		return err
	}
	return told(out, "backup of", report)
}

const copyPrefix = "copy-for-the-command-line-"

// bring moves a file to another place, which may be on another disk and of
// another owner. It is there whole or not at all.
func bring(from, to string) (err error) {
	part := to + ".unfinished"
	defer func() {
		if err != nil {
			err = unwritten(to, err)
			_ = os.Remove(part)
		}
		err = errors.Join(err, os.Remove(from))
	}()
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close()
	out, err := os.OpenFile(part, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	if err := errors.Join(err, out.Sync(), out.Close()); err != nil {
		return err
	}
	return os.Rename(part, to)
}
