package terminal

import (
	"bytes"
	"io"
	"strings"
	"sync"
	"testing"
	"testing/iotest"
	"time"

	"github.com/ergochat/readline"
	"github.com/stretchr/testify/require"
)

// shown is what a terminal was sent.
type shown struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (s *shown) Write(text []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.Write(text)
}

func (s *shown) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.String()
}

// A terminal that never answers where its cursor is sees the prompt before anything
// is typed, and what is typed then is read.
func TestPromptOnATerminalThatDoesNotAnswer(t *testing.T) {
	typed, keys := io.Pipe()
	screen := &shown{}
	between := &cursor{in: typed, out: screen}
	nothing := func() error { return nil }
	lines, err := readline.NewFromConfig(&readline.Config{
		Prompt: "larkfold> ", Stdin: between, Stdout: between, Stderr: screen,
		FuncIsTerminal: func() bool { return true }, FuncMakeRaw: nothing, FuncExitRaw: nothing,
		FuncGetSize: func() (int, int) { return 80, 24 }, FuncOnWidthChanged: func(func()) {},
	})
	require.NoError(t, err)
	read := make(chan string, 1)
	go func() {
		line, _ := lines.ReadLine()
		read <- line
	}()
	require.Eventually(t, func() bool { return strings.Contains(screen.String(), "larkfold> ") }, 30*time.Second, time.Millisecond)
	require.NotContains(t, screen.String(), cursorQuery)
	_, err = keys.Write([]byte("/help\r"))
	require.NoError(t, err)
	require.Equal(t, "/help", <-read)
	require.NoError(t, keys.Close())
	require.NoError(t, lines.Close())
}

// What is shown is passed on without the questions, in whatever pieces it is read.
func TestCursorAnswersItself(t *testing.T) {
	var out bytes.Buffer
	c := &cursor{in: strings.NewReader("typed"), out: &out}
	n, err := c.Write([]byte("one" + cursorQuery + "two" + cursorQuery))
	require.NoError(t, err)
	require.Equal(t, len("onetwo")+2*len(cursorQuery), n)
	require.Equal(t, "onetwo", out.String())
	all, err := io.ReadAll(iotest.OneByteReader(c))
	require.NoError(t, err)
	require.Equal(t, cursorAtLeft+cursorAtLeft+"typed", string(all))
}
