package project_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
)

// The printable sheet is a PDF with the pieces and the cutting plan in it.
func TestPrint(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Demo(t, a, commandstest.Ana, "Tide Line", "tide-line.sheet")
	for _, line := range []string{`/project print name:"tide line"`, `/project print name:"Tide Line" paper:letter`} {
		answer := commandstest.Answered(t, a, line)
		require.Contains(t, commandstest.Render(answer), "100 %")
		file := answer.Blocks[2].(reply.File)
		require.Equal(t, "tide-line.pdf", file.Name)
		require.True(t, bytes.HasPrefix(file.Data, []byte("%PDF-")))
		require.Greater(t, len(file.Data), 4000)
	}
}
