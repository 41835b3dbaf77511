package project_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
)

// Cord that is short: what margin and rounding are worth, which end runs out first and
// where, what can be left out or joined, and where nothing may be joined.
func TestShortAnswers(t *testing.T) {
	a := commandstest.New(t)
	commandstest.ShortDesigns(t, a)
	commandstest.Golden(t, "short", commandstest.Conversation(t, a,
		`/project show name:"Reed Wall" short:A by:1cm`,
		`/project show name:"Reed Wall" short:A by:20cm`,
		`/project show name:"Reed Wall" short:a by:1m`,
		`/project show name:"Gull Pot" short:A by:40cm`,
		`/project show name:Sill short:A by:25cm`,
	))
	for _, line := range []string{`short:A`, `by:20cm`, `short:Z by:20cm`, `short:A by:90m`, `short:A by:0cm`} {
		require.True(t, commandstest.Asked(t, a, `/project show name:"Reed Wall" `+line).Refused, line)
	}
	for _, letter := range []string{"B", "C", "D"} {
		said := commandstest.FactOf(commandstest.Answered(t, a, `/project show name:Sill short:`+letter+` by:20cm`), "so")
		require.Contains(t, said, "not joined", letter)
	}
}

// The button under a cut list asks which line and by how much, and says the same.
func TestShortPressed(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Answered(t, a, `/cord width:20cm drop:60cm save:"Reed Wall"`)
	shown := commandstest.Answered(t, a, `/project show name:"Reed Wall"`)
	form := commandstest.Press(t, a, shown, "a cord is short")
	require.Equal(t, commandstest.Render(commandstest.Answered(t, a, `/project show name:"Reed Wall" short:A by:20cm`)), commandstest.Render(commandstest.Fill(t, a, commandstest.Ana, form, map[string]string{"short": "A", "by": "20cm"})))
}
