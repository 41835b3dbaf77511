package terminal

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"larkfold/commands/reply"
)

// piped reads a stream that is no terminal. It shows no prompts.
type piped struct{ lines *bufio.Scanner }

// longestLine is the longest line that a stream may hold, in bytes.
const longestLine = 256 << 10

func newPiped(in io.Reader) *piped {
	lines := bufio.NewScanner(in)
	lines.Buffer(nil, longestLine)
	return &piped{lines}
}

func (p *piped) ask(string) (string, error) {
	if p.lines.Scan() {
		return strings.ToValidUTF8(p.lines.Text(), "\ufffd"), nil
	}
	switch err := p.lines.Err(); {
	case errors.Is(err, bufio.ErrTooLong):
		return "", &InputError{fmt.Sprintf("a line is longer than %d KiB", longestLine>>10)}
	case err != nil:
		return "", err
	}
	return "", io.EOF
}

// fill takes the next line for every short field, and the lines up to a single
// dot, or to the end of the stream, for every long one.
func (p *piped) fill(_ context.Context, form reply.Form) (map[string]string, error) {
	fields := map[string]string{}
	for _, f := range form.Fields {
		var err error
		if f.Long {
			fields[f.Name], err = longField(func() (string, error) { return p.ask("") })
		} else {
			fields[f.Name], err = p.ask("")
		}
		if errors.Is(err, io.EOF) {
			return nil, &InputError{"a form was opened and nothing was there to fill it with: give the lines on standard input, or the option as sheet:@FILE"}
		}
		if err != nil {
			return nil, err
		}
	}
	return fields, nil
}
