package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"strings"
	"sync"

	"github.com/coreos/go-systemd/v22/journal"
	"github.com/spf13/pflag"
)

// logging is how the log is written, to standard error.
type logging struct {
	form  logForm
	level logLevel
}

func (l *logging) flags(f *pflag.FlagSet) {
	f.Var(&l.form, "log", "form of the log: text, json or journal, text with the priorities of systemd's journal; journal where standard error is one")
	f.Var(&l.level, "log-level", "least level that is logged: debug, info, warn or error")
}

// logForm is text, json or journal; nothing leaves it to what standard error is.
type logForm string

const (
	logText    logForm = "text"
	logJSON    logForm = "json"
	logJournal logForm = "journal"
)

func (l *logForm) String() string { return string(*l) }
func (l *logForm) Type() string   { return "form" }

func (l *logForm) Set(text string) error {
	switch form := logForm(text); form {
	case logText, logJSON, logJournal:
		*l = form
		return nil
	}
	return fmt.Errorf("write text, json or journal")
}

// logLevel is the least level that is logged.
type logLevel struct{ slog.LevelVar }

func (l *logLevel) String() string { return l.Level().String() }
func (l *logLevel) Type() string   { return "level" }

func (l *logLevel) Set(text string) error {
	if err := l.UnmarshalText([]byte(text)); err != nil {
		return errors.New("write debug, info, warn or error")
	}
	return nil
}

// open begins the log.
func (l *logging) open(to io.Writer) *slog.Logger {
	form := l.form
	if form == "" {
		form = logText
		if to == io.Writer(os.Stderr) {
			if attached, err := journal.StderrIsJournalStream(); err == nil && attached {
				form = logJournal
			}
		}
	}
	options := &slog.HandlerOptions{Level: &l.level.LevelVar}
	switch form {
	case logJSON:
		return slog.New(slog.NewJSONHandler(to, options))
	case logJournal:
		return slog.New(newJournalHandler(to, options))
	}
	return slog.New(slog.NewTextHandler(to, options))
}

// journalHandler writes each line with the priority that sd-daemon(3) puts before
// it; the time and the level, which the journal has, are left out.
type journalHandler struct {
	slog.Handler
	line *bytes.Buffer // the inner handler writes here
	to   io.Writer
	mu   *sync.Mutex
}

func newJournalHandler(to io.Writer, options *slog.HandlerOptions) journalHandler {
	line := &bytes.Buffer{}
	inner := slog.NewTextHandler(line, &slog.HandlerOptions{Level: options.Level, ReplaceAttr: func(groups []string, a slog.Attr) slog.Attr {
		if len(groups) == 0 && (a.Key == slog.TimeKey || a.Key == slog.LevelKey) {
			return slog.Attr{}
		}
		return a
	}})
	return journalHandler{Handler: inner, line: line, to: to, mu: &sync.Mutex{}}
}

func (h journalHandler) Handle(ctx context.Context, r slog.Record) error {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.line.Reset()
	if err := h.Handler.Handle(ctx, r); err != nil {
		return err
	}
	_, err := fmt.Fprintf(h.to, "<%d>%s", priority(r.Level), strings.TrimPrefix(h.line.String(), "msg="))
	return err
}

func (h journalHandler) WithAttrs(attrs []slog.Attr) slog.Handler {
	h.Handler = h.Handler.WithAttrs(attrs)
	return h
}

func (h journalHandler) WithGroup(name string) slog.Handler {
	h.Handler = h.Handler.WithGroup(name)
	return h
}

// errorMark comes before a last sentence, so that the journal takes it for the
// error that it is.
func errorMark() string {
	if attached, err := journal.StderrIsJournalStream(); err != nil || !attached {
		return ""
	}
	return fmt.Sprintf("<%d>", journal.PriErr)
}

// priority is syslog's for a level.
func priority(level slog.Level) journal.Priority {
	switch {
	case level >= slog.LevelError:
		return journal.PriErr
	case level >= slog.LevelWarn:
		return journal.PriWarning
	case level >= slog.LevelInfo:
		return journal.PriInfo
	}
	return journal.PriDebug
}
