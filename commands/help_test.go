package commands

import (
	"context"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"larkfold/commands/reply"
	"larkfold/sizing/sheet"

	"github.com/stretchr/testify/require"
)

func TestHelpAnswers(t *testing.T) {
	golden(t, "help", conversation(t, newApp(t),
		"/help topic:cord",
		"/help topic:knots",
		`/help topic:"/project new"`,
		"/help topic:tour",
		"/help topic:sheet",
		"/help topic:tassel",
		"/help topic:level",
		"/help topic:formulas",
		"/help topic:limits",
	))
}

// needs are the records that an example takes for granted.
var needs = map[string][]string{
	`name:"Pebble Knot"`:      {pebble},
	`name:"Jar Cover"`:        {`/rule add name:"Jar Cover" formula:"4*finished"`},
	"/project unshare":        {`/project share name:"Tide Line"`},
	"/shelf remove":           {shelfAdd},
	"/shelf clear":            {shelfAdd},
	"/shelf undo":             {shelfAdd},
	"/swatch remove number:1": {"/swatch add knot:sk count:10 used:54cm"},
}

const shelfAdd = `/shelf add pieces:"45cm x12, 2 spools 100m" cord:"4 mm single-strand"`

// Every example that help shows runs without a refusal on a fresh store that
// holds what the example names.
func TestExamplesRun(t *testing.T) {
	a := newApp(t)
	var lines []string
	for _, c := range a.Commands() {
		if !c.MessageMenu {
			lines = append(lines, examples(c)...)
		}
	}
	for _, line := range lines {
		require.NotEmpty(t, line, "every command has an example")
		fresh := newApp(t)
		if strings.Contains(line, `name:"Tide Line"`) && !strings.HasPrefix(line, "/project new") {
			keepDesign(t, fresh, "Tide Line")
		}
		for part, records := range needs {
			makes := strings.HasPrefix(line, "/project new") || strings.Contains(line, " add ")
			if !strings.Contains(line, part) || makes {
				continue
			}
			for _, record := range records {
				who := ana
				who.CanManage = true
				answer := askedBy(t, fresh, who, record)
				require.False(t, answer.Refused, "%s\n%s", record, render(answer))
			}
		}
		who := ana
		who.CanManage = true
		answer := askedBy(t, fresh, who, line)
		require.False(t, answer.Refused, "%s\n%s", line, render(answer))
	}
}

// Every typed command belongs to one task, and help has a page for every topic.
func TestHelpIsComplete(t *testing.T) {
	a := newApp(t)
	covered := map[string]int{}
	for _, task := range tasks() {
		for _, path := range task.commands {
			covered[path]++
		}
	}
	all := render(answered(t, a, "/help topic:commands"))
	for _, c := range a.Commands() {
		if c.MessageMenu {
			continue
		}
		for _, s := range c.Sub {
			require.Equal(t, 1, covered[c.Name]+covered[c.Name+" "+s.Name], "/%s %s belongs to one task of help", c.Name, s.Name)
		}
		if len(c.Sub) == 0 {
			require.Equal(t, 1, covered[c.Name], "/%s belongs to one task of help", c.Name)
		}
		for _, example := range examples(c) {
			require.Contains(t, all, example)
		}
	}
	req := ana
	req.Command = "help"
	choices, err := a.Complete(context.Background(), req, "topic", "knots s")
	require.NoError(t, err)
	require.Equal(t, []reply.Choice{{Name: "knots show", Value: "knots show"}}, choices)
	for _, topic := range a.topics() {
		answered(t, a, `/help topic:"`+topic+`"`)
	}
}

// The platform shows at most 100 characters of a description and at most 25
// options and choices (interactions/application-commands, as its limits are published).
func TestDescriptionsFitThePlatform(t *testing.T) {
	var check func(path string, c reply.Command)
	check = func(path string, c reply.Command) {
		require.LessOrEqual(t, utf8.RuneCountInString(c.Description), 100, path)
		require.NotEmpty(t, c.Description, path)
		require.LessOrEqual(t, len(c.Options), 25, path)
		for _, o := range c.Options {
			require.LessOrEqual(t, utf8.RuneCountInString(o.Description), 100, "%s %s", path, o.Name)
			require.NotEmpty(t, o.Description, "%s %s", path, o.Name)
			require.LessOrEqual(t, len(o.Choices), 25, "%s %s", path, o.Name)
		}
		for _, s := range c.Sub {
			check(path+" "+s.Name, s)
		}
	}
	for _, c := range newApp(t).Commands() {
		if c.MessageMenu {
			continue
		}
		check("/"+c.Name, c)
	}
}

// What help says of sheets is how sheets are written.
func TestHelpOnSheetsIsRight(t *testing.T) {
	a := newApp(t)
	answered(t, a, `/project new name:Steps sheet:"`+sheetSample+`"`)
	text := `piece X
cord main 4 mm
cord fine 2 mm
dowel 50 cm x 20 mm
margin 8 %
round up to 5 cm
economy
panel a
gap 3 cm
mount 12 folded
mount 4 single
row square
net square rows 6
sinnet square times 10 on 1-4
taper square
widen square
bar from left to middle times 2
gather from right to middle
plait for 20 cm on left 3
wrap turns 6 on left 4
space 5 cm on middle 6
add 2 folded left
sinnet square for 30 cm on left 4
tail 20 cm
panel b
mount 4 folded
sinnet square until under a by 2 cm
panel c from a, b
row square
fringe 12 cm by 1 on left of a
swag 3 over 40 cm drop 15 cm
hanger rise 20 cm
`
	_, faults := sheet.Parse(text, a.room.Book)
	require.NoError(t, faults.Err())
	words := strings.Fields(strings.NewReplacer(",", " ", "(", " ", ")", " ").Replace(render(helpSheet())))
	for _, word := range []string{"mount", "gap", "row", "net", "sinnet", "taper", "widen", "bar", "gather", "plait", "wrap", "space", "add", "tail", "fringe", "swag", "hanger", "margin", "economy", "until"} {
		require.True(t, slices.Contains(words, word), word)
	}
}

// Every word of the sheet has a page with an example that sizes and a picture; a
// word that is also a command is explained on that command's page.
func TestEveryWordOfTheSheetHasAPage(t *testing.T) {
	a := newApp(t)
	for _, w := range sheet.Words() {
		page := render(answered(t, a, "/help topic:"+w.Name))
		require.Contains(t, page, w.Means)
		require.Contains(t, page, w.Example)
		if _, command := find(a.Commands(), []string{w.Name}); !command {
			require.Contains(t, page, "[picture ", w.Name)
		}
	}
	index := render(answered(t, a, "/help topic:sheet"))
	for _, w := range sheet.Words() {
		require.Regexp(t, `\b`+w.Name+`\b`, index)
	}
}

// The tour can be walked: every line is answered, one after the other.
func TestTourIsWalked(t *testing.T) {
	a := newApp(t)
	for _, s := range tour() {
		answered(t, a, s.line)
	}
}

// Whatever /help says that can be asked is answered, with the usual tail too, and the
// next mark of the tape beyond it is refused.
func TestShownLimitsAreAnswered(t *testing.T) {
	shown := regexp.MustCompile(`width from (.+?) to (.+?), drop from (.+?) to (.+?)\n`)
	for units, beyond := range map[string][4]string{"metric": {"19 mm", "10.01 m", "49 mm", "10.01 m"}, "imperial": {"3/4 in", "33 ft", "1 7/8 in", "33 ft"}} {
		a := newApp(t)
		answered(t, a, "/prefs units:"+units)
		found := shown.FindStringSubmatch(render(asked(t, a, "/help topic:limits")))
		require.Len(t, found, 5)
		for i, size := range found[1:] {
			line := fmt.Sprintf("/cord width:%q drop:40cm thickness:6mm", size)
			if i >= 2 {
				line = fmt.Sprintf("/cord width:8cm drop:%q thickness:6mm", size)
			}
			require.False(t, asked(t, a, line).Refused, line)
			line = strings.Replace(line, size, beyond[i], 1)
			require.True(t, asked(t, a, line).Refused, line)
			require.Contains(t, render(asked(t, a, line)), size, line)
		}
	}
}
