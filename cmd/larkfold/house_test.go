package main

import (
	"bytes"
	"go/ast"
	"go/doc"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"sort"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// edges are the imports that the house allows from one room into another, each
// with its reason. A room that is not named may not be entered.
var edges = map[string]map[string]string{
	"cmd/larkfold": {
		"bot":                    "serve and register run the chat platform",
		"cmd/larkfold/files":     "settings, sheets and instances lie in files that a person names",
		"cmd/larkfold/terminal":  "try is that front end; size, pack and derive show blocks as it does",
		"commands":               "the app is put together here",
		"commands/member":        "serve says for how long things are kept",
		"commands/reply":         "what size, pack and derive show are blocks",
		"commands/picture":       "size writes the printable sheet",
		"commands/picture/drawn": "size writes the picture of the piece",
		"commands/picture/paint": "pictures are written as PNG and SVG",
		"commands/say":           "size says a plan as members are told it",
		"sizing":                 "size traces one sheet file",
		"sizing/knot":            "size needs the knot book, derive prints its crossings",
		"sizing/length":          "JSON is in millimetres",
		"sizing/near":            "a mistyped setting",
		"sizing/sheet":           "faults are written as JSON",
		"sizing/stock":           "pack solves one cutting instance",
		"sizing/tight":           "derive prints where the book's numbers come from",
		"sizing/trace":           "ends are written as JSON",
		"sizing/vocabulary":      "a sheet is answered in the units it is written in",
		"store":                  "backup, restore and check",
		"store/boltstore":        "the engine is chosen here and nowhere else",
		"store/pgstore":          "the engine is chosen here and nowhere else",
		"store/move":             "a store goes from one to another",
		"store/pairs":            "an engine that is chosen is handed on",
		"store/seal":             "keys are made, read and kept in files",
	},
	"cmd/larkfold/files": {},
	"cmd/larkfold/terminal": {
		"cmd/larkfold/files": "a value may stand in a file, and a picture is kept in one",
		"commands":           "the terminal is a front end of the same commands",
		"commands/lines":     "a terminal breaks lines as a chat does",
		"commands/reply":     "it asks in requests and shows replies",
	},
	"bot": {
		"bot/fit":        "replies become messages that the platform takes",
		"commands/reply": "events become requests",
	},
	"bot/fit": {
		"commands/lines": "a phone's lines are narrow",
		"commands/reply": "what is to be shown",
	},
	"bot/platformtest": {},
	"commands": {
		"commands/ask":           "help tells the bounds of what is asked",
		"commands/building":      "its commands are in the list",
		"commands/cutting":       "its commands are in the list, help tells the limits of a plan",
		"commands/handler":       "each command comes with what answers it",
		"commands/member":        "its commands are in the list; for how long things are kept",
		"commands/picture/drawn": "help tells how much is drawn knot by knot",
		"commands/project":       "its commands are in the list",
		"commands/question":      "its commands are in the list",
		"commands/reply":         "what is asked and answered",
		"commands/say":           "help shows pieces and formulas",
		"commands/sitting":       "what a request may know",
		"commands/slip":          "what is refused, and what was meant",
		"commands/takeup":        "its commands are in the list; rules are completed",
		"sizing":                 "the examples of help are sized",
		"sizing/...":             "help speaks of sheets, knots, formulas and limits",
		"store":                  "the records that the app is handed",
	},
	"commands/commandstest": {
		"commands":         "tests ask the app",
		"commands/design":  "tests size as members see it",
		"commands/reply":   "answers are written down",
		"commands/sitting": "tests sit like a request",
		"sizing":           "what was sized is compared",
		"sizing/...":       "knots and lengths are worked out for comparing",
		"store":            "each app has one of its own",
		"store/storetest":  "in memory",
		"testdata":         "demo designs are saved for members of the tests",
	},
	"commands/handler": {
		"commands/reply":   "a command is a description and what answers it",
		"commands/sitting": "a command says which records it needs",
	},
	"commands/pages": {
		"commands/ask":     "which page is an option",
		"commands/reply":   "tables are cut, buttons turn pages",
		"commands/sitting": "options are read with preferences",
	},
	"commands/design": {
		"commands/picture/drawn": "a cut is named in the menu as it is in the picture",
		"commands/reply":         "a sized sheet gets buttons",
		"commands/say":           "whose hands it was sized by is noted",
		"commands/sitting":       "designs are found and kept",
		"sizing":                 "designs are sized",
		"sizing/...":             "sheets are read",
		"store":                  "designs are saved",
	},
	"commands/slip": {
		"commands/ask":     "what was meant is read as it would be",
		"commands/pages":   "the buttons of a list stand for a typed line too",
		"commands/reply":   "errors become refusals",
		"commands/say":     "sentences, and long texts shortened",
		"commands/sitting": "a suggestion is kept for its button",
		"sizing/...":       "words near to others, faults of sheets",
		"store":            "errors of the store in a member's words",
	},
	"commands/takeup": {
		"commands/ask":           "options become quantities",
		"commands/handler":       "its commands",
		"commands/pages":         "books and swatches are long lists",
		"commands/picture/knots": "how a knot is tied is drawn",
		"commands/picture/paint": "that is a drawing",
		"commands/reply":         "what is asked and answered",
		"commands/say":           "quantities become blocks",
		"commands/sitting":       "a member's books and hands",
		"commands/slip":          "how much of a long text is repeated",
		"sizing/...":             "knots, formulas and swatches",
		"store":                  "books are kept",
	},
	"commands/cutting": {
		"commands/ask":           "pieces, spools and cords are read",
		"commands/design":        "a saved design is sized and cut",
		"commands/handler":       "its commands",
		"commands/pages":         "a shelf is a long list",
		"commands/picture":       "cutting plans are drawn",
		"commands/picture/paint": "they are drawings",
		"commands/reply":         "what is asked and answered",
		"commands/say":           "plans become blocks",
		"commands/sitting":       "a member's shelf",
		"sizing":                 "the cuts of a design",
		"sizing/...":             "plans are solved, designs resized to what there is",
		"store":                  "shelves are kept",
	},
	"commands/question": {
		"commands/ask":     "options become quantities",
		"commands/cutting": "fringe is cut from the shelf",
		"commands/design":  "sheets are sized and get their buttons",
		"commands/handler": "its commands",
		"commands/reply":   "what is asked and answered",
		"commands/say":     "quantities become blocks",
		"commands/sitting": "preferences, hands and cords",
		"commands/takeup":  "doubling rules stand beside the take-up",
		"sizing":           "what was sized is told",
		"sizing/...":       "sheets are put together",
		"store":            "an answer is saved as a design",
	},
	"commands/project": {
		"commands/ask":     "options become quantities",
		"commands/cutting": "a design is planned, printed with its plans, made from what there is",
		"commands/design":  "designs are found and sized",
		"commands/handler": "its commands",
		"commands/pages":   "designs are a long list",
		"commands/picture": "the sheet to print",
		"commands/reply":   "what is asked and answered",
		"commands/say":     "quantities become blocks",
		"commands/sitting": "a member's designs, shares and settings",
		"commands/slip":    "how much of a long text is repeated",
		"sizing":           "what was sized is told",
		"sizing/...":       "sheets are read and resized",
		"store":            "designs are kept and shared",
	},
	"commands/member": {
		"commands/ask":     "options become quantities",
		"commands/handler": "its commands",
		"commands/reply":   "what is asked and answered",
		"commands/say":     "shares in words",
		"commands/sitting": "preferences",
		"sizing/...":       "lengths, ways and squeezes",
		"store":            "everything that is kept about a member",
	},
	"commands/building": {
		"commands/ask":           "options become quantities",
		"commands/cutting":       "a design in the making is planned",
		"commands/design":        "designs are found and sized",
		"commands/handler":       "its commands",
		"commands/making":        "designs are built by pressing",
		"commands/picture/drawn": "what a step does is shown",
		"commands/project":       "a design in the making is printed, resized and shared",
		"commands/reply":         "what is asked and answered",
		"commands/say":           "steps in words and pictures",
		"commands/sitting":       "what is under way",
		"commands/slip":          "a refusal with the way back to the design",
		"commands/takeup":        "how a knot is tied",
		"sizing":                 "what was sized is shown",
		"sizing/...":             "sheets are laid open",
		"store":                  "what is under way is kept",
		"testdata":               "demo designs are offered to begin with; there is one copy of each",
	},
	"commands/making": {
		"sizing":     "an edit counts when what comes of it sizes",
		"sizing/...": "steps are laid open and sheets printed",
	},
	"testdata": {},
	"commands/ask": {
		"commands/reply":   "requests are read, refusals made",
		"commands/sitting": "bare numbers are in the units the member prefers",
		"sizing/...":       "quantities and their parsers",
	},
	"commands/say": {
		"commands/picture":       "a block may be a page",
		"commands/picture/drawn": "a block may be a piece; sentences say what each is about, so that its step can be drawn",
		"commands/picture/paint": "a block may be a drawing",
		"commands/reply":         "blocks are made",
		"commands/sitting":       "lengths are written as the member prefers",
		"sizing":                 "a plan is what is said",
		"sizing/...":             "its parts are said each as itself",
	},
	"commands/sitting": {
		"commands/reply": "a request says who asks and what for",
		"sizing":         "preferences and hands are what sheets are sized with",
		"sizing/...":     "knots, swatches and lengths are read from records",
		"store":          "all of it is read in one view",
	},
	"commands/lines": {},
	"commands/reply": {},
	"commands/picture": {
		"commands/picture/drawn": "the work and its steps stand on printed pages",
		"commands/picture/knots": "a cut list shows the look of each cord",
		"commands/picture/paint": "pages are drawings",
		"sizing":                 "a sized sheet is what is printed",
		"sizing/...":             "its parts are drawn each as itself",
	},
	"commands/picture/drawn": {
		"commands/picture/knots": "the work is made of cords and knots",
		"commands/picture/paint": "pictures are drawings",
		"sizing":                 "a sized sheet is what is drawn",
		"sizing/...":             "its parts are drawn each as itself",
	},
	"commands/picture/knots": {
		"commands/picture/paint": "pictures are drawings",
		"sizing/...":             "knots, their diagrams and the cords they are tied in",
	},
	"commands/picture/paint": {
		"commands/lines": "words are set in lines",
	},
	"commands/picture/picturetest": {
		"commands/picture/paint": "drawings are looked at",
		"sizing":                 "sheets for tests are sized",
		"sizing/...":             "with the book and the lengths that everyone has",
	},
	"sizing":         {"sizing/...": "the façade puts its parts together"},
	"store/pairs":    {},
	"store/seal":     {},
	"store/export":   {},
	"store/spelling": {},
	"store": {
		"store/pairs":    "an engine holds its bytes",
		"store/seal":     "records become the values that it holds",
		"store/export":   "a member takes all of it away",
		"store/spelling": "records are found by names",
	},
	"store/move": {
		"store":       "a store's header comes last, and what goes wrong is told as a store does",
		"store/pairs": "one engine is made like another",
	},
	"store/boltstore": {
		"store":       "backups are opened and checked, faults told as the store's",
		"store/pairs": "an engine implements the interface it serves",
	},
	"store/pgstore": {
		"store":       "faults are told as the store's",
		"store/pairs": "an engine implements the interface it serves",
	},
	"store/pgstore/pgtest": {},
	"store/storetest": {
		"store":       "the suite tests any engine under the records",
		"store/pairs": "the suite tests any engine",
	},
	"sizing/sheet": {"sizing/sheet/mend": "a faulty line is shown with the right one nearest to it"},
	"sizing/sheet/mend": {
		"sizing/caret":      "a fault stands in a column",
		"sizing/near":       "a word that is nearly right",
		"sizing/vocabulary": "what belongs behind which word",
	},
	"sizing/sheet/former": {"sizing/sheet": "what was saved is read, and names are those of today"},
	"sizing/sheet/sheettest": {
		"sizing/sheet":  "random sheets for tests",
		"sizing/length": "sheets hold lengths",
		"sizing/cord":   "spools have prices",
	},
}

// parts are the rooms of sizing from the ground up; each may enter only those before it.
var parts = []string{"near", "noun", "caret", "length", "cord", "formula", "diagram", "knot", "swatch", "dowel", "stock", "fringe", "vocabulary", "sheet", "trace", "cutlist", "resize", "tight"}

// ofCommands are the rooms of commands from the ground up; each may enter only those before it.
var ofCommands = []string{"lines", "picture/paint", "picture/knots", "picture/drawn", "picture", "reply", "sitting", "ask", "say", "making", "handler", "pages", "design", "slip", "takeup", "cutting", "question", "project", "member", "building"}

// mostLines is how many lines a room may have, without those of tests: beyond that it
// has more than one reason to exist.
const mostLines = 4500

// drivers are the modules that only one room may know.
var drivers = map[string]string{
	"github.com/bwmarrin/discordgo": "bot",
	"github.com/expr-lang/expr":     "sizing/formula",
	"go.etcd.io/bbolt":              "store/boltstore",
	"github.com/jackc/pgx":          "store/pgstore",
}

type room struct {
	dir     string
	imports map[string]bool
	doc     string
	lines   int
}

func rooms(t *testing.T) []room {
	top, err := filepath.Abs("../..")
	require.NoError(t, err)
	found := map[string]*room{}
	require.NoError(t, filepath.WalkDir(top, func(file string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (strings.HasPrefix(d.Name(), ".") && file != top || d.Name() == "testdata") {
			return filepath.SkipDir
		}
		if d.IsDir() || !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
			return nil
		}
		text, err := os.ReadFile(file)
		if err != nil {
			return err
		}
		f, err := parser.ParseFile(token.NewFileSet(), file, text, parser.ImportsOnly|parser.ParseComments)
		if err != nil {
			return err
		}
		dir, err := filepath.Rel(top, filepath.Dir(file))
		if err != nil {
			return err
		}
		dir = filepath.ToSlash(dir)
		r := found[dir]
		if r == nil {
			r = &room{dir: dir, imports: map[string]bool{}}
			found[dir] = r
		}
		for _, spec := range f.Imports {
			name, err := strconv.Unquote(spec.Path.Value)
			if err != nil {
				return err
			}
			r.imports[name] = true
		}
		r.doc += docOf(f)
		r.lines += bytes.Count(text, []byte("\n"))
		return nil
	}))
	var all []room
	for _, r := range found {
		all = append(all, *r)
	}
	sort.Slice(all, func(i, j int) bool { return all[i].dir < all[j].dir })
	return all
}

func docOf(f *ast.File) string {
	if f.Doc == nil {
		return ""
	}
	return new(doc.Package).Synopsis(f.Doc.Text())
}

func TestRoomsCallOnlyDownward(t *testing.T) {
	for _, r := range rooms(t) {
		for name := range r.imports {
			inside, ours := strings.CutPrefix(name, "larkfold/")
			if ours && !allowed(r.dir, inside) {
				t.Errorf("%s imports %s: no edge allows it; where one should, it goes into edges, with its reason, and into DEVELOPERS.md", r.dir, inside)
			}
		}
	}
}

func TestRoomsOfCommandsStandInOneOrder(t *testing.T) {
	for _, r := range rooms(t) {
		from := slices.Index(ofCommands, strings.TrimPrefix(r.dir, "commands/"))
		if !strings.HasPrefix(r.dir, "commands/") || strings.HasSuffix(r.dir, "test") {
			continue
		}
		require.GreaterOrEqual(t, from, 0, "%s has no height", r.dir)
		for name := range r.imports {
			if to, ours := strings.CutPrefix(name, "larkfold/commands/"); ours {
				require.Less(t, slices.Index(ofCommands, to), from, "%s imports %s, which stands above it", r.dir, name)
			}
			require.NotEqual(t, "larkfold/commands", name, "%s imports what stands above it", r.dir)
		}
	}
}

func TestNoRoomIsTooLarge(t *testing.T) {
	for _, r := range rooms(t) {
		require.True(t, r.lines <= mostLines, "%s has %d lines", r.dir, r.lines)
	}
}

// allowed tells whether one room may enter another.
func allowed(from, to string) bool {
	if a, b := part(from), part(to); a >= 0 && b >= 0 {
		return b < a
	}
	if _, ok := edges[from][to]; ok {
		return true
	}
	_, ok := edges[from]["sizing/..."]
	return ok && strings.HasPrefix(to, "sizing/")
}

// part is a room's height in sizing, or -1.
func part(dir string) int {
	for i, p := range parts {
		if dir == "sizing/"+p {
			return i
		}
	}
	return -1
}

func TestDriversStayInTheirRoom(t *testing.T) {
	for _, r := range rooms(t) {
		for name := range r.imports {
			for driver, home := range drivers {
				if (name == driver || strings.HasPrefix(name, driver+"/")) && r.dir != home && !strings.HasPrefix(r.dir, home+"/") {
					t.Errorf("%s imports %s, which only %s may know", r.dir, name, home)
				}
			}
		}
	}
}

func TestEveryEdgeHasAReasonAndEveryRoomAPlace(t *testing.T) {
	all := rooms(t)
	for _, r := range all {
		_, known := edges[r.dir]
		require.True(t, known || part(r.dir) >= 0, "the room %s has no place in the plan: add it to edges with its reasons, or to parts, and a line to DEVELOPERS.md", r.dir)
	}
	for from, into := range edges {
		for to, reason := range into {
			require.NotEmpty(t, reason, "%s -> %s", from, to)
			require.True(t, entered(all, from, to), "%s enters %s no more", from, to)
		}
	}
}

// entered tells whether a room enters another, or any of those below it.
func entered(all []room, from, to string) bool {
	below, any := strings.CutSuffix(to, "...")
	for _, r := range all {
		for name := range r.imports {
			inside, _ := strings.CutPrefix(name, "larkfold/")
			if r.dir == from && (inside == to || any && strings.HasPrefix(inside, below)) {
				return true
			}
		}
	}
	return false
}

func TestEveryRoomSaysWhatItIsFor(t *testing.T) {
	for _, r := range rooms(t) {
		require.NotEmpty(t, r.doc, "package %s has no doc comment", path.Base(r.dir))
	}
}

// What a build or a pasted example leaves on the top level is nobody's room: only
// packages and pages count.
func TestTopLevelIsFixed(t *testing.T) {
	for _, r := range rooms(t) {
		top, _, _ := strings.Cut(r.dir, "/")
		require.Contains(t, []string{"cmd", "bot", "commands", "sizing", "store"}, top, "the room %s", r.dir)
	}
	pages, err := filepath.Glob("../../*.md")
	require.NoError(t, err)
	require.ElementsMatch(t, []string{"../../README.md", "../../DEVELOPERS.md"}, pages)
}
