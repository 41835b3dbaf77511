package sheet_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/sebdah/goldie/v2"
	"github.com/stretchr/testify/require"

	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/sheettest"
)

// refused are faulty sheets; their pictures are in testdata/refused.golden.
var refused = []struct{ name, text string }{
	{"empty", ""},
	{"only a comment", "# later\n"},
	{"no cord", "piece Tide\npanel wave\nmount 12 folded\n"},
	{"no panel", "piece Tide\ncord main 4 mm # the only one\n"},
	{"panel without cords", "cord main 4 mm\npanel wave\n  row square\n"},
	{"step before a panel", "cord main 4 mm\nmount 12 folded\nrow square\npanel wave\nmount 2 folded\n"},
	{"step after the panels", "cord main 4 mm\npanel wave\nmount 2 folded\nhanger rise 15 cm\ntail 20 cm\nwrap turns 3\n"},
	{"misspelt verb", around("tapr square")},
	{"misspelt panel", "cord main 4 mm\npannel wave\nmount 2 folded\nrow square\nfringe 4 cm by 2 on left of wave\n"},
	{"unknown verb", around("crochet a flower")},
	{"misspelt option", around("row square skpi 2")},
	{"unknown option", around("row square before lunch")},
	{"option twice", around("net square rows 3 of 4 rows 5")},
	{"misspelt knot", around("row sqare on 1-4")},
	{"unknown knot", around("row turkish carpet")},
	{"missing knot", around("row on 1-4")},
	{"missing knot at the end", around("row")},
	{"missing count", around("net square of 4")},
	{"count zero", around("net square rows 0")},
	{"count absurd", around("net square rows 200001")},
	{"count not whole", around("net square rows 6.5")},
	{"number too long for a machine", around("net square rows 99999999999999999999")},
	{"too many knots", around("sinnet half times 90000 on left 12")},
	{"count in words", around("sinnet half six times")},
	{"count zero before its word", around("sinnet half 0 times")},
	{"ends backwards", around("row square on 9-4")},
	{"ends twice", around("row square on 1-4, 3-6")},
	{"ends missing", around("row square on 1-4,")},
	{"ends unknown", around("row square on outside")},
	{"range open", around("row square on 1-")},
	{"shift on a flat panel", "cord main 4 mm\npanel wave\nmount 8 folded\nrow square shift 2\n"},
	{"bar goes nowhere", around("bar left to left")},
	{"bar without a goal", around("bar left")},
	{"bar to a strange place", around("bar left to centre")},
	{"slope too steep", around("bar left to middle slope 90")},
	{"plait too thin", around("plait of 2 for 20 cm")},
	{"plait without length", around("plait of 3")},
	{"wrap without size", around("wrap 6")},
	{"length missing", around("tail")},
	{"length without unit", around("tail 18")},
	{"length unknown unit", around("tail 18 parsec on 1-4")},
	{"length nothing", around("tail 0 cm")},
	{"length absurd", around("tail 30 km")},
	{"length with a thousand", around("tail 1,000 mm")},
	{"thickness in metres", around("cord a 5 m")},
	{"name missing", around("cord 4 mm single-strand")},
	{"name taken by the notation", around("cord left 4 mm")},
	{"name of two words", around("cord soft cotton 4 mm")},
	{"name too long", around("cord " + strings.Repeat("yarn-", 20) + " 4 mm")},
	{"piece without a name", around("piece")},
	{"name with a sign", around("cord a/b 4 mm")},
	{"cord named twice", "cord main 4 mm\ncord Main 5 mm\npanel a\nmount 2 folded\n"},
	{"construction misspelt", around("cord a 4 mm brayded")},
	{"construction unknown", around("cord a 4 mm fluffy")},
	{"spool without unit", around("cord a 4 mm, spool 100")},
	{"price below nothing", around("cord a 4 mm, spool 100 m -24.00")},
	{"price with a sign inside", around("cord a 4 mm, spool 100 m 24.+5")},
	{"price of nothing", around("cord a 4 mm, spool 100 m 0")},
	{"colour missing", around("cord a 4 mm plied colour")},
	{"colour misspelt", around("cord a 4 mm colour tael")},
	{"colour unknown", around("cord a 4 mm colour of the sea")},
	{"colour without its word", around("cord a 4 mm teal")},
	{"colour of five digits is a remark", around("cord a 4 mm colour #2f6f7")},
	{"squeeze too little", around("cord a 4 mm squeeze 0.29")},
	{"squeeze too much", around("cord a 4 mm squeeze 1.21")},
	{"squeeze in words", around("cord a 4 mm squeeze hard")},
	{"dowel without thickness", around("dowel 60 cm")},
	{"dowel with two lengths", around("dowel 60 cm 20 mm")},
	{"dowel turned round", around("dowel 20 mm x 60 cm")},
	{"dowel without unit", around("dowel 60 x 20")},
	{"ring without a hole", around("ring 25 mm x 20 mm")},
	{"margin without percent", around("margin 8")},
	{"margin absurd", around("margin 800%")},
	{"round up to what", around("round up")},
	{"too much on a line", around("economy please")},
	{"line twice", "margin 8%\ncord main 4 mm\nmargin 9%\npanel a\nmount 2 folded\n"},
	{"unknown cord", around("mount 4 folded mian")},
	{"unknown cord, none near", around("mount 4 folded green")},
	{"folded or what", around("mount 4 main")},
	{"folded misspelt", around("mount 4 foldd")},
	{"cord behind the side", around("row square\nadd 2 folded left main")},
	{"too many ends", around("mount 1500 folded")},
	{"mount too late", "cord main 4 mm\npanel a\nmount 2 folded\nrow square\nmount 4 folded\n"},
	{"gap too late", "cord main 4 mm\npanel a\nmount 2 folded\ngap 4 cm\nmount 2 folded\n"},
	{"mount in a joined panel", "cord main 4 mm\npanel a\nmount 2 folded\npanel b from a\nmount 4 folded\n"},
	{"panel named twice", "cord main 4 mm\npanel wave\nmount 2 folded\npanel WAVE\nmount 2 folded\n"},
	{"panel without a name", "cord main 4 mm\npanel\nmount 2 folded\n"},
	{"panel from without a name", "cord main 4 mm\npanel a\nmount 2 folded\npanel from a\n"},
	{"panel of two words", "cord main 4 mm\npanel left wave\nmount 2 folded\n"},
	{"joined from itself", "cord main 4 mm\npanel a\nmount 2 folded\npanel b from a, b\n"},
	{"joined from a later panel", "cord main 4 mm\npanel b from a\npanel a\nmount 2 folded\n"},
	{"joined from an unknown panel", "cord main 4 mm\npanel wave\nmount 2 folded\npanel b from wave, weve\n"},
	{"joined twice in one panel", "cord main 4 mm\npanel a\nmount 2 folded\npanel b from a,a\n"},
	{"joined in two panels", "cord main 4 mm\npanel a\nmount 2 folded\npanel b from a\npanel c from a\n"},
	{"under itself", around("net square until under wave")},
	{"under an unknown panel", around("net square until under rock")},
	{"add to nowhere", around("add 2 folded main")},
	{"fringe on no edge", around("fringe 22 cm by 2 on top of wave")},
	{"fringe of no panel", around("fringe 22 cm by 2 on left of sea")},
	{"swag without a drop", around("swag 6 over 40 cm")},
	{"hanger angle", around("hanger angle 120")},
	{"hanger neither", around("hanger 15 cm")},
	{"tabs", "cord main 4 mm\npanel wave\n\tmount 8 folded\n\trow\tsquare\tof\tfuor\n"},
	{"wide characters", "cord 綿 4 mm\npanel 波\nmount 8 folded 綿綿 \nrow square\n"},
	{"combining marks", "cord a 4 mm\npanel e\u0301te\u0301 rounnd\nmount 8 folded\n"},
	{"characters that cannot be seen", "cord a 4 mm\npanel wa\u202Eve\nmount 8 folded\nrow \x01\n"},
	{"bytes that are no text", "cord a 4 mm\npanel wave\nmount 8 folded\nrow squ\xffre\n"},
	{"long line", "cord a 4 mm\npanel wave\nmount 8 folded\nrow square on 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19 and all the others that hang there and have no knot yet\n"},
	{"more than five faults", "cord main 4 mm\npanel wave\nmount 0 folded\nrow\nnet\ntaper\ntail\ntail 0 mm\nspace\n"},
	{"too many lines", "cord main 4 mm\npanel wave\nmount 2 folded\n" + strings.Repeat("# more\n", 200) + "row square\n"},
	{"too many bytes", "cord main 4 mm\npanel wave\nmount 2 folded\n# " + strings.Repeat("more ", 4000) + "\nrow square\n"},
}

func TestRefused(t *testing.T) {
	var b strings.Builder
	for _, c := range refused {
		_, faults := sheet.Parse(c.text, sheettest.Book{})
		require.Error(t, faults.Err(), c.name)
		fmt.Fprintf(&b, "== %s\n%s\n\n", c.name, faults.Error())
	}
	goldie.New(t).Assert(t, "refused", []byte(b.String()))
}

// Every right line is accepted in the sheet it stands in: in the place of the
// wrong one, or above or below it where a line is missing.
func TestRightLinesAreRight(t *testing.T) {
	tried := 0
	for _, c := range refused {
		_, faults := sheet.Parse(c.text, sheettest.Book{})
		for _, f := range faults.Shown {
			if f.Right == "" {
				continue
			}
			tried++
			require.True(t, sheettest.Accepted(c.text, f, sheettest.Book{}), "%s: %s", c.name, f.Right)
		}
	}
	require.Greater(t, tried, 90)
}

func TestReadsWhatItCan(t *testing.T) {
	s, faults := sheet.Parse("cord main 4 mm\npanel wave\nmount 8 folded\nrow sqare\ntail 18 cm\nhangar rise 4 cm\n", sheettest.Book{})
	require.Len(t, faults.Shown, 2)
	require.Equal(t, "cord main 4 mm\n\npanel wave\n  mount 8 folded\n  tail 18 cm\n", sheet.Format(s))
}

func TestFaultsOfOthers(t *testing.T) {
	text := "cord main 4 mm\npanel wave\n  mount 2 folded\n  row square of 12\n"
	faults := sheet.NewFaults(text, []sheet.Fault{
		{Place: sheet.Place{Line: 4, Column: 3}, Text: "the row needs 12 ends: panel wave has 4", Right: "row square of 4"},
		{Place: sheet.Place{Line: 99, Column: 7}, Text: "a place that is not there"},
	})
	require.EqualError(t, faults.Err(), `line 4, column 3: the row needs 12 ends: panel wave has 4
  4 |   row square of 12
    |   ^
right: row square of 4

line 99, column 7: a place that is not there
 99 | 
    | ^`)
	require.NoError(t, sheet.NewFaults(text, nil).Err())
}

// A wrap says how long it is in one of three ways, and is told all three.
func TestAWrapIsToldItsWays(t *testing.T) {
	_, faults := sheet.Parse("cord main 4 mm\npanel p\n  mount 4 folded\n  wrap on 1-4\n", sheettest.Book{})
	require.Len(t, faults.Shown, 1)
	require.Equal(t, "how long? say turns 6, for 3 cm or cord 60 cm", faults.Shown[0].Text)
}
