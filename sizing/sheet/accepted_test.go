package sheet_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/sheettest"
)

// around is a whole sheet round one line: a head line, a step, or a line after
// the panels.
func around(line string) string {
	head, step, after := "", "", ""
	switch verb, _, _ := strings.Cut(strings.ToLower(strings.TrimSpace(line)), " "); verb {
	case "stick", "hoop", "piece", "cord", "dowel", "ring", "margin", "round", "economy":
		head = line + "\n"
	case "fringe", "swag", "garland", "hanger":
		after = line + "\n"
	case "mount", "gap":
		return "cord main 4 mm\ncord Rot 3 mm\npanel other\nmount 4 folded\npanel wave\n" + line + "\nmount 1 folded\n"
	default:
		step = line + "\n"
	}
	return "cord main 4 mm\ncord Rot 3 mm\n" + head + "panel other\nmount 4 folded\npanel wave round\nmount 12 folded\n" + step + after
}

// accepted are lines as people type them, with the line that is printed.
var accepted = []struct{ typed, printed string }{
	{"piece Tide  Line", "piece Tide Line"},
	{"PIECE  from A to B, 4 cm", "piece from A to B, 4 cm"},
	{"cord a 4 mm single-strand, spool 100 m 900 g 24.00", ""},
	{"cord a 4mm", "cord a 4 mm"},
	{"cord a 4", "cord a 4 mm"},
	{"cord a 4,5", "cord a 4.5 mm"},
	{"cord a 4,5 mm Single Strand,spool 100 m", "cord a 4.5 mm single-strand, spool 100 m"},
	{"cord a 3 twisted spool 50 m 24", "cord a 3 mm plied, spool 50 m 24.00"},
	{"cord a 1/8 in braided, spool 100 yd 1 1/2 lb 19,5", "cord a 1/8 in braided, spool 100 yd 24 oz 19.50"},
	{"cord a 1/4 in, spool 100 ft 8 oz", "cord a 6.35 mm, spool 100 ft 8 oz"},
	{"cord a 5 mm, spool 2.5 m 30", "cord a 5 mm, spool 2.5 m 30.00"},
	{"cord a 5 mm, spool 1 km 8 kg 99.9", "cord a 5 mm, spool 1000 m 8 kg 99.90"},
	{"cord a 5 mm, spool 100 m, 900 g, 24,00", "cord a 5 mm, spool 100 m 900 g 24.00"},
	{"cord a 5 mm, spool 100 m €24", "cord a 5 mm, spool 100 m 24.00"},
	{"cord a 4 mm rope", "cord a 4 mm plied"},
	{"cord a 4 mm 3-ply", "cord a 4 mm plied"},
	{"cord a 4 mm 3 ply, spool 50 m", "cord a 4 mm plied, spool 50 m"},
	{"cord a 4 mm single", "cord a 4 mm single-strand"},
	{"cord a 4 mm colour teal", ""},
	{"cord a 4 mm color Sea Green # soft", "cord a 4 mm colour seagreen  # soft"},
	{"cord a 4 mm plied colour #2f6F7a squeeze 0.8, spool 100 m", "cord a 4 mm plied colour #2f6f7a squeeze 0.8, spool 100 m"},
	{"cord a 4 mm plied squeeze 0,8 colour #2f6f7a #soft", "cord a 4 mm plied colour #2f6f7a squeeze 0.8  #soft"},
	{"cord a 4 mm colour #2f6f7a, squeeze 0.3", "cord a 4 mm colour #2f6f7a squeeze 0.3"},
	{"cord a 4 mm squeeze 1.2", ""},
	{"cord teal 4 mm", ""},
	{"sennit half times 3", "sinnet half knot times 3"},
	{"Rib left to middle", "bar left to middle"},
	{"decrease square rows 2", "taper square knot rows 2"},
	{"garland 6 over 40 cm drop 25 cm", "swag 6 over 40 cm drop 25 cm"},
	{"cord Ä-2 5 mm", ""},
	{"cord कपास 5 mm", ""},
	{"cord 8 5 mm", ""},
	{"dowel 60 cm x 20 mm birch", ""},
	{"dowel 60cmx20 red  oak", "dowel 60 cm x 20 mm red oak"},
	{"dowel 60 cm × 2 cm", "dowel 60 cm x 20 mm"},
	{"dowel 24 in x 3/4 in", "dowel 2 ft x 3/4 in"},
	{"ring 25 cm x 5 mm", ""},
	{"margin 8%", ""},
	{"margin 7,5 %", "margin 7.5%"},
	{"margin 8 percent", "margin 8%"},
	{"margin 0%", ""},
	{"round up to 5 cm", ""},
	{"Economy", "economy"},
	{"mount 12 folded main", ""},
	{"mount 3 SINGLE rot", "mount 3 single Rot"},
	{"gap 4 cm", ""},
	{"row square", "row square knot"},
	{"row square knot of 6 skip 2 shift 1 on all", "row square knot of 6 skip 2 shift 1"},
	{"row Vertical Lark’s Head on 1–4", "row vertical lark's head on 1-4"},
	{"row square skip 2 of 6", "row square knot of 6 skip 2"},
	{"net square rows 6", "net square knot rows 6"},
	{"net square, rows 6, of 6", "net square knot rows 6 of 6"},
	{"net square times 6", "net square knot rows 6"},
	{"net square for 20 cm apart 1,5 cm on 1-4, 9-12", "net square knot for 20 cm apart 1.5 cm on 1-4, 9-12"},
	{"net square on 1-4,9-12, 14 , 16 - 18 rows 3", "net square knot rows 3 on 1-4, 9-12, 14, 16-18"},
	{"net square on 1,3, rows 3", "net square knot rows 3 on 1, 3"},
	{"net half until under other", "net half knot until under other"},
	{"net half until under OTHER by 5 cm of 4", "net half knot until under other by 5 cm of 4"},
	{"net square 6 rows of 4", "net square knot rows 6 of 4"},
	{"bar 3 to 12 2 times", "bar 3 to 12 times 2"},
	{"taper square", "taper square knot"},
	{"taper square rows 3", "taper square knot rows 3"},
	{"widen square of 2 rows 3", "widen square knot rows 3 of 2"},
	{"sinnet half times 12 on 1-4, 21-24", "sinnet half knot times 12 on 1-4, 21-24"},
	{"sinnet overhand of 1 times 3 on left 4, right 4, middle 2", "sinnet overhand knot times 3 of 1 on left 4, right 4, middle 2"},
	{"bar left to middle", ""},
	{"bar from 3 to 12 times 2 slope 30° apart 2 mm", "bar 3 to 12 times 2 slope 30 apart 2 mm"},
	{"bar middle + 1 to middle−2 slope 12,5", "bar middle+1 to middle-2 slope 12.5"},
	{"bar right to 2 slope 0", "bar right to 2 level"},
	{"bar left to right level", ""},
	{"bar left to right apart 1 cm level times 2", "bar left to right times 2 level apart 1 cm"},
	{"gather middle to right", ""},
	{"plait for 20 cm", ""},
	{"plait of 4 for 2 m 30 on left 4", "plait of 4 for 2.3 m on left 4"},
	{"add 4 folded main left", ""},
	{"add 1 single at middle+1", ""},
	{"add 2 folded at right", "add 2 folded right"},
	{"wrap turns 6", ""},
	{"wrap 6 turns on 1-4", "wrap turns 6 on 1-4"},
	{"wrap for 3 cm with rot on 1-4", "wrap for 3 cm on 1-4 with Rot"},
	{"wrap 6 turns", "wrap turns 6"},
	{"wrap on left 4 cord 60 cm", "wrap cord 60 cm on left 4"},
	{"copies 4", ""},
	{"tie Pushed up", "tie pushed up"},
	{"tie relaxed", ""},
	{"hang touching", ""},
	{"hang relaxed", ""},
	{"hang spread", ""},
	{"ring low 30 cm x 5 mm", ""},
	{"dowel Foot 60 cm x 20 mm birch", ""},
	{"mount 4 folded main, 2 folded rot, 4 folded", "mount 4 folded main, 2 folded Rot, 4 folded"},
	{"mount 4 folded main,2 rot", "mount 4 folded main, 2 folded Rot"},
	{"mount 6 laid", ""},
	{"net square rows 4 shifted", "net square knot rows 4 shifted"},
	{"net square shifted, rows 4 of 6", "net square knot rows 4 of 6 shifted"},
	{"plait 4 of 8 for 20 cm", ""},
	{"plait 3 for 20 cm", "plait for 20 cm"},
	{"plait for 20 cm of 6", "plait of 6 for 20 cm"},
	{"onto rod", ""},
	{"bead 15 mm", "bead 1.5 cm"},
	{"bead 8 mm hole 5 mm of 2 on 1-4", ""},
	{"tassel 10 cm with 12 strands on left 2", ""},
	{"tassel 10 cm with 12 rot on left 2", "tassel 10 cm with 12 strands Rot on left 2"},
	{"leaf 10 from 8 cm to 3 cm rot on left 2", "leaf 10 from 8 cm to 3 cm Rot on left 2"},
	{"leaf 1 from 3cm to 3cm", "leaf 1 from 3 cm to 3 cm"},
	{"tail 15 cm to 30 cm at middle", ""},
	{"tail 15cm to 30cm at Edges on 1-4", "tail 15 cm to 30 cm at edges on 1-4"},
	{"tail 15 cm to 30 cm at left", ""},
	{"tail 15 cm to 5 cm at right", ""},
	{"fringe 22 cm by 2 each 1 cm on foot of wave", ""},
	{"fringe 22 cm by 2 each 1 cm on rod with rot", "fringe 22 cm by 2 each 1 cm on rod with Rot"},
	{"fringe 22 cm by 2 each 5 mm on left of wave", ""},
	{"space 4 ft 11 1/2 in on left 4", "space 4 ft 11 1/2 in on left 4"},
	{"space 1.5m", "space 1.5 m"},
	{"tail 18 cm", ""},
	{"tail 0.333 mm", ""},
	{"fringe 22 cm by 2 on left of wave", ""},
	{"fringe 22 cm by 2 on both of WAVE with rot", "fringe 22 cm by 2 on both of wave with Rot"},
	{"swag 6 over 40 cm drop 25 cm", ""},
	{"swag 6 rot over 40 cm drop 25 cm", "swag 6 Rot over 40 cm drop 25 cm"},
	{"hanger rise 15 cm", ""},
	{"hanger angle 45°", "hanger angle 45"},
}

func TestAccepted(t *testing.T) {
	for _, c := range accepted {
		t.Run(c.typed, func(t *testing.T) {
			want := c.printed
			if want == "" {
				want = c.typed
			}
			s, faults := sheet.Parse(around(c.typed), sheettest.Book{})
			require.NoError(t, faults.Err())
			var lines []string
			for _, line := range strings.Split(sheet.Format(s), "\n") {
				lines = append(lines, strings.TrimSpace(line))
			}
			require.Contains(t, lines, want)
		})
	}
}

func TestWholeSheet(t *testing.T) {
	s, faults := sheet.Parse(tideLine, knot.Standard())
	require.NoError(t, faults.Err())
	margin := 0.08
	want := sheet.Sheet{
		Piece: "Tide Line", PieceAt: sheet.Place{Line: 1, Column: 1},
		Cords: []sheet.Cord{{
			Place: sheet.Place{Line: 2, Column: 1}, Name: "main", Thickness: 4 * length.Millimetre, Construction: "single-strand",
			SpoolLength: 100 * length.Metre, SpoolMass: 900 * length.Gram, SpoolPrice: 2400,
		}},
		Rod:    &sheet.Rod{Place: sheet.Place{Line: 3, Column: 1}, Length: 60 * length.Centimetre, Thickness: 20 * length.Millimetre, Wood: "birch"},
		Margin: &margin, MarginAt: sheet.Place{Line: 4, Column: 1},
		Fringes: []sheet.Fringe{{Place: sheet.Place{Line: 32, Column: 1}, Drop: 22 * length.Centimetre, Pieces: 2, Panel: "wave"}},
		Hanger:  &sheet.Hanger{Place: sheet.Place{Line: 33, Column: 1}, Rise: 15 * length.Centimetre},
		Remarks: []sheet.Remark{{Line: 27, Text: "# joins the ends of finished panels, left to right"}},
	}
	at := func(line int) sheet.Place { return sheet.Place{Line: line, Column: 3} }
	left, right, middle := sheet.Position{Anchor: sheet.Left}, sheet.Position{Anchor: sheet.Right}, sheet.Position{Anchor: sheet.Middle}
	want.Panels = []sheet.Panel{
		{Place: sheet.Place{Line: 6, Column: 1}, Name: "wave", Steps: []sheet.Step{
			sheet.Mount{Place: at(7), Hung: []sheet.Hung{{Count: 12, Cord: "main"}}},
			sheet.Row{Place: at(8), Knot: "square knot"},
			sheet.Net{Place: at(9), Knot: "square knot", Rows: sheet.Count{N: 6}},
			sheet.Taper{Place: at(10), Knot: "square knot"},
			sheet.Bar{Place: at(11), From: left, To: middle},
			sheet.Bar{Place: at(12), From: right, To: middle},
			sheet.Space{Place: at(13), Length: 3 * length.Centimetre},
			sheet.Sinnet{
				Place: at(14), Knot: "half knot", Times: sheet.Count{N: 12},
				On: sheet.Ends{Parts: []sheet.Span{{From: 1, To: 4}, {From: 21, To: 24}}},
			},
			sheet.Bar{Place: at(15), Gather: true, From: left, To: middle},
			sheet.Bar{Place: at(16), Gather: true, From: right, To: middle},
			sheet.Wrap{Place: at(17), Turns: 6},
			sheet.Tail{Place: at(18), Length: 18 * length.Centimetre},
		}},
		{Place: sheet.Place{Line: 20, Column: 1}, Name: "reed", Steps: []sheet.Step{
			sheet.Gap{Place: at(21), Length: 4 * length.Centimetre},
			sheet.Mount{Place: at(22), Hung: []sheet.Hung{{Count: 4}}},
		}},
		{Place: sheet.Place{Line: 24, Column: 1}, Name: "shore", Steps: []sheet.Step{sheet.Mount{Place: at(25), Hung: []sheet.Hung{{Count: 12}}}}},
		{Place: sheet.Place{Line: 27, Column: 1}, Name: "point", From: []string{"shore", "reed"}, Steps: []sheet.Step{
			sheet.Row{Place: at(28), Knot: "square knot", On: sheet.Ends{Parts: []sheet.Span{{Kind: sheet.Middlemost, To: 4}}}},
			sheet.Taper{Place: at(29), Knot: "square knot"},
			sheet.Tail{Place: at(30), Length: 20 * length.Centimetre},
		}},
	}
	require.Equal(t, want, s)
}

func TestLineEndsAndMarksAreAlike(t *testing.T) {
	want, faults := sheet.Parse(tideLine, knot.Standard())
	require.NoError(t, faults.Err())
	for name, text := range map[string]string{
		"carriage returns and line feeds": strings.ReplaceAll(tideLine, "\n", "\r\n"),
		"carriage returns":                strings.ReplaceAll(tideLine, "\n", "\r"),
		"byte order mark":                 "\uFEFF" + tideLine,
		"capitals":                        strings.NewReplacer("panel", "PANEL", "row", "Row", "middle", "MIDDLE", "on", "ON").Replace(tideLine),
	} {
		got, faults := sheet.Parse(text, knot.Standard())
		require.NoError(t, faults.Err(), name)
		got.Remarks = want.Remarks
		require.Equal(t, want, got, name)
	}
}

func TestBookKnowsTheNamesOfTheTestBook(t *testing.T) {
	for _, name := range sheettest.Names() {
		canonical, ok := knot.Standard().Find(name)
		require.True(t, ok, name)
		require.Equal(t, name, canonical)
	}
}

func TestCheckKnotName(t *testing.T) {
	for _, k := range knot.Standard().Knots() {
		require.NoError(t, sheet.CheckKnotName(k.Name))
	}
	for name, want := range map[string]string{
		"":                  "the name of a knot has one to 12 words: “” has 0",
		"Crown On Top":      "the name of a knot cannot hold “On”: in a sheet that word ends the name",
		"crown, doubled":    "the name of a knot cannot hold “,”: in a sheet the name would end there",
		"monkey's fist # 2": "the name of a knot cannot hold “#”: in a sheet the name would end there",
	} {
		require.EqualError(t, sheet.CheckKnotName(name), want)
	}
}

func TestCommentsKeepTheirPlaces(t *testing.T) {
	const text = `# made for the hall
piece Tide Line # a first try
economy
cord main 4 mm   # from the market

   # three groups
panel wave # the left one

# cords
  mount 12 folded# twelve
  # and knots
  row square knot

# the end
`
	const want = `# made for the hall
piece Tide Line  # a first try
cord main 4 mm  # from the market
economy

# three groups
panel wave  # the left one
  # cords
  mount 12 folded  # twelve
  # and knots
  row square knot
# the end
`
	s, faults := sheet.Parse(text, sheettest.Book{})
	require.NoError(t, faults.Err())
	require.Equal(t, want, sheet.Format(s))
	again, faults := sheet.Parse(want, sheettest.Book{})
	require.NoError(t, faults.Err())
	require.Equal(t, want, sheet.Format(again))
}

func TestFormatOfInches(t *testing.T) {
	for name, c := range map[string]struct{ typed, printed string }{
		"all in inches":             {"space 4 in\ntail 5 1/4 in", "space 4 in\n  tail 5 1/4 in"},
		"whole millimetres too":     {"tail 5 in", "tail 12.7 cm"},
		"one metric among inches":   {"space 3 cm\ntail 4 in", "space 3 cm\n  tail 10.16 cm"},
		"eighths among metric ones": {"space 3 cm\ntail 1/8 in", "space 3 cm\n  tail 1/8 in"},
	} {
		s, faults := sheet.Parse("cord a 4 mm\npanel p\nmount 4 folded\n"+c.typed, sheettest.Book{})
		require.NoError(t, faults.Err(), name)
		require.Contains(t, sheet.Format(s), "\n  "+c.printed+"\n", name)
	}
}
