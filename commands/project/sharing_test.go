package project_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
)

// Moderators choose the channels; nobody shares where there is nobody, and a
// button pressed in another server finds nothing.
func TestWhereDesignsAreShared(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Demo(t, a, commandstest.Ana, "Tide Line", "tide-line.sheet")
	post := commandstest.Answered(t, a, `/project share name:"Tide Line"`)
	var b strings.Builder
	say := func(who reply.Request, line string, refused bool) {
		answer := commandstest.AskedBy(t, a, who, line)
		require.Equal(t, refused, answer.Refused, "%s\n%s", line, commandstest.Render(answer))
		b.WriteString("> " + line + "\n\n")
		if answer.Public {
			answer = reply.Reply{Public: true}
		}
		b.WriteString(commandstest.Render(answer) + "\n")
	}
	pier := commandstest.Mara
	pier.Channel = "pier"
	anaAtPier, alone, elsewhere := commandstest.Ana, commandstest.Ana, commandstest.Mara
	anaAtPier.Channel = "pier"
	alone.Community, alone.Channel = "", "direct"
	elsewhere.Community = "island"
	say(commandstest.Mara, "/sharing list", false)
	say(commandstest.Ana, "/sharing here", true)
	say(pier, "/sharing here", false)
	say(pier, "/sharing here", false)
	say(commandstest.Ana, `/project share name:"Tide Line"`, true)
	say(anaAtPier, `/project share name:"Tide Line"`, false)
	say(commandstest.Mara, "/sharing anywhere", false)
	say(commandstest.Ana, `/project share name:"Tide Line"`, false)
	say(alone, `/project share name:"Tide Line"`, true)
	say(alone, "/sharing list", true)
	commandstest.Golden(t, "sharing", b.String())
	for _, label := range shareLabels {
		require.True(t, pressAs(t, a, elsewhere, post, label).Refused, label)
	}
}
