package commands

import (
	"context"
	"crypto/rand"
	"fmt"
	randv2 "math/rand/v2"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/store"
	"larkfold/store/boltstore"
	"larkfold/store/storetest"

	"github.com/rivo/uniseg"
	"github.com/sebdah/goldie/v2"
	"github.com/stretchr/testify/require"
)

// now is the time of every request in tests.
var now = time.Date(2026, time.January, 2, 12, 0, 0, 0, time.UTC)

// The members of the tests. Ana asks unless a test says otherwise; Mara may
// manage the community.
var (
	ana  = reply.Request{Member: "11", MemberName: "Ana", Community: "harbour", Channel: "quay", Now: now}
	mara = reply.Request{Member: "22", MemberName: "Mara", Community: "harbour", Channel: "quay", Now: now, CanManage: true}
)

// newApp is an App over a fresh store in a file, whose keys are the same in every
// run. When the test ends the store must be sound.
func newApp(t testing.TB) *App {
	t.Helper()
	engine, err := boltstore.Open(filepath.Join(t.TempDir(), "larkfold.db"), boltstore.Options{})
	require.NoError(t, err)
	records, err := store.New(context.Background(), engine, store.Options{Random: randv2.NewChaCha8([32]byte{})})
	require.NoError(t, err)
	t.Cleanup(func() {
		report, err := records.Check(context.Background())
		require.NoError(t, err)
		require.Empty(t, report.Problems)
		require.NoError(t, engine.Close())
	})
	return New(Config{Store: records})
}

// newQuickApp is an App over a store in memory, for tests that ask a great deal.
func newQuickApp(t testing.TB) *App {
	t.Helper()
	records, err := store.New(context.Background(), storetest.NewMemory(), store.Options{Random: randv2.NewChaCha8([32]byte{})})
	require.NoError(t, err)
	return New(Config{Store: records})
}

// asked answers a line that Ana types.
func asked(t testing.TB, a *App, line string) reply.Reply {
	t.Helper()
	return askedBy(t, a, ana, line)
}

// askedBy answers a line that somebody types.
func askedBy(t testing.TB, a *App, who reply.Request, line string) reply.Reply {
	t.Helper()
	answer, err := a.Do(context.Background(), typed(t, a, who, line))
	require.NoError(t, err, line)
	return answer
}

// answered asks and insists that the answer is no refusal.
func answered(t testing.TB, a *App, line string) reply.Reply {
	t.Helper()
	answer := asked(t, a, line)
	if answer.Refused {
		require.Fail(t, "refused", "%s\n%s", line, render(answer))
	}
	return answer
}

// typed is the request of a typed line: `/command sub option:value other:"two words"`.
func typed(t testing.TB, a *App, who reply.Request, line string) reply.Request {
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

// press presses the button with this label in a reply, as Ana.
func press(t testing.TB, a *App, answer reply.Reply, label string) reply.Reply {
	t.Helper()
	for _, block := range answer.Blocks {
		actions, ok := block.(reply.Actions)
		if !ok {
			continue
		}
		for _, b := range actions.Buttons {
			if b.Label == label {
				return act(t, a, ana, b.Do, nil, nil)
			}
		}
	}
	require.Fail(t, "no such button: "+label, render(answer))
	return reply.Reply{}
}

// choose chooses one value from the first menu of a reply, as Ana.
func choose(t testing.TB, a *App, answer reply.Reply, value string) reply.Reply {
	t.Helper()
	for _, block := range answer.Blocks {
		if actions, ok := block.(reply.Actions); ok && len(actions.Menus) > 0 {
			return act(t, a, ana, actions.Menus[0].Do, []string{value}, nil)
		}
	}
	require.Fail(t, "no menu", render(answer))
	return reply.Reply{}
}

// fill sends the form of a reply with some fields changed.
func fill(t testing.TB, a *App, who reply.Request, answer reply.Reply, changes map[string]string) reply.Reply {
	t.Helper()
	require.Len(t, answer.Blocks, 1, "a form is alone in its reply\n%s", render(answer))
	form, ok := answer.Blocks[0].(reply.Form)
	require.True(t, ok, "no form\n%s", render(answer))
	fields := map[string]string{}
	for _, f := range form.Fields {
		fields[f.Name] = f.Value
	}
	for name, value := range changes {
		require.Contains(t, fields, name)
		fields[name] = value
	}
	return act(t, a, who, form.Do, nil, fields)
}

// act does what a button, menu or form does.
func act(t testing.TB, a *App, who reply.Request, do reply.Action, values []string, fields map[string]string) reply.Reply {
	t.Helper()
	who.ID, who.Action, who.Values, who.Fields = rand.Text(), &do, values, fields
	answer, err := a.Do(context.Background(), who)
	require.NoError(t, err)
	return answer
}

// seated is a sitting of a request with everything that can be read without a button.
func seated(t testing.TB, a *App, req reply.Request) sitting.Sitting {
	t.Helper()
	sit, err := a.room.Sit(context.Background(), req, sitting.Sheets|sitting.Leftovers|sitting.Rules|sitting.Settings|sitting.Design)
	require.NoError(t, err)
	return sit
}

// keepDesign saves a design of Ana's without asking for it, which draws no picture.
func keepDesign(t testing.TB, a *App, name string) {
	t.Helper()
	who := ana
	who.ID = rand.Text()
	text := strings.Replace(sheetSample, "Harbour Steps", name, 1)
	p, err := a.room.Store.SaveProject(context.Background(), who.Member, who.Now, store.Project{Name: name, Sheet: text}, 0)
	require.NoError(t, err)
	_, err = a.room.Store.SaveProject(context.Background(), who.Member, who.Now, store.Project{ID: p.ID, Name: name, Sheet: text + " # changed"}, p.Revision)
	require.NoError(t, err)
}

// conversation asks line after line and writes down both sides.
func conversation(t testing.TB, a *App, lines ...string) string {
	t.Helper()
	var b strings.Builder
	for _, line := range lines {
		fmt.Fprintf(&b, "> %s\n\n%s\n", line, render(asked(t, a, line)))
	}
	return b.String()
}

// golden compares a text with testdata/golden/NAME.golden; -update writes it.
func golden(t *testing.T, name, text string) {
	t.Helper()
	goldie.New(t, goldie.WithFixtureDir(filepath.Join("testdata", "golden"))).Assert(t, name, []byte(text))
}

// sayings are lines with their answers, by the command that was asked.
type sayings map[string]*strings.Builder

func (s sayings) add(line string, answer reply.Reply) {
	command := strings.TrimPrefix(strings.Fields(line)[0], "/")
	if s[command] == nil {
		s[command] = new(strings.Builder)
	}
	fmt.Fprintf(s[command], "> %s\n\n%s\n", line, render(answer))
}

// golden compares them with one file for each command.
func (s sayings) golden(t *testing.T, name string) {
	t.Helper()
	for command, said := range s {
		golden(t, name+"-"+command, said.String())
	}
}

// render is a reply as plain text, every block of it.
func render(r reply.Reply) string {
	var b strings.Builder
	if r.Refused {
		b.WriteString("REFUSED\n")
	}
	if r.Public {
		b.WriteString("PUBLIC\n")
	}
	for _, block := range r.Blocks {
		renderBlock(&b, block)
	}
	return b.String()
}

func renderBlock(b *strings.Builder, block reply.Block) {
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
