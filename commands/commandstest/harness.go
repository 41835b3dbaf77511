// Package commandstest is an [App] for the tests of all rooms of commands, the members
// who ask it, and answers as plain text, compared with the ones that are written down.
//
// What will hurt you: it imports commands, so that tests inside of a room's package
// cannot import it; those beside it, in the package with _test in its name, can.
package commandstest

import (
	"context"
	"crypto/rand"
	"fmt"

	"larkfold/commands"

	randv2 "math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/rivo/uniseg"
	"github.com/sebdah/goldie/v2"
	"github.com/stretchr/testify/require"

	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing/knot"
	"larkfold/store"
	"larkfold/store/storetest"
)

// Now is the time of every request in tests.
var Now = time.Date(2026, time.January, 2, 12, 0, 0, 0, time.UTC)

// The members of the tests. Ana asks unless a test says otherwise; Mara may
// manage the community.
var (
	Ana  = reply.Request{Member: "11", MemberName: "Ana", Community: "harbour", Channel: "quay", Now: Now}
	Mara = reply.Request{Member: "22", MemberName: "Mara", Community: "harbour", Channel: "quay", Now: Now, CanManage: true}
)

// App is an App with the room that it sits in.
type App struct {
	*commands.App
	Room *sitting.Room
}

// On is an App over a store.
func On(c commands.Config) *App {
	return &App{commands.New(c), &sitting.Room{Store: c.Store, Book: knot.Standard()}}
}

// New is an App over a fresh store in memory, whose keys are the same in every run.
// When the test ends the store must be sound.
func New(t testing.TB) *App {
	t.Helper()
	records, err := store.New(context.Background(), storetest.NewMemory(), store.Options{Random: randv2.NewChaCha8([32]byte{})})
	require.NoError(t, err)
	t.Cleanup(func() {
		report, err := records.Check(context.Background())
		require.NoError(t, err)
		require.Empty(t, report.Problems)
	})
	return On(commands.Config{Store: records})
}

// Quick is an App over a store in memory that is not looked through at the end, for
// tests that ask a great deal.
func Quick(t testing.TB) *App {
	t.Helper()
	records, err := store.New(context.Background(), storetest.NewMemory(), store.Options{Random: randv2.NewChaCha8([32]byte{})})
	require.NoError(t, err)
	return On(commands.Config{Store: records})
}

// Asked answers a line that Ana types.
func Asked(t testing.TB, a *App, line string) reply.Reply {
	t.Helper()
	return AskedBy(t, a, Ana, line)
}

// AskedBy answers a line that somebody types.
func AskedBy(t testing.TB, a *App, who reply.Request, line string) reply.Reply {
	t.Helper()
	answer, err := a.Do(context.Background(), Typed(t, who, line))
	require.NoError(t, err, line)
	return answer
}

// Answered asks and insists that the answer is no refusal.
func Answered(t testing.TB, a *App, line string) reply.Reply {
	t.Helper()
	answer := Asked(t, a, line)
	if answer.Refused {
		require.Fail(t, "refused", "%s\n%s", line, Render(answer))
	}
	return answer
}

// Typed is the request of a typed line: `/command sub option:value other:"two words"`.
func Typed(t testing.TB, who reply.Request, line string) reply.Request {
	t.Helper()
	require.True(t, strings.HasPrefix(line, "/"), "a line begins with /: %q", line)
	who.ID = rand.Text()
	who.Options = map[string]string{}
	var path []string
	for rest := strings.TrimSpace(line[1:]); rest != ""; rest = strings.TrimSpace(rest) {
		word := rest
		if end := strings.IndexAny(rest, " \n:"); end >= 0 {
			word = rest[:end]
		}
		rest = rest[len(word):]
		if !strings.HasPrefix(rest, ":") {
			path = append(path, word)
			continue
		}
		var value string
		value, rest = cutValue(rest[1:])
		who.Options[word] = value
	}
	who.Command = strings.Join(path, " ")
	return who
}

// cutValue is the value that a text begins with, and what follows it.
func cutValue(text string) (value, rest string) {
	if quoted, ok := strings.CutPrefix(text, `"`); ok {
		value, rest, _ = strings.Cut(quoted, `"`)
		return value, rest
	}
	end := strings.IndexAny(text, " \n")
	if end < 0 {
		return text, ""
	}
	return text[:end], text[end:]
}

// Press presses the button with this label in a reply, as Ana.
func Press(t testing.TB, a *App, answer reply.Reply, label string) reply.Reply {
	t.Helper()
	for _, block := range answer.Blocks {
		actions, ok := block.(reply.Actions)
		if !ok {
			continue
		}
		for _, b := range actions.Buttons {
			if b.Label == label {
				return Act(t, a, Ana, b.Do, nil, nil)
			}
		}
	}
	require.Fail(t, "no such button: "+label, Render(answer))
	return reply.Reply{}
}

// Choose chooses one value from the first menu of a reply, as Ana.
func Choose(t testing.TB, a *App, answer reply.Reply, value string) reply.Reply {
	t.Helper()
	for _, block := range answer.Blocks {
		if actions, ok := block.(reply.Actions); ok && len(actions.Menus) > 0 {
			return Act(t, a, Ana, actions.Menus[0].Do, []string{value}, nil)
		}
	}
	require.Fail(t, "no menu", Render(answer))
	return reply.Reply{}
}

// Fill sends the form of a reply with some fields changed.
func Fill(t testing.TB, a *App, who reply.Request, answer reply.Reply, changes map[string]string) reply.Reply {
	t.Helper()
	require.Len(t, answer.Blocks, 1, "a form is alone in its reply\n%s", Render(answer))
	form, ok := answer.Blocks[0].(reply.Form)
	require.True(t, ok, "no form\n%s", Render(answer))
	fields := map[string]string{}
	for _, f := range form.Fields {
		fields[f.Name] = f.Value
	}
	for name, value := range changes {
		require.Contains(t, fields, name)
		fields[name] = value
	}
	return Act(t, a, who, form.Do, nil, fields)
}

// Act does what a button, menu or form does.
func Act(t testing.TB, a *App, who reply.Request, do reply.Action, values []string, fields map[string]string) reply.Reply {
	t.Helper()
	who.ID, who.Action, who.Values, who.Fields = rand.Text(), &do, values, fields
	answer, err := a.Do(context.Background(), who)
	require.NoError(t, err)
	return answer
}

// Seated is a sitting of a request with everything that can be read without a button.
func Seated(t testing.TB, a *App, req reply.Request) sitting.Sitting {
	t.Helper()
	sit, err := a.Room.Sit(context.Background(), req, sitting.Sheets|sitting.Leftovers|sitting.Rules|sitting.Settings|sitting.Design)
	require.NoError(t, err)
	return sit
}

// KeepDesign saves a design of Ana's without asking for it, which draws no picture.
func KeepDesign(t testing.TB, a *App, name string) {
	t.Helper()
	who := Ana
	who.ID = rand.Text()
	text := strings.Replace(HarbourSteps, "Harbour Steps", name, 1)
	p, err := a.Room.Store.SaveProject(context.Background(), who.Member, who.Now, store.Project{Name: name, Sheet: text}, 0)
	require.NoError(t, err)
	_, err = a.Room.Store.SaveProject(context.Background(), who.Member, who.Now, store.Project{ID: p.ID, Name: name, Sheet: text + " # changed"}, p.Revision)
	require.NoError(t, err)
}

// Conversation asks line after line and writes down both sides.
func Conversation(t testing.TB, a *App, lines ...string) string {
	t.Helper()
	var b strings.Builder
	for _, line := range lines {
		fmt.Fprintf(&b, "> %s\n\n%s\n", line, Render(Asked(t, a, line)))
	}
	return b.String()
}

// Golden compares a text with testdata/golden/NAME.golden; -update writes it.
func Golden(t *testing.T, name, text string) {
	t.Helper()
	goldie.New(t, goldie.WithFixtureDir(filepath.Join("testdata", "golden"))).Assert(t, name, []byte(text))
}

// Sayings are lines with their answers, by the command that was asked.
type Sayings map[string]*strings.Builder

// Add notes the answer to a line.
func (s Sayings) Add(line string, answer reply.Reply) {
	command := strings.TrimPrefix(strings.Fields(line)[0], "/")
	if s[command] == nil {
		s[command] = new(strings.Builder)
	}
	fmt.Fprintf(s[command], "> %s\n\n%s\n", line, Render(answer))
}

// Golden compares them with one file for each command.
func (s Sayings) Golden(t *testing.T, name string) {
	t.Helper()
	for command, said := range s {
		Golden(t, name+"-"+command, said.String())
	}
}

// Render is a reply as plain text, every block of it.
func Render(r reply.Reply) string {
	var b strings.Builder
	if r.Refused {
		b.WriteString("REFUSED\n")
	}
	if r.Public {
		b.WriteString("PUBLIC\n")
	}
	for _, block := range r.Blocks {
		RenderBlock(&b, block)
	}
	return b.String()
}

// RenderBlock writes one block.
func RenderBlock(b *strings.Builder, block reply.Block) {
	switch block := block.(type) {
	case reply.Heading:
		fmt.Fprintf(b, "# %s\n", string(block))
	case reply.Text:
		fmt.Fprintf(b, "%s\n", string(block))
	case reply.Verbatim:
		fmt.Fprintf(b, "    %s\n", strings.ReplaceAll(string(block), "\n", "\n    "))
	case reply.Facts:
		for _, f := range block {
			fmt.Fprintf(b, "%s: %s\n", f.Label, strings.TrimSpace(f.Channel+" "+f.Value))
		}
	case reply.Table:
		renderTable(b, block)
	case reply.Picture:
		image, err := block.Draw()
		fmt.Fprintf(b, "[picture %s: %s]\n", block.Name, image.Alt)
		if err != nil {
			fmt.Fprintln(b, "it cannot be drawn:", err)
		}
	case reply.File:
		fmt.Fprintf(b, "[file %s: %s]\n", block.Name, block.Alt)
	case reply.Caution:
		fmt.Fprintf(b, "! %s\n", string(block))
	case reply.Actions:
		for _, button := range block.Buttons {
			fmt.Fprintf(b, "[%s] ", button.Label)
		}
		for _, m := range block.Menus {
			fmt.Fprintf(b, "[%s ...] ", m.Placeholder)
		}
		b.WriteString("\n")
	case reply.Form:
		fmt.Fprintf(b, "FORM %s\n", block.Title)
		for _, f := range block.Fields {
			fmt.Fprintf(b, "%s (%s)\n    %s\n", f.Label, f.Placeholder, strings.ReplaceAll(f.Value, "\n", "\n    "))
		}
	default:
		fmt.Fprintf(b, "%T\n", block)
	}
}

func renderTable(b *strings.Builder, table reply.Table) {
	rows := [][]string{make([]string, len(table.Columns))}
	for i, c := range table.Columns {
		rows[0][i] = c.Title
	}
	rows = append(rows, table.Rows...)
	widths := make([]int, len(table.Columns))
	for _, row := range rows {
		for i, cell := range row {
			widths[i] = max(widths[i], uniseg.StringWidth(cell))
		}
	}
	for _, row := range rows {
		var line strings.Builder
		for i, cell := range row {
			blanks := strings.Repeat(" ", widths[i]-uniseg.StringWidth(cell))
			if table.Columns[i].Right {
				line.WriteString(blanks + cell + "  ")
			} else {
				line.WriteString(cell + blanks + "  ")
			}
		}
		b.WriteString("  " + strings.TrimRight(line.String(), " ") + "\n")
	}
	for _, line := range table.Short {
		b.WriteString("  | " + line + "\n")
	}
}

// ButtonsOf are the buttons of a reply.
func ButtonsOf(r reply.Reply) (all []reply.Button) {
	for _, b := range r.Blocks {
		if a, ok := b.(reply.Actions); ok {
			all = append(all, a.Buttons...)
		}
	}
	return all
}

// MenusOf are the menus of a reply.
func MenusOf(r reply.Reply) (all []reply.Menu) {
	for _, b := range r.Blocks {
		if a, ok := b.(reply.Actions); ok {
			all = append(all, a.Menus...)
		}
	}
	return all
}

// WordsOf is a reply as plain text without its pictures.
func WordsOf(r reply.Reply) string {
	r.Blocks = slices.DeleteFunc(slices.Clone(r.Blocks), func(b reply.Block) bool { _, ok := b.(reply.Picture); return ok })
	return Render(r)
}

// FactOf is the value behind a label of a reply.
func FactOf(r reply.Reply, label string) string {
	for _, block := range r.Blocks {
		facts, ok := block.(reply.Facts)
		if !ok {
			continue
		}
		for _, f := range facts {
			if f.Label == label {
				return f.Value
			}
		}
	}
	return ""
}

// Pressable tells whether a block has buttons or menus.
func Pressable(b reply.Block) bool { _, ok := b.(reply.Actions); return ok }

// OnDay asks as Ana so many days later.
func OnDay(t testing.TB, a *App, n int, line string) reply.Reply {
	t.Helper()
	who := Ana
	who.Now = Now.Add(time.Duration(n) * 24 * time.Hour)
	answer := AskedBy(t, a, who, line)
	require.False(t, answer.Refused, "%s\n%s", line, Render(answer))
	return answer
}
