package sizing_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/swatch"
	"larkfold/sizing/trace"
)

func byTheBook() sizing.Maker { return sizing.Maker{Book: knot.Standard()} }

func sizedOf(t testing.TB, text string, m sizing.Maker) sizing.Sized {
	t.Helper()
	sized, err := sizing.Size(context.Background(), text, m)
	require.NoError(t, err)
	return sized
}

const small = `cord main 4 mm single-strand
panel front
  mount 4 folded
  net square rows 4
  tail 15 cm
`

// demos are the demo sheets.
func demos(t testing.TB) map[string]string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("..", "testdata", "sheets", "*.sheet"))
	require.NoError(t, err)
	require.NotEmpty(t, files)
	texts := map[string]string{}
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		texts[filepath.Base(file)] = string(text)
	}
	return texts
}

func TestDemoSheetsAreSized(t *testing.T) {
	for name, text := range demos(t) {
		sized := sizedOf(t, text, byTheBook())
		require.NotEmpty(t, sized.List.Cuts, name)
		require.Same(t, knot.Standard(), sized.Book, name)
		require.Equal(t, sized, sizedOf(t, text, sizing.Maker{}), "%s: a maker without a book has the standard one", name)
		again := sizedOf(t, sheet.Format(sized.Sheet), byTheBook())
		require.Equal(t, sized.List, again.List, "%s: the canonical form is cut the same", name)
	}
}

// Terms are the sheet's own, else the maker's, else the defaults.
func TestTerms(t *testing.T) {
	terms := func(head string, m sizing.Maker) cutlist.Terms {
		m.Book = knot.Standard()
		return sizedOf(t, head+small, m).List.Terms
	}
	require.Equal(t, cutlist.Terms{Margin: 0.10, Tying: trace.TyingTail(), Step: 5 * length.Centimetre}, terms("", sizing.Maker{}))
	mine := sizing.Maker{Margin: 0.2, Step: length.Inch}
	require.Equal(t, cutlist.Terms{Margin: 0.2, Tying: trace.TyingTail(), Step: length.Inch}, terms("", mine))
	require.Equal(t, cutlist.Terms{Margin: 0, Tying: trace.TyingTail(), Step: length.Centimetre, Economy: true}, terms("margin 0%\nround up to 1 cm\neconomy\n", mine))
	require.EqualValues(t, 2, terms("margin 200%\n", mine).Margin)
}

// A maker whose knots take more cord is told to cut more; taller knots hang lower.
func TestHandsCorrectTheBook(t *testing.T) {
	book := sizedOf(t, small, byTheBook())
	m := byTheBook()
	own := swatch.Hand{TakeUp: swatch.Factor{Mean: 1.2}, Height: swatch.Factor{Mean: 1.1}}
	m.Hands = map[string]trace.Hand{"main": {Knots: swatch.Hands{knot.Square: own}}}
	mine := sizedOf(t, small, m)
	require.InEpsilon(t, 1.2, float64(mine.Ends[0].TakeUp)/float64(book.Ends[0].TakeUp), 0.05)
	require.Greater(t, mine.Panels[0].Worked, book.Panels[0].Worked)
	m.Hands = map[string]trace.Hand{"other": {Knots: swatch.Hands{knot.Square: own}}}
	require.Equal(t, book.List, sizedOf(t, small, m).List)
}

// A factor is for its own family: square knots do not change what a mount or a bar
// takes, and the other way round. A mount is as high as its rod, whoever ties it.
func TestHandsCorrectTheirFamily(t *testing.T) {
	const text = `cord main 4 mm
panel p
  mount 4 folded
  row square
  bar left to right
`
	book := sizedOf(t, text, byTheBook())
	for _, family := range knot.Families() {
		m := byTheBook()
		m.Hands = map[string]trace.Hand{"main": {Knots: swatch.Hands{family: {TakeUp: swatch.Factor{Mean: 1.2}, Height: swatch.Factor{Mean: 1.3}}}}}
		mine := sizedOf(t, text, m)
		require.Equal(t, family == knot.Mounts, mine.Ends[0].Mount > book.Ends[0].Mount, family)
		for i, u := range book.Ends[1].Uses {
			require.Equal(t, u.Family == family, mine.Ends[1].Uses[i].Takes > u.Takes, "%s, %s", family, u.Knot)
		}
		require.Equal(t, family == knot.Square || family == knot.Hitches, mine.Panels[0].Worked > book.Panels[0].Worked, family)
	}
}

// Faults of notation and of geometry both come back with a picture.
func TestFaultsHaveAPicture(t *testing.T) {
	for _, text := range []string{"cord main 4 mm\npanel p\n  mounnt 4 folded\n", "cord main 4 mm\npanel p\n  mount 5 folded\n  row square\n"} {
		_, err := sizing.Size(context.Background(), text, byTheBook())
		var faults sheet.Faults
		require.ErrorAs(t, err, &faults)
		require.Contains(t, faults.Error(), "^")
	}
}

// Counts at their limits are answered or refused, and an ended context ends the work.
func TestHugeSheets(t *testing.T) {
	if testing.Short() {
		t.Skip("large sheets, one after the other")
	}
	for _, c := range []struct{ name, steps string }{
		{"ends", "mount 1000 folded\nnet square rows 401\n"},
		{"knots of a sinnet", "mount 2 folded\nsinnet square times 200000\n"},
		{"too many knots", "mount 1000 folded\nsinnet square for 1 km\n"},
		{"too many hitches", "mount 1000 folded\nbar left to right times 200000\n"},
		{"a kilometre of plait", "mount 999 folded\nplait for 1 km\nspace 1 km\ntail 1 km\n"},
		{"a kilometre of wrap", "mount 1000 folded\nwrap length 1 km\n"},
		{"a slope that hardly falls", "mount 1000 folded\nbar left to right slope 89.9\n"},
		{"fringe", "mount 2 folded\nsinnet square times 90000 apart 2 cm\ntail 1 km\nfringe 1 km by 100 on both of p\n"},
		{"a deep arc", "mount 2 folded\nswag 90 over 0.1 mm drop 1 km\n"},
	} {
		text := "cord main 4 mm, spool 1 m 10 g 1.00\npanel p\n" + c.steps
		sized, err := sizing.Size(context.Background(), text, byTheBook())
		if err == nil {
			for _, total := range sized.List.Totals {
				require.Positive(t, total.Length, c.name)
			}
		} else {
			var faults sheet.Faults
			require.ErrorAs(t, err, &faults, c.name)
		}
		ctx, cancel := context.WithCancel(context.Background())
		cancel()
		if err == nil {
			_, err = sizing.Size(ctx, text, byTheBook())
			require.ErrorIs(t, err, context.Canceled, c.name)
		}
	}
}

func ExampleSize() {
	sized, err := sizing.Size(context.Background(), `piece Gull
cord main 4 mm single-strand
dowel 20 cm x 20 mm
panel front
  mount 8 folded
  net square rows 6
  wrap turns 5
  tail 15 cm
`, sizing.Maker{Book: knot.Standard()})
	if err != nil {
		fmt.Println(err)
		return
	}
	var style length.Style
	for _, c := range sized.List.Cuts {
		fmt.Println(c.Label, c.Count, "x", style.Cut(c.Length), c.For)
	}
	fmt.Println("total", style.Format(sized.List.Totals[0].Length))
	// Output:
	// A 8 x 1.05 m front
	// B 1 x 40 cm wrap on front
	// total 8.80 m
}

func ExampleSize_faults() {
	_, err := sizing.Size(context.Background(), `cord main 4 mm
panel front
  mount 5 folded
  row square
`, sizing.Maker{Book: knot.Standard()})
	fmt.Println(err)
	// Output:
	// line 4, column 3: 10 ends make 2 groups of 4 and leave 2 over; change the number of ends, the group ("of") or the edge ("skip")
	//   4 |   row square
	//     |   ^
}

// A cord that nobody can have is a fault of its line, whoever put it together.
func TestImpossibleCordsAreRefused(t *testing.T) {
	const text = "cord main 4 mm\npanel a\nmount 4 folded\nnet square rows 4\n"
	squashed := byTheBook()
	squashed.Hands = map[string]trace.Hand{"main": {Squeeze: 8}}
	_, err := sizing.Size(t.Context(), text, squashed)
	require.ErrorContains(t, err, "its squeeze is out of range")

	s, faults := sheet.Parse(text, knot.Standard())
	require.NoError(t, faults.Err())
	s.Cords[0].Thickness = 4 * length.Metre
	_, err = sizing.Sheet(t.Context(), s, text, byTheBook())
	require.ErrorContains(t, err, "a thickness of 4 m is more than 60 mm")
}
