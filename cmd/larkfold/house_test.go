package main

import (
	"go/ast"
	"go/doc"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
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
		"commands/ask":           "options become quantities",
		"commands/making":        "designs are built by pressing",
		"commands/picture":       "replies carry cutting plans and prints",
		"commands/picture/drawn": "replies carry pieces, steps and charts",
		"commands/picture/knots": "replies carry how a knot is tied",
		"commands/picture/paint": "they are drawings",
		"commands/reply":         "what is asked and answered",
		"commands/say":           "quantities become blocks",
		"commands/sitting":       "what a request may know",
		"sizing":                 "the façade: a sheet becomes a plan",
		"sizing/...":             "quantities are worked with",
		"store":                  "what members save",
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
	"sizing/sheet/sheettest": {
		"sizing/sheet":  "random sheets for tests",
		"sizing/length": "sheets hold lengths",
		"sizing/cord":   "spools have prices",
	},
}

// parts are the rooms of sizing from the ground up; each may enter only those before it.
var parts = []string{"near", "noun", "length", "cord", "formula", "diagram", "knot", "swatch", "dowel", "stock", "fringe", "sheet", "trace", "cutlist", "resize", "tight"}

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
		f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly|parser.ParseComments)
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
				t.Errorf("%s imports %s: no edge allows it; the house's plan is in DEVELOPERS.md", r.dir, inside)
			}
		}
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
		require.True(t, known || part(r.dir) >= 0, "the room %s has no place in the plan", r.dir)
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
