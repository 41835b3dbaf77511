package project_test

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
	"larkfold/store"
)

// pressAs presses the button with this label in a reply, as somebody.
func pressAs(t testing.TB, a *commandstest.App, who reply.Request, answer reply.Reply, label string) reply.Reply {
	t.Helper()
	for _, block := range answer.Blocks {
		actions, ok := block.(reply.Actions)
		if !ok {
			continue
		}
		for _, b := range actions.Buttons {
			if b.Label == label {
				return commandstest.Act(t, a, who, b.Do, nil, nil)
			}
		}
	}
	require.Fail(t, "no such button: "+label, commandstest.Render(answer))
	return reply.Reply{}
}

var shareLabels = []string{"keep a copy", "in my cord", "cutting plan", "metric / imperial"}

// A posted design and what its buttons answer to somebody else: always in private.
func TestShare(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Demo(t, a, commandstest.Ana, "Tide Line", "tide-line.sheet")
	post := commandstest.Answered(t, a, `/project share name:"Tide Line"`)
	require.True(t, post.Public)
	var b strings.Builder
	b.WriteString(commandstest.Render(post))
	for _, label := range append(shareLabels, "keep a copy") {
		answer := pressAs(t, a, commandstest.Mara, post, label)
		require.False(t, answer.Refused, "%s\n%s", label, commandstest.Render(answer))
		require.False(t, answer.Public, label)
		if label == "in my cord" {
			answer = commandstest.Fill(t, a, commandstest.Mara, answer, map[string]string{"thickness": "3 mm"})
			require.False(t, answer.Refused, commandstest.Render(answer))
		}
		b.WriteString("\n> " + label + "\n\n" + commandstest.Render(answer))
	}
	b.WriteString("\n> unshare\n\n" + commandstest.Render(commandstest.Answered(t, a, `/project unshare name:"Tide Line"`)))
	for _, label := range shareLabels {
		answer := pressAs(t, a, commandstest.Mara, post, label)
		require.True(t, answer.Refused, label)
		b.WriteString("\n> " + label + "\n\n" + commandstest.Render(answer))
	}
	commandstest.Golden(t, "share", b.String())
	require.Contains(t, commandstest.Render(commandstest.AskedBy(t, a, commandstest.Mara, "/project list")), "Tide Line", "what was kept stays")
}

// A copy is kept once for each share, under a name that is free, and is nobody
// else's.
func TestKeepACopy(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Demo(t, a, commandstest.Ana, "Tide Line", "tide-line.sheet")
	commandstest.Demo(t, a, commandstest.Mara, "tide line", "ember-pennant.sheet")
	commandstest.Demo(t, a, commandstest.Mara, "Tide Line 2", "ember-pennant.sheet")
	post := commandstest.Answered(t, a, `/project share name:"Tide Line"`)
	require.Contains(t, commandstest.Render(pressAs(t, a, commandstest.Mara, post, "keep a copy")), "Your copy is “Tide Line 3”")
	require.Contains(t, commandstest.Render(pressAs(t, a, commandstest.Mara, post, "keep a copy")), "You have a copy already: “Tide Line 3”")
	require.Contains(t, commandstest.Render(pressAs(t, a, commandstest.Ana, post, "keep a copy")), "“Tide Line 2”")
	ours, err := a.Room.Store.Project(t.Context(), commandstest.Ana.Member, "Tide Line")
	require.NoError(t, err)
	theirs, err := a.Room.Store.Project(t.Context(), commandstest.Mara.Member, "Tide Line 3")
	require.NoError(t, err)
	require.Equal(t, ours.Sheet, theirs.Sheet)
	require.NotEqual(t, ours.ID, theirs.ID)

	// What the maker changes afterwards changes neither post nor copy.
	commandstest.Answered(t, a, `/project edit name:"Tide Line" sheet:"`+commandstest.Small+`"`)
	require.Contains(t, commandstest.Render(pressAs(t, a, commandstest.Mara, post, "metric / imperial")), "24")
	again, err := a.Room.Store.Project(t.Context(), commandstest.Mara.Member, "Tide Line 3")
	require.NoError(t, err)
	require.Equal(t, theirs, again)
}

// The maker's shelf, swatches and preferences stay with the maker; the answers
// go by those of whoever presses.
func TestSharersOwnThingsStayPrivate(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Demo(t, a, commandstest.Ana, "Tide Line", "tide-line.sheet")
	commandstest.Answered(t, a, `/shelf add pieces:"2.65m x30" cord:"4 mm single-strand pearl" note:"pearl bag"`)
	for range 3 {
		commandstest.Answered(t, a, "/swatch add knot:sk count:10 used:40cm thickness:4mm")
	}
	post := commandstest.Answered(t, a, `/project share name:"Tide Line"`)
	require.NotContains(t, commandstest.Render(post), "swatches of")
	commandstest.AskedBy(t, a, commandstest.Mara, `/shelf add pieces:"20m x2" cord:"4 mm single-strand moss"`)
	for _, label := range shareLabels {
		text := commandstest.Render(pressAs(t, a, commandstest.Mara, post, label))
		require.NotContains(t, text, "pearl", label)
		require.NotContains(t, text, "2.65 m", label)
		require.NotContains(t, text, "your 3 swatches", label)
		if label == "cutting plan" {
			require.Contains(t, text, "your moss offcut 20.00 m")
		}
	}
	before := commandstest.ShelfOf(t, a, commandstest.Ana)
	pressAs(t, a, commandstest.Mara, pressAs(t, a, commandstest.Mara, post, "cutting plan"), "I have cut it: book it")
	require.Equal(t, before, commandstest.ShelfOf(t, a, commandstest.Ana))
}

// The same share, unshare or restriction delivered twice is made once.
func TestSharingOnce(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Demo(t, a, commandstest.Ana, "Tide Line", "tide-line.sheet")
	twice := func(who reply.Request, line string) (reply.Reply, reply.Reply) {
		req := commandstest.Typed(t, who, line)
		first, err := a.Do(t.Context(), req)
		require.NoError(t, err)
		second, err := a.Do(t.Context(), req)
		require.NoError(t, err)
		require.Equal(t, commandstest.Render(first), commandstest.Render(second))
		return first, second
	}
	shares := func() []store.Share {
		list, err := a.Room.Store.Shares(context.Background(), commandstest.Ana.Member)
		require.NoError(t, err)
		return list
	}
	twice(commandstest.Ana, `/project share name:"Tide Line"`)
	require.Len(t, shares(), 1)
	commandstest.Answered(t, a, `/project share name:"Tide Line"`)
	require.Len(t, shares(), 2)
	commandstest.Answered(t, a, `/project rename name:"Tide Line" to:"Ebb Line"`)
	twice(commandstest.Ana, `/project unshare name:"Ebb Line"`)
	require.Empty(t, shares())
	twice(commandstest.Mara, "/sharing here")
	twice(commandstest.Mara, "/sharing anywhere")
}

// A design cut of cord that no spool and no shelf gives says how to go on.
func TestSharedDesignWithoutCord(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Answered(t, a, `/project new name:Gull sheet:"`+commandstest.Small+`"`)
	answer := pressAs(t, a, commandstest.Mara, commandstest.Answered(t, a, "/project share name:Gull"), "cutting plan")
	require.True(t, answer.Refused)
	require.Contains(t, commandstest.Render(answer), "no piece of 4 mm single-strand lies on your shelf")
	require.Contains(t, commandstest.Render(answer), "keep a copy, then plan")
	require.NotContains(t, commandstest.Render(answer), "Try")
}

// Where the platform would show a post to its maker alone, sharing says so and
// posts nothing.
func TestSharingWhereNobodyWouldSeeIt(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Demo(t, a, commandstest.Ana, "Tide Line", "tide-line.sheet")
	hidden := commandstest.Ana
	hidden.KeptPrivate = true
	answer := commandstest.AskedBy(t, a, hidden, `/project share name:"Tide Line"`)
	require.True(t, answer.Refused)
	require.False(t, answer.Public)
	require.Contains(t, strings.ToLower(commandstest.Render(answer)), "only you would see it")
	require.True(t, commandstest.Answered(t, a, `/project share name:"Tide Line"`).Public)
}
