package commands_test

import (
	"context"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/require"

	"larkfold/commands"
	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
	"larkfold/sizing/sheet"
	"larkfold/sizing/vocabulary"
)

func TestHelpAnswers(t *testing.T) {
	commandstest.Golden(t, "help", commandstest.Conversation(t, commandstest.New(t),
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
	`name:"Pebble Knot"`:      {commandstest.Pebble},
	`name:"Jar Cover"`:        {`/rule add name:"Jar Cover" formula:"4*finished"`},
	"/project unshare":        {`/project share name:"Tide Line"`},
	"/shelf remove":           {commandstest.ShelfAdd},
	"/shelf clear":            {commandstest.ShelfAdd},
	"/shelf undo":             {commandstest.ShelfAdd},
	"/swatch remove number:1": {"/swatch add knot:sk count:10 used:54cm"},
}

// Every example that help shows runs without a refusal on a fresh store that
// holds what the example names.
func TestExamplesRun(t *testing.T) {
	a := commandstest.New(t)
	var lines []string
	for _, c := range a.Commands() {
		if !c.MessageMenu {
			lines = append(lines, c.Examples()...)
		}
	}
	for _, line := range lines {
		require.NotEmpty(t, line, "every command has an example")
		fresh := commandstest.New(t)
		if strings.Contains(line, `name:"Tide Line"`) && !strings.HasPrefix(line, "/project new") {
			commandstest.KeepDesign(t, fresh, "Tide Line")
		}
		for part, records := range needs {
			makes := strings.HasPrefix(line, "/project new") || strings.Contains(line, " add ")
			if !strings.Contains(line, part) || makes {
				continue
			}
			for _, record := range records {
				who := commandstest.Ana
				who.CanManage = true
				answer := commandstest.AskedBy(t, fresh, who, record)
				require.False(t, answer.Refused, "%s\n%s", record, commandstest.Render(answer))
			}
		}
		who := commandstest.Ana
		who.CanManage = true
		answer := commandstest.AskedBy(t, fresh, who, line)
		require.False(t, answer.Refused, "%s\n%s", line, commandstest.Render(answer))
	}
}

// Every typed command belongs to one task, and help has a page for every topic.
func TestHelpIsComplete(t *testing.T) {
	a := commandstest.New(t)
	covered := map[string]int{}
	for _, task := range commands.Tasks() {
		for _, path := range task {
			covered[path]++
		}
	}
	all := commandstest.Render(commandstest.Answered(t, a, "/help topic:commands"))
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
		for _, example := range c.Examples() {
			require.Contains(t, all, example)
		}
	}
	req := commandstest.Ana
	req.Command = "help"
	choices, err := a.Complete(context.Background(), req, "topic", "knots s")
	require.NoError(t, err)
	require.Equal(t, []reply.Choice{{Name: "knots show", Value: "knots show"}}, choices)
	for _, topic := range a.Topics() {
		commandstest.Answered(t, a, `/help topic:"`+topic+`"`)
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
	for _, c := range commandstest.New(t).Commands() {
		if c.MessageMenu {
			continue
		}
		check("/"+c.Name, c)
	}
}

// What help says of sheets is how sheets are written.
func TestHelpOnSheetsIsRight(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Answered(t, a, `/project new name:Steps sheet:"`+vocabulary.Sample+`"`)
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
	_, faults := sheet.Parse(text, a.Room.Book)
	require.NoError(t, faults.Err())
	words := strings.Fields(strings.NewReplacer(",", " ", "(", " ", ")", " ").Replace(commandstest.Render(commands.HelpSheet())))
	for _, word := range []string{"mount", "gap", "row", "net", "sinnet", "taper", "widen", "bar", "gather", "plait", "wrap", "space", "add", "tail", "fringe", "swag", "hanger", "margin", "economy", "until"} {
		require.True(t, slices.Contains(words, word), word)
	}
}

// Every word of the sheet has a page with an example that sizes and a picture; a
// word that is also a command is explained on that command's page.
func TestEveryWordOfTheSheetHasAPage(t *testing.T) {
	commandstest.UnlessRaced(t)
	a := commandstest.New(t)
	for _, w := range vocabulary.Words() {
		page := commandstest.Render(commandstest.Answered(t, a, "/help topic:"+w.Name))
		require.Contains(t, page, w.Means)
		require.Contains(t, page, w.Example)
		if _, command := reply.Find(a.Commands(), []string{w.Name}); !command {
			require.Contains(t, page, "[picture ", w.Name)
		}
	}
	index := commandstest.Render(commandstest.Answered(t, a, "/help topic:sheet"))
	for _, w := range vocabulary.Words() {
		require.Regexp(t, `\b`+w.Name+`\b`, index)
	}
}

// The tour can be walked: every line is answered, one after the other.
func TestTourIsWalked(t *testing.T) {
	a := commandstest.New(t)
	for _, s := range commands.Tour() {
		commandstest.Answered(t, a, s)
	}
}

// Whatever /help says that can be asked is answered, with the usual tail too, and the
// next mark of the tape beyond it is refused.
func TestShownLimitsAreAnswered(t *testing.T) {
	shown := regexp.MustCompile(`width from (.+?) to (.+?), drop from (.+?) to (.+?)\n`)
	for units, beyond := range map[string][4]string{"metric": {"19 mm", "10.01 m", "49 mm", "10.01 m"}, "imperial": {"3/4 in", "33 ft", "1 7/8 in", "33 ft"}} {
		a := commandstest.New(t)
		commandstest.Answered(t, a, "/prefs units:"+units)
		found := shown.FindStringSubmatch(commandstest.Render(commandstest.Asked(t, a, "/help topic:limits")))
		require.Len(t, found, 5)
		for i, size := range found[1:] {
			line := fmt.Sprintf("/cord width:%q drop:40cm thickness:6mm", size)
			if i >= 2 {
				line = fmt.Sprintf("/cord width:8cm drop:%q thickness:6mm", size)
			}
			require.False(t, commandstest.Asked(t, a, line).Refused, line)
			line = strings.Replace(line, size, beyond[i], 1)
			require.True(t, commandstest.Asked(t, a, line).Refused, line)
			require.Contains(t, commandstest.Render(commandstest.Asked(t, a, line)), size, line)
		}
	}
}
