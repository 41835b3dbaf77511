package commandstest

import (
	"context"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/design"
	"larkfold/commands/reply"
	"larkfold/sizing"
	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/vocabulary"
	"larkfold/store"
	"larkfold/testdata"
)

// Demo saves one of the demo sheets for somebody without sizing it.
func Demo(t testing.TB, a *App, who reply.Request, name, file string) {
	t.Helper()
	text, err := testdata.Sheets.ReadFile("sheets/" + file)
	require.NoError(t, err)
	_, err = a.Room.Store.SaveProject(context.Background(), who.Member, who.Now, store.Project{Name: name, Sheet: string(text)}, 0)
	require.NoError(t, err)
}

// ShelfOf is what lies on somebody's shelf.
func ShelfOf(t testing.TB, a *App, who reply.Request) store.Leftovers {
	t.Helper()
	shelf, err := a.Room.Store.Leftovers(context.Background(), who.Member)
	require.NoError(t, err)
	return shelf
}

// EverythingOf saves one of everything for a member, all marked with one word.
func EverythingOf(t *testing.T, a *App, who reply.Request, word string) {
	t.Helper()
	Demo(t, a, who, word+" Herons", "three-herons.sheet")
	for _, line := range []string{
		`/shelf add pieces:"70m x2" cord:"4 mm plied ` + word + `" note:"` + word + ` bag"`,
		"/swatch add knot:sk count:10 used:54cm thickness:9mm",
		`/rule add name:"` + word + ` rule" formula:"6*finished"`,
		"/prefs units:imperial",
		`/project share name:"` + word + ` Herons"`,
		`/plan pieces:"4 x 3m" cord:"4 mm ` + word + `"`,
	} {
		answer := AskedBy(t, a, who, line)
		require.False(t, answer.Refused, "%s\n%s", line, Render(answer))
	}
}

// ShortDesigns saves what the answers about short cords speak of.
func ShortDesigns(t *testing.T, a *App) {
	Answered(t, a, `/cord width:20cm drop:60cm save:"Reed Wall"`)
	Answered(t, a, `/project new name:"Gull Pot" sheet:"cord main 4 mm
ring 10 cm x 5 mm
panel pot round
mount 8 folded
net square rows 8 apart 4 cm
wrap turns 5
tail 20 cm
"`)
	Answered(t, a, `/project new name:"Sill" sheet:"cord main 4 mm
dowel 40 cm x 20 mm
panel p
mount 4 folded
sinnet square times 10 on left 4
bar left to right level
wrap turns 6
tail 15 cm
fringe 10 cm by 1 each 2 cm on foot of p
hanger rise 15 cm
"`)
}

// Small is a small sheet.
const Small = `piece Gull
cord main 4 mm single-strand
panel front
  mount 4 folded
  net square rows 4
  tail 15 cm
`

// ShelfAdd puts something on the shelf.
const ShelfAdd = `/shelf add pieces:"45cm x12, 2 spools 100m" cord:"4 mm single-strand"`

// Pebble is a knot of the community's own, in one line.
const Pebble = `/knots add name:"Pebble Knot" places:"worker, filler..., worker" roles:"worker ties: 2*(turn(k) + 4*d + 1.5*pi*d) + 2*d; filler runs: pitch" pitch:10*d height:pitch across:"3.35*d + 1.226*bundle(k)" how:"Tie a square knot.; Tie another two cord widths below it." source:"measured by us: ten knots in 4 mm cord"`

// AddPebble puts it into the community's book.
func AddPebble(t *testing.T, a *App) {
	t.Helper()
	answer := AskedBy(t, a, Mara, Pebble)
	require.False(t, answer.Refused, Render(answer))
}

// SizedAs sizes a sheet as the member would see it.
func SizedAs(t *testing.T, a *App, text string) sizing.Sized {
	t.Helper()
	one, err := design.SizeText(t.Context(), Seated(t, a, Ana), text)
	require.NoError(t, err)
	return one
}

// WorkerOf is what a working end of one knot takes in 4 mm single-strand.
func WorkerOf(t *testing.T, k *knot.Knot) length.Length {
	c := cord.Cord{Nominal: 4 * length.Millimetre}
	size, err := k.Size(knot.Gauge{Diameter: c.Diameter(), Soft: c.Construction.Softness(), Ends: k.Ends})
	require.NoError(t, err)
	return size.Takes[slices.IndexFunc(k.Roles, func(r knot.Role) bool { return r.Works })]
}

// HarbourSteps is the sheet that the help shows.
const HarbourSteps = vocabulary.Sample
