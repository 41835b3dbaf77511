// Package picturetest helps to test pictures: sheets to draw, golden pictures, and what
// must be true of every page. Golden pictures are written anew with -update; look at
// each before keeping it.
package picturetest

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/stock"
)

// TideLine is a flat panel of most that there is: net, bars, sinnets, fringe.
const TideLine = `piece Tide Line
cord main 4 mm single-strand, spool 100 m 900 g 24.00
cord deep 4 mm plied
dowel 60 cm x 20 mm birch
margin 8%

panel wave
  mount 12 folded main
  row square
  net square rows 6
  taper square
  bar left to middle
  bar right to middle
  space 3 cm
  sinnet half times 12 on 1-4, 21-24
  gather left to middle
  gather right to middle
  wrap turns 6 with deep
  tail 18 cm
fringe 12 cm by 2 on left of wave
hanger rise 15 cm
`

// EveryKnot has a panel for every family of knots.
const EveryKnot = `piece Every knot
cord main 5 mm
cord deep 5 mm plied
cord rust 4 mm colour sienna
dowel 50 cm x 20 mm
panel a
  mount 1 folded main
  mount 1 folded deep
  sinnet square times 3
  space 2 cm
  sinnet half times 14
  tail 12 cm
panel b
  gap 3 cm
  mount 1 folded rust
  mount 1 folded main
  sinnet half hitch times 10
  space 2 cm
  sinnet vertical lark's head times 4
  tail 12 cm
panel c
  gap 3 cm
  mount 1 folded deep
  mount 1 folded main
  sinnet picot times 4 apart 1 cm
  sinnet berry times 1
  tail 12 cm
panel d
  gap 3 cm
  mount 3 single main
  mount 3 single deep
  row overhand of 2
  space 2 cm
  plait for 12 cm on 1-3
  plait for 12 cm on 4-6
  wrap turns 7 on 4-6 with rust
  tail 12 cm
panel e
  gap 3 cm
  mount 4 folded rust
  bar left to right
  bar right to left
  bar left to right slope 20
  tail 12 cm
swag 3 rust over 45 cm drop 25 cm
`

// TwoArms are panels that are joined.
const TwoArms = `piece Two Arms with a rather long name that goes on and on and will not fit
cord main 4 mm
dowel 60 cm x 20 mm birch
panel wave
  mount 4 folded main
  net square rows 20
panel reed
  gap 14 cm
  mount 4 folded
  net square rows 20
panel point from wave, reed
  row square on middle 4
  taper square
  add 2 folded left
  tail 20 cm
fringe 22 cm by 2 on left of wave
fringe 22 cm by 2 on right of reed
`

// Lantern is round, below a ring, and named in several scripts.
const Lantern = `piece Lantern 灯 🙂 שלום
cord main 4 mm
cord two 4 mm
ring 12 cm x 8 mm
panel drum round
  mount 6 folded main
  mount 6 folded two
  net square rows 9 apart 1 cm
  wrap turns 8
  tail 20 cm
hanger rise 30 cm
`

// KeyRing is as small as a piece can be.
const KeyRing = `piece Key ring
cord main 3 mm
panel k
  mount 2 folded
  sinnet square times 6
  tail 4 cm
`

// Size is a sheet sized with the book that everyone has.
func Size(t testing.TB, text string) sizing.Sized {
	t.Helper()
	sized, err := sizing.Size(context.Background(), text, sizing.Maker{Book: knot.Standard()})
	require.NoError(t, err)
	return sized
}

// Cutting is a plan from offcuts and spools, written out so that it does not
// change with the solver.
func Cutting(t testing.TB) stock.Plan {
	t.Helper()
	lengths := map[string]length.Length{"A": 250 * length.Centimetre, "B": 55 * length.Centimetre, "C": 30 * length.Centimetre}
	pieces := map[string]int{"A": 0, "B": 1, "C": 2}
	pattern := func(label string, long length.Length, offcut bool, times int, cuts string) stock.Pattern {
		p := stock.Pattern{Label: label, Length: long, Offcut: offcut, Times: times}
		at := length.Length(0)
		for _, c := range cuts {
			p.Cuts = append(p.Cuts, stock.Cut{Piece: pieces[string(c)], Start: at, Length: lengths[string(c)], Label: string(c)})
			at += lengths[string(c)] + length.Centimetre
		}
		require.LessOrEqual(t, at, long+length.Centimetre)
		p.Remainder = max(0, long-at)
		p.Keep = p.Remainder >= 20*length.Centimetre
		return p
	}
	return stock.Plan{
		Patterns: []stock.Pattern{
			pattern("", 70*length.Centimetre, true, 2, "CC"),
			pattern("from the owl", 3*length.Metre, true, 3, "AC"),
			pattern("from the owl", 3*length.Metre, true, 1, "BBCCCCCC"),
			pattern("spool", 30*length.Metre, false, 1, "AAAAAAAAAAABCCCCC"),
			pattern("spool", 30*length.Metre, false, 1, strings.Repeat("C", 18)),
		},
		Strips: 8, Spools: 2, Cuts: 53, Proved: true,
	}
}

// Cradle is a round panel of legs that are gathered by a wrap.
const Cradle = `piece Cradle
cord main 5 mm
ring 6 cm x 5 mm
ring foot 14 cm x 6 mm
panel cradle round
  mount 8 folded
  wrap turns 6
  sinnet half times 20
  space 14 cm
  row square shift 2
  space 8 cm
  onto foot
  row overhand of 4
  tail 20 cm
hanger rise 2 m
`

// Shade is a round panel that is hitched onto a second ring.
const Shade = `piece Shade
cord main 3 mm
ring 20 cm x 5 mm
ring low 26 cm x 5 mm
hang spread
panel shade round
  mount 24 folded
  net square rows 6 apart 1 cm
  onto low
  tail 8 cm
`

// NetOf is a plain net of square knots on so many folded cords.
func NetOf(t testing.TB, cords int) sizing.Sized {
	return Size(t, fmt.Sprintf(`piece Bench
cord main 4 mm
dowel %d cm x 20 mm
panel wave
  mount %d folded
  net square rows 24
  tail 20 cm
`, cords*2, cords))
}

// Demos are the sheets that every test of a whole picture goes through.
func Demos(t testing.TB) map[string]sizing.Sized {
	all := map[string]sizing.Sized{"net of 4": NetOf(t, 4), "net of 40": NetOf(t, 40), "net of 200": NetOf(t, 200)}
	for _, text := range []string{TideLine, EveryKnot, TwoArms, Lantern, KeyRing, Cradle, Shade} {
		sized := Size(t, text)
		all[sized.Sheet.Piece] = sized
	}
	return all
}
