package sheet_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/sheettest"
)

// The weight of a sheet counted by hand: the knots of its rows, and where it does not
// say how many there are, rows of three cords' height or a hundred of them.
func TestWeightByHand(t *testing.T) {
	const mount = "cord main 4 mm\npanel p\n  mount 10 folded\n" // five groups of four
	for text, want := range map[string]int{
		mount:                                                                         0,
		mount + "  space 3 cm\n  tail 20 cm\n":                                        0,
		mount + "  row square\n":                                                      5,
		mount + "  row square of 6\n":                                                 3,
		mount + "  row square on left 8, 9-16\n":                                      4,
		mount + "  net square rows 7\n":                                               5 * 7,
		mount + "  sinnet square times 7 on 1-4\n":                                    7,
		mount + "  sinnet square for 12 cm on 1-4\n":                                  10 + 1,
		"cord thick 8 mm\n" + mount + "  sinnet square for 12 cm on 1-4\n":            10 + 1, // the thinnest cord has the most
		"cord thin 2 mm\n" + mount + "  sinnet square for 12 cm on 1-4\n":             20 + 1,
		mount + "  taper square\n":                                                    5 * 100,
		mount + "panel q\n  mount 4 folded\n  net square until under p\n":             2 * 100,
		mount + "  bar left to right\n":                                               19,
		mount + "  bar right to left times 3\n":                                       19 * 3,
		mount + "  bar left to middle\n":                                              9, // 1 to 10, and 20 to 11
		mount + "  bar right to middle\n":                                             9,
		mount + "  bar middle to right\n":                                             10,
		mount + "  add 2 single left\n  bar left to right\n":                          21,
		mount + "  bar 3 to 12 times 4\n":                                             9 * 4,
		mount + "  bar 12 to 3\n":                                                     9,
		mount + "  repeat 3\n    row square\n  end\n  row square\n":                   5*3 + 5,
		mount + "  add 4 folded left\n  row square\n":                                 7,
		mount + "  add 4 single left\n  row square\n":                                 6,
		mount + "panel q\n  mount 2 folded\npanel r from p, q\n  row square\n":        6,
		"cord main 4 mm\npanel p both ways\n  mount 8 laid\n  row square\n":           2, // half of the ends
		"cord main 4 mm\npanel p\n  mount 4 laid, 4 single\n  row square\n":           3,
		mount + "  repeat 2\n    add 2 folded left\n  end\n  row square of 4\n":       7,
		mount + "panel q\n  mount 2 folded\n  row square\n  row square\n  row half\n": 3,
	} {
		s, faults := sheet.Parse(text, sheettest.Book{})
		require.NoError(t, faults.Err(), text)
		require.Equal(t, want, s.Weight(), text)
	}
}

// Positions among ends, counted from 0: seven ends have a middle one, of eight the
// middle is the last of the left half, and for a carrier from the right the first of its own.
func TestPositionsAmongEnds(t *testing.T) {
	middle := sheet.Position{Anchor: sheet.Middle}
	for _, c := range []struct {
		p          sheet.Position
		ends, from int
		want       int
	}{
		{sheet.Position{Anchor: sheet.Left}, 8, -1, 0},
		{sheet.Position{Anchor: sheet.Right}, 8, -1, 7},
		{sheet.Position{Number: 3}, 8, -1, 2},
		{middle, 8, -1, 3},
		{middle, 8, 0, 3},
		{middle, 8, 3, 3},
		{middle, 8, 4, 4},
		{middle, 8, 7, 4},
		{middle, 7, 0, 3},
		{middle, 7, 6, 3},
		{sheet.Position{Anchor: sheet.Middle, Number: 2}, 8, 0, 5},
		{sheet.Position{Anchor: sheet.Middle, Number: -2}, 8, 7, 2},
	} {
		require.Equal(t, c.want, c.p.Among(c.ends, c.from), "%v of %d from %d", c.p, c.ends, c.from)
	}
}

func TestWhatLies(t *testing.T) {
	const strap, panel = "panel strap both ways\n  mount 2 laid\n", "panel p\n  mount 2 folded\n"
	for text, lies := range map[string]bool{strap: true, panel: false, strap + panel: false, panel + strap: false} {
		s, faults := sheet.Parse("cord main 4 mm\n"+text, sheettest.Book{})
		require.NoError(t, faults.Err())
		require.Equal(t, lies, s.Lies(), text)
	}
	require.False(t, sheet.Sheet{}.Lies(), "nothing is there")
}
