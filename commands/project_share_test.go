package commands

import (
	"context"
	"strings"
	"testing"

	"larkfold/commands/reply"
	"larkfold/store"

	"github.com/stretchr/testify/require"
)

// pressAs presses the button with this label in a reply, as somebody.
func pressAs(t testing.TB, a *App, who reply.Request, answer reply.Reply, label string) reply.Reply {
	t.Helper()
	for _, block := range answer.Blocks {
		actions, ok := block.(reply.Actions)
		if !ok {
			continue
		}
		for _, b := range actions.Buttons {
			if b.Label == label {
				return act(t, a, who, b.Do, nil, nil)
			}
		}
	}
	require.Fail(t, "no such button: "+label, render(answer))
	return reply.Reply{}
}

var shareLabels = []string{"keep a copy", "in my cord", "cutting plan", "metric / imperial"}

// A posted design and what its buttons answer to somebody else: always in private.
func TestShare(t *testing.T) {
	a := newApp(t)
	demo(t, a, ana, "Tide Line", "tide-line.sheet")
	post := answered(t, a, `/project share name:"Tide Line"`)
	require.True(t, post.Public)
	var b strings.Builder
	b.WriteString(render(post))
	for _, label := range append(shareLabels, "keep a copy") {
		answer := pressAs(t, a, mara, post, label)
		require.False(t, answer.Refused, "%s\n%s", label, render(answer))
		require.False(t, answer.Public, label)
		if label == "in my cord" {
			answer = fill(t, a, mara, answer, map[string]string{"thickness": "3 mm"})
			require.False(t, answer.Refused, render(answer))
		}
		b.WriteString("\n> " + label + "\n\n" + render(answer))
	}
	b.WriteString("\n> unshare\n\n" + render(answered(t, a, `/project unshare name:"Tide Line"`)))
	for _, label := range shareLabels {
		answer := pressAs(t, a, mara, post, label)
		require.True(t, answer.Refused, label)
		b.WriteString("\n> " + label + "\n\n" + render(answer))
	}
	golden(t, "share", b.String())
	require.Contains(t, render(askedBy(t, a, mara, "/project list")), "Tide Line", "what was kept stays")
}

// A copy is kept once for each share, under a name that is free, and is nobody
// else's.
func TestKeepACopy(t *testing.T) {
	a := newApp(t)
	demo(t, a, ana, "Tide Line", "tide-line.sheet")
	demo(t, a, mara, "tide line", "ember-pennant.sheet")
	demo(t, a, mara, "Tide Line 2", "ember-pennant.sheet")
	post := answered(t, a, `/project share name:"Tide Line"`)
	require.Contains(t, render(pressAs(t, a, mara, post, "keep a copy")), "Your copy is “Tide Line 3”")
	require.Contains(t, render(pressAs(t, a, mara, post, "keep a copy")), "You have a copy already: “Tide Line 3”")
	require.Contains(t, render(pressAs(t, a, ana, post, "keep a copy")), "“Tide Line 2”")
	ours, err := a.room.Store.Project(t.Context(), ana.Member, "Tide Line")
	require.NoError(t, err)
	theirs, err := a.room.Store.Project(t.Context(), mara.Member, "Tide Line 3")
	require.NoError(t, err)
	require.Equal(t, ours.Sheet, theirs.Sheet)
	require.NotEqual(t, ours.ID, theirs.ID)

	// What the maker changes afterwards changes neither post nor copy.
	answered(t, a, `/project edit name:"Tide Line" sheet:"`+small+`"`)
	require.Contains(t, render(pressAs(t, a, mara, post, "metric / imperial")), "24")
	again, err := a.room.Store.Project(t.Context(), mara.Member, "Tide Line 3")
	require.NoError(t, err)
	require.Equal(t, theirs, again)
}

// The maker's shelf, swatches and preferences stay with the maker; the answers
// go by those of whoever presses.
func TestSharersOwnThingsStayPrivate(t *testing.T) {
	a := newApp(t)
	demo(t, a, ana, "Tide Line", "tide-line.sheet")
	answered(t, a, `/shelf add pieces:"2.65m x30" cord:"4 mm single-strand pearl" note:"pearl bag"`)
	for range 3 {
		answered(t, a, "/swatch add knot:sk count:10 used:40cm thickness:4mm")
	}
	post := answered(t, a, `/project share name:"Tide Line"`)
	require.NotContains(t, render(post), "swatches of")
	askedBy(t, a, mara, `/shelf add pieces:"20m x2" cord:"4 mm single-strand moss"`)
	for _, label := range shareLabels {
		text := render(pressAs(t, a, mara, post, label))
		require.NotContains(t, text, "pearl", label)
		require.NotContains(t, text, "2.65 m", label)
		require.NotContains(t, text, "your 3 swatches", label)
		if label == "cutting plan" {
			require.Contains(t, text, "your moss offcut 20.00 m")
		}
	}
	before := shelfOf(t, a, ana)
	pressAs(t, a, mara, pressAs(t, a, mara, post, "cutting plan"), "I have cut it: book it")
	require.Equal(t, before, shelfOf(t, a, ana))
}

// The same share, unshare or restriction delivered twice is made once.
func TestSharingOnce(t *testing.T) {
	a := newApp(t)
	demo(t, a, ana, "Tide Line", "tide-line.sheet")
	twice := func(who reply.Request, line string) (reply.Reply, reply.Reply) {
		req := typed(t, a, who, line)
		first, err := a.Do(t.Context(), req)
		require.NoError(t, err)
		second, err := a.Do(t.Context(), req)
		require.NoError(t, err)
		require.Equal(t, render(first), render(second))
		return first, second
	}
	shares := func() []store.Share {
		list, err := a.room.Store.Shares(context.Background(), ana.Member)
		require.NoError(t, err)
		return list
	}
	twice(ana, `/project share name:"Tide Line"`)
	require.Len(t, shares(), 1)
	answered(t, a, `/project share name:"Tide Line"`)
	require.Len(t, shares(), 2)
	answered(t, a, `/project rename name:"Tide Line" to:"Ebb Line"`)
	twice(ana, `/project unshare name:"Ebb Line"`)
	require.Empty(t, shares())
	twice(mara, "/sharing here")
	twice(mara, "/sharing anywhere")
}

// A design cut of cord that no spool and no shelf gives says how to go on.
func TestSharedDesignWithoutCord(t *testing.T) {
	a := newApp(t)
	answered(t, a, `/project new name:Gull sheet:"`+small+`"`)
	answer := pressAs(t, a, mara, answered(t, a, "/project share name:Gull"), "cutting plan")
	require.True(t, answer.Refused)
	require.Contains(t, render(answer), "no piece of 4 mm single-strand lies on your shelf")
	require.Contains(t, render(answer), "keep a copy, then plan")
	require.NotContains(t, render(answer), "Try")
}

// Where the platform would show a post to its maker alone, sharing says so and
// posts nothing.
func TestSharingWhereNobodyWouldSeeIt(t *testing.T) {
	a := newApp(t)
	demo(t, a, ana, "Tide Line", "tide-line.sheet")
	hidden := ana
	hidden.KeptPrivate = true
	answer := askedBy(t, a, hidden, `/project share name:"Tide Line"`)
	require.True(t, answer.Refused)
	require.False(t, answer.Public)
	require.Contains(t, strings.ToLower(render(answer)), "only you would see it")
	require.True(t, answered(t, a, `/project share name:"Tide Line"`).Public)
}
