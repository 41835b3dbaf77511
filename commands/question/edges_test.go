package question_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/design"
	"larkfold/commands/question"
	"larkfold/commands/reply"
	"larkfold/commands/sitting"
	"larkfold/sizing/cord"
	"larkfold/sizing/fringe"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
)

// edge is a line that is answered or refused, and what is said of it.
type edge struct {
	line  string
	says  string
	wrong bool // it is refused
}

// held asks every line of somebody who has told nothing yet but lines of their own.
func held(t *testing.T, before []string, edges []edge) {
	t.Helper()
	a := commandstest.New(t)
	for _, line := range before {
		answer := commandstest.AskedBy(t, a, commandstest.Mara, line)
		require.False(t, answer.Refused, commandstest.Render(answer))
	}
	for _, e := range edges {
		answer := commandstest.AskedBy(t, a, commandstest.Mara, e.line)
		said := strings.Join(strings.Fields(commandstest.Render(answer)), " ")
		require.Equal(t, e.wrong, answer.Refused, "%s\n%s", e.line, said)
		require.Contains(t, said, e.says, e.line)
	}
}

// panelOf is the sheet that /cord makes of a line.
func panelOf(t *testing.T, a *commandstest.App, line string) sheet.Sheet {
	t.Helper()
	req := commandstest.Typed(t, commandstest.Ana, line)
	c, _ := reply.Find(a.Commands(), []string{"cord"})
	req = req.As(c)
	s, _, _, err := question.Panel(commandstest.Seated(t, a, req), req)
	require.NoError(t, err, line)
	return s
}

func cordsIn(s sheet.Sheet) int {
	return s.Panels[0].Steps[0].(sheet.Mount).Hung[0].Count
}

// A quarter of the drop hangs free, to whole units, and 5 cm stay for knots. A tail
// leaves 5 cm of the drop for knots or is refused, with a quarter of it instead.
func TestTailsOfAHanging(t *testing.T) {
	held(t, nil, []edge{
		{line: "/cord width:40cm drop:5cm", says: "5 cm long, without a tail"},
		{line: "/cord width:40cm drop:5.9cm", says: "5.9 cm long, without a tail"},
		{line: "/cord width:40cm drop:6cm", says: "6 cm long, 1 cm of it the tail"}, // a quarter is 1.5 cm
		{line: "/cord width:40cm drop:6.9cm", says: "6.9 cm long, 1 cm of it the tail"},
		{line: "/cord width:40cm drop:7cm", says: "7 cm long, 2 cm of it the tail"},
		{line: "/cord width:40cm drop:9cm", says: "9 cm long, 2 cm of it the tail"},
		{line: "/cord width:40cm drop:70cm", says: "70 cm long, 18 cm of it the tail"}, // 17.5 cm
		{line: "/cord width:40cm drop:20cm tail:15cm", says: "15 cm of it the tail"},
		{line: "/cord width:40cm drop:20cm tail:15.1cm", says: "less than 5 cm for knots", wrong: true},
		{line: "/cord width:40cm drop:20cm tail:16cm", says: "/cord width:40cm drop:20cm tail:5cm", wrong: true},
		{line: "/cord width:40cm drop:20cm tail:0", says: "20 cm long, without a tail"},
	})
	a := commandstest.New(t)
	for tail, steps := range map[string]int{"0": 2, "1cm": 3} { // the mount, the net, the tail
		require.Len(t, panelOf(t, a, "/cord width:40cm drop:20cm tail:"+tail).Panels[0].Steps, steps, tail)
	}
}

// A net and bars need two repeats, of which rows, sinnets and spirals need one: of
// four ends, which are two folded cords.
func TestTheNarrowestHanging(t *testing.T) {
	a := commandstest.New(t)
	for knotwork, cords := range map[string]int{"net": 4, "open-net": 4, "bars": 4, "rows": 2, "sinnets": 2, "spirals": 2, "plaits": 3} {
		require.Equal(t, cords, cordsIn(panelOf(t, a, "/cord width:2cm drop:40cm knotwork:"+knotwork)), knotwork)
	}
}

// The dowel is as long as the width or its cords, whichever is more, and 8 cm of bare
// ends, up to the next 5 cm. A folded cord of 4 mm takes 11.2 mm: 36 of them 40.32 cm, 38 of
// them 42.56 cm, 46 of them 51.52 cm.
func TestTheDowelOfAHanging(t *testing.T) {
	held(t, nil, []edge{
		{line: "/cord width:41.4cm drop:70cm", says: "a dowel 20 mm thick, 50 cm or longer"}, // 36 cords
		{line: "/cord width:41.5cm drop:70cm", says: "a dowel 20 mm thick, 55 cm or longer"}, // 38 cords: 50.56 cm
		{line: "/cord width:52cm drop:70cm", says: "a dowel 20 mm thick, 60 cm or longer"},   // 46 cords: the width is more
		{line: "/cord width:52.1cm drop:70cm", says: "a dowel 20 mm thick, 65 cm or longer"},
	})
}

// One of a list is needed where one length is; a label is no list, nor is a comma that
// nothing follows.
func TestOneOfAList(t *testing.T) {
	const hanging = "/cord width:40cm drop:70cm "
	held(t, nil, []edge{
		{line: hanging + "spool:50m,100m", says: "wrong: that is a list of 2, and one is needed right: name one of them", wrong: true},
		{line: hanging + `spool:"50 m, 100 m"`, says: "that is a list of 2, and one is needed", wrong: true},
		{line: hanging + `spool:"100 m, 900 g"`, says: "2 spools of 100.00 m"},
		{line: "/cord width:40cm,50cm,60cm drop:70cm", says: "that is a list of 3, and one is needed", wrong: true},
		{line: "/cord width:40cm, drop:70cm", says: "write it like 40 cm or 16 in", wrong: true},
		{line: "/cord width:40cm,x drop:70cm", says: "write it like 40 cm or 16 in", wrong: true},
		{line: "/fringe drop:22kg loops:12", says: "“kg” is a unit of mass, not of length", wrong: true},
		{line: "/dowel cords:4 length:60cm load:2cm", says: "such as 900 g or 2 lb", wrong: true},
	})
}

// Copies are said of more than one.
func TestCopiesOfAHanging(t *testing.T) {
	a := commandstest.New(t)
	for line, copies := range map[string]int{"": 0, " copies:1": 0, " copies:2": 2} {
		require.Equal(t, copies, panelOf(t, a, "/cord width:20cm drop:40cm"+line).Copies, line)
	}
}

// A width that whole repeats miss by more than a centimetre is pointed out, told as sizes
// are, to 5 mm: 12.5 mm are still a centimetre.
func TestAWidthThatRepeatsMiss(t *testing.T) {
	a := commandstest.New(t)
	missed := func(width length.Length) string {
		req := commandstest.Typed(t, commandstest.Ana, fmt.Sprintf("/cord width:%.6fmm drop:40cm thickness:8mm knotwork:sinnets", width.Millimetres()))
		c, _ := reply.Find(a.Commands(), []string{"cord"})
		req = req.As(c)
		sit := commandstest.Seated(t, a, req)
		s, _, understood, err := question.Panel(sit, req)
		require.NoError(t, err)
		sized, err := design.SizeSheet(t.Context(), sit, s)
		require.NoError(t, err)
		for _, f := range understood(sized) {
			if f.Label == "width" {
				return f.Value
			}
		}
		return fmt.Sprint(int64(sized.Panels[0].Width))
	}
	var made length.Length
	_, err := fmt.Sscan(missed(175*length.Millimetre), &made)
	require.NoError(t, err)
	const edge, beyond = 12500 * length.Micrometre, 12600 * length.Micrometre
	for off, out := range map[length.Length]bool{edge: false, -edge: false, beyond: true, -beyond: true} {
		require.Equal(t, out, strings.Contains(missed(made+off), "whole repeats make it "), "%s: %s", off, missed(made+off))
	}
}

// A piece of more than can be followed is refused, with a tenth of its width.
func TestAHangingOfTooMuch(t *testing.T) {
	held(t, nil, []edge{
		{line: "/cord width:10m drop:50cm thickness:3mm", says: "/cord width:1.00m drop:50cm thickness:3mm", wrong: true},
		{line: "/cord width:9.94m drop:50cm thickness:3mm", says: "/cord width:99cm drop:50cm thickness:3mm", wrong: true},
	})
}

// Which knots fill what: a net halves its groups, so that their ends must be even;
// what does not go on below itself fills nothing.
func TestKnotsOfAHanging(t *testing.T) {
	held(t, []string{`/knots add name:Trio places:"worker, filler, worker" roles:"worker ties: 9*d; filler runs: 4*d" height:4*d across:6*d`}, []edge{
		{line: "/cord width:20cm drop:40cm knot:sk", says: "net of alternating square knots"},
		{line: "/cord width:20cm drop:40cm knot:Trio", says: "/cord width:20cm drop:40cm knotwork:sinnets knot:Trio", wrong: true},
		{line: "/cord width:20cm drop:40cm knotwork:open-net knot:Trio", says: "a net halves its groups", wrong: true},
		{line: "/cord width:20cm drop:40cm knotwork:sinnets knot:Trio", says: "sinnets of Trios"},
		{line: "/cord width:20cm drop:40cm knotwork:rows knot:Trio", says: "full rows of Trios"},
		{line: "/cord width:20cm drop:40cm knot:plait", says: "cannot be tied in a net", wrong: true},
		{line: "/cord width:20cm drop:40cm knotwork:rows knot:plait", says: "does not go on below itself", wrong: true},
		{line: "/cord width:20cm drop:40cm knotwork:spirals knot:sk", says: "that knotwork has its own knot", wrong: true},
	})
}

// Bars come to as many half bars as were asked, or one more or less, however many; where
// none of them is tied together the work would fall apart in the middle.
func TestBarsReachTheirDepth(t *testing.T) {
	for halves := 2; halves <= 80; halves++ {
		high, times, tied := 0, 1, 0
		for _, step := range question.Bars(halves) {
			switch step := step.(type) {
			case sheet.Repeat:
				times = step.Times
				require.Greater(t, times, 1, "%d half bars", halves)
			case sheet.End:
				times = 1
			case sheet.Bar:
				require.Positive(t, step.Times.N, "%d half bars", halves)
				if step.From.Anchor == sheet.Left {
					high += times * 2 * step.Times.N // both halves of a pair
				} else if step.To.Number < 0 {
					high += times
					tied += times
				}
			}
		}
		require.InDelta(t, halves, high, 1, "%d half bars", halves)
		require.Equal(t, max((halves+8)/11, 1), tied, "%d half bars: one of every eleven, and of three left over", halves)
	}
}

// Below the dowel 5 cm are left for knots: half a dowel of 20 mm and the 2.8 mm that
// knots press 4 mm to take 12.8 mm.
func TestTheShortestCut(t *testing.T) {
	held(t, nil, []edge{
		{line: "/cut finished:62.8mm", says: "To cut for 62.8 mm"},
		{line: "/cut finished:62.7mm", says: "leaves less than 5 cm for knots", wrong: true},
		{line: "/cut finished:62.7mm", says: "/cut finished:18.3cm", wrong: true}, // the dowel and twice 5 cm more
		{line: "/cut finished:4.9cm", says: "the least that makes sense", wrong: true},
		{line: "/cut finished:50m", says: "To cut for 50 m"},
		{line: "/cut finished:50.1m", says: "the most that makes sense", wrong: true},
		{line: "/cut finished:19.9cm", says: "/cord width:40cm drop:20cm"},
		{line: "/cut finished:20.1cm", says: "/cord width:40cm drop:20.1cm"},
		{line: "/cut finished:30cm tail:237.2mm", says: "237.2 mm of it the tail"},
		{line: "/cut finished:30cm tail:237.3mm", says: "for fringe alone there is rule:doubled", wrong: true},
		{line: "/cut finished:30cm rule:doubled", says: "30 cm of fringe"},
		{line: "/cut finished:30cm tail:0", says: "30 cm altogether"},
	})
}

// A tail of 12 cm is enough to tie with, and a shorter one is told what is added.
func TestATailToTieWith(t *testing.T) {
	a := commandstest.New(t)
	for tail, allowed := range map[string]string{"12cm": "10 % margin, rounded up to 5 cm", "11.9cm": "10 % margin, rounded up to 5 cm; 12 cm at the end to tie with"} {
		require.Equal(t, allowed, commandstest.FactOf(commandstest.Answered(t, a, "/cut finished:1m tail:"+tail), "allowed"), tail)
	}
}

// A knot that does not go on below itself is sent to the command that sizes it, also
// beside a rule; a rule that asks for a width is told so where it is the only one.
func TestWhatCutRefuses(t *testing.T) {
	held(t, []string{`/rule add name:"By Width" formula:"6*width"`}, []edge{
		{line: "/cut finished:1m knot:xyzzy", says: "the knot book has no such knot", wrong: true},
		{line: "/cut finished:1m knot:dhh", says: "bars go across: /cord sizes them", wrong: true},
		{line: `/cut finished:1m knot:"alternating net"`, says: "a net has a width: /cord sizes it", wrong: true},
		{line: `/cut finished:1m knot:"gathering wrap"`, says: "/wrap sizes wraps", wrong: true},
		{line: `/cut finished:1m knot:"lark's head"`, says: "name a knot for a sinnet", wrong: true},
		{line: `/cut finished:1m rule:"by width"`, says: `width:40cm`, wrong: true},
		{line: `/cut finished:1m rule:"by width" width:40cm`, says: "2.40 m"},
		{line: "/cut finished:1m", says: "give a width to use it"},
	})
}

// A sinnet of an even number of ends is half as many folded pieces; one of an odd number
// is hung from a piece for each end.
func TestPiecesOfASinnet(t *testing.T) {
	a := commandstest.New(t)
	require.False(t, commandstest.AskedBy(t, a, commandstest.Mara, `/knots add name:Trio places:"worker, filler, worker" roles:"worker ties: 9*d; filler runs: 4*d" height:4*d across:6*d`).Refused)
	for line, pieces := range map[string]int{"": 4, " folded:yes": 2, " knot:Trio": 3, " knot:Trio folded:yes": 3, " folded:no": 4} {
		require.Equal(t, pieces, cordsIn(tracedPieces(t, a, "/cut finished:1m"+line).Sheet), line)
	}
	const broad = `/knots add name:Broad places:"worker, filler, filler, filler, filler, filler, filler, worker" roles:"worker ties: 9*d; filler runs: 4*d" height:4*d across:6*d`
	require.False(t, commandstest.AskedBy(t, a, commandstest.Mara, broad).Refused)
	commandstest.Answered(t, a, "/cut finished:10m thickness:60mm knot:Broad") // the rod is made long enough for 8 of 84 mm
	for line, says := range map[string]string{
		"count:8":             "4 ends a sinnet: 2 sinnets",
		"count:8 folded:yes":  "4 ends a sinnet: 4 sinnets",
		"count:5":             "4 ends a sinnet: 1 sinnet and 1 end over",
		"count:4":             "4 ends a sinnet: 1 sinnet",
		"count:3":             "square knot, 4 ends a sinnet",
		"count:1 folded:yes":  "square knot, 4 ends a sinnet",
		"count:2 folded:yes":  "4 ends a sinnet: 1 sinnet",
		"count:3 folded:yes ": "4 ends a sinnet: 1 sinnet and 2 ends over",
	} {
		knot := commandstest.FactOf(commandstest.Answered(t, a, "/cut finished:1m "+line), "knot")
		require.True(t, strings.HasSuffix(knot, says), "%s: %s", line, knot)
	}
}

// A rule that gives just the cut is enough, and a millimetre less eats into the margin.
func TestARuleThatIsJustEnough(t *testing.T) {
	a := commandstest.New(t)
	cut := tracedPieces(t, a, "/cut finished:1.2m").List.Cuts[0].Length
	for name, gives := range map[string]length.Length{"Just": cut, "Less": cut - length.Millimetre} {
		commandstest.Answered(t, a, fmt.Sprintf(`/rule add name:%s formula:"0*finished + %.3f mm"`, name, gives.Millimetres()))
	}
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, "/cut finished:1.2m rule:Just")), "0 cm more than needed")
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, "/cut finished:1.2m rule:Less")), "reaches, but eats into your margin")
}

// A stick needs its length: a number alone is how thick it is. It is longer than thick, and than
// its bare ends together.
func TestSticks(t *testing.T) {
	held(t, nil, []edge{
		{line: "/dowel cords:4 dowel:60", says: "that was read as 60 mm thick", wrong: true},
		{line: "/dowel cords:4 dowel:24", says: "it needs the length of the stick", wrong: true},
		{line: "/dowel cords:4 dowel:60 length:60cm", says: "60 mm thick"},
		{line: `/dowel cords:4 dowel:"60cm x 20mm"`, says: "on a stick of 60 cm"},
		{line: "/dowel cords:1 length:6cm dowel:20mm", says: "the bare ends leave no room", wrong: true},
		{line: "/dowel cords:1 length:6.1cm dowel:20mm", says: "Cords on a stick of 6.1 cm"},
		{line: "/dowel cords:1 length:6cm dowel:20mm", says: "bare:6mm", wrong: true},
		{line: "/dowel cords:1 length:5cm dowel:50mm bare:0", says: "the stick is thicker than it is long", wrong: true},
		{line: "/dowel cords:1 length:5.1cm dowel:50mm bare:0", says: "on a stick of 5.1 cm"},
		{line: "/dowel cords:4 length:60cm bare:1.01m", says: "1.01m", wrong: true},
		{line: "/dowel cords:4 length:60cm rise:9mm", says: "the least that makes sense", wrong: true},
		{line: "/dowel cords:4 length:60cm rise:1cm", says: "rising 1 cm"},
		{line: "/dowel cords:4 length:60cm rise:10.1m", says: "the most that makes sense", wrong: true},
		{line: "/dowel cords:4 length:60cm rise:15cm angle:45", says: "one follows from the other", wrong: true},
		{line: "/dowel cords:4 length:60cm angle:62", says: "(62 degrees)"},
		{line: "/dowel cords:4 length:60cm", says: "(45 degrees)"},
		{line: `/dowel cords:"4, 7 few" length:60cm`, says: `/dowel cords:"4, 7" length:60cm`, wrong: true},
		{line: "/dowel cords:few length:60cm", says: "/dowel cords:12 length:60cm", wrong: true},
		{line: "/dowel cords:4 length:60cm wood:birhc", says: `wood:"`, wrong: true},
		{line: "/dowel cords:4 length:60cm wood:xyzzy", says: "wood:branch", wrong: true},
		// 24 cords of 11.2 mm, pushed together 8.4 mm, and 3 cm of bare stick at each end
		{line: "/dowel cords:24 length:328.8mm", says: "fits: yes, relaxed, with 0 cm to spare clear"},
		{line: "/dowel cords:24 length:318.8mm", says: "fits: yes, pushed closer; relaxed it is 1 cm too wide would fit"},
		{line: "/dowel cords:24 length:261.6mm", says: "fits: yes, pushed closer"},
		{line: "/dowel cords:24 length:261.5mm", says: "fits: no: 1 mm too wide even when pushed together"},
		{line: `/dowel cords:"4, few" length:60cm`, says: "“few” is not a number of cords", wrong: true},
		{line: `/dowel cords:"4 + 0" length:60cm`, says: "whole numbers from 1 to 1000", wrong: true},
		{line: `/dowel cords:"4 + 6" length:60cm`, says: "group 2"},
		{line: `/dowel cords:"1001, 0, 4" length:60cm`, says: `/dowel cords:"1000, 1, 4" length:60cm`, wrong: true},
		{line: `/dowel cords:"1000, 1, 4" length:60cm`, says: "fits: no"},
		{line: "/dowel length:60cm", says: "it needs a saved project or a number of cords", wrong: true},
	})
	held(t, []string{"/prefs units:imperial"}, []edge{
		{line: "/dowel cords:4 length:24in dowel:20mm load:111lb", says: "more than 110 lb,", wrong: true},
	})
}

// A stick that nobody named the wood or the load of is told so.
func TestWhatIsNotSaidOfAStick(t *testing.T) {
	held(t, nil, []edge{
		{line: "/dowel cords:4 length:60cm", says: "no wood was named"},
		{line: "/dowel cords:4 length:60cm", says: "only its own weight"},
		{line: "/dowel cords:4 length:60cm", says: "name the load"},
		{line: "/dowel cords:4 length:60cm load:1kg", says: "load: 1.00 kg"},
		{line: "/dowel cords:4 length:60cm load:heavy", says: "it is not a mass", wrong: true},
	})
	named := commandstest.Answered(t, commandstest.New(t), "/dowel cords:4 length:60cm load:1kg wood:oak")
	require.NotContains(t, commandstest.Render(named), "no wood was named")
	require.NotContains(t, commandstest.Render(named), "name the load")
}

// A ring holds its own cords' mass where no load is given, and says so. Round its middle
// there is room for pi times 10 cm less 8 mm, 28.9 cm: for 25 cords of 11.2 mm, and for 34
// pushed together to 8.4 mm.
func TestRings(t *testing.T) {
	a := commandstest.New(t)
	for cords, fits := range map[int]string{
		25: "yes, relaxed, with 9 mm to spare", 26: "yes, pushed closer", 34: "yes, pushed closer",
	} {
		commandstest.Answered(t, a, fmt.Sprintf("/project new name:Hoop%d sheet:\"cord main 4 mm\nring 10 cm x 8 mm birch\npanel cradle\nmount %d folded\ntail 20 cm\n\"", cords, cords))
		answer := commandstest.Answered(t, a, fmt.Sprintf("/dowel project:Hoop%d", cords))
		require.Equal(t, fits, commandstest.FactOf(answer, "fits"), "%d cords", cords)
		require.Contains(t, commandstest.FactOf(answer, "load"), "without what it will hold")
	}
	require.Equal(t, "2.00 kg", commandstest.FactOf(commandstest.Answered(t, a, "/dowel project:Hoop25 load:2kg"), "load"))
	// 34 cords take 285.6 mm; pi times 91 mm are 285.9 mm, times 90.9 mm 285.57 mm.
	for thick, fits := range map[string]string{"9mm": "yes, pushed closer", "9.1mm": "no: 1 mm too much even when pushed together", "12mm": "no: 1 cm too much even when pushed together"} {
		require.Equal(t, fits, commandstest.FactOf(commandstest.Answered(t, a, "/dowel project:Hoop34 dowel:"+thick), "fits"), thick)
	}
}

// A sag is said to a tenth of a millimetre or on a tape, up or down alike.
func TestSagsInWords(t *testing.T) {
	for _, tt := range []struct {
		sag    length.Length
		metric string
		inches string
	}{
		{0, "less than 0.1 mm", "less than 1/32 in"},
		{length.Millimetre/10 - 1, "less than 0.1 mm", "less than 1/32 in"},
		{length.Millimetre / 10, "0.1 mm", "less than 1/32 in"},
		{-3 * length.Millimetre / 10, "0.3 mm", "less than 1/32 in"},
		{length.Inch/32 - 1, "0.8 mm", "less than 1/32 in"},
		{-length.Inch / 4, "6.4 mm", "1/4 in"},
	} {
		require.Equal(t, tt.metric, question.SagWords(tt.sag, sitting.Prefs{}), tt.sag.String())
		require.Equal(t, tt.inches, question.SagWords(tt.sag, sitting.Prefs{Style: length.Style{System: length.Imperial}}), tt.sag.String())
	}
	require.NotContains(t, question.SagWords(length.Inch/32, sitting.Prefs{Style: length.Style{System: length.Imperial}}), "less")
}

// What a wrap is asked by keeps to its bounds, one thing at a time.
func TestWhatAWrapIsAskedBy(t *testing.T) {
	held(t, nil, []edge{
		{line: "/wrap ends:2 cord:4.9cm thickness:1mm", says: "the least that makes sense", wrong: true},
		{line: "/wrap ends:2 cord:5cm thickness:4mm", says: "one turn and the tails take", wrong: true},
		{line: "/wrap ends:400 cord:100m thickness:20mm", says: "turns for a cord of 100 m"},
		{line: "/wrap ends:400 cord:101m thickness:20mm", says: "the most that makes sense", wrong: true},
		{line: "/wrap ends:16 for:1.9mm", says: "the least that makes sense", wrong: true},
		{line: "/wrap ends:16 for:2mm", says: "to cover 2 mm"},
		{line: "/wrap ends:16 for:1m thickness:6mm", says: "to cover 1 m"},
		{line: "/wrap ends:16 for:1.01m thickness:6mm", says: "the most that makes sense", wrong: true},
		{line: "/wrap strands:12 drop:1.9cm", says: "the least that makes sense", wrong: true},
		{line: "/wrap strands:12 drop:2cm", says: "hang 2 cm"},
		{line: "/wrap strands:12 drop:2m", says: "hang 2 m"},
		{line: "/wrap strands:12 drop:2.01m", says: "the most that makes sense", wrong: true},
		{line: "/wrap strands:12", says: "hang 10 cm"},
		{line: "/wrap ends:16 turns:5 for:4cm", says: "give one of turns, for and cord", wrong: true},
		{line: "/wrap ends:16 strands:8", says: "both are given", wrong: true},
		{line: "/wrap ends:16 drop:10cm", says: "only a tassel has a drop", wrong: true},
		{line: "/wrap turns:5", says: "it is not said how many ends are gathered", wrong: true},
		{line: "/wrap ends:16", says: "cord for 5 turns"},
	})
}

// The strands of a tassel are cut to the next centimetre, or to the next half inch: twice the
// drop, the fold and what is trimmed are more than 20 cm or 8 in.
func TestStrandsAreCutToAStep(t *testing.T) {
	a := commandstest.New(t)
	of := func(drop string) length.Length {
		said, _, _ := strings.Cut(strings.TrimPrefix(commandstest.FactOf(commandstest.Answered(t, a, "/wrap strands:12 drop:"+drop), "strands"), "12 x "), ",")
		cut, err := length.Parse(said, 0)
		require.NoError(t, err, said)
		return cut
	}
	for units, step := range map[string]length.Length{"metric": length.Centimetre, "imperial": length.Inch / 2} {
		commandstest.Answered(t, a, "/prefs units:"+units)
		cut := of(map[string]string{"metric": "10cm", "imperial": "4in"}[units])
		require.Zero(t, cut%step, units)
		require.Greater(t, cut, 20*length.Centimetre)
		require.LessOrEqual(t, cut, 26*length.Centimetre)
	}
	commandstest.Answered(t, a, "/prefs units:imperial")
	require.Equal(t, length.Inch/2, of("4.25in")-of("4in"), "a quarter of an inch more at both ends of the fold")
}

// What a cord gives with the margin to spare: all of its turns, some, or none, which is
// not said.
func TestTurnsWithTheMargin(t *testing.T) {
	a := commandstest.New(t)
	need := func(turns int) (whole, margin length.Length) {
		_, cut, _ := wrapOfSheet(t, a, fmt.Sprintf("wrap turns %d", turns))
		return cut.Why.Need.Total(), cut.Why.Margin
	}
	one, margin := need(1)
	two, more := need(2)
	for cord, want := range map[length.Length]string{
		one:                            "1",
		one + margin - 1:               "1",
		one + margin:                   "1, with your margin to spare",
		two:                            "2; 1 with your margin to spare",
		two + more - length.Micrometre: "2; 1 with your margin to spare",
		two + more + length.Micrometre: "2, with your margin to spare",
	} {
		answer := commandstest.Answered(t, a, fmt.Sprintf("/wrap ends:16 thickness:5mm wrap-thickness:3mm cord:%.6fmm", cord.Millimetres()))
		require.Equal(t, want, commandstest.FactOf(answer, "turns"), cord.String())
	}
}

// A fringe needs its drop or its pieces. A piece gives a drop of 1 cm at least: half of it,
// less what the knot takes and what is trimmed.
func TestWhatAPieceGives(t *testing.T) {
	a := commandstest.New(t)
	k, _ := a.Room.Book.Knot("fringe lark's head")
	d := cord.Cord{Nominal: 4 * length.Millimetre}.Diameter()
	size, err := k.Size(knot.Gauge{Diameter: d, Rod: d, Ends: k.Ends})
	require.NoError(t, err)
	beside := k.Take(size, "end") + fringe.Trimmed
	asked := func(piece length.Length) string {
		return commandstest.Render(commandstest.Asked(t, a, fmt.Sprintf("/fringe loops:12 piece:%.6fmm", piece.Millimetres())))
	}
	require.Contains(t, asked(2*(length.Centimetre+beside)), "finished: 1 cm")
	short := asked(2*(length.Centimetre+beside) - 2)
	require.Contains(t, short, "the knot alone takes all of it")
	require.Contains(t, short, "a piece of twice the drop and "+length.Style{}.Format((2*beside).RoundUp(length.Millimetre))+" more")
	require.Contains(t, commandstest.Render(commandstest.Asked(t, a, "/fringe loops:12")), "it needs the finished drop of the fringe")
	require.Contains(t, commandstest.Render(commandstest.Asked(t, a, "/fringe drop:22cm")), "it needs the number of loops")

	// In inches the drop is told down to an eighth.
	commandstest.Answered(t, a, "/prefs units:imperial")
	said := commandstest.FactOf(commandstest.Answered(t, a, "/fringe loops:12 piece:20in thickness:4mm"), "finished")
	drop, err := length.Parse(said, 0)
	require.NoError(t, err)
	require.Zero(t, drop%(length.Inch/8), said)
	require.LessOrEqual(t, drop, 10*length.Inch-beside)
	require.Greater(t, drop+length.Inch/8, 10*length.Inch-beside)
}

// A maker whose mounts take a fifth more than the book's hangs a fringe so.
func TestAFringeGoesByTheHand(t *testing.T) {
	a := commandstest.New(t)
	allowed := func() length.Length {
		said, _, _ := strings.Cut(commandstest.FactOf(commandstest.Answered(t, a, "/fringe drop:22cm loops:12 thickness:4mm"), "allowed"), " for")
		l, err := length.Parse(said, 0)
		require.NoError(t, err)
		return l
	}
	before := allowed()
	k, _ := a.Room.Book.Knot("lark's head")
	size, err := k.Size(knot.Gauge{Diameter: cord.Cord{Nominal: 4 * length.Millimetre}.Diameter(), Rod: 20 * length.Millimetre, Ends: k.Ends})
	require.NoError(t, err)
	commandstest.Answered(t, a, fmt.Sprintf("/swatch add knot:lh count:10 used:%.3fmm dowel:20mm", 1.2*size.Takes[0].Millimetres()))
	require.InDelta(t, 1.2*before.Millimetres(), allowed().Millimetres(), 1.1)
}

// A length from a yard on is told in yards too, and what a cord may be thick also as a thickness.
func TestWhatConvertAdds(t *testing.T) {
	a := commandstest.New(t)
	for what, yards := range map[string]string{"36in": "1.00 yd", "35.9in": "", "1yd": "1 yd"} {
		require.Equal(t, yards, commandstest.FactOf(commandstest.Answered(t, a, "/convert what:"+what), "in yards"), what)
	}
	require.Empty(t, commandstest.FactOf(commandstest.Answered(t, a, "/convert what:1m"), "as a thickness"))
	require.NotEmpty(t, commandstest.FactOf(commandstest.Answered(t, a, "/convert what:5mm"), "as a thickness"))
	require.Contains(t, commandstest.FactOf(commandstest.Answered(t, a, "/convert what:40"), "understood"), "centimetres")
	require.Contains(t, commandstest.FactOf(commandstest.Answered(t, a, "/convert what:3/4"), "understood"), "inches")
}

// What cannot be converted is suggested as what it was: a mass stays a mass and keeps
// its numbers, and inches of a foot and more are carried.
func TestWhatConvertSuggests(t *testing.T) {
	held(t, nil, []edge{
		{line: `/convert what:"4.5 g/m cord"`, says: `/convert what:"4.5 g/m"`, wrong: true},
		{line: `/convert what:"about 4.5 g/m of it"`, says: `/convert what:"4.5 g/m"`, wrong: true},
		{line: `/convert what:"900 g on 200 m"`, says: `/convert what:"900 g per 200 m"`, wrong: true},
		{line: `/convert what:"500 g of cotton"`, says: `/convert what:"500 g"`, wrong: true},
		{line: `/convert what:"4.5 g/m, 3"`, says: `/convert what:"3/16 in"`, wrong: true},
		{line: `/convert what:"tex 5000"`, says: `/convert what:"3/16 in"`, wrong: true},
		{line: `/convert what:"1,500 g"`, says: `/convert what:"1500 g"`, wrong: true},
		{line: `/convert what:"1,500 kilograms"`, says: `/convert what:"1500 kilograms"`, wrong: true},
		{line: `/convert what:"220 m/kg cotton"`, says: `/convert what:"220 m/kg"`, wrong: true},
		{line: `/convert what:"500 mg cord"`, says: `/convert what:"500 mg"`, wrong: true},
		{line: `/convert what:"5 ktex"`, says: `/convert what:"3/16 in"`, wrong: true},
		{line: `/convert what:"40 long"`, says: "/convert what:40cm", wrong: true}, // a word that ends as a unit of mass is none
		{line: `/convert what:"12 golden"`, says: "/convert what:12cm", wrong: true},
		{line: `/convert what:"2ft 13in"`, says: `/convert what:"3 ft 1 in"`, wrong: true},
		{line: `/convert what:"1,200 m"`, says: "/convert what:1200m", wrong: true},
		{line: `/convert what:"1.5 mtres"`, says: "/convert what:1.5m", wrong: true},
		{line: "/convert what:nonsense", says: `/convert what:"3/16 in"`, wrong: true},
	})
}
