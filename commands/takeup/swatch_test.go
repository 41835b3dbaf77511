package takeup_test

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/commandstest"
	"larkfold/commands/say"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
)

func TestSwatchAnswers(t *testing.T) {
	a := commandstest.New(t)
	var b strings.Builder
	for i, line := range []string{
		"/swatch list",
		`/swatch add knot:"square knot" count:10 before:100cm after:46cm sample:11cm thickness:4mm cord:"undyed cotton string"`,
		"/cord width:20cm drop:50cm",
		"/swatch add knot:sk count:20 used:220cm ends:2 sample:22.5cm",
		`/swatch add knot:"half knot" count:30 used:80cm sample:17cm`,
		"/swatch add knot:sk count:10 used:54.5cm",
		"/swatch add knot:sk count:10 used:53cm",
		"/swatch add knot:sk count:10 used:70cm",
		`/swatch add knot:sk count:10 used:"2 ft 2 in" thickness:3/16in construction:braided`,
		"/swatch list",
		"/swatch list risk:1",
		"/cord width:20cm drop:50cm",
		"/swatch remove number:6",
		"/swatch list",
	} {
		fmt.Fprintf(&b, "> %s\n\n%s\n", line, commandstest.Render(commandstest.OnDay(t, a, i, line)))
	}
	commandstest.Golden(t, "swatch", b.String())
}

// The margin shown is Student's: three swatches of 1.00, 1.04 and 1.08 have mean
// 1.04 and spread 0.04; t(0.95, 2) = 2.92 (table) times 0.04 times sqrt(4/3), over 1.04.
func TestShownMarginByHand(t *testing.T) {
	a := commandstest.New(t)
	k, _ := a.Room.Book.Knot("square knot")
	book := commandstest.WorkerOf(t, k)
	for i, ratio := range []float64{1, 1.04, 1.08} {
		commandstest.OnDay(t, a, i, fmt.Sprintf("/swatch add knot:sk count:100 used:%.2fmm", ratio*100*book.Millimetres()))
	}
	margin := 2.92 * 0.04 * math.Sqrt(4.0/3) / 1.04
	got := commandstest.FactOf(commandstest.Answered(t, a, "/swatch list"), "margin")
	require.Contains(t, got, "with "+say.Percent(math.Ceil(margin*1000)/1000)+" to spare, 5 % of your cords would still run short")
	require.Contains(t, got, "/prefs margin:13")
}

// Every removed swatch comes back by the line that its removal shows.
func TestRemovedSwatchComesBack(t *testing.T) {
	a := commandstest.New(t)
	commandstest.OnDay(t, a, 0, `/swatch add knot:"half knot" count:15 before:100cm after:203mm ends:2 sample:17.3cm thickness:3/16in construction:braided cord:"sea blue"`)
	was := commandstest.Render(commandstest.Answered(t, a, "/swatch list"))
	line := lastVerbatim(commandstest.Answered(t, a, "/swatch remove number:1"))
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, "/swatch list")), "no swatches yet")
	commandstest.OnDay(t, a, 0, line)
	require.Equal(t, was, commandstest.Render(commandstest.Answered(t, a, "/swatch list")))
}

// One member's hands are not another's.
func TestSwatchesAreOnesOwn(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Answered(t, a, "/swatch add knot:sk count:10 used:60cm")
	require.Contains(t, commandstest.Render(commandstest.AskedBy(t, a, commandstest.Mara, "/swatch list")), "no swatches yet")
	require.NotContains(t, commandstest.Render(commandstest.AskedBy(t, a, commandstest.Mara, "/cord width:20cm drop:50cm")), "by your")
}

// Sizing by as many swatches as a member may keep.
func BenchmarkHands(b *testing.B) {
	for _, n := range []int{0, 5, 200} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			a := commandstest.New(b)
			for i := range n {
				commandstest.Answered(b, a, fmt.Sprintf("/swatch add knot:sk count:10 used:%dmm", 500+i))
			}
			cords := []sheet.Cord{{Name: "main", Thickness: 4 * length.Millimetre}}
			b.ReportAllocs()
			for b.Loop() {
				_, err := commandstest.Seated(b, a, commandstest.Ana).Hands(a.Room.Book, cords)
				require.NoError(b, err)
			}
		})
	}
}

func TestSwatchFarFromTheBookIsQuestioned(t *testing.T) {
	a := commandstest.New(t)
	require.Contains(t, commandstest.Render(commandstest.Answered(t, a, "/swatch add knot:sk count:10 before:10in after:1in thickness:4mm")), "far from the book")
	require.NotContains(t, commandstest.Render(commandstest.Answered(t, a, "/swatch add knot:sk count:10 before:100cm after:46cm thickness:4mm")), "far from the book")
}

// What is left over is measured too; nothing is taken for nothing.
func TestHalfAMeasureIsRefused(t *testing.T) {
	a := commandstest.New(t)
	for _, line := range []string{`/swatch add knot:"square knot" count:10 before:100cm`, `/swatch add knot:"square knot" count:10 after:46cm sample:11cm`} {
		require.True(t, commandstest.AskedBy(t, a, commandstest.Ana, line).Refused, line)
	}
	require.False(t, commandstest.AskedBy(t, a, commandstest.Ana, `/swatch add knot:"square knot" count:10 before:100cm after:0 sample:11cm`).Refused)
	back := lastVerbatim(commandstest.AskedBy(t, a, commandstest.Ana, "/swatch remove number:1"))
	require.False(t, commandstest.AskedBy(t, a, commandstest.Ana, back).Refused, back)
}

// Whoever divides one printed figure by the other comes to the printed quotient, in
// every system, and two that differ are never printed alike.
func TestSwatchFiguresHaveTheirQuotient(t *testing.T) {
	sentence := regexp.MustCompile(`: ([0-9.]+ [a-z]+)(?: \(([0-9.]+ in)\))? a knot, ([0-9.]+) of the book's ([0-9.]+ [a-z]+)(?: \(([0-9.]+ in)\))?$`)
	for _, units := range []string{"metric", "imperial", "both"} {
		for _, sample := range []string{"count:10 before:40in after:18in sample:4.25in thickness:5/32in", "count:10 before:100cm after:46cm sample:11cm thickness:4mm", "count:25 used:92cm sample:14.6cm thickness:2mm", "count:5 before:3m after:170cm sample:17cm thickness:12mm"} {
			a := commandstest.New(t)
			commandstest.Answered(t, a, "/prefs units:"+units)
			answer := commandstest.Answered(t, a, "/swatch add knot:sk "+sample)
			for _, label := range []string{"cord used", "height"} {
				said := sentence.FindStringSubmatch(commandstest.FactOf(answer, label))
				require.NotNil(t, said, "%s: %s", units, commandstest.FactOf(answer, label))
				quotient, err := strconv.ParseFloat(said[3], 64)
				require.NoError(t, err)
				for i := 1; i <= 2 && said[i] != ""; i++ {
					mine, err := length.Parse(said[i], 0)
					require.NoError(t, err)
					book, err := length.Parse(said[i+3], 0)
					require.NoError(t, err)
					require.InDelta(t, quotient, float64(mine)/float64(book), 0.01, "%s: %s", units, said[0])
				}
			}
		}
	}
	a := commandstest.New(t)
	commandstest.Answered(t, a, "/prefs units:imperial")
	changes := commandstest.FactOf(commandstest.Answered(t, a, "/swatch add knot:sk count:10 used:22in sample:4in thickness:4mm"), "changes")
	high := regexp.MustCompile(`and ([0-9.]+ in) high, not ([0-9.]+ in)`).FindStringSubmatch(changes)
	require.NotNil(t, high, changes)
	require.NotEqual(t, high[1], high[2], "0.400 in and 0.386 in are both 3/8 in on a tape")
}

// A knot is shown as its own sample was tied: ten square knots, 11 cm high, that took
// 54 cm take 54 / 11 = 4.9 times their height, and 9.1 of them make 10 cm, in the cord of
// the sample and in no other; what fills a sinnet goes by the same.
func TestKnotIsShownAsItWasSampled(t *testing.T) {
	a := commandstest.New(t)
	shown := func(line string) (in, each, tenth string) {
		answer := commandstest.Answered(t, a, line)
		return commandstest.FactOf(answer, "in"), commandstest.FactOf(answer, "each worker"), commandstest.FactOf(answer, "for 10 cm of it")
	}
	in, _, book := shown("/knots show name:sk thickness:4mm")
	require.Equal(t, "4 mm single-strand, 2.8 mm when knotted", in)
	require.Contains(t, book, "10.2 knots, ", "the book's are 3.5 x 2.8 mm = 9.8 mm high")

	commandstest.Answered(t, a, "/swatch add knot:sk count:10 before:100cm after:46cm sample:11cm thickness:4mm")
	in, each, tenth := shown("/knots show name:sk thickness:4mm")
	require.True(t, strings.HasSuffix(in, " when knotted, by your swatches of square and half knots"), in)
	require.Equal(t, "5.4 cm in one knot", each)
	require.Equal(t, "9.1 knots, 49.1 cm of each worker (4.9 times), 10 cm of each filler (1.0 times)", tenth)
	require.Contains(t, commandstest.FactOf(commandstest.Answered(t, a, "/cut finished:1.2m folded:yes count:2 thickness:4mm"), "each worker"), "5.832 m in 108 square knots", "108 x 54 mm, and 109 would be 1.2 m without the mount")

	in, _, tenth = shown("/knots show name:sk thickness:5mm")
	require.Equal(t, "5 mm single-strand, 3.5 mm when knotted", in)
	require.Contains(t, tenth, "8.2 knots, ", "3.5 x 3.5 mm = 12.25 mm high")
}

// A turn of a wrap takes as much in the knot book as /wrap reckons with, by a hand that was
// sampled in hitches; its tails are the same by every hand.
func TestWrapIsShownAsItIsReckoned(t *testing.T) {
	a := commandstest.New(t)
	commandstest.Answered(t, a, `/swatch add knot:"double half hitch" count:10 before:80cm after:20cm sample:8.2cm thickness:4mm`)
	shown := commandstest.Answered(t, a, "/knots show name:gw ends:16 thickness:4mm")
	reckoned := commandstest.Answered(t, a, "/wrap ends:16 turns:5 thickness:4mm")
	each, _, _ := strings.Cut(commandstest.FactOf(reckoned, "a turn takes"), ",")
	cut, err := length.Parse(each, 0)
	require.NoError(t, err)
	book, err := length.Parse(commandstest.FactOf(shown, "each turn"), 0)
	require.NoError(t, err)
	require.InDelta(t, float64(cut), float64(book), float64(length.Millimetre), "what is cut is rounded up")
	require.Greater(t, book, 60*length.Millimetre, "the book's own hand takes 5.2 cm")
	require.Equal(t, "10 cm once", commandstest.FactOf(shown, "tails"))
	require.Contains(t, commandstest.FactOf(reckoned, "needs"), "10 cm of it tails")
}
