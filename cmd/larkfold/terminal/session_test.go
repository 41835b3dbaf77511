package terminal

import (
	"context"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/commands"
	"larkfold/store"
	"larkfold/store/storetest"
)

// newSession is a session over a fresh store, fed with lines.
func newSession(t *testing.T, lines string) (*session, *strings.Builder) {
	t.Helper()
	records, err := store.New(context.Background(), storetest.NewMemory(), store.Options{})
	require.NoError(t, err)
	t.Cleanup(func() {
		report, err := records.Check(context.Background())
		require.NoError(t, err)
		require.Empty(t, report.Problems)
	})
	var out strings.Builder
	return &session{
		app: commands.New(commands.Config{Store: records}), offers: true, asker: newPiped(strings.NewReader(lines)),
		screen: newScreen(&out, picturesIn(filepath.Join(t.TempDir(), "pictures"))),
	}, &out
}

const owlSheet = "piece Owl\ncord main 4 mm single-strand\npanel front\n  mount 12 folded\n  net square rows 6\n"

func TestCompletion(t *testing.T) {
	s, _ := newSession(t, "")
	ctx := context.Background()
	for _, name := range []string{"Owl", "Old Pier"} {
		require.NoError(t, s.typed(ctx, `/project new name:"`+name+`" sheet:"`+owlSheet+`"`))
	}
	require.False(t, s.refused)
	c := &completer{ctx, s.app, s.request}
	for _, test := range []struct {
		text string
		want []string
	}{
		{"/pro", []string{"/project "}},
		{"/project re", []string{"rename ", "resize "}},
		{"/project show ", []string{"name:", "why:", "short:", "by:", "written:", "steps:"}},
		{"/project show name:o", []string{"Old Pier", "Owl"}},
		{`/project show name:"ol`, []string{"Old Pier"}},
		{"/project show name:Old P", []string{"Old Pier"}},
		{"/project show name:Owl wh", []string{"why:"}},
		{"/project show name:Owl written:", []string{"yes", "no"}},
		{"/project show name:Owl ", []string{"why:", "short:", "by:", "written:", "steps:"}},
		{"/cord construction:pl", []string{"plied"}},
		{"/owl ", nil},
		{"nothing", nil},
		{"", nil},
	} {
		got, typed := c.candidates(test.text)
		for _, candidate := range got {
			require.True(t, len(candidate) >= len(typed) && strings.EqualFold(candidate[:len(typed)], typed), "%q begins with %q", candidate, typed)
		}
		switch test.text {
		case "/project re":
			require.Contains(t, got, "rename ") // what else begins so is added over time
		case "":
			require.Contains(t, got, "/cord ")
		default:
			require.Equal(t, test.want, got, test.text)
		}
	}
	rest, shared := c.Do([]rune("/project show name:oLd and more"), len("/project show name:oLd"))
	require.Equal(t, [][]rune{[]rune(" Pier")}, rest)
	require.Equal(t, 3, shared)
}

func TestOffersArePickedByNumber(t *testing.T) {
	ctx := context.Background()
	s, out := newSession(t, "A\n"+owlSheet+".\n")
	require.NoError(t, s.typed(ctx, "/project new name:Owl sheet:"+strings.Replace(owlSheet, "square", "sqare", 1)))
	require.True(t, s.refused)
	require.Contains(t, out.String(), "next: 1 mend it")

	s.refused = false
	require.NoError(t, s.typed(ctx, "7"))
	require.True(t, s.refused)
	require.Contains(t, out.String(), "nothing has that number")

	s, out = newSession(t, "A\n")
	require.NoError(t, s.typed(ctx, "/project new name:Owl sheet:"+owlSheet))
	menu := 0
	for i, o := range s.offered {
		if len(o.choices) > 0 {
			menu = i + 1
		}
	}
	require.NotZero(t, menu, "a sized sheet offers to explain a cut")
	offered := s.offered
	for _, choice := range []string{"", " 1", " a"} {
		s.offered = offered
		out.Reset()
		require.NoError(t, s.typed(ctx, string(rune('0'+menu))+choice))
		require.Contains(t, out.String(), "Why A is")
	}
	s.offered = offered
	require.NoError(t, s.typed(ctx, string(rune('0'+menu))+" Z"))
	require.True(t, s.refused)
}

func TestEveryRequestHasItsOwnID(t *testing.T) {
	s := &session{}
	a, b := s.request(), s.request()
	require.NotEqual(t, a.ID, b.ID)
	require.Equal(t, oneMember, a.Member)
	require.Equal(t, oneCommunity, a.Community)
	require.WithinDuration(t, time.Now(), a.Now, time.Minute)
}

func TestPicturesAreNeverOverwritten(t *testing.T) {
	dir := t.TempDir()
	keep := picturesIn(filepath.Join(dir, "pictures"))
	for i, data := range []string{"one", "two", "one", "three"} {
		path, err := keep("owl.png", []byte(data))
		require.NoError(t, err)
		require.Equal(t, []string{"owl.png", "owl-2.png", "owl.png", "owl-3.png"}[i], filepath.Base(path))
	}
	path, err := keep("../../out.png", []byte("x"))
	require.NoError(t, err)
	require.FileExists(t, filepath.Join(dir, "pictures", "out.png"), path)
}

func TestAnEndlessLineIsRefused(t *testing.T) {
	s, _ := newSession(t, strings.Repeat("x", longestLine+2))
	require.ErrorContains(t, s.everyLine(context.Background()), "longer than 256 KiB")
}
