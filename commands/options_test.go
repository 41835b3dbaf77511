package commands_test

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands"
	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
)

// suggested is the line that a refusal suggests.
func suggested(answer reply.Reply) string {
	i := slices.IndexFunc(answer.Blocks, func(b reply.Block) bool { text, ok := b.(reply.Text); return ok && text == "Try" })
	if i < 0 {
		return ""
	}
	return string(answer.Blocks[i+1].(reply.Verbatim))
}

// A command or an option that does not exist is refused with what is nearest to it, or
// with what there is instead.
func TestWhatDoesNotExistIsRefused(t *testing.T) {
	t.Parallel()
	a := commandstest.Quick(t)
	for line, want := range map[string][2]string{
		"/crod width:40cm drop:70cm":                        {"the nearest is /cord", "/cord width:40cm drop:70cm"},
		"/xyzzy":                                            {"/help lists them all", "/help"},
		"/mydata room width:4cm":                            {"it takes no options", ""},
		"/convert thing:4cm":                                {"it has what", ""},
		"/cord width:40cm drop:70cm thikness:4mm":           {"did you mean thickness?", "/cord width:40cm drop:70cm thickness:4mm"},
		"/cord width:40cm drop:70cm have:60m":               {"it says what to buy; /plan cuts it from what lies on your shelf first", ""},
		`/plan pieces:"12 x 3m" have:60m`:                   {`/shelf add pieces:60m cord:"4 mm single-strand"`, ""},
		`/plan pieces:"12 x 3m" have:60m cord:"3 mm plied"`: {`/shelf add pieces:60m cord:"3 mm plied"`, ""},
		"/help topic:cordd":                                 {"did you mean cord?", "/help topic:cord"},
		"/help topic:xyzzy":                                 {"a command, a word of the sheet, or start, commands, tour, sheet, formulas, limits", "/help"},
	} {
		answer := commandstest.Asked(t, a, line)
		require.True(t, answer.Refused, line)
		require.Contains(t, commandstest.FactOf(answer, "right"), want[0], line)
		if want[1] != "" {
			require.Equal(t, want[1], suggested(answer), line)
		}
	}
}

// A dowel that is given as a bare number is read as millimetres, and the answer says so
// where it may have been meant as a length.
func TestABareDowelSaysHowItWasRead(t *testing.T) {
	t.Parallel()
	a := commandstest.Quick(t)
	for line, says := range map[string]bool{
		"/cord width:40cm drop:70cm dowel:60":                true,
		"/cord width:40cm drop:70cm dowel:60mm":              false,
		"/dowel cords:12 thickness:4mm dowel:60 length:60cm": false,
	} {
		require.Equal(t, says, strings.Contains(commandstest.Render(commandstest.Asked(t, a, line)), "dowel:60 was read as 60 mm thick. A length needs its unit"), line)
	}
}

// What is typed is completed from the member's designs, the knots, the rules and the
// cords of the shelf: each once, without regard to case; other names of a knot only when
// they begin with what was typed.
func TestCompletion(t *testing.T) {
	t.Parallel()
	a := commandstest.Quick(t)
	commandstest.KeepDesign(t, a, "Tide Line")
	commandstest.KeepDesign(t, a, "Kelp Wall")
	for _, line := range []string{`/shelf add pieces:45cm cord:"4 mm plied"`, `/shelf add pieces:60cm cord:"4 mm plied"`, `/shelf add pieces:60cm cord:"3 mm braided"`, `/rule add name:Mine formula:"4*finished"`} {
		commandstest.Answered(t, a, line)
	}
	complete := func(command, option, typed string) []reply.Choice {
		req := commandstest.Ana
		req.Command = command
		choices, err := a.Complete(t.Context(), req, option, typed)
		require.NoError(t, err)
		return choices
	}
	names := func(choices []reply.Choice) (all []string) {
		for _, c := range choices {
			all = append(all, c.Name)
		}
		return all
	}
	require.Equal(t, []string{"Tide Line"}, names(complete("project show", "name", "tide")))
	require.Len(t, complete("project show", "name", ""), 2)
	require.Contains(t, names(complete("cut", "rule", "min")), "Mine")
	require.ElementsMatch(t, []string{"4 mm plied", "3 mm braided"}, names(complete("plan", "cord", "")))
	require.Equal(t, []string{"4 mm plied"}, names(complete("plan", "cord", "PLIED")))
	require.Contains(t, complete("knots show", "name", "cow"), reply.Choice{Name: "cow hitch: lark's head", Value: "cow hitch"})
	require.Contains(t, names(complete("knots show", "name", "SQUARE")), "square knot")
	require.NotContains(t, strings.Join(names(complete("knots show", "name", "")), "|"), ": ", "all other names at once are too many")
	require.Contains(t, complete("help", "topic", "cow"), reply.Choice{Name: "cow hitch: lark's head", Value: "cow hitch"})
	require.NotContains(t, strings.Join(names(complete("help", "topic", "")), "|"), ": ")
	for _, none := range [][2]string{{"xyzzy", "name"}, {"cord", "xyzzy"}, {"cord", "width"}} {
		require.Empty(t, complete(none[0], none[1], ""), none)
	}
}

// A task of help is chosen by its number; one that is not there is refused. No page has
// an empty part.
func TestPagesOfHelpHaveNoEmptyParts(t *testing.T) {
	t.Parallel()
	a := commandstest.Quick(t)
	do := commandstest.MenusOf(commandstest.Asked(t, a, "/help"))[0].Do
	last := len(commands.Tasks()) - 1
	for value, there := range map[string]bool{"-1": false, "0": true, "x": false, "": false, strconv.Itoa(last): true, strconv.Itoa(last + 1): false} {
		require.Equal(t, there, !commandstest.Act(t, a, commandstest.Ana, do, []string{value}, nil).Refused, value)
	}
	require.True(t, commandstest.Act(t, a, commandstest.Ana, do, nil, nil).Refused)
	pages := []reply.Reply{}
	for _, topic := range []string{"mydata room", "convert", "knots", "net", "tassel", "lark's head", "oysterman"} {
		pages = append(pages, commandstest.Asked(t, a, `/help topic:"`+topic+`"`))
	}
	for i := range commands.Tasks() {
		pages = append(pages, commandstest.Act(t, a, commandstest.Ana, do, []string{strconv.Itoa(i)}, nil))
	}
	for _, page := range pages {
		for _, b := range page.Blocks {
			switch b := b.(type) {
			case reply.Facts:
				require.NotEmpty(t, b)
				require.False(t, slices.ContainsFunc(b, func(f reply.Fact) bool { return f.Value == "" }), commandstest.Render(page))
			case reply.Actions:
				require.NotEmpty(t, append(slices.Clone(b.Buttons), make([]reply.Button, len(b.Menus))...))
			case reply.Verbatim:
				require.NotEmpty(t, b)
			}
		}
	}
	for _, k := range a.Room.Book.Knots() {
		page := commandstest.Asked(t, a, `/help topic:"`+k.Name+`"`)
		if !strings.Contains(commandstest.Render(page), "What it takes in your cord, and how to tie it:") {
			continue // a word of the sheet, too, whose page it is
		}
		require.Equal(t, len(k.Also) > 0, commandstest.FactOf(page, "also called") != "", k.Name)
	}
}
