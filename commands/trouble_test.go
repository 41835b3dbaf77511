package commands_test

import (
	"bytes"
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands"
	"larkfold/commands/commandstest"
	"larkfold/commands/slip"
	"larkfold/store"
	"larkfold/store/pairs"
	"larkfold/store/storetest"
)

// troubled is an engine whose changes fail from a certain one on.
type troubled struct {
	pairs.Engine
	writes, fails int // the how manieth change fails first; 0 for none
	with          error
}

func (f *troubled) Update(ctx context.Context, change func(pairs.Writer) error) error {
	f.writes++
	if f.fails > 0 && f.writes >= f.fails {
		return f.with
	}
	return f.Engine.Update(ctx, change)
}

// everyRecord is what an engine holds of lasting things, beside what answers remember for their buttons.
func everyRecord(t *testing.T, engine pairs.Engine) map[string]string {
	t.Helper()
	all := map[string]string{}
	require.NoError(t, engine.View(t.Context(), func(r pairs.Reader) error {
		for pair, err := range r.Scan(nil, nil) {
			if err != nil {
				return err
			}
			if pair.Key[0] == 'E' || len(pair.Key) > 17 && strings.ContainsRune("dot", rune(pair.Key[17])) {
				continue // notes of expiry, drafts, operations, tallies
			}
			all[string(pair.Key)] = string(pair.Value)
		}
		return nil
	}))
	return all
}

// troubleLines are asked of a store in trouble. Those that save say so.
var troubleLines = []struct {
	line  string
	saves bool
}{
	{"/cord width:20cm drop:40cm", false},
	{`/cord width:20cm drop:40cm save:"First"`, true},
	{`/project new name:"Dune" sheet:"` + strings.Replace(commandstest.HarbourSteps, "Harbour Steps", "Dune", 1) + `"`, true},
	{`/project show name:"Tide Line"`, false},
	{`/project resize name:"Tide Line" thickness:3mm save:Thin`, true},
	{`/project rename name:"Tide Line" to:Ebb`, true},
	{`/project delete name:"Tide Line"`, true},
	{`/project share name:"Tide Line"`, true},
	{"/project list", false},
	{"/shelf add pieces:45cm", true},
	{"/shelf list", false},
	{`/plan pieces:"4 x 3.2m" spool:100m`, false},
	{`/plan pieces:"4 x 40cm" book:yes`, true},
	{"/swatch add knot:sk count:10 used:54cm", true},
	{`/rule add name:Mine formula:"4*finished"`, true},
	{"/prefs units:both", true},
	{"/mydata room", false},
}

// TestStoreThatCannotWrite lets every change of every line fail in turn. A member
// who reads "nothing was saved" can rely on it; what needs nothing saved is
// answered, without buttons; nobody reads a path; whoever runs the bot is told.
func TestStoreThatCannotWrite(t *testing.T) {
	commandstest.UnlessRaced(t)
	for kind, told := range map[error]string{
		store.ErrFull:     "Nothing was saved: there is no room left in the store.",
		store.ErrReadOnly: "Nothing was saved: the store cannot be written to.",
	} {
		for _, row := range troubleLines {
			for fails := 1; fails <= 2; fails++ {
				engine := &troubled{Engine: storetest.NewMemory(), with: &store.Fault{Kind: kind, Sentence: "No room.", Cause: fmt.Errorf("truncate /var/lib/larkfold/larkfold.db: no space left on device")}}
				records, err := store.New(t.Context(), engine, store.Options{})
				require.NoError(t, err)
				a := commandstest.On(commands.Config{Store: records})
				commandstest.Answered(t, a, `/project new name:"Tide Line" sheet:"`+strings.Replace(commandstest.HarbourSteps, "Harbour Steps", "Tide Line", 1)+`"`)
				commandstest.Answered(t, a, `/shelf add pieces:"50cm x12" cord:"4 mm"`)
				before := everyRecord(t, engine)
				engine.writes, engine.fails = 0, fails
				answer := commandstest.Asked(t, a, row.line)
				text := commandstest.Render(answer)
				require.NotContains(t, text, "/var/lib", row.line)
				require.NotContains(t, text, "truncate", row.line)
				if engine.writes < fails {
					require.Empty(t, answer.Faults, row.line)
					continue // it did not get that far
				}
				if slip.Suggestion(answer) != "" && len(answer.Faults) == 0 { // what failed was the trial of a suggestion that no button does
					require.Equal(t, before, everyRecord(t, engine), "%s\n%s", row.line, text)
					require.Empty(t, commandstest.ButtonsOf(answer), row.line)
					continue
				}
				require.NotEmpty(t, answer.Faults, row.line)
				require.ErrorIs(t, answer.Faults[0], kind)
				require.Equal(t, before, everyRecord(t, engine), "%s\n%s", row.line, text)
				if slip.Suggestion(answer) != "" { // it was refused before it came to save anything: only the suggestion's button is missing
					require.Empty(t, commandstest.ButtonsOf(answer), row.line)
					continue
				}
				if row.saves {
					require.True(t, answer.Refused, "%s\n%s", row.line, text)
					require.Contains(t, text, told, row.line)
					require.Contains(t, text, "What was saved before can still be read, and whoever runs this Larkfold is told; try again later.")
					require.Equal(t, 1, strings.Count(strings.ToLower(text), "nothing was saved"), row.line)
				} else {
					require.False(t, answer.Refused, "%s\n%s", row.line, text)
					require.Contains(t, text, "Its buttons are left out", row.line)
					for _, b := range answer.Blocks {
						require.False(t, commandstest.Pressable(b), row.line)
					}
				}
			}
		}
	}
}

// TestFormThatCannotBeKept is refused before a member fills it in for nothing.
func TestFormThatCannotBeKept(t *testing.T) {
	engine := &troubled{Engine: storetest.NewMemory(), with: &store.Fault{Kind: store.ErrFull}}
	records, err := store.New(t.Context(), engine, store.Options{})
	require.NoError(t, err)
	a := commandstest.On(commands.Config{Store: records})
	answer := commandstest.Answered(t, a, `/project new name:"Tide Line" sheet:"`+strings.Replace(commandstest.HarbourSteps, "Harbour Steps", "Tide Line", 1)+`"`)
	engine.fails = 1
	form := commandstest.Press(t, a, answer, "edit")
	require.True(t, form.Refused, commandstest.Render(form))
	require.Contains(t, commandstest.Render(form), "Nothing was saved: there is no room left in the store.")
}

// TestDamagedRecordsAreSaid spoils each record of a member and of the community
// in turn. Every list and answer that can do without it arrives, and says so.
func TestDamagedRecordsAreSaid(t *testing.T) {
	commandstest.UnlessRaced(t)
	whole := storetest.NewMemory()
	records, err := store.New(t.Context(), whole, store.Options{})
	require.NoError(t, err)
	a := commandstest.On(commands.Config{Store: records})
	commandstest.EverythingOf(t, a, commandstest.Ana, "pearl")
	commandstest.Answered(t, a, `/swatch add knot:"half knot" count:10 used:54cm thickness:9mm`)
	saved := map[string][]byte{}
	require.NoError(t, whole.View(t.Context(), func(r pairs.Reader) error {
		for pair, err := range r.Scan([]byte("M"), nil) {
			if err != nil {
				return err
			}
			saved[string(pair.Key)] = bytes.Clone(pair.Value)
		}
		return nil
	}))
	said := map[byte]bool{}
	for key, value := range saved {
		set := func(v []byte) {
			require.NoError(t, whole.Update(t.Context(), func(w pairs.Writer) error { return w.Put([]byte(key), v) }))
		}
		set(append(bytes.Clone(value), 'x'))
		for _, line := range []string{"/cord width:20cm drop:40cm", "/project list", "/shelf list", "/swatch list", "/rule list", "/prefs", "/mydata export", `/project show name:"pearl Herons"`} {
			answer, err := a.Do(t.Context(), commandstest.Typed(t, commandstest.Ana, line))
			require.NoError(t, err, "%s with a damaged %s", line, store.DescribeKey([]byte(key)))
			text := commandstest.Render(answer)
			if len(answer.Faults) > 0 {
				said[key[17]] = true
				require.Contains(t, text, "damage", line)
				require.ErrorIs(t, answer.Faults[0], store.ErrDamaged)
			}
			if answer.Refused {
				require.Equal(t, `/project show name:"pearl Herons"`, line, "only who asks for the damaged %s is refused: %s", store.DescribeKey([]byte(key)), text)
				require.Contains(t, text, "A record that this needs is damaged, so nothing was changed.")
			}
		}
		set(value)
	}
	for tag, kind := range map[byte]string{'p': "project", 'n': "name", 'l': "shelf entry", 's': "swatch", 'f': "preferences", 'r': "rule", 'x': "share"} {
		require.True(t, said[tag], kind)
	}
}
