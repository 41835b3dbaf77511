package commands

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/sizing/cord"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"

	"github.com/stretchr/testify/require"
)

// onDay asks as Ana so many days later.
func onDay(t *testing.T, a *App, n int, line string) reply.Reply {
	t.Helper()
	who := ana
	who.Now = now.Add(time.Duration(n) * 24 * time.Hour)
	answer := askedBy(t, a, who, line)
	require.False(t, answer.Refused, "%s\n%s", line, render(answer))
	return answer
}

func TestSwatchAnswers(t *testing.T) {
	a := newApp(t)
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
		fmt.Fprintf(&b, "> %s\n\n%s\n", line, render(onDay(t, a, i, line)))
	}
	golden(t, "swatch", b.String())
}

// A maker whose knots all take 1.12 times the book's is sized so: the take-up of
// every working end grows by just that, and cords of another making are left alone.
func TestKnownHandComesThrough(t *testing.T) {
	const hand = 1.12
	a := newApp(t)
	line := "/cut finished:1m knot:sk thickness:%s construction:%s tail:10cm"
	was := map[string]float64{}
	cords := [][2]string{{"4mm", "single-strand"}, {"4.1mm", "single-strand"}, {"5mm", "single-strand"}, {"4mm", "braided"}}
	for _, c := range cords {
		_, sized := tracedPieces(t, a, fmt.Sprintf(line, c[0], c[1]))
		was[c[0]+c[1]] = sized.Ends[0].TakeUp.Millimetres()
	}
	k, _ := a.room.Book.Knot("square knot")
	book := workerOf(t, k)
	for _, n := range []int{10, 20, 30} {
		onDay(t, a, n, fmt.Sprintf("/swatch add knot:sk count:%d used:%.3fmm", n, hand*float64(n)*book.Millimetres()))
	}
	for i, c := range cords {
		_, sized := tracedPieces(t, a, fmt.Sprintf(line, c[0], c[1]))
		want := 1.0
		if i < 2 {
			want = hand // 4.1 mm is 4 mm to a quarter of a millimetre
		}
		require.InDelta(t, want, sized.Ends[0].TakeUp.Millimetres()/was[c[0]+c[1]], 1e-4, "%v", c)
	}
}

// workerOf is what a working end of one knot takes in 4 mm single-strand.
func workerOf(t *testing.T, k *knot.Knot) length.Length {
	c := cord.Cord{Nominal: 4 * length.Millimetre}
	size, err := k.Size(knot.Gauge{Diameter: c.Diameter(), Soft: c.Construction.Softness(), Ends: k.Ends})
	require.NoError(t, err)
	return size.Takes[slices.IndexFunc(k.Roles, func(r knot.Role) bool { return r.Works })]
}

// The margin shown is Student's: three swatches of 1.00, 1.04 and 1.08 have mean
// 1.04 and spread 0.04; t(0.95, 2) = 2.92 (table) times 0.04 times sqrt(4/3), over 1.04.
func TestShownMarginByHand(t *testing.T) {
	a := newApp(t)
	k, _ := a.room.Book.Knot("square knot")
	book := workerOf(t, k)
	for i, ratio := range []float64{1, 1.04, 1.08} {
		onDay(t, a, i, fmt.Sprintf("/swatch add knot:sk count:100 used:%.2fmm", ratio*100*book.Millimetres()))
	}
	margin := 2.92 * 0.04 * math.Sqrt(4.0/3) / 1.04
	got := factOf(answered(t, a, "/swatch list"), "margin")
	require.Contains(t, got, "with "+say.Percent(math.Ceil(margin*1000)/1000)+" to spare, 5 % of your cords would still run short")
	require.Contains(t, got, "/prefs margin:13")
}

// Every removed swatch comes back by the line that its removal shows.
func TestRemovedSwatchComesBack(t *testing.T) {
	a := newApp(t)
	onDay(t, a, 0, `/swatch add knot:"half knot" count:15 before:100cm after:203mm ends:2 sample:17.3cm thickness:3/16in construction:braided cord:"sea blue"`)
	was := render(answered(t, a, "/swatch list"))
	line := lastVerbatim(answered(t, a, "/swatch remove number:1"))
	require.Contains(t, render(answered(t, a, "/swatch list")), "no swatches yet")
	onDay(t, a, 0, line)
	require.Equal(t, was, render(answered(t, a, "/swatch list")))
}

// One member's hands are not another's.
func TestSwatchesAreOnesOwn(t *testing.T) {
	a := newApp(t)
	answered(t, a, "/swatch add knot:sk count:10 used:60cm")
	require.Contains(t, render(askedBy(t, a, mara, "/swatch list")), "no swatches yet")
	require.NotContains(t, render(askedBy(t, a, mara, "/cord width:20cm drop:50cm")), "by your")
}

// Sizing by as many swatches as a member may keep.
func BenchmarkHands(b *testing.B) {
	for _, n := range []int{0, 5, 200} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			a := newApp(b)
			for i := range n {
				answered(b, a, fmt.Sprintf("/swatch add knot:sk count:10 used:%dmm", 500+i))
			}
			cords := []sheet.Cord{{Name: "main", Thickness: 4 * length.Millimetre}}
			b.ReportAllocs()
			for b.Loop() {
				_, err := seated(b, a, ana).Hands(a.room.Book, cords)
				require.NoError(b, err)
			}
		})
	}
}

func TestSwatchFarFromTheBookIsQuestioned(t *testing.T) {
	a := newApp(t)
	require.Contains(t, render(answered(t, a, "/swatch add knot:sk count:10 before:10in after:1in thickness:4mm")), "far from the book")
	require.NotContains(t, render(answered(t, a, "/swatch add knot:sk count:10 before:100cm after:46cm thickness:4mm")), "far from the book")
}

// What is left over is measured too; nothing is taken for nothing.
func TestHalfAMeasureIsRefused(t *testing.T) {
	a := newQuickApp(t)
	for _, line := range []string{`/swatch add knot:"square knot" count:10 before:100cm`, `/swatch add knot:"square knot" count:10 after:46cm sample:11cm`} {
		require.True(t, askedBy(t, a, ana, line).Refused, line)
	}
	require.False(t, askedBy(t, a, ana, `/swatch add knot:"square knot" count:10 before:100cm after:0 sample:11cm`).Refused)
	back := lastVerbatim(askedBy(t, a, ana, "/swatch remove number:1"))
	require.False(t, askedBy(t, a, ana, back).Refused, back)
}
