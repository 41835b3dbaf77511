package terminal

import (
	"bytes"
	"io"
	"strings"
	"sync"
)

// cursorQuery asks a terminal where its cursor stands, and cursorAtLeft is the answer
// that it stands at the left edge (ECMA-48, device status report and active position
// report).
const (
	cursorQuery  = "\x1b[6n"
	cursorAtLeft = "\x1b[1;1R"
)

// cursor stands between readline and a terminal and answers itself where the cursor
// is. Readline asks before every prompt and shows nothing until it is told, which
// some terminals never do. Whatever is shown here ends its line, so a prompt always
// begins at the left edge.
type cursor struct {
	in  io.Reader
	out io.Writer

	mu     sync.Mutex
	answer []byte // that readline has not read yet
}

// Write passes on what is shown and keeps an answer for every query in it.
func (c *cursor) Write(shown []byte) (int, error) {
	asked := bytes.Count(shown, []byte(cursorQuery))
	if asked == 0 {
		return c.out.Write(shown)
	}
	c.mu.Lock()
	c.answer = append(c.answer, strings.Repeat(cursorAtLeft, asked)...)
	c.mu.Unlock()
	if _, err := c.out.Write(bytes.ReplaceAll(shown, []byte(cursorQuery), nil)); err != nil {
		return 0, err
	}
	return len(shown), nil
}

// Read gives the answers first, then what is typed.
func (c *cursor) Read(into []byte) (int, error) {
	c.mu.Lock()
	n := copy(into, c.answer)
	c.answer = c.answer[n:]
	c.mu.Unlock()
	if n > 0 {
		return n, nil
	}
	return c.in.Read(into)
}
