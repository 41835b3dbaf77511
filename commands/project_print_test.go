package commands

import (
	"bytes"
	"testing"

	"larkfold/commands/reply"

	"github.com/stretchr/testify/require"
)

// The printable sheet is a PDF with the pieces and the cutting plan in it.
func TestPrint(t *testing.T) {
	a := newApp(t)
	demo(t, a, ana, "Tide Line", "tide-line.sheet")
	for _, line := range []string{`/project print name:"tide line"`, `/project print name:"Tide Line" paper:letter`} {
		answer := answered(t, a, line)
		require.Contains(t, render(answer), "100 %")
		file := answer.Blocks[2].(reply.File)
		require.Equal(t, "tide-line.pdf", file.Name)
		require.True(t, bytes.HasPrefix(file.Data, []byte("%PDF-")))
		require.Greater(t, len(file.Data), 4000)
	}
}
