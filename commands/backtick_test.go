package commands_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// No answer shows a backtick of ours: front ends show texts as they are, so that it
// would reach the reader as a sign without a meaning. The answers written down are
// looked through, and every text in the rooms that answers come from, refusals and
// notes of sheets among them.
func TestNoBackticksAreShown(t *testing.T) {
	for _, file := range goldenFiles(t) {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		asked := false // what the member wrote may hold one
		for n, line := range strings.Split(string(text), "\n") {
			if strings.HasPrefix(line, "> ") || line == "" {
				asked = line != ""
			}
			if !asked {
				require.NotContains(t, line, "`", "%s, line %d", file, n+1)
			}
		}
	}
	read := []string{"```", "’‘ʼ`´′", "'\"’‘”“′″`´"} // from what members write
	texts := 0
	for _, room := range []string{".", filepath.Join("..", "sizing")} {
		require.NoError(t, filepath.WalkDir(room, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			fset := token.NewFileSet()
			file, err := parser.ParseFile(fset, path, nil, parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			ast.Inspect(file, func(n ast.Node) bool {
				lit, ok := n.(*ast.BasicLit)
				if !ok || lit.Kind != token.STRING {
					return true
				}
				text, err := strconv.Unquote(lit.Value)
				require.NoError(t, err)
				texts++
				if !slices.Contains(read, text) {
					require.NotContains(t, text, "`", "%s", fset.Position(lit.Pos()))
				}
				return true
			})
			return nil
		}))
	}
	require.Greater(t, texts, 1000)
}

// goldenFiles are the answers of all commands as they are written down.
func goldenFiles(t *testing.T) []string {
	t.Helper()
	here, err := filepath.Glob(filepath.Join("testdata", "golden", "*.golden"))
	require.NoError(t, err)
	rooms, err := filepath.Glob(filepath.Join("*", "testdata", "golden", "*.golden"))
	require.NoError(t, err)
	all := slices.Concat(here, rooms)
	require.Greater(t, len(all), 40)
	return all
}
