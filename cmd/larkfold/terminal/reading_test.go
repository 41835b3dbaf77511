package terminal

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands"
	"larkfold/store"
	"larkfold/store/storetest"
)

// linesOf hands out lines, and then the end.
func linesOf(lines ...string) func() (string, error) {
	return func() (string, error) {
		if len(lines) == 0 {
			return "", io.EOF
		}
		l := lines[0]
		lines = lines[1:]
		return l, nil
	}
}

// A long field ends with a dot alone or with the lines, and its first line may name a file.
func TestWhatALongFieldReads(t *testing.T) {
	path := filepath.Join(t.TempDir(), "owl.txt")
	require.NoError(t, os.WriteFile(path, []byte("piece Owl\n"), 0o600))
	for _, test := range []struct {
		lines []string
		want  string
	}{
		{[]string{"piece Owl", "cord main 4 mm", "."}, "piece Owl\ncord main 4 mm\n"},
		{[]string{"piece Owl", " . ", "no more"}, "piece Owl\n"},
		{[]string{"piece Owl"}, "piece Owl\n"},
		{[]string{"."}, ""},
		{[]string{"@" + path, "no more"}, "piece Owl\n"},
		{[]string{" @" + path}, "piece Owl\n"},
		{[]string{"piece Owl", "@" + path, "."}, "piece Owl\n@" + path + "\n"},
		{[]string{"..", "."}, "..\n"},
	} {
		got, err := longField(linesOf(test.lines...))
		require.NoError(t, err, test.lines)
		require.Equal(t, test.want, got, test.lines)
	}
	_, err := longField(linesOf())
	require.ErrorIs(t, err, io.EOF, "nothing was typed")
	_, err = longField(linesOf("@" + path + ".none"))
	var unread *InputError
	require.ErrorAs(t, err, &unread)
	require.Equal(t, path+".none: no such file or directory", unread.Sentence)
}

// A number picks with a cut's letter behind it, and with nothing; with anything else it may be a size.
func TestWhatCanOnlyPick(t *testing.T) {
	for choice, picks := range map[string]bool{"": true, "A": true, "M": true, "Z": true, "@": false, "[": false, "a": false, "AA": false, "4": false} {
		require.Equal(t, picks, onlyPicks(choice), choice)
	}
}

// Remarks and blank lines of a stream are passed over, and the others answered in turn.
func TestAStreamIsAnsweredLineByLine(t *testing.T) {
	records, err := store.New(t.Context(), storetest.NewMemory(), store.Options{})
	require.NoError(t, err)
	answer := func(in, line string) (string, bool) {
		var out strings.Builder
		refused, err := Front{App: commands.New(commands.Config{Store: records}), In: strings.NewReader(in), Out: &out, Dir: t.TempDir()}.Answer(context.Background(), line)
		require.NoError(t, err)
		return out.String(), refused
	}
	said, refused := answer("# a remark\n\n  \n/convert what:1.5m\n #another\n/convert what:2.5m\n", "")
	require.False(t, refused)
	require.Equal(t, 2, strings.Count(said, "> "), said)
	require.NotContains(t, said, "remark")
	require.Less(t, strings.Index(said, "1.5 m"), strings.Index(said, "> /convert what:2.5m"))
	require.Contains(t, said, "2.5 m")

	_, refused = answer("/convert what:1.5m\n/convert what:owl\n/convert what:2.5m\n", "")
	require.True(t, refused, "one of them was")
	said, refused = answer("/convert what:2.5m\n", "/convert what:1.5m")
	require.False(t, refused)
	require.NotContains(t, said, "2.5 m", "with a line of its own, none is read")
}

// The editor that is named is given the text, and what it leaves is read; one that fails changes nothing.
func TestEditing(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("the editor of this test is a script")
	}
	path := filepath.Join(t.TempDir(), "editor")
	require.NoError(t, os.WriteFile(path, []byte("#!/bin/sh\n[ \"$1\" = --wait ] && echo tail 18 cm >>\"$2\"\n"), 0o700))
	text, err := (&prompt{editor: path + " --wait"}).edit(t.Context(), "piece Owl\n")
	require.NoError(t, err)
	require.Equal(t, "piece Owl\ntail 18 cm\n", text)
	_, err = (&prompt{editor: path}).edit(t.Context(), "piece Owl\n")
	require.Error(t, err)
}
