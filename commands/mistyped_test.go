package commands

import (
	"context"
	"crypto/rand"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"larkfold/commands/reply"

	"github.com/stretchr/testify/require"
)

// mistyped are the lines of testdata/mistyped.txt: what was typed, and what was meant.
func mistyped(t *testing.T) [][2]string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("testdata", "mistyped.txt"))
	require.NoError(t, err)
	var all [][2]string
	for line := range strings.Lines(string(text)) {
		if typed, meant, ok := strings.Cut(strings.TrimSpace(line), " => "); ok {
			all = append(all, [2]string{typed, meant})
		}
	}
	return all
}

// wordsAndNumbers are what a line says, in small letters: numbers with their decimals
// and words; units stand by themselves.
var wordsAndNumbers = regexp.MustCompile(`\d+(?:[.,/]\d+)*|[\p{L}']+`)

func saidIn(line string) []string {
	return wordsAndNumbers.FindAllString(strings.ToLower(strings.ReplaceAll(line, "−", "-")), -1)
}

// suggestedFor is what is suggested for a typed line; the line itself where it is
// understood as it stands.
func suggestedFor(t *testing.T, a *App, line string) string {
	t.Helper()
	req, wrong := a.Read(line)
	who := keeper
	who.ID = rand.Text()
	if wrong == nil {
		err := a.rehearsed(context.Background(), who, req)
		if err == nil {
			return line
		}
		wrong = mendable(err)
		require.NotNil(t, wrong, line)
		who.Command, who.Options = req.Command, req.Options
		c, _ := find(a.Commands(), strings.Fields(req.Command))
		who = who.As(c)
	}
	return a.Suggested(context.Background(), who, wrong).Try
}

// keeper is Ana where she may manage the community.
var keeper = func() reply.Request { r := ana; r.CanManage = true; return r }()

// What is suggested for a mistyped command is accepted when it is pasted, always, and
// nearly always keeps every number and word that was right: those that stand in what
// was meant too.
func TestSuggestionsAreAcceptedAndKeepWhatWasRight(t *testing.T) {
	a := newQuickApp(t)
	recordsOfRefusals(t, a)
	answered(t, a, `/rule add name:"Jar Cover" formula:"4*finished"`)
	answered(t, a, shelfAdd)
	corpus := mistyped(t)
	require.Greater(t, len(corpus), 300)
	accepted, kept := 0, 0
	for _, line := range corpus {
		typed, meant := line[0], line[1]
		try := suggestedFor(t, a, typed)
		req, wrong := a.Read(try)
		if wrong == nil {
			if err := a.rehearsed(context.Background(), keeper, req); err != nil {
				wrong = mendable(err)
				require.NotNil(t, wrong, try)
			}
		}
		if wrong != nil {
			t.Errorf("%s\nsuggests %q, which is refused: %v", typed, try, wrong)
			continue
		}
		accepted++
		var lost []string
		have := saidIn(try)
		for _, said := range saidIn(meant) {
			if slices.Contains(saidIn(typed), said) && !slices.Contains(have, said) {
				lost = append(lost, said)
			}
		}
		if len(lost) == 0 {
			kept++
		} else {
			t.Logf("%s\n  became %s\n  instead of %s, without %q", typed, try, meant, lost)
		}
	}
	t.Logf("%d of %d accepted, %d keep what was right", accepted, len(corpus), kept)
	require.GreaterOrEqual(t, float64(kept), 0.95*float64(len(corpus)))
}
