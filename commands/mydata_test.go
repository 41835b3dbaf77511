package commands

import (
	"archive/zip"
	"bytes"
	"context"
	"io"
	"testing"
	"time"

	"larkfold/commands/reply"
	"larkfold/store"
	"larkfold/store/storetest"

	"github.com/stretchr/testify/require"
)

// everythingOf saves one of everything for a member, all marked with one word.
func everythingOf(t *testing.T, a *App, who reply.Request, word string) {
	t.Helper()
	demo(t, a, who, word+" Herons", "three-herons.sheet")
	for _, line := range []string{
		`/shelf add pieces:"70m x2" cord:"4 mm plied ` + word + `" note:"` + word + ` bag"`,
		"/swatch add knot:sk count:10 used:54cm thickness:9mm",
		`/rule add name:"` + word + ` rule" formula:"6*finished"`,
		"/prefs units:imperial",
		`/project share name:"` + word + ` Herons"`,
		`/plan pieces:"4 x 3m" cord:"4 mm ` + word + `"`,
	} {
		answer := askedBy(t, a, who, line)
		require.False(t, answer.Refused, "%s\n%s", line, render(answer))
	}
}

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

func exported(t *testing.T, a *App, who reply.Request) string {
	t.Helper()
	for _, block := range askedBy(t, a, who, "/mydata export").Blocks {
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
	a := newApp(t)
	everythingOf(t, a, ana, "pearl")
	everythingOf(t, a, mara, "moss")
	golden(t, "mydata", render(asked(t, a, "/mydata export"))+render(asked(t, a, "/mydata forget"))+render(asked(t, a, `/mydata forget confirm:"forget it"`)))

	file := exported(t, a, ana)
	for _, text := range []string{"pearl Herons", "pearl bag", "4 mm plied pearl", "pearl rule", "mount 8 folded sand", `"System":1`, `"swatches": [`, `"shares": [`, `"drafts": [`, `"operations": [`} {
		require.Contains(t, file, text)
	}
	require.NotContains(t, file, "moss")
	require.Contains(t, file, `"length_mm":70000`)
	require.Contains(t, file, `"thickness_mm":9`)
	require.NotContains(t, file, `_nm"`, "lengths are for people to read")
	others := exported(t, a, mara)

	gone := asked(t, a, `/mydata forget confirm:"Forget Me"`)
	require.False(t, gone.Refused, render(gone))
	require.NotContains(t, exported(t, a, ana), "pearl")
	require.Contains(t, render(asked(t, a, "/shelf list")), "Nothing lies on your shelf")
	require.Equal(t, others, exported(t, a, mara))
	empty := newApp(t)
	require.Equal(t, len(exported(t, empty, ana)), len(exported(t, a, ana)), "no more than of somebody who never came")
	report, err := a.room.Store.Check(context.Background())
	require.NoError(t, err)
	require.Empty(t, report.Problems)
}

// Through none of these commands, buttons, forms or completions does a member
// see or change what is another's.
func TestRecordsAreTheirOwners(t *testing.T) {
	a := newApp(t)
	demo(t, a, ana, "pearl Herons", "three-herons.sheet")
	answered(t, a, `/shelf add pieces:"77m x3, 1.1m x9" cord:"4 mm plied pearl" note:"pearl bag"`)
	answered(t, a, `/shelf add pieces:"33cm x3" cord:"4 mm single-strand"`)
	answered(t, a, `/project share name:"pearl Herons"`)
	plan := answered(t, a, `/plan pieces:"4 x 3m" cord:"4 mm pearl"`)
	message := ana
	message.Command, message.Text, message.ID = "size this sheet", sheetSample, "message"
	sized, err := a.Do(t.Context(), message)
	require.NoError(t, err)
	require.False(t, sized.Refused, render(sized))
	before := shelfOf(t, a, ana)

	unseen := func(what string, r reply.Reply) {
		text := render(r)
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
		answer := askedBy(t, a, mara, tt.line)
		require.Equal(t, tt.refused, answer.Refused, "%s\n%s", tt.line, render(answer))
		unseen(tt.line, answer)
	}
	require.NotContains(t, exported(t, a, mara), "pearl")
	for _, answer := range []reply.Reply{plan, sized} {
		for _, block := range answer.Blocks {
			actions, ok := block.(reply.Actions)
			if !ok {
				continue
			}
			for _, b := range actions.Buttons {
				foreign := act(t, a, mara, b.Do, nil, map[string]string{"name": "x", "sheet": small, "thickness": "3 mm"})
				require.True(t, foreign.Refused, b.Label)
				unseen(b.Label, foreign)
			}
			for _, m := range actions.Menus {
				require.True(t, act(t, a, mara, m.Do, []string{"A"}, nil).Refused)
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
				who := mara
				who.Command = path
				choices, err := a.Complete(t.Context(), who, o.Name, "p")
				require.NoError(t, err)
				for _, choice := range choices {
					require.NotContains(t, choice.Name+choice.Value, "pearl", path)
				}
			}
		}
	}
	require.Equal(t, before, shelfOf(t, a, ana))
	require.Contains(t, exported(t, a, ana), "pearl bag")
	require.Contains(t, exported(t, a, ana), `"shares": [`)
}

// A member reads for how long things are kept: the limits of the store, of buttons
// and of what the operator has set.
func TestMyDataSaysForHowLong(t *testing.T) {
	for want, kept := range map[string]Retention{
		"24 hours": {File: 24 * time.Hour, Backups: 14 * 24 * time.Hour}, "14 days": {File: 24 * time.Hour, Backups: 13*24*time.Hour + time.Minute},
		"until they are removed": {}, "until the database has cleaned up after itself": {Database: true},
	} {
		records, err := store.New(t.Context(), storetest.NewMemory(), store.Options{})
		require.NoError(t, err)
		a := New(Config{Store: records, Retention: kept})
		said := render(answered(t, a, "/mydata room"))
		require.Contains(t, said, want)
		require.Regexp(t, `deleted designs: 30 days`, said)
		require.Regexp(t, `what buttons act on: 7 days`, said)
	}
}
