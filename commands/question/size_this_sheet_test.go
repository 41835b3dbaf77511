package question_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
)

// A sheet in somebody's message is sized; a message without one is told what is missing.
func TestSizeThisSheet(t *testing.T) {
	a := commandstest.New(t)
	who := commandstest.Ana
	who.Command = "size this sheet"
	var b strings.Builder
	for _, text := range []string{
		"look what I made:\n```\n" + commandstest.Small + "```\nis that enough cord?",
		"```sheet\n" + strings.Replace(commandstest.Small, "square", "sqare", 1) + "```",
		commandstest.Small,
		"hello there",
		"  ",
	} {
		who.ID, who.Text = text, text
		answer, err := a.Do(t.Context(), who)
		require.NoError(t, err)
		require.False(t, answer.Public)
		b.WriteString("> " + text + "\n\n" + commandstest.Render(answer) + "\n")
	}
	commandstest.Golden(t, "message", b.String())
}
