package slip_test

import (
	"context"
	"crypto/rand"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/reply"
	"larkfold/commands/slip"
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

// tried does what a typed line asks for, as somebody, without changing anything.
func tried(a *commandstest.App, who, line reply.Request) error {
	who.Command, who.Options = line.Command, line.Options
	return a.Slips.Rehearse(context.Background(), who)
}

// suggestedFor is what is suggested for a typed line; the line itself where it is
// understood as it stands.
func suggestedFor(t *testing.T, a *commandstest.App, line string) string {
	t.Helper()
	req, wrong := a.Slips.Read(line)
	who := keeper
	who.ID = rand.Text()
	if wrong == nil {
		err := tried(a, who, req)
		if err == nil {
			return line
		}
		wrong = slip.Mendable(err)
		require.NotNil(t, wrong, line)
		who.Command, who.Options = req.Command, req.Options
		c, _ := reply.Find(a.Commands(), strings.Fields(req.Command))
		who = who.As(c)
	}
	return a.Slips.Suggested(context.Background(), who, wrong).Try
}

// keeper is Ana where she may manage the community.
var keeper = func() reply.Request { r := commandstest.Ana; r.CanManage = true; return r }()

// What is suggested for a mistyped command is accepted when it is pasted, always, and
// nearly always keeps every number and word that was right: those that stand in what
// was meant too.
func TestSuggestionsAreAcceptedAndKeepWhatWasRight(t *testing.T) {
	commandstest.UnlessRaced(t)
	a := commandstest.New(t)
	recordsOfRefusals(t, a)
	commandstest.Answered(t, a, `/rule add name:"Jar Cover" formula:"4*finished"`)
	commandstest.Answered(t, a, commandstest.ShelfAdd)
	corpus := mistyped(t)
	require.Greater(t, len(corpus), 300)
	accepted, kept := 0, 0
	for _, line := range corpus {
		typed, meant := line[0], line[1]
		try := suggestedFor(t, a, typed)
		req, wrong := a.Slips.Read(try)
		if wrong == nil {
			if err := tried(a, keeper, req); err != nil {
				wrong = slip.Mendable(err)
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

// What takes something away is never suggested for another thing than the one typed, and
// a choice that nothing is near to is not chosen for the member. A list that no option was
// named for keeps all of its items, and a mass is not taken for a length.
func TestNoSuggestionDoesOtherThanWasMeant(t *testing.T) {
	a := commandstest.New(t)
	recordsOfRefusals(t, a)
	commandstest.Answered(t, a, `/rule add name:"Jar Cover" formula:"4*finished"`)
	for typed, want := range map[string]string{
		`/project delete name:"Kelp Wal"`:                               "/project list",
		`/project delete name:Xyz`:                                      "/project list",
		`/project undo name:Xyz`:                                        "/project list",
		`/project delet name:"Kelp Wal"`:                                "/project list",
		`/rule remove name:"Jar Covr"`:                                  "/rule list",
		"/swatch remove number:9":                                       "/swatch list",
		`/shelf remove pieces:"45cm x200"`:                              "/shelf list",
		"/prefs units:inches":                                           "/prefs units:imperial",
		"/prefs units:english":                                          "/prefs units:imperial",
		"/prefs units:cm":                                               "/prefs units:metric",
		"/prefs units:furlongs":                                         "/prefs",
		"/dowel length:60cm dowel:20mm cords:30 thickness:4mm wood:elm": "/dowel cords:30 thickness:4mm length:60cm dowel:20mm wood:branch",
		`/project undo name:"Kelp Wall" changes:9`:                      `/project show name:"Kelp Wall"`,
		`/project show name:"Kelp Wal"`:                                 `/project show name:"Kelp Wall"`,
		`/convert what:"1,200 m"`:                                       "/convert what:1200m",
		`/convert what:"2ft 13in"`:                                      `/convert what:"3 ft 1 in"`,
		"/shelf add 50cm x12, 1.3m x3":                                  `/shelf add pieces:"50cm x12, 1.3m x3"`,
		"/shelf 50cm, 60cm; 1.3m x3, cord:4mm":                          `/shelf add pieces:"50cm, 60cm; 1.3m x3" cord:4mm`,
		"/plan 5 x 50cm, 3 x 60cm spool:100m":                           `/plan pieces:"5 x 50cm, 3 x 60cm" spool:100m`,
		"/dowel 12, 8, 10 length:60cm":                                  `/dowel cords:"12, 8, 10" length:60cm`,
		"/dowel 12 length:60cm":                                         "/dowel cords:12 length:60cm",
		"/cord 40cm, 70cm":                                              "/cord width:40cm drop:70cm",
		"/convert 4.5 g/m":                                              `/convert what:"4.5 g/m"`,
		`/convert what:"4.5 g/m cord"`:                                  `/convert what:"4.5 g/m"`,
		`/convert what:"4.5 g the metre"`:                               `/convert what:"4.5 g per metre"`,
		`/convert what:"900 g on 200 m"`:                                `/convert what:"900 g per 200 m"`,
		`/convert what:"220 m a kilo"`:                                  `/convert what:"220 m per kilo"`,
		`/convert what:"4.5 g/m x 3"`:                                   `/convert what:"3/16 in"`,
		`/convert what:"5 ktex"`:                                        `/convert what:"3/16 in"`,
		`/rule add name:Reef formula:"4.5*finished + 20"`:               `/rule add name:Reef formula:"4.5*finished + 20 cm"`,
	} {
		if strings.HasPrefix(typed, "/rule add") {
			require.Contains(t, commandstest.Render(commandstest.Asked(t, a, typed)), want)
			continue
		}
		assert.Equal(t, want, suggestedFor(t, a, typed), typed)
	}
	none := commandstest.New(t)
	for typed, want := range map[string]string{
		"/project delete name:Xyz": "/project list",
		"/project undo name:Xyz":   "/project list",
		"/project show name:Xyz":   "/project new name:Xyz",
		"/swatch remove number:1":  "/swatch list",
	} {
		assert.Equal(t, want, suggestedFor(t, none, typed), typed+", where there is nothing")
	}
}
