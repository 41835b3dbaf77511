package slip_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/commands/slip"
	"larkfold/sizing/length"
	"larkfold/store"
)

// What was meant by a line keeps every measure and word of it, whichever way they were
// typed; what the command needs beside it is that of its example.
func TestWhatALineMeant(t *testing.T) {
	t.Parallel()
	a := commandstest.Quick(t)
	for typed, meant := range map[string]string{
		// Options with other signs, apart, without an end.
		"/cord width=40cm drop = 70cm":          "/cord width:40cm drop:70cm",
		"/cord width:40cm, drop:70cm;":          "/cord width:40cm drop:70cm",
		"cord Width:40cm DROP:70cm":             "/cord width:40cm drop:70cm",
		`/project show name:"Tide Line`:         `/project show name:"Tide Line"`,
		`/project show "Tide Line"`:             `/project show name:"Tide Line"`,
		"/fringe drop:22cm loops:12 per loop:2": "/fringe drop:22cm loops:12 per-loop:2",
		"/fringe drop:22cm per loop:2 loops:12": "/fringe drop:22cm loops:12 per-loop:2",

		// What is needed and was not said.
		"/cord":                  "/cord width:40cm drop:70cm",
		"/cord width: drop:80cm": "/cord width:40cm drop:80cm",
		"/cord drop:80cm":        "/cord width:40cm drop:80cm",
		"/cord width:50cm drop":  "/cord width:50cm drop:70cm",

		// A command that was not named, or by another word.
		"width:50cm":          "/cord width:50cm drop:70cm",
		"50cm":                "/cord width:50cm drop:70cm",
		"50cm 80cm":           "/cord width:50cm drop:80cm",
		"name:Tide":           "",
		"":                    "",
		"/project":            "/project list",
		"/project name:Tide":  "/project show name:Tide",
		"/shelf pieces:45cm":  "/shelf add pieces:45cm",
		`/show project Tide`:  "/project show name:Tide",
		`/view project Tide`:  "/project show name:Tide",
		"/add shelf 45cm x12": `/shelf add pieces:"45cm x12"`,

		// Several measures behind one name.
		"/cord width:40cm 80cm":                "/cord width:40cm drop:80cm",
		"/cord width:40cm drop 80cm tail 10cm": "/cord width:40cm drop:80cm tail:10cm",
		"/cut finished:1.3m folded":            "/cut finished:1.3m folded:yes",

		// Names and measures without a colon, either before the other.
		"/cord 40cm wide 80cm long":   "/cord width:40cm drop:80cm",
		"/cord 40cm width 80cm drop":  "/cord width:40cm drop:80cm",
		"/cord width 40cm drop 80cm":  "/cord width:40cm drop:80cm",
		"/cut 1.3m folded":            "/cut finished:1.3m folded:yes",
		"/cut 1.3m folded no":         "/cut finished:1.3m folded:no",
		"/cut 1.3m square knot":       `/cut finished:1.3m knot:"square knot"`,
		"/cut 1.3m count 8":           "/cut finished:1.3m count:8",
		"/wrap 16 ends 5 turns":       "/wrap ends:16 turns:5",
		"/cord 40cm 80cm plied":       "/cord width:40cm drop:80cm construction:plied",
		"/cord 40cm by 80cm in plied": "/cord width:40cm drop:80cm construction:plied",

		"/cord 40cm 80cm 3-ply": "/cord width:40cm drop:80cm construction:3-ply",
		"/cord 40cm 80cm nett":  "/cord width:40cm drop:80cm knotwork:nett",
		"/cord 40cm 80cm nt":    "/cord width:40cm drop:80cm",

		// Both sides of an x have one unit.
		"/cord 40cm x 80cm":         "/cord width:40cm drop:80cm",
		"/cord 40x80cm":             "/cord width:40cm drop:80cm",
		"/cord 40cmx80":             "/cord width:40cm drop:80cm",
		"/cord 40cmx80cm":           "/cord width:40cm drop:80cm",
		"/cord 1 ft 4 in 2 ft 8 in": `/cord width:"1 ft 4 in" drop:"2 ft 8 in"`,
	} {
		got := a.Slips.Meant(typed)
		if got != meant {
			t.Errorf("%s\nmeant    %s\nbecame   %s", typed, meant, got)
		}
	}
}

// A refusal repeats 200 characters of what was typed and 800 of what it says, and offers
// a line of 2000; one character more is cut off, or not offered.
func TestHowMuchARefusalSays(t *testing.T) {
	t.Parallel()
	long := func(n int) string { return strings.Repeat("ö", n) }
	refused := func(e reply.UserError) reply.Reply {
		answer, err := slip.Refusal(&e)
		require.NoError(t, err)
		require.True(t, answer.Refused)
		require.Empty(t, answer.Faults)
		return answer
	}
	for _, more := range []int{0, 1} {
		answer := refused(reply.UserError{Read: long(slip.MostRead + more), Wrong: long(800 + more), Right: long(800 + more), Try: long(2000 + more)})
		for label, most := range map[string]int{"read": 200, "wrong": 800, "right": 800} {
			said := commandstest.FactOf(answer, label)
			require.Equal(t, most, utf8.RuneCountInString(said), label)
			require.Equal(t, more == 1, strings.HasSuffix(said, "…"), label)
		}
		require.Equal(t, more == 0, slip.Suggestion(answer) != "")
	}
	require.Equal(t, []reply.Block{reply.Facts{{Label: "read", Value: "x"}, {Label: "wrong", Value: "no"}}}, refused(reply.UserError{Read: "x", Wrong: "no"}).Blocks)
	require.Equal(t, []reply.Block{reply.Text("No.\nYes."), reply.Text("Try"), reply.Verbatim("/help")}, refused(reply.UserError{Wrong: "no", Right: "yes", Try: "/help"}).Blocks)
	require.Equal(t, "/help", slip.Suggestion(refused(reply.UserError{Wrong: "no", Try: "/help"})))
	require.Empty(t, slip.Suggestion(refused(reply.UserError{Wrong: "no"})))
	require.Empty(t, slip.Suggestion(reply.Refused(reply.Verbatim("/help"))))
	require.Empty(t, slip.Suggestion(reply.Refused(reply.Heading("Try"), reply.Verbatim("/help"))))
}

// Every way in which a store fails has its sentence, which says whether anything was
// saved, and is told to whoever runs the program; what is nobody's to mend is handed on.
func TestEveryErrorHasItsSentence(t *testing.T) {
	t.Parallel()
	for _, one := range []struct {
		err   error
		says  string
		fault bool
	}{
		{&store.Fault{Kind: store.ErrUnknownCommit}, "not known whether it was", true},
		{&store.Fault{Kind: store.ErrFull}, "Nothing was saved: there is no room left", true},
		{&store.Fault{Kind: store.ErrReadOnly}, "Nothing was saved: the store cannot be written to", true},
		{&store.Fault{Kind: store.ErrUnavailable}, "Try again in a minute", true},
		{&store.DamagedError{}, "a record that this needs is damaged", true},
		{&store.Conflict{Kind: store.KindProject, Name: "Gull"}, `"Gull" was changed meanwhile, so nothing was overwritten`, false},
		{&store.NameTaken{Kind: store.KindProject, Name: "Gull"}, "a project has that name already", false},
		{&store.NotFound{Kind: store.KindProject, Name: "Gull"}, "you have no project of that name", false},
		{&store.InvalidError{Read: "x", Reason: "it is no name"}, "it is no name", false},
		{&length.InputError{Input: "4 xm", Wrong: "no such unit", Right: "cm"}, "no such unit", false},
	} {
		answer, err := slip.Refusal(fmt.Errorf("within: %w", one.err))
		require.NoError(t, err, one.says)
		require.Contains(t, strings.ToLower(commandstest.Render(answer)), strings.ToLower(one.says))
		require.Equal(t, one.fault, len(answer.Faults) == 1, one.says)
		require.Equal(t, one.fault, slip.StoreFailed(one.err), one.says)
		require.NotNil(t, slip.Mendable(one.err), one.says)
	}
	unknown := errors.New("no")
	_, err := slip.Refusal(unknown)
	require.Equal(t, unknown, err)
	require.Nil(t, slip.Mendable(unknown))
}

// A refusal suggests in the member's units, but what they typed stays as they typed it.
func TestARefusalInTheMembersUnits(t *testing.T) {
	t.Parallel()
	inches := sitting.Prefs{Style: length.Style{System: length.Imperial}}
	req := reply.Request{Options: map[string]string{"width": "40cm", "note": ""}}
	typed := &reply.UserError{Read: "width: 40cm", Wrong: "as wide as 70 cm", Right: "up to 70 cm", Try: "/cord width:40cm drop:70cm"}
	require.Same(t, typed, slip.InUnits(typed, req, sitting.Prefs{}))
	told := slip.InUnits(typed, req, inches).(*reply.UserError)
	require.Equal(t, []string{"width: 40cm", "as wide as 70 cm", "up to 28 in", "/cord width:40cm drop:28in"}, []string{told.Read, told.Wrong, told.Right, told.Try})
	require.ErrorIs(t, told, typed)
	typed.Read = "/cord"
	require.Equal(t, "as wide as 28 in", slip.InUnits(typed, req, inches).(*reply.UserError).Wrong, "nothing was typed that it speaks of")
	other := errors.New("no")
	require.Equal(t, other, slip.InUnits(other, req, inches))
}

// A name that is taken is suggested with the next number behind it.
func TestTheNextFreeName(t *testing.T) {
	t.Parallel()
	a := commandstest.Quick(t)
	for _, name := range []string{"Gull", "Tide Line", "Tide Line 2", "Reef 9"} {
		commandstest.KeepDesign(t, a, name)
	}
	for name, next := range map[string]string{"Gull": `"Gull 2"`, "Tide Line 2": `"Tide Line 3"`, "Reef 9": `"Reef 10"`} {
		require.Contains(t, commandstest.Render(commandstest.Asked(t, a, fmt.Sprintf("/cord width:40cm drop:70cm save:%q", name))), "save:"+next, name)
	}
}

// A measure without a name, a word, a number: which option each may be.
func TestWhatAnOptionsNameMeans(t *testing.T) {
	t.Parallel()
	a := commandstest.Quick(t)
	cord, _ := reply.Find(a.Commands(), []string{"cord"})
	for _, one := range []struct{ typed, value, meant string }{
		{"width", "", "width"}, {"WIDTH", "x", "width"}, {"widht", "40cm", "width"}, {"wide", "40cm", "width"}, {"wide", "", "width"}, {"wide", "open", "width"}, {"diameter", "8mm", "thickness"}, {"diameter", "", "thickness"}, {"diameter", "big", ""},
		{"diameter", "-3mm", "thickness"}, {"diameter", ".5cm", "thickness"}, {"diameter", "½ in", "thickness"}, {"diameter", "-", ""}, {"have", "60m", ""}, {"scraps", "", ""}, {"title", "Gull", ""}, {"xyzzy", "4", ""},
	} {
		o, ok := slip.OptionMeant(cord, one.typed, one.value)
		require.Equal(t, one.meant, o.Name, one)
		require.Equal(t, one.meant != "", ok, one)
	}
}
