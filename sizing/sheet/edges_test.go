package sheet_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/cord"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/sheettest"
)

// The last that a line may say, the first that it may not, and what is said to that.
func TestBothSidesOfEveryEdge(t *testing.T) {
	letters := func(n int) string { return strings.Repeat("n", n) }
	for _, c := range []struct{ good, bad, says string }{
		{"piece " + letters(80), "piece " + letters(81), "is too long for the name of a piece: the most is 80 characters"},
		{"dowel 60 cm x 20 mm " + letters(40), "dowel 60 cm x 20 mm " + letters(41), "is no wood: a name such as birch was expected, or nothing"},
		{"dowel 60 cm x 20 mm red oak", "dowel 60 cm x 20 mm 2nd oak", "is no wood"},
		{"dowel 21 mm x 20 mm", "dowel 20 mm x 20 mm", "is thicker than long: the length comes first, then the thickness"},
		{"ring 41 mm x 20 mm", "ring 40 mm x 20 mm", "leaves no hole in the ring: its diameter comes first, then the thickness of the rod"},
		{"copies 1000", "copies 1001", "is too many copies: the most is 1000"},
		{"copies 1", "copies 0", "is too few copies: the least is 1"},
		{"cord a 100 mm", "cord a 101 mm", "is too much for the thickness of the cord: thickness is mostly given in mm, such as 5 mm, and the most is 100 mm"},
		{"cord a 0.1 mm", "cord a 0.09 mm", "is too little for the thickness of the cord: the least is 0.1 mm"},
		{"cord a 4 mm squeeze 0.3", "cord a 4 mm squeeze 0.299", "is out of range for a squeeze"},
		{"cord a 4 mm squeeze 1.2", "cord a 4 mm squeeze 1.201", "is out of range for a squeeze"},
		{"cord a 4 mm, spool 100 km", "cord a 4 mm, spool 101 km", "is too much for the length on the spool: the most is 100 km"},
		{"cord a 4 mm, spool 100 m 0.01", "cord a 4 mm, spool 100 m 0.00", "is no price: leave it out when there is none"},
		{"bead 15 mm hole 200 mm", "bead 15 mm hole 201 mm", "is too much for a bead's hole: the most is 200 mm"},
		{"hanger angle 0.1", "hanger angle 0", "is no angle for a hanger: more than 0 and less than 90 was expected"},
		{"hanger angle 89.9", "hanger angle 90", "is no angle for a hanger: more than 0 and less than 90 was expected"},
		{"hanger rise 100 m", "hanger rise 101 m", "is too much for how high the hook is above the rod: the most is 100 m"},
		{"row square on 1-4, 5-8", "row square on 1-4, 4-8", "names end 4 a second time"},
		{"row square on 3-4, 1-2", "row square on 5-6, 3-5", "names end 5 a second time"},
		{"row square on 4", "row square on 4, 4", "names end 4 a second time"},
		{"row square on 1-2000", "row square on 1-2001", "is too many ends: the most is 2000"},
		{"tail 1 km", "tail 1001 m", "is too much for the tail: the most is 1 km"},
		{"repeat 2\nrow square\nend", "repeat 1\nrow square\nend", "is too few times: the least is 2"},
		{"repeat 100\nrow square\nend", "repeat 101\nrow square\nend", "is too many times: the most is 100"},
		{"fringe 22 cm by 100 on left of wave", "fringe 22 cm by 101 on left of wave", "is too many pieces to a loop: the most is 100"},
		{"swag 2000 over 40 cm drop 25 cm", "swag 2001 over 40 cm drop 25 cm", "is too many cords: the most is 2000"},
		{"leaf 1 from 8 cm to 3 cm", "leaf 0 from 8 cm to 3 cm", "is too few pairs of cords: the least is 1"},
	} {
		_, faults := sheet.Parse(around(c.good), sheettest.Book{})
		require.NoError(t, faults.Err(), c.good)
		_, faults = sheet.Parse(around(c.bad), sheettest.Book{})
		require.ErrorContains(t, faults.Err(), c.says, c.bad)
	}
}

// A name that a head line gave is meant before the word that a fringe could hang on too.
func TestAFootMayBeARodOrAnEdge(t *testing.T) {
	const head = "cord main 4 mm\ndowel 60 cm x 20 mm\ndowel foot 50 cm x 10 mm\npanel wave\nmount 12 folded\nfringe 20 cm by 2 each 1 cm on "
	for where, want := range map[string]sheet.Fringe{
		"foot":         {Rod: "foot"},
		"foot of wave": {Side: sheet.Foot, Panel: "wave"},
		"rod":          {Rod: "rod"},
		"left of wave": {Side: sheet.LeftEdge, Panel: "wave"},
	} {
		s, faults := sheet.Parse(head+where+"\n", sheettest.Book{})
		require.NoError(t, faults.Err(), where)
		got := s.Fringes[0]
		require.Equal(t, want, sheet.Fringe{Rod: got.Rod, Side: got.Side, Panel: got.Panel}, where)
	}
	_, faults := sheet.Parse(head+"left of sea\nfringe 20 cm by 2 on foot of wave\n", sheettest.Book{})
	require.Len(t, faults.Shown, 2)
	require.Equal(t, "fringe 20 cm by 2 each 1 cm on foot of wave", faults.Shown[1].Right)
}

func TestHowACordIsMade(t *testing.T) {
	for said, want := range map[string]cord.Construction{"": cord.SingleStrand, "single-strand": cord.SingleStrand, "plied": cord.Plied, "braided": cord.Braided, "felted": cord.SingleStrand} {
		require.Equal(t, want, sheet.Cord{Construction: said}.Made(), said)
	}
}

// Lengths, spools and masses are written in the unit that leaves the fewest digits.
func TestUnitsThatAreWritten(t *testing.T) {
	for _, c := range []struct{ typed, printed string }{
		{"tail 9.99 mm", "tail 9.99 mm"},
		{"tail 10 mm", "tail 1 cm"},
		{"tail 999 mm", "tail 99.9 cm"},
		{"tail 100 cm", "tail 1 m"},
		{"tail 1/8 in", "tail 1/8 in"},
		{"tail 3/64 in", "tail 3/64 in"},
		{"tail 5 6/64 in", "tail 5 3/32 in"},
		{"tail 1 ft 1/16 in", "tail 1 ft 1/16 in"},
		{"tail 2 ft 1 1/16 in", "tail 2 ft 1 1/16 in"},
		{"cord a 4 mm, spool 12 ft", "cord a 4 mm, spool 4 yd"},
		{"cord a 4 mm, spool 13 ft", "cord a 4 mm, spool 13 ft"},
		{"cord a 4 mm, spool 50 in", "cord a 4 mm, spool 1.27 m"},
		{"cord a 4 mm, spool 250 cm", "cord a 4 mm, spool 2.5 m"},
		{"cord a 4 mm, spool 100 m 2000 g", "cord a 4 mm, spool 100 m 2 kg"},
		{"cord a 4 mm, spool 100 m 2001 g", "cord a 4 mm, spool 100 m 2001 g"},
		{"cord a 4 mm, spool 100 m 2 lb", "cord a 4 mm, spool 100 m 2 lb"},
		{"cord a 4 mm, spool 100 m 33 oz", "cord a 4 mm, spool 100 m 33 oz"},
		{"copies 1", ""},
		{"copies 2", "copies 2"},
	} {
		s, faults := sheet.Parse(around(c.typed), sheettest.Book{})
		require.NoError(t, faults.Err(), c.typed)
		var lines []string
		for _, line := range strings.Split(sheet.Format(s), "\n") {
			lines = append(lines, strings.TrimSpace(line))
		}
		if c.printed == "" {
			require.NotContains(t, lines, c.typed)
			continue
		}
		require.Contains(t, lines, c.printed, c.typed)
	}
	require.NotContains(t, sheet.Format(sheet.Sheet{Copies: 1}), "copies")
}

// A remark comes back where it stood, with its sign.
func TestRemarksAreTidied(t *testing.T) {
	s := sheet.Sheet{
		Piece: "Tide # Line", PieceAt: sheet.Place{Line: 2, Column: 1},
		Cords:   []sheet.Cord{{Place: sheet.Place{Line: 4, Column: 1}, Name: "main", Thickness: 4 * length.Millimetre}},
		Economy: true,
		Remarks: []sheet.Remark{{Line: 1, Text: "first\nof all"}, {Line: 3, Text: "# between"}, {Line: 4, Text: "behind"}, {Line: 4, Text: "# and again"}, {Line: 9, Text: "# last"}},
	}
	require.Equal(t, "# first of all\npiece Tide Line\n# between\ncord main 4 mm  # behind\neconomy\n# and again\n# last\n", sheet.Format(s))
}

// A step asked of its facts: the places it names, and its lengths by how they go with
// the size of the work.
func TestFactsOfSteps(t *testing.T) {
	left, five := sheet.Position{Anchor: sheet.Left}, sheet.Position{Number: 5}
	bar := sheet.FactsOf(sheet.Bar{From: left, To: five, Apart: length.Centimetre})
	require.Equal(t, []*sheet.Position{&left, &five}, bar.Spots())
	require.Nil(t, bar.Knot())
	require.Nil(t, bar.On())
	require.Nil(t, bar.Of())
	require.Nil(t, bar.Hung())
	require.NotNil(t, bar.Count())
	tail := sheet.FactsOf(sheet.Tail{Length: length.Metre, To: 2 * length.Metre})
	down := tail.Lengths(sheet.Down)
	require.Len(t, down, 2)
	*down[1] = 3 * length.Metre
	require.Equal(t, 3*length.Metre, tail.Step().(sheet.Tail).To)
	require.Empty(t, tail.Lengths(sheet.Texture))
	require.Empty(t, tail.Spots())
	require.Nil(t, tail.Count())
	mount := sheet.FactsOf(sheet.Mount{Hung: []sheet.Hung{{Count: 3}}})
	require.Equal(t, 3, (*mount.Hung())[0].Count)
	row := sheet.FactsOf(sheet.Row{Knot: "square knot", Of: 6})
	require.Equal(t, "square knot", *row.Knot())
	require.Equal(t, 6, *row.Of())
	_, begins := sheet.FactsFor("crochet")
	require.False(t, begins)
}

func TestStepsInWords(t *testing.T) {
	require.Equal(t, "row square knot of 6 on left 4", sheet.StepText(sheet.Row{Knot: "square knot", Of: 6, On: sheet.Ends{Parts: []sheet.Span{{Kind: sheet.Leftmost, To: 4}}}}, length.Metric))
	require.Equal(t, "tail 1.5 m", sheet.StepText(sheet.Tail{Length: 1500 * length.Millimetre}, length.Metric))
	require.Equal(t, "dowel 60 cm x 20 mm", sheet.RodText(sheet.Rod{Length: 600 * length.Millimetre, Thickness: 20 * length.Millimetre}, length.Metric))
	require.Equal(t, "swag 3 over 60 cm drop 20 cm", sheet.SwagText(sheet.Swag{Count: 3, Over: 600 * length.Millimetre, Drop: 200 * length.Millimetre}, length.Metric))
}

// A line of sixty characters is shown whole; of a longer one what stands round the fault.
func TestTheWindowOfAFault(t *testing.T) {
	const ten = "abcdefghi "
	line := strings.Repeat(ten, 5) + "abcdefghij"
	picture := func(line string, column int, word string) []string {
		return strings.Split(sheet.NewFaults(line, []sheet.Fault{{Place: sheet.Place{Line: 1, Column: column}, Word: word, Text: "wrong"}}).Error(), "\n")
	}
	require.Equal(t, []string{"line 1, column 51: wrong", "  1 | " + line, "    | " + strings.Repeat(" ", 50) + strings.Repeat("^", 10)}, picture(line, 51, "abcdefghij"))
	long := line + "k"
	require.Equal(t, []string{"line 1, column 1: wrong", "  1 | " + strings.Repeat(ten, 5) + "abcdefghij…", "    | ^^^"}, picture(long, 1, "abc"))
	require.Equal(t, []string{"line 1, column 41: wrong", "  1 | …" + strings.Repeat(ten, 2) + "abcdefghi abcdefghijk", "    | " + strings.Repeat(" ", 21) + "^"}, picture(long, 41, "a"), "twenty before it")
	wide := strings.Repeat("綿", 31)
	require.Equal(t, []string{"line 1, column 21: wrong", "  1 | …" + strings.Repeat("綿", 21), "    | " + strings.Repeat(" ", 21) + "^^"}, picture(wide, 21, "綿"), "ten of two cells each before it")
}

func TestFaultsAreSortedAndCounted(t *testing.T) {
	const text = "one\ntwo\nthree"
	var found []sheet.Fault
	add := func(line, column int) {
		found = append(found, sheet.Fault{Place: sheet.Place{Line: line, Column: column}, Text: fmt.Sprintf("%d.%d", line, column)})
	}
	for _, at := range [][2]int{{3, 1}, {1, 3}, {0, 1}, {1, 1}, {2, 2}} {
		add(at[0], at[1])
	}
	said := func() string { return sheet.NewFaults(text, found).Error() }
	require.NotContains(t, said(), "more")
	shown := sheet.NewFaults(text, found).Shown
	var order, lines []string
	for _, f := range shown {
		order, lines = append(order, f.Text), append(lines, f.Line)
	}
	require.Equal(t, []string{"0.1", "1.1", "1.3", "2.2", "3.1"}, order)
	require.Equal(t, []string{"", "one", "one", "two", "three"}, lines)
	add(4, 1)
	require.Contains(t, said(), "\n\nand 1 more fault after these")
	add(4, 2)
	require.Contains(t, said(), "\n\nand 2 more faults after these")
}

// A panel's next line is read as the whole sheet with it would be.
func TestFurtherSteps(t *testing.T) {
	const text = "cord main 4 mm\npanel wave\n  mount 12 folded\n\npanel reed\n  mount 4 folded\n  row square\n# later\n\n\n"
	_, further, faults := sheet.NewFurther(text, 1, sheettest.Book{})
	require.NoError(t, faults.Err())
	for _, line := range []string{"row square", "  tail 20 cm # so", "net square until under wave"} {
		got, ok := further.Step(line)
		require.True(t, ok, line)
		require.Equal(t, 8, got.At().Line, "below the last one")
	}
	for _, line := range []string{"", "# nothing", "row sqare", "mount 2 folded", "gap 2 cm", "panel x", "row square\nrow square", "net square until under reed"} {
		_, ok := further.Step(line)
		require.False(t, ok, line)
	}
	_, first, _ := sheet.NewFurther("cord main 4 mm\npanel wave\n  mount 12 folded\npanel reed from wave\n", 1, sheettest.Book{})
	got, ok := first.Step("row square")
	require.True(t, ok)
	require.Equal(t, 5, got.At().Line, "below its name")
	_, none, faults := sheet.NewFurther("panel wave\n", 0, sheettest.Book{})
	require.Error(t, faults.Err())
	require.Nil(t, none)
}

// What one more line of a sheet may not pass.
func TestFurtherLimits(t *testing.T) {
	const head = "cord main 4 mm\npanel wave\n  mount 12 folded\n"
	fits := func(text, line string) bool {
		_, further, faults := sheet.NewFurther(text, 0, sheettest.Book{})
		require.NoError(t, faults.Err())
		_, ok := further.Step(line)
		return ok
	}
	lines := func(n int) string { return head + strings.Repeat("row square\n", n-3) }
	require.True(t, fits(lines(sheet.MostLines-1), "row square"))
	require.True(t, fits(lines(sheet.MostLines-1)+"\n\n\n", "row square"), "empty lines at the end are none")
	require.False(t, fits(lines(sheet.MostLines), "row square"))
	bytes := func(n int) string { return head + "#" + strings.Repeat("o", n-len(head)-2) + "\n" }
	room := len("row square") + 1
	require.True(t, fits(bytes(sheet.MostBytes-room), "row square"))
	require.False(t, fits(bytes(sheet.MostBytes-room+1), "row square"))
}

func TestNamesThatASheetCanHold(t *testing.T) {
	require.NoError(t, sheet.CheckKnotName(strings.Repeat("long ", 12)))
	require.ErrorContains(t, sheet.CheckKnotName(strings.Repeat("long ", 13)), "the name of a knot has one to 12 words")
	require.ErrorContains(t, sheet.CheckKnotName(",crown"), "cannot hold “,”")
	for name, want := range map[string]string{
		"sea-2":                 "",
		strings.Repeat("n", 40): "",
		strings.Repeat("n", 41): "“" + strings.Repeat("n", 40) + "…” is too long for the name of a cord: the most is 40 characters",
		"soft cotton":           "“soft cotton” cannot be the name of a cord: one word of letters, digits and hyphens",
		"left":                  "“left” cannot be the name of a cord: it is a word of the sheet",
	} {
		if want == "" {
			require.NoError(t, sheet.CheckCordName(name))
			continue
		}
		require.EqualError(t, sheet.CheckCordName(name), want)
	}
}
