package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"larkfold/commands"

	"github.com/stretchr/testify/require"
)

const commandsDir = "../../commands"

// families are the rooms that commands stand in, help in commands itself.
var families = []string{".", "takeup", "cutting", "question", "project", "member", "building"}

// product are the parsed files of a package, without its tests.
func product(t *testing.T, dir string) map[string]*ast.File {
	t.Helper()
	files := map[string]*ast.File{}
	names, err := filepath.Glob(filepath.Join(dir, "*.go"))
	require.NoError(t, err)
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		require.NoError(t, err)
		files[filepath.Base(name)] = f
	}
	return files
}

// declared are the names that a file declares for its package, but for methods.
func declared(f *ast.File) []string {
	var names []string
	for _, d := range f.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			if d.Recv == nil {
				names = append(names, d.Name.Name)
			}
		case *ast.GenDecl:
			for _, s := range d.Specs {
				switch s := s.(type) {
				case *ast.TypeSpec:
					names = append(names, s.Name.Name)
				case *ast.ValueSpec:
					for _, n := range s.Names {
						names = append(names, n.Name)
					}
				}
			}
		}
	}
	return names
}

// Every slash command has a file named as it is typed, in the room of its family, with
// a test beside it.
func TestEveryCommandHasItsFile(t *testing.T) {
	for _, c := range commands.New(commands.Config{}).Commands() {
		name := strings.ReplaceAll(c.Name, " ", "_")
		var found []string
		for _, room := range families {
			file := filepath.Join(commandsDir, room, name)
			if _, err := os.Stat(file + ".go"); err == nil {
				found = append(found, file)
			}
		}
		require.Len(t, found, 1, name)
		_, err := os.Stat(found[0] + "_test.go")
		require.NoError(t, err)
	}
}

// Within commands and its families no file uses one that uses it, in however many
// steps. The files of one command count as one.
func TestFilesOfCommandsUseEachOtherOneWay(t *testing.T) {
	for _, room := range append([]string{"slip"}, families...) {
		oneWay(t, filepath.Join(commandsDir, room))
	}
	require.Contains(t, oneWay(t, filepath.Join(commandsDir, "question"))["cut.go"], "cord.go")
}

// oneWay is which files of a package use which, none of them in a circle.
func oneWay(t *testing.T, dir string) map[string][]string {
	t.Helper()
	files := product(t, dir)
	command := func(name string) string {
		first, _, _ := strings.Cut(name, "_")
		if _, ok := files[first+".go"]; ok {
			return first + ".go"
		}
		return name
	}
	home := map[string]string{}
	for name, f := range files {
		for _, n := range declared(f) {
			home[n] = command(name)
		}
	}
	uses := map[string][]string{}
	for name, f := range files {
		from := command(name)
		for _, id := range f.Unresolved {
			if to := home[id.Name]; to != "" && to != from && !slices.Contains(uses[from], to) {
				uses[from] = append(uses[from], to)
			}
		}
	}
	var path []string
	done := map[string]bool{}
	var follow func(name string)
	follow = func(name string) {
		if at := slices.Index(path, name); at >= 0 {
			t.Fatalf("files of %s in a circle: %s", dir, strings.Join(append(path[at:], name), " -> "))
		}
		if done[name] {
			return
		}
		path = append(path, name)
		for _, to := range uses[name] {
			follow(to)
		}
		path = path[:len(path)-1]
		done[name] = true
	}
	for name := range uses {
		follow(name)
	}
	return uses
}

// wordRooms are where a new word of the sheet is at home, as the contributor's
// handbook lists them: what all steps share is asked of the step everywhere else.
var wordRooms = map[string]string{
	"sizing/sheet":           "its type, parse, print and facts",
	"sizing/vocabulary":      "what it is for, with an example",
	"sizing/sheet/sheettest": "random sheets that hold it",
	"sizing/trace":           "its geometry",
	"commands/say":           "its sentence",
}

// A room that tells the steps of a sheet apart by their types has to change with
// every new word.
func TestOnlyItsRoomsTellStepsApart(t *testing.T) {
	steps := map[string]bool{}
	for _, f := range product(t, "../../sizing/sheet") {
		for _, d := range f.Decls {
			if fn, ok := d.(*ast.FuncDecl); ok && fn.Name.Name == "lay" && fn.Recv != nil {
				steps[fn.Recv.List[0].Type.(*ast.Ident).Name] = true
			}
		}
	}
	require.Greater(t, len(steps), 10)
	for _, r := range rooms(t) {
		if _, ok := wordRooms[r.dir]; ok {
			continue
		}
		for name, f := range product(t, filepath.Join("../..", r.dir)) {
			ast.Inspect(f, func(n ast.Node) bool {
				var told []ast.Expr
				switch n := n.(type) {
				case *ast.CaseClause:
					told = n.List
				case *ast.TypeAssertExpr:
					told = []ast.Expr{n.Type}
				}
				for _, e := range told {
					if sel, ok := e.(*ast.SelectorExpr); ok && steps[sel.Sel.Name] {
						if x, ok := sel.X.(*ast.Ident); ok && x.Name == "sheet" {
							t.Errorf("%s/%s tells sheet.%s apart from the other steps: ask the step for its facts", r.dir, name, sel.Sel.Name)
						}
					}
				}
				return true
			})
		}
	}
	for _, room := range []string{"sizing/trace", "sizing/sheet/sheettest"} {
		named := map[string]bool{}
		for _, f := range product(t, filepath.Join("../..", room)) {
			ast.Inspect(f, func(n ast.Node) bool {
				if sel, ok := n.(*ast.SelectorExpr); ok {
					named[sel.Sel.Name] = true
				}
				return true
			})
		}
		for step := range steps {
			require.True(t, named[step], "%s knows nothing of sheet.%s; it needs %s: see \"A word of the sheet\" in DEVELOPERS.md", room, step, wordRooms[room])
		}
	}
	handbook, err := os.ReadFile("../../DEVELOPERS.md")
	require.NoError(t, err)
	for room, why := range wordRooms {
		require.Contains(t, string(handbook), "`"+room+"`: "+why, "the handbook lists what a new word touches")
	}
}
