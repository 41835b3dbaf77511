package trace_test

import (
	"context"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// traced sizes a sheet that must be right.
func traced(t testing.TB, text string) trace.Result {
	t.Helper()
	s, faults := sheet.Parse(text, knot.Standard())
	require.Empty(t, faults.Shown, "%v", faults)
	r, found, err := trace.Trace(context.Background(), s, trace.Maker{Book: knot.Standard()})
	require.NoError(t, err)
	require.Empty(t, found)
	return r
}

// most is the largest need among the ends, without tails.
func most(r trace.Result) length.Length {
	var need length.Length
	for _, e := range r.Ends {
		need = max(need, e.Total()-e.Tail)
	}
	return need
}

const pennant = `piece Pennant
cord main %THICK% single-strand
dowel 20 cm x %ROD%
panel pennant
  mount 8 folded
  taper square
  bar left to middle
  bar right to middle
  gather left to middle
  gather right to middle
  wrap turns %TURNS%
`

// pennantOf is the pennant in a cord, on a rod, with a wrap.
func pennantOf(t testing.TB, thick, rod string, turns int) trace.Result {
	t.Helper()
	return traced(t, strings.NewReplacer("%THICK%", thick, "%ROD%", rod, "%TURNS%", strconv.Itoa(turns)).Replace(pennant))
}

// Common practice, no source: in 5 mm single-strand cord, sixteen ends of 50 cm
// (eight cords of 1 m, folded) are enough for rows of 4, 3, 2 and 1 square knots,
// a bar of seven double half hitches from each edge to the middle, a gather of seven
// from each edge and a wrap, with a tassel left over, on the sticks that makers take:
// on one of 20 mm with five turns, 45 cm before the tassel.
func TestEightFoldedMetresMakeAPennant(t *testing.T) {
	tassels := map[string]length.Length{"15 mm": 44 * length.Centimetre, "20 mm": 45*length.Centimetre + 4*length.Millimetre, "25 mm": 47 * length.Centimetre}
	for _, rod := range []string{"15 mm", "20 mm", "25 mm"} {
		for turns := 4; turns <= 6; turns++ {
			r := pennantOf(t, "5 mm", rod, turns)
			require.Len(t, r.Ends, 16)
			require.Equal(t, 4+3+2+1, r.Panels[0].Knots["square knot"])
			require.Equal(t, 7+7+7+7, r.Panels[0].Knots["double half hitch"])
			most := most(r)
			t.Logf("rod of %s, wrap of %d turns: an end needs %s", rod, turns, most)
			require.LessOrEqual(t, most, tassels[rod], "%s, %d turns", rod, turns)
			if rod == "20 mm" && turns == 5 {
				require.InDelta(t, float64(45*length.Centimetre), float64(most), float64(length.Millimetre))
			}
			require.Greater(t, most, 25*length.Centimetre, "half of the cord cannot be left over")
		}
	}
}

// Common practice, no source: the same design works in 3 mm.
func TestThePennantWorksInThinnerCord(t *testing.T) {
	thick, thin := pennantOf(t, "5 mm", "20 mm", 5), pennantOf(t, "3 mm", "20 mm", 5)
	require.Equal(t, thick.Panels[0].Knots, thin.Panels[0].Knots)
	require.Less(t, most(thin), most(thick))
	require.Less(t, most(thin), 50*length.Centimetre)
}

// Common practice, no source: a cord of 50 cm makes a gathering wrap round those
// sixteen ends; three turns are the fewest that hold.
func TestHalfAMetreWrapsSixteenEnds(t *testing.T) {
	r := pennantOf(t, "5 mm", "20 mm", 4)
	require.Len(t, r.Extras, 1)
	need := r.Extras[0].Need.Total()
	require.LessOrEqual(t, need, 50*length.Centimetre)
	require.Greater(t, need, 25*length.Centimetre)
}

// Common practice, no source: eight ends of 1.5 m (four cords of 3 m, folded) are
// enough for a panel about 40 cm long of square knots two and one in turn.
func TestFourFoldedCordsMakeANarrowPanel(t *testing.T) {
	r := traced(t, `piece Narrow
cord main 5 mm single-strand
dowel 10 cm x 20 mm
panel narrow
  mount 4 folded
  net square for 39 cm
`)
	require.InDelta(t, 400, r.Panels[0].Drop.Millimetres(), 30)
	require.LessOrEqual(t, most(r), 150*length.Centimetre)
	require.Greater(t, most(r), 100*length.Centimetre, "a metre would not do")
}

// Common practice, no source: the workers of a square-knot sinnet use 4 to 5
// times its length, and one square knot in 5 mm cord is 12 to 17 mm tall.
func TestSquareKnotSinnet(t *testing.T) {
	r := traced(t, `piece Sinnet
cord main 5 mm single-strand
panel one
  mount 2 folded
  sinnet square times 20
`)
	tall := r.Placed[0].Height
	require.GreaterOrEqual(t, tall, 12*length.Millimetre)
	require.LessOrEqual(t, tall, 17*length.Millimetre)
	worker := r.Ends[0]
	ratio := float64(worker.TakeUp) / float64(20*tall)
	require.GreaterOrEqual(t, ratio, 4.0)
	require.LessOrEqual(t, ratio, 5.0)
	// Dillmont, Encyclopedia of Needlework (1886), figs. 516 and 530: the two
	// outer threads tie, those between are tied over.
	require.Equal(t, []string{"worker", "filler", "filler", "worker"}, roles(r))
	require.Equal(t, 20*tall, r.Ends[1].TakeUp)
}

func roles(r trace.Result) []string {
	var roles []string
	for _, e := range r.Ends {
		roles = append(roles, e.Uses[0].Role)
	}
	return roles
}

// Dillmont, Encyclopedia of Needlework (1886), figs. 537 to 543: the first thread
// carries and every next one is hitched over it; in the following bar the second
// thread carries and the first is hitched last.
func TestOrderAfterABar(t *testing.T) {
	r := traced(t, `piece Bars
cord main 1 mm plied
panel bars
  mount 4 single
  bar left to right
  bar left to right
`)
	carriers, hitched := []int32{}, [][]int32{}
	for i, p := range r.Placed {
		if i%3 == 0 {
			carriers = append(carriers, p.Ends[0])
			hitched = append(hitched, nil)
		}
		hitched[i/3] = append(hitched[i/3], p.Ends[1])
	}
	require.Equal(t, []int32{0, 1}, carriers)
	require.Equal(t, [][]int32{{1, 2, 3}, {2, 3, 0}}, hitched)
	require.Equal(t, []int{2, 3, 0, 1}, r.Panels[0].Ends)
}

// Dillmont, fig. 556: single threads of 50 cm suffice for a border of bars. The
// thread is about 1 mm (from memory); the cords laid in for the horizontal bars
// are extra ones, as here; her vertical bar is taken as a row of hitches by pairs.
func TestDillmontsBorder(t *testing.T) {
	laid := "  add 1 single left\n  bar left to right slope 0\n"
	r := traced(t, "piece Border\ncord main 1 mm plied\ndowel 5 cm x 3 mm\npanel border\n  mount 8 single\n"+
		laid+"  bar 1 to 4 times 3\n  bar 8 to 5 times 3\n"+
		laid+"  bar 4 to 1 times 3\n  bar 5 to 8 times 3\n"+
		"  sinnet vertical lark's head times 3 of 2 on 1-8\n"+laid)
	need := length.Length(0)
	for _, e := range r.Ends[:8] {
		need = max(need, e.Total())
	}
	require.LessOrEqual(t, need, 50*length.Centimetre)
	require.Greater(t, need, 12*length.Centimetre)
}

// Dillmont, figs. 548 to 550: threads of 80 cm, folded, suffice for a fringe with
// three rows of double slanting bars of 12 threads that meet in the middle (thread
// of about 1 mm, from memory).
func TestDillmontsFringe(t *testing.T) {
	rows := strings.Repeat("  bar left to middle times 2\n  bar right to middle times 2\n", 3)
	r := traced(t, "piece Fringe\ncord main 1 mm plied\ndowel 10 cm x 3 mm\npanel fringe\n  mount 12 folded\n"+
		"  add 1 single left\n  bar left to right slope 0\n"+
		"  sinnet half hitch times 3 of 2 on 1-24\n"+
		"  add 1 single left\n  bar left to right slope 0\n"+
		strings.ReplaceAll(strings.ReplaceAll(rows, "left to middle", "1 to 12"), "right to middle", "24 to 13"))
	need := length.Length(0)
	for _, e := range r.Ends[:24] {
		need = max(need, e.Total())
	}
	require.LessOrEqual(t, need, 40*length.Centimetre)
	require.Greater(t, need, 12*length.Centimetre)
}

// Embroidery and Fancy Work (19th century), p. 180: a knotted fringe of the
// cloth's own threads takes two to three times its finished depth.
func TestLightlyKnottedFringe(t *testing.T) {
	r := traced(t, `piece Light
cord main 2 mm plied
dowel 20 cm x 3 mm
panel light
  mount 8 folded
  net square rows 3
  tail 6 cm
`)
	need := float64(most(r) + 6*length.Centimetre)
	times := need / float64(r.Panels[0].Drop)
	require.Greater(t, times, 1.0)
	require.Less(t, times, 3.0)
}

// Dillmont, Macramé, introduction: the thicker and stiffer the thread, the more a
// knot takes up.
func TestThickerAndStifferTakesMore(t *testing.T) {
	need := func(thread string) length.Length {
		return most(traced(t, "piece X\ncord main "+thread+"\npanel x\n  mount 4 folded\n  net square rows 5\n"))
	}
	require.Less(t, need("3 mm single-strand"), need("4 mm single-strand"))
	require.Less(t, need("4 mm single-strand"), need("4 mm plied"))
	require.Less(t, need("4 mm plied"), need("4 mm braided"))
}
