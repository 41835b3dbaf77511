package terminal

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"

	"larkfold/commands"
	"larkfold/commands/reply"

	"golang.org/x/term"
)

// Front is the app at a terminal.
type Front struct {
	App *commands.App
	In  io.Reader // a terminal is asked with a prompt; anything else is read line by line
	Out io.Writer
	Dir string // keeps the prompt's history, and in pictures below it pictures and files
}

// Answer answers one line, or with an empty one all lines that there are to read.
// It tells whether any of them was refused, which has been shown then. An
// [InputError] is what cannot be read.
func (f Front) Answer(ctx context.Context, line string) (refused bool, err error) {
	s := &session{
		app:    f.App,
		screen: newScreen(f.Out, picturesIn(filepath.Join(f.Dir, "pictures"))),
		asker:  newPiped(f.In),
		offers: line == "",
	}
	work := s.everyLine
	if isTerminal(f.In) {
		p, err := newPrompt(s.screen, f.Dir, &completer{ctx, s.app, s.request})
		if err != nil {
			return false, err
		}
		defer p.Close()
		s.asker = p
		work = func(ctx context.Context) error { return s.talk(ctx, p) }
	}
	if line != "" {
		work = func(ctx context.Context) error { return s.typed(ctx, line) }
	}
	err = work(ctx)
	return s.refused, err
}

// Show writes blocks that hold neither pictures nor files, as an answer shows them.
func Show(out io.Writer, blocks []reply.Block) error { return newScreen(out, nil).show(blocks) }

// InputError says in a sentence what is wrong with what was given to read.
type InputError struct{ Sentence string }

// Error returns the sentence.
func (e *InputError) Error() string { return e.Sentence }

// everyLine repeats and answers all lines up to the end. Blank lines and lines that begin
// with # are passed over.
func (s *session) everyLine(ctx context.Context) error {
	for {
		text, err := s.asker.ask("")
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		if text = strings.TrimSpace(text); text == "" || strings.HasPrefix(text, "#") {
			continue
		}
		if err := s.say("> " + text); err != nil {
			return err
		}
		if err := s.typed(ctx, text); err != nil {
			return err
		}
		if err := s.say(""); err != nil {
			return err
		}
	}
}

func isTerminal(in io.Reader) bool {
	file, ok := in.(*os.File)
	return ok && term.IsTerminal(int(file.Fd()))
}
