package terminal

import (
	"cmp"
	"context"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"larkfold/cmd/larkfold/files"
	"larkfold/commands/reply"

	"github.com/ergochat/readline"
)

// prompt asks at a terminal, with history and completion.
type prompt struct {
	screen  *screen
	lines   *readline.Instance
	history string
	editor  string // a command that edits a file; may be empty
}

// newPrompt makes a prompt that keeps its history in a folder.
func newPrompt(screen *screen, dir string, completer readline.AutoCompleter) (*prompt, error) {
	history := filepath.Join(dir, "history")
	f, err := os.OpenFile(history, os.O_CREATE|os.O_WRONLY, 0o600)
	if err != nil {
		return nil, err
	}
	if err := f.Close(); err != nil {
		return nil, err
	}
	between := &cursor{in: os.Stdin, out: os.Stdout}
	lines, err := readline.NewFromConfig(&readline.Config{
		Stdin: between, Stdout: between,
		HistoryFile: history, DisableAutoSaveHistory: true, HistorySearchFold: true, AutoComplete: completer, Undo: true,
	})
	if err != nil {
		return nil, err
	}
	editor := strings.TrimSpace(cmp.Or(os.Getenv("VISUAL"), os.Getenv("EDITOR")))
	return &prompt{screen: screen, lines: lines, history: history, editor: editor}, nil
}

// command asks for a command and puts it into the history.
func (p *prompt) command() (string, error) {
	text, err := p.ask("larkfold> ")
	if text = strings.TrimSpace(text); err == nil && text != "" {
		err = p.lines.SaveToHistory(text)
	}
	return text, err
}

func (p *prompt) ask(text string) (string, error) {
	p.lines.SetPrompt(text)
	return p.lines.ReadLine()
}

func (p *prompt) Close() error {
	return errors.Join(p.lines.Close(), os.Chmod(p.history, 0o600))
}

// fill asks for the fields one by one. Every field is typed anew or kept; a long one
// can be read from a file too, or opened in an editor.
func (p *prompt) fill(ctx context.Context, form reply.Form) (map[string]string, error) {
	if err := p.screen.show([]reply.Block{reply.Heading(form.Title)}); err != nil {
		return nil, err
	}
	fields := map[string]string{}
	for _, f := range form.Fields {
		var err error
		switch {
		case f.Long:
			fields[f.Name], err = p.long(ctx, f)
		case len(f.Choices) > 0:
			if err := p.screen.show([]reply.Block{reply.Text(f.Label + "\n" + listed(f.Choices))}); err != nil {
				return nil, err
			}
			fallthrough
		default:
			fields[f.Name], err = p.ask(question(f))
		}
		if err != nil {
			return nil, err
		}
	}
	return fields, nil
}

// toEdit is the line that opens a long field in the editor.
const toEdit = "!edit"

func (p *prompt) long(ctx context.Context, f reply.Field) (string, error) {
	ways := "Type it line by line, or @FILE"
	if p.editor != "" {
		ways += ", or " + toEdit + " to open it in " + filepath.Base(strings.Fields(p.editor)[0])
	}
	ways += ". A line with a single dot ends it"
	blocks := []reply.Block{reply.Text(f.Label)}
	if f.Value != "" {
		blocks = append(blocks, reply.Verbatim(f.Value))
		ways += "; the dot alone keeps what stands above"
		if !f.Required {
			ways += ", and a line of " + toEmpty + " before it empties the field"
		}
	}
	if err := p.screen.show(append(blocks, reply.Text(ways+"."))); err != nil {
		return "", err
	}
	first := true
	for {
		edit := false
		text, err := longField(func() (string, error) {
			l, err := p.ask("| ")
			if first && p.editor != "" && strings.TrimSpace(l) == toEdit {
				edit = true
				return endOfField, nil
			}
			first = false
			return l, err
		})
		var bad *InputError
		switch {
		case edit:
			return p.edit(ctx, f.Value)
		case !errors.As(err, &bad):
			return text, err
		}
		if err := p.screen.show([]reply.Block{reply.Text(bad.Sentence + ". Name another file, or type the text.")}); err != nil {
			return "", err
		}
	}
}

// edit opens a text in the member's editor.
func (p *prompt) edit(ctx context.Context, text string) (string, error) {
	dir, err := os.MkdirTemp("", "larkfold")
	if err != nil {
		return "", err
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, "sheet.txt")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		return "", err
	}
	words := strings.Fields(p.editor)
	cmd := exec.CommandContext(ctx, words[0], append(words[1:], path)...)
	cmd.Stdin, cmd.Stdout, cmd.Stderr = os.Stdin, os.Stdout, os.Stderr
	if err := cmd.Run(); err != nil {
		return "", err
	}
	return files.Text(path)
}

// talk asks for commands until the member leaves.
func (s *session) talk(ctx context.Context, p *prompt) error {
	if err := s.say("Type a command such as /cord width:40cm drop:70cm; Tab completes, /help tells more, Ctrl-D leaves."); err != nil {
		return err
	}
	for {
		text, err := p.command()
		switch {
		case errors.Is(err, io.EOF):
			return nil
		case errors.Is(err, readline.ErrInterrupt):
			continue
		case err != nil:
			return err
		}
		switch text {
		case "":
			continue
		case "quit", "exit":
			return nil
		}
		err = s.typed(ctx, text)
		s.refused = false // the member has seen it
		if ctx.Err() != nil {
			return ctx.Err()
		}
		switch {
		case errors.Is(err, readline.ErrInterrupt), errors.Is(err, io.EOF):
			err = s.say("Left; nothing was saved.")
		case err != nil:
			err = s.say("larkfold: " + err.Error())
		}
		if err != nil {
			return err
		}
	}
}
