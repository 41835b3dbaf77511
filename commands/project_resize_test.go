package commands

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"larkfold/commands/reply"

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
		`/project resize name:"Harbour Swag" only:rust thickness:4mm construction:plied`,
		`/project resize name:"Tide Line" dowel:25cm×12mm`,
	))
}

func TestResizeToTheCordThereIs(t *testing.T) {
	a := newApp(t)
	saveDemo(t, a, "Tide Line", "tide-line.sheet")
	saveDemo(t, a, "Three Herons", "three-herons.sheet")
	golden(t, "resize-have", conversation(t, a,
		`/project resize name:"Tide Line" have:60m`,
		`/project resize name:"Tide Line" have:"2 spools 100m" width:40cm`,
		`/project resize name:"Three Herons" have:40m`,
		`/project resize name:"Three Herons" have:40m only:sand`,
		`/project resize name:"Tide Line" have:shelf`,
		`/shelf add pieces:"3m x20, 30m" cord:"4 mm single-strand cream"`,
		`/shelf add pieces:"40m" cord:"3 mm braided rust"`,
		`/project resize name:"Tide Line" have:shelf`,
		`/project resize name:"Tide Line" have:cream`,
		`/project resize name:"Tide Line" have:rust`,
		`/project resize name:"Tide Line" have:1m`,
		`/project resize name:"Tide Line" have:60`,
		`/project resize name:"Tide Line" have:60m drop:1m`,
	))
}

// The largest that a maker's pieces make can be cut from them, and takes no more than
// there is; so does what each suggestion leads to.
func TestWhatThereIsReaches(t *testing.T) {
	a := newApp(t)
	saveDemo(t, a, "Tide Line", "tide-line.sheet")
	answered(t, a, `/shelf add pieces:"3m x20, 30m" cord:"4 mm single-strand cream"`)
	saved := render(answered(t, a, `/project resize name:"Tide Line" have:shelf save:"Shelf Tide"`))
	require.Contains(t, saved, "saved: Shelf Tide")
	require.Contains(t, saved, "one repeat more: would be")
	cut := render(answered(t, a, `/plan project:"Shelf Tide"`))
	require.Contains(t, cut, "to buy: nothing")
	for line := `/project resize name:"Tide Line" have:1m`; ; {
		answer := asked(t, a, line)
		if !answer.Refused {
			break
		}
		require.NotEmpty(t, suggested(withoutButtons(answer)), render(answer))
		line = suggested(withoutButtons(answer))
	}
}

func withoutButtons(answer reply.Reply) reply.Reply {
	answer.Blocks = slices.DeleteFunc(slices.Clone(answer.Blocks), isActions)
	return answer
}

// Yes is no name, and no saves nothing.
func TestYesIsNoName(t *testing.T) {
	a := newApp(t)
	saveDemo(t, a, "Tide Line", "tide-line.sheet")
	for _, line := range []string{`/project resize name:"Tide Line" thickness:3mm save:yes`, `/cord width:20cm drop:40cm save:Yes`} {
		answer := asked(t, a, line)
		require.True(t, answer.Refused, line)
		require.False(t, asked(t, a, suggested(withoutButtons(answer))).Refused, line)
	}
	answered(t, a, `/project resize name:"Tide Line" thickness:3mm save:no`)
	require.NotContains(t, render(answered(t, a, "/project list")), "yes")
	require.NotContains(t, render(answered(t, a, "/project list")), "no ")
}

// How many pieces are made counts in what is cut, and is saved with the design.
func TestCopiesOfACord(t *testing.T) {
	a := newApp(t)
	one, three := render(answered(t, a, "/cord width:20cm drop:40cm")), render(answered(t, a, "/cord width:20cm drop:40cm copies:3 save:Trio"))
	require.Contains(t, one, "A     18  2.65 m")
	require.Contains(t, three, "A     54  2.65 m")
	require.Contains(t, three, "pieces: 3")
	require.Contains(t, render(answered(t, a, "/project show name:Trio written:yes")), "copies 3\n")
	require.NotContains(t, render(answered(t, a, "/cord width:20cm drop:40cm copies:1")), "pieces:")
	require.True(t, asked(t, a, "/cord width:20cm drop:40cm copies:1001").Refused)
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
		`/project resize name:"Tide Line" only:moss thickness:3mm`,
		`/project resize name:"Tide Line" construction:felted`,
		`/project resize name:"Tide Line" dowel:thick`,
		`/project resize name:"Tide Line" dowel:"60cm x 2m"`,
		`/project resize name:"Tide Line" thickness:3m`,
		`/project resize name:"Tide Line" thickness:3mm save:yes`,
		`/project resize name:"Tide Line" dowel:5cm`,
	))
}

func TestResizedIsSaved(t *testing.T) {
	sheetOf := func(t *testing.T, a *App, name string) string {
		return render(answered(t, a, `/project show written:yes name:"`+name+`"`))
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
