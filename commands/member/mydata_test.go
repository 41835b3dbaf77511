package member_test

import (
	"archive/zip"
	"bytes"
	"context"
	"io"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/commands"
	"larkfold/commands/commandstest"
	"larkfold/commands/member"
	"larkfold/commands/reply"
	"larkfold/store"
	"larkfold/store/storetest"
)

func unzipped(t *testing.T, file []byte) string {
	r, err := zip.NewReader(bytes.NewReader(file), int64(len(file)))
	require.NoError(t, err)
	require.Len(t, r.File, 1)
	text, err := r.File[0].Open()
	require.NoError(t, err)
	all, err := io.ReadAll(text)
	require.NoError(t, err)
	return string(all)
}

func exported(t *testing.T, a *commandstest.App, who reply.Request) string {
	t.Helper()
	for _, block := range commandstest.AskedBy(t, a, who, "/mydata export").Blocks {
		if file, ok := block.(reply.File); ok {
			return unzipped(t, file.Data)
		}
	}
	require.Fail(t, "no file")
	return ""
}

// The export holds everything; once forgotten nothing is left, and nobody else
// loses anything.
func TestMyData(t *testing.T) {
	a := commandstest.New(t)
	commandstest.EverythingOf(t, a, commandstest.Ana, "pearl")
	commandstest.EverythingOf(t, a, commandstest.Mara, "moss")
	commandstest.Golden(t, "mydata", commandstest.Render(commandstest.Asked(t, a, "/mydata export"))+commandstest.Render(commandstest.Asked(t, a, "/mydata forget"))+commandstest.Render(commandstest.Asked(t, a, `/mydata forget confirm:"forget it"`)))

	file := exported(t, a, commandstest.Ana)
	for _, text := range []string{"pearl Herons", "pearl bag", "4 mm plied pearl", "pearl rule", "mount 8 folded sand", `"System":1`, `"swatches": [`, `"shares": [`, `"drafts": [`, `"operations": [`} {
		require.Contains(t, file, text)
	}
	require.NotContains(t, file, "moss")
	require.Contains(t, file, `"length_mm":70000`)
	require.Contains(t, file, `"thickness_mm":9`)
	require.NotContains(t, file, `_nm"`, "lengths are for people to read")
	others := exported(t, a, commandstest.Mara)

	gone := commandstest.Asked(t, a, `/mydata forget confirm:"Forget Me"`)
	require.False(t, gone.Refused, commandstest.Render(gone))
	require.NotContains(t, exported(t, a, commandstest.Ana), "pearl")
	require.Contains(t, commandstest.Render(commandstest.Asked(t, a, "/shelf list")), "Nothing lies on your shelf")
	require.Equal(t, others, exported(t, a, commandstest.Mara))
	empty := commandstest.New(t)
	require.Equal(t, len(exported(t, empty, commandstest.Ana)), len(exported(t, a, commandstest.Ana)), "no more than of somebody who never came")
	report, err := a.Room.Store.Check(context.Background())
	require.NoError(t, err)
	require.Empty(t, report.Problems)
}

// Through none of these commands, buttons, forms or completions does a member
// see or change what is another's.
func TestRecordsAreTheirOwners(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Demo(t, a, commandstest.Ana, "pearl Herons", "three-herons.sheet")
	commandstest.Answered(t, a, `/shelf add pieces:"77m x3, 1.1m x9" cord:"4 mm plied pearl" note:"pearl bag"`)
	commandstest.Answered(t, a, `/shelf add pieces:"33cm x3" cord:"4 mm single-strand"`)
	commandstest.Answered(t, a, `/project share name:"pearl Herons"`)
	plan := commandstest.Answered(t, a, `/plan pieces:"4 x 3m" cord:"4 mm pearl"`)
	message := commandstest.Ana
	message.Command, message.Text, message.ID = "size this sheet", commandstest.HarbourSteps, "message"
	sized, err := a.Do(t.Context(), message)
	require.NoError(t, err)
	require.False(t, sized.Refused, commandstest.Render(sized))
	before := commandstest.ShelfOf(t, a, commandstest.Ana)

	unseen := func(what string, r reply.Reply) {
		text := commandstest.Render(r)
		for _, secret := range []string{"pearl bag", "plied pearl", "your offcut", "your pearl offcut", "mount 8 folded sand"} {
			require.NotContains(t, text, secret, what)
		}
	}
	for _, tt := range []struct {
		line    string
		refused bool
	}{
		{"/shelf list", false},
		{"/shelf clear", false},
		{"/shelf undo", true},
		{"/shelf remove pieces:77m", true},
		{"/shelf remove pieces:1.1m cord:pearl", true},
		{`/plan project:"pearl Herons"`, true},
		{`/plan pieces:"2 x 30cm" cord:"4 mm"`, true},
		{`/plan pieces:"2 x 30cm" spool:50m cord:"4 mm"`, false},
		{`/plan pieces:"2 x 30cm" spool:50m book:yes`, false},
		{`/fringe drop:5cm project:"pearl Herons"`, true},
		{"/fringe drop:5cm loops:1", false},
		{`/dowel project:"pearl Herons"`, true},
		{`/project print name:"pearl Herons"`, true},
		{`/project share name:"pearl Herons"`, true},
		{`/project unshare name:"pearl Herons"`, true},
		{`/mydata forget confirm:"forget me"`, false},
	} {
		answer := commandstest.AskedBy(t, a, commandstest.Mara, tt.line)
		require.Equal(t, tt.refused, answer.Refused, "%s\n%s", tt.line, commandstest.Render(answer))
		unseen(tt.line, answer)
	}
	require.NotContains(t, exported(t, a, commandstest.Mara), "pearl")
	for _, answer := range []reply.Reply{plan, sized} {
		for _, block := range answer.Blocks {
			actions, ok := block.(reply.Actions)
			if !ok {
				continue
			}
			for _, b := range actions.Buttons {
				foreign := commandstest.Act(t, a, commandstest.Mara, b.Do, nil, map[string]string{"name": "x", "sheet": commandstest.Small, "thickness": "3 mm"})
				require.True(t, foreign.Refused, b.Label)
				unseen(b.Label, foreign)
			}
			for _, m := range actions.Menus {
				require.True(t, commandstest.Act(t, a, commandstest.Mara, m.Do, []string{"A"}, nil).Refused)
			}
		}
	}
	for _, c := range a.Commands() {
		for _, sub := range append([]reply.Command{c}, c.Sub...) {
			path := c.Name
			if sub.Name != c.Name {
				path += " " + sub.Name
			}
			for _, o := range sub.Options {
				who := commandstest.Mara
				who.Command = path
				choices, err := a.Complete(t.Context(), who, o.Name, "p")
				require.NoError(t, err)
				for _, choice := range choices {
					require.NotContains(t, choice.Name+choice.Value, "pearl", path)
				}
			}
		}
	}
	require.Equal(t, before, commandstest.ShelfOf(t, a, commandstest.Ana))
	require.Contains(t, exported(t, a, commandstest.Ana), "pearl bag")
	require.Contains(t, exported(t, a, commandstest.Ana), `"shares": [`)
}

// A member reads for how long things are kept: the limits of the store, of buttons
// and of what the operator has set.
func TestMyDataSaysForHowLong(t *testing.T) {
	for want, kept := range map[string]member.Retention{
		"24 hours": {File: 24 * time.Hour, Backups: 14 * 24 * time.Hour}, "14 days": {File: 24 * time.Hour, Backups: 13*24*time.Hour + time.Minute},
		"until they are removed": {}, "until the database has cleaned up after itself": {Database: true},
	} {
		records, err := store.New(t.Context(), storetest.NewMemory(), store.Options{})
		require.NoError(t, err)
		a := commandstest.On(commands.Config{Store: records, Retention: kept})
		said := commandstest.Render(commandstest.Answered(t, a, "/mydata room"))
		require.Contains(t, said, want)
		require.Regexp(t, `deleted designs: 30 days`, said)
		require.Regexp(t, `what buttons act on: 7 days`, said)
	}
}

// TestSentencesOfRetention are what members read after they were forgotten.
func TestSentencesOfRetention(t *testing.T) {
	for sentences, r := range map[string]member.Retention{
		"Unused parts of the store's file may hold traces until whoever runs this Larkfold tidies it. Backups made before now hold it until they are removed.":                     {},
		"Unused parts of the store's file may hold traces for up to 24 hours more. Backups made before now hold it until newer ones take their place, after 14 days.":              {File: 24 * time.Hour, Backups: 14 * 24 * time.Hour},
		"Unused parts of the store's file may hold traces for up to 24 hours more. Backups made before now hold it until newer ones take their place, after 2 days.":               {File: 24 * time.Hour, Backups: 25 * time.Hour},
		"Unused parts of the store's file may hold traces for up to 24 hours more. Backups made before now hold it until they are removed.":                                        {File: 24 * time.Hour},
		"Unused parts of the database may hold traces until it cleans up after itself, and its log as long as it is kept. Backups made before now hold it until they are removed.": {Database: true},
	} {
		require.Equal(t, sentences, member.Sentences(r))
	}
	records, err := store.New(t.Context(), storetest.NewMemory(), store.Options{})
	require.NoError(t, err)
	a := commandstest.On(commands.Config{Store: records, Retention: member.Retention{File: 24 * time.Hour, Backups: 24 * time.Hour}})
	require.Contains(t, commandstest.Render(commandstest.Asked(t, a, `/mydata forget confirm:"forget me"`)), "nothing of you is left in it.\nUnused parts of the store's file may hold traces for up to 24 hours more.")
}

// TestExportFromAPart: parts are counted from 1 and there are no more than there are.
func TestExportFromAPart(t *testing.T) {
	a := commandstest.New(t)
	for typed, wrong := range map[string]string{"0": "parts are counted from 1", "x": "parts are counted from 1", "2": "your data has only 1 part"} {
		answer := commandstest.Asked(t, a, "/mydata export from:"+typed)
		require.True(t, answer.Refused)
		require.Contains(t, commandstest.Render(answer), wrong)
	}
	require.False(t, commandstest.Asked(t, a, "/mydata export from:1").Refused)
}

// What is kept is told to a tenth of a megabyte and not below what it is: of nothing
// nothing, of little the first tenth.
func TestWhatIsKeptIsRoundedUp(t *testing.T) {
	a := commandstest.Quick(t)
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, "/mydata room")), "kept: 0.0 MB of")
	commandstest.Answered(t, a, `/rule add name:R formula:"4*finished"`)
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, "/mydata room")), "kept: 0.1 MB of")
}

// An export is weighed before it begins by what it may hold: the three files of one
// answer and the one that is being packed, 8 MiB each.
func TestAnExportIsWeighed(t *testing.T) {
	a := commandstest.Quick(t)
	var weighed []reply.Work
	ctx := reply.WithTurns(t.Context(), func(_ context.Context, w reply.Work) error {
		weighed = append(weighed, w)
		return nil
	})
	_, err := a.Do(ctx, commandstest.Typed(t, commandstest.Ana, "/mydata export"))
	require.NoError(t, err)
	require.Equal(t, []reply.Work{{Amount: 1, Bytes: 32 << 20}}, weighed)
}

// Whoever looks after the store by hand is told so; an hour is an hour.
func TestTracesAreKeptAsLongAsIsSaid(t *testing.T) {
	for want, r := range map[string]member.Retention{
		"until whoever runs this tidies the store": {}, "1 hour": {File: time.Hour}, "until the database has cleaned up after itself": {Database: true, File: time.Hour},
	} {
		require.Contains(t, r.Kept(), member.Kept{What: "traces of what was erased", For: want})
	}
}
