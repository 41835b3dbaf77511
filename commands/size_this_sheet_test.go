package commands

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A sheet in somebody's message is sized; a message without one is told what is missing.
func TestSizeThisSheet(t *testing.T) {
	a := newApp(t)
	who := ana
	who.Command = "size this sheet"
	var b strings.Builder
	for _, text := range []string{
		"look what I made:\n```\n" + small + "```\nis that enough cord?",
		"```sheet\n" + strings.Replace(small, "square", "sqare", 1) + "```",
		small,
		"hello there",
		"  ",
	} {
		who.ID, who.Text = text, text
		answer, err := a.Do(t.Context(), who)
		require.NoError(t, err)
		require.False(t, answer.Public)
		b.WriteString("> " + text + "\n\n" + render(answer) + "\n")
	}
	golden(t, "message", b.String())
}
