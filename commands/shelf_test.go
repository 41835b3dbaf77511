package commands

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"larkfold/commands/reply"
	"larkfold/store"

	"github.com/stretchr/testify/require"
)

// demo saves one of the demo sheets for somebody without sizing it.
func demo(t testing.TB, a *App, who reply.Request, name, file string) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "testdata", "sheets", file))
	require.NoError(t, err)
	_, err = a.room.Store.SaveProject(context.Background(), who.Member, who.Now, store.Project{Name: name, Sheet: string(text)}, 0)
	require.NoError(t, err)
}

// shelfOf is what lies on somebody's shelf.
func shelfOf(t testing.TB, a *App, who reply.Request) store.Leftovers {
	t.Helper()
	shelf, err := a.room.Store.Leftovers(context.Background(), who.Member)
	require.NoError(t, err)
	return shelf
}

func TestShelf(t *testing.T) {
	a := newApp(t)
	golden(t, "shelf", conversation(t, a,
		"/shelf list",
		`/shelf add pieces:"45cm x12, 1.2m x3, 2 spools 100m" cord:"4 mm single-strand cream"`,
		`/shelf add pieces:"45cm x2" cord:"3/16 in braided" note:"from the blue bag"`,
		"/shelf add pieces:80cm",
		`/shelf remove pieces:"45cm x2"`,
		`/shelf remove pieces:"45cm x2" cord:"4 mm single-strand cream"`,
		"/shelf remove pieces:100m",
		"/shelf undo",
		"/shelf undo",
		"/shelf clear",
		"/shelf undo",
		"/prefs units:imperial",
		"/shelf list",
		`/shelf remove pieces:"17 3/4in" cord:"3/16 in braided"`,
	))
}
