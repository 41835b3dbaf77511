package commands

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// saved saves one of the demo sheets for Ana under a name.
func saveDemo(t *testing.T, a *App, name, file string) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("..", "testdata", "sheets", file))
	require.NoError(t, err)
	answered(t, a, `/project new name:"`+name+`" sheet:"`+string(text)+`"`)
}

func TestResize(t *testing.T) {
	a := newApp(t)
	saveDemo(t, a, "Tide Line", "tide-line.sheet")
	saveDemo(t, a, "Harbour Swag", "harbour-swag.sheet")
	golden(t, "resize", conversation(t, a,
		`/project resize name:"Tide Line" width:60cm drop:90cm`,
		`/project resize name:"Tide Line" thickness:3mm`,
		`/project resize name:"Tide Line" thickness:4mm`,
		`/project resize name:"Harbour Swag" cord:rust thickness:4mm construction:plied`,
		`/project resize name:"Tide Line" dowel:25cm×12mm`,
	))
}

func TestResizeRefused(t *testing.T) {
	a := newApp(t)
	saveDemo(t, a, "Tide Line", "tide-line.sheet")
	golden(t, "resize-refused", conversation(t, a,
		`/project resize name:"Tide Line"`,
		`/project resize name:"Tide Lime" width:60cm`,
		`/project resize name:"Tide Line" width:wide`,
		`/project resize name:"Tide Line" width:2cm`,
		`/project resize name:"Tide Line" drop:8cm`,
		`/project resize name:"Tide Line" cord:moss thickness:3mm`,
		`/project resize name:"Tide Line" construction:felted`,
		`/project resize name:"Tide Line" dowel:thick`,
		`/project resize name:"Tide Line" dowel:"60cm x 2m"`,
		`/project resize name:"Tide Line" thickness:3m`,
	))
}

func TestResizedIsSaved(t *testing.T) {
	sheetOf := func(t *testing.T, a *App, name string) string {
		return render(answered(t, a, `/project show sheet:yes name:"`+name+`"`))
	}
	t.Run("under a new name", func(t *testing.T) {
		a := newApp(t)
		saveDemo(t, a, "Tide Line", "tide-line.sheet")
		require.Contains(t, render(answered(t, a, `/project resize name:"Tide Line" thickness:3mm save:"Ebb Line"`)), "saved: Ebb Line")
		require.Contains(t, sheetOf(t, a, "Ebb Line"), "piece Ebb Line\n    cord main 3 mm")
		require.Contains(t, sheetOf(t, a, "Tide Line"), "cord main 4 mm")
	})
	t.Run("in place, and undone", func(t *testing.T) {
		a := newApp(t)
		saveDemo(t, a, "Tide Line", "tide-line.sheet")
		require.Contains(t, render(answered(t, a, `/project resize name:"Tide Line" thickness:3mm save:"in place"`)), "saved: Tide Line, in place")
		require.Contains(t, sheetOf(t, a, "Tide Line"), "cord main 3 mm")
		answered(t, a, `/project undo name:"Tide Line"`)
		require.Contains(t, sheetOf(t, a, "Tide Line"), "cord main 4 mm")
	})
	t.Run("by a button", func(t *testing.T) {
		a := newApp(t)
		saveDemo(t, a, "Tide Line", "tide-line.sheet")
		answer := answered(t, a, `/project resize name:"Tide Line" thickness:3mm`)
		require.Contains(t, sheetOf(t, a, "Tide Line"), "cord main 4 mm", "only shown so far")
		first := press(t, a, answer, "replace Tide Line")
		require.False(t, first.Refused, render(first))
		require.Contains(t, sheetOf(t, a, "Tide Line"), "cord main 3 mm")
		require.False(t, press(t, a, answer, "replace Tide Line").Refused, "pressed twice it changes once")
		named := fill(t, a, ana, press(t, a, answer, "save it"), map[string]string{"name": "Ebb Line"})
		require.False(t, named.Refused, render(named))
		require.Contains(t, sheetOf(t, a, "Ebb Line"), "cord main 3 mm")
	})
	t.Run("not over a design that was changed meanwhile", func(t *testing.T) {
		a := newApp(t)
		saveDemo(t, a, "Tide Line", "tide-line.sheet")
		answer := answered(t, a, `/project resize name:"Tide Line" thickness:3mm`)
		answered(t, a, `/project edit name:"Tide Line" sheet:"`+small+`"`)
		clash := press(t, a, answer, "replace Tide Line")
		require.True(t, clash.Refused)
		require.Contains(t, render(clash), "changed meanwhile")
		require.Contains(t, sheetOf(t, a, "Tide Line"), "piece Gull")
	})
}

// The same design in the member's own cord: same knots, lengths in proportion.
func TestInMyCord(t *testing.T) {
	a := newApp(t)
	saveDemo(t, a, "Tide Line", "tide-line.sheet")
	form := press(t, a, answered(t, a, `/project show name:"Tide Line"`), "in my cord")
	answer := fill(t, a, ana, form, map[string]string{"thickness": "1/4 in", "construction": "plied"})
	golden(t, "resize-in-my-cord", render(answer))
	require.Contains(t, render(answer), "instead of")
	wrong := fill(t, a, ana, form, map[string]string{"thickness": "thick"})
	require.True(t, wrong.Refused)
	require.True(t, strings.Contains(render(wrong), "thick"))
}
