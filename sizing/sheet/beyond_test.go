package sheet_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/sheettest"
)

// What no line may say is found as reading it would.
func TestBeyondTheLimits(t *testing.T) {
	const text = "cord main 4 mm\ndowel 60 cm x 20 mm\nring low 20 cm x 5 mm\npanel p\n  mount 12 folded\n  net square rows 6 apart 2 cm\n" +
		"  sinnet square for 20 cm\n  repeat 3\n    row square\n  end\n  bead 15 mm\n  tail 18 cm\n" +
		"fringe 20 cm by 2 on left of p\nfringe 20 cm by 2 each 1 cm on foot of p\nswag 3 over 40 cm drop 20 cm\nhanger rise 15 cm\n"
	whole, faults := sheet.Parse(text, sheettest.Book{})
	require.NoError(t, faults.Err())
	require.Empty(t, whole.Beyond())
	step := func(i int, change func(sheet.Facts)) func(*sheet.Sheet) {
		return func(s *sheet.Sheet) {
			f := sheet.FactsOf(s.Panels[0].Steps[i])
			change(f)
			s.Panels[0].Steps[i] = f.Step()
		}
	}
	number := func(i, amount, n int) func(*sheet.Sheet) {
		return step(i, func(f sheet.Facts) { *f.Amounts[amount].Number = n })
	}
	long := func(i, amount int, l length.Length) func(*sheet.Sheet) {
		return step(i, func(f sheet.Facts) { *f.Amounts[amount].Length = l })
	}
	const mount, net, sinnet, repeat, row, bead, tail = 0, 1, 2, 3, 4, 6, 7
	cords := func(n int) func(*sheet.Sheet) {
		return step(mount, func(f sheet.Facts) { (*f.Hung())[0].Count = n })
	}
	rows := func(n int) func(*sheet.Sheet) { return step(net, func(f sheet.Facts) { f.Count().N = n }) }
	for name, c := range map[string]struct{ within, beyond func(*sheet.Sheet) }{
		"length of a dowel":    {func(s *sheet.Sheet) { s.Rod.Length = length.Kilometre }, func(s *sheet.Sheet) { s.Rod.Length += length.Kilometre }},
		"no length of a dowel": {func(s *sheet.Sheet) { s.Rod.Length = 21 * length.Millimetre }, func(s *sheet.Sheet) { s.Rod.Length = 0 }},
		"thicker than long":    {func(s *sheet.Sheet) { s.Rod.Length = 21 * length.Millimetre }, func(s *sheet.Sheet) { s.Rod.Length = 20 * length.Millimetre }},
		"thick dowel":          {func(s *sheet.Sheet) { s.Rod.Thickness = 500 * length.Millimetre }, func(s *sheet.Sheet) { s.Rod.Thickness = 501 * length.Millimetre }},
		"hole of a ring":       {func(s *sheet.Sheet) { s.More[0].Length = 11 * length.Millimetre }, func(s *sheet.Sheet) { s.More[0].Length = length.Centimetre }},
		"ends":                 {cords(sheet.MostEnds / 2), cords(sheet.MostEnds/2 + 1)},
		"knots":                {rows(sheet.MostKnots/6 - 3), rows(sheet.MostKnots / 6)},
		"rows":                 {rows(1000), rows(sheet.MostKnots + 1)},
		"repeats":              {number(repeat, 0, sheet.MostRepeats), number(repeat, 0, sheet.MostRepeats+1)},
		"fewest repeats":       {number(repeat, 0, sheet.LeastRepeats), number(repeat, 0, sheet.LeastRepeats-1)},
		"skipped ends":         {number(row, 2, sheet.MostEnds), number(row, 2, sheet.MostEnds+1)},
		"apart":                {long(net, 4, length.Millimetre/10), long(net, 4, length.Millimetre/20)},
		"tail":                 {long(tail, 0, length.Kilometre), long(tail, 0, length.Kilometre+length.Metre)},
		"bead":                 {long(bead, 0, length.Kilometre), long(bead, 0, length.Kilometre+length.Metre)},
		"reach":                {step(sinnet, func(f sheet.Facts) { f.Count().For = length.Kilometre }), step(sinnet, func(f sheet.Facts) { f.Count().For = 2 * length.Kilometre })},
		"drop of a fringe":     {func(s *sheet.Sheet) { s.Fringes[0].Drop = length.Kilometre }, func(s *sheet.Sheet) { s.Fringes[0].Drop = 2 * length.Kilometre }},
		"pieces of fringe":     {func(s *sheet.Sheet) { s.Fringes[1].Each = length.Kilometre }, func(s *sheet.Sheet) { s.Fringes[1].Each = 2 * length.Kilometre }},
		"swag":                 {func(s *sheet.Sheet) { s.Swags[0].Over = length.Kilometre }, func(s *sheet.Sheet) { s.Swags[0].Over = 2 * length.Kilometre }},
		"depth of a swag":      {func(s *sheet.Sheet) { s.Swags[0].Drop = length.Kilometre }, func(s *sheet.Sheet) { s.Swags[0].Drop = 2 * length.Kilometre }},
		"rise":                 {func(s *sheet.Sheet) { s.Hanger.Rise = 100 * length.Metre }, func(s *sheet.Sheet) { s.Hanger.Rise = 101 * length.Metre }},
	} {
		t.Run(name, func(t *testing.T) {
			s := whole.Copy()
			c.within(&s)
			_, faults := sheet.Parse(sheet.Format(s), sheettest.Book{})
			require.NoError(t, faults.Err())
			require.Empty(t, s.Beyond())
			s = whole.Copy()
			c.beyond(&s)
			s, text := s.Placed()
			_, faults = sheet.Parse(text, sheettest.Book{})
			require.NotEmpty(t, faults.Shown)
			found := s.Beyond()
			require.NotEmpty(t, found)
			require.Equal(t, faults.Shown[0].Text, found[0].Text)
			require.Equal(t, faults.Shown[0].Place.Line, found[0].Place.Line)
		})
	}
}
