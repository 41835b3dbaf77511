package commands

import (
	"strings"
	"testing"

	"larkfold/commands/reply"

	"github.com/stretchr/testify/require"
)

// Moderators choose the channels; nobody shares where there is nobody, and a
// button pressed in another server finds nothing.
func TestWhereDesignsAreShared(t *testing.T) {
	a := newApp(t)
	demo(t, a, ana, "Tide Line", "tide-line.sheet")
	post := answered(t, a, `/project share name:"Tide Line"`)
	var b strings.Builder
	say := func(who reply.Request, line string, refused bool) {
		answer := askedBy(t, a, who, line)
		require.Equal(t, refused, answer.Refused, "%s\n%s", line, render(answer))
		b.WriteString("> " + line + "\n\n")
		if answer.Public {
			answer = reply.Reply{Public: true}
		}
		b.WriteString(render(answer) + "\n")
	}
	pier := mara
	pier.Channel = "pier"
	anaAtPier, alone, elsewhere := ana, ana, mara
	anaAtPier.Channel = "pier"
	alone.Community, alone.Channel = "", "direct"
	elsewhere.Community = "island"
	say(mara, "/sharing list", false)
	say(ana, "/sharing here", true)
	say(pier, "/sharing here", false)
	say(pier, "/sharing here", false)
	say(ana, `/project share name:"Tide Line"`, true)
	say(anaAtPier, `/project share name:"Tide Line"`, false)
	say(mara, "/sharing anywhere", false)
	say(ana, `/project share name:"Tide Line"`, false)
	say(alone, `/project share name:"Tide Line"`, true)
	say(alone, "/sharing list", true)
	golden(t, "sharing", b.String())
	for _, label := range shareLabels {
		require.True(t, pressAs(t, a, elsewhere, post, label).Refused, label)
	}
}
