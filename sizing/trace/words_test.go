package trace_test

import (
	"context"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
	"larkfold/sizing/vocabulary"
)

// The example that explains a word of the sheet can be tied.
func TestExamplesOfWordsCanBeTied(t *testing.T) {
	for _, w := range vocabulary.Words() {
		require.NotEmpty(t, traced(t, w.Sheet()).Ends, w.Name)
	}
}

// A step of any word changes what its ends use, or what is cut besides: one that the
// trace passed over would leave the maker without its cord.
func TestEveryStepIsTraced(t *testing.T) {
	for _, w := range vocabulary.Words() {
		switch {
		case w.Part != vocabulary.InPanel:
			continue
		case w.Name == "mount", w.Name == "repeat", w.Name == "end": // nothing hangs, or nothing repeats, without the line
			continue
		}
		line := "  " + w.Example + "\n"
		require.Contains(t, w.Sheet(), line)
		with, without := traced(t, w.Sheet()), traced(t, strings.Replace(w.Sheet(), line, "", 1))
		require.NotEqual(t, []any{without.Ends, without.Extras}, []any{with.Ends, with.Extras}, "%s: its geometry belongs into a case of step", w.Name)
	}
}

// A repeat is its steps written out.
func TestARepeatIsItsStepsWrittenOut(t *testing.T) {
	const steps = "  row square\n  space 2 cm\n  bar left to right level\n"
	short := panelOf(t, "  mount 6 folded\n  repeat 3\n"+steps+"  end\n  tail 20 cm\n")
	long := panelOf(t, "  mount 6 folded\n"+strings.Repeat(steps, 3)+"  tail 20 cm\n")
	require.Equal(t, long.Ends, short.Ends)
	require.Equal(t, long.Panels[0].Drop, short.Panels[0].Drop)
	require.Equal(t, long.Panels[0].Knots, short.Panels[0].Knots)
	require.Len(t, short.Panels[0].Done, 1+3*3+1)
}

// Worked both ways, each side of a cord is an end that needs what half a piece
// needs, and the piece is twice as long.
func TestBothWaysIsTwiceOneSide(t *testing.T) {
	const steps = "  mount 8 laid\n  net square rows 6\n  bar left to right level\n  tail 10 cm\n"
	r := traced(t, firm+"panel strap both ways\n"+steps)
	require.Len(t, r.Ends, 16)
	for _, s := range r.Strands {
		require.Equal(t, r.Ends[s.Ends[0]].Parts, r.Ends[s.Ends[1]].Parts)
		require.Zero(t, r.Ends[s.Ends[0]].Mount)
	}
	p := r.Panels[0]
	require.Equal(t, 2*(2+1+2+1+2+1), p.Knots["square knot"])
	require.Equal(t, 2*7, p.Knots["double half hitch"])
	lowest, highest := length.Length(math.MaxInt64), length.Length(0)
	for _, k := range r.Placed {
		lowest, highest = min(lowest, k.Y), max(highest, k.Y+k.Height)
	}
	require.InDelta(t, at(p.Drop-highest), at(lowest), 1e-3, "the two sides are each other's mirror image")
	require.InDelta(t, 100, at(lowest), 2*d, "a tail of 10 cm on both sides")
}

// Two rods: six diameters of the smaller ring's radius less are run aside to get
// from one ring to the other (Pythagoras).
func TestEndsRunFromRingToRing(t *testing.T) {
	const rings = firm + "ring 20 cm x 8 mm\nring low 30 cm x 8 mm\n"
	r := traced(t, rings+"panel shade round\n  mount 24 folded\n  space 40 cm\n  onto low\n  tail 10 cm\n")
	require.Len(t, r.Lowers, 1)
	require.InDelta(t, (300-8)*math.Pi, at(r.Lowers[0].Width), 1e-6)
	double, ok := knot.Standard().Knot("double half hitch")
	require.True(t, ok)
	size, err := double.Size(knot.Gauge{Diameter: 3 * mm, Core: 8 * mm, Ends: 2})
	require.NoError(t, err)
	aside := 50.0
	for _, e := range r.Ends {
		// From below the mount straight down 40 cm, then to the axis of the low ring
		// and over it: never less than that, and the hitch on top.
		least := math.Hypot(aside, at(r.Lowers[0].Y)-knob+6)
		require.Greater(t, at(e.Run), least-400)
		require.Equal(t, size.Takes[0], e.TakeUp)
		require.InDelta(t, at(r.Ends[0].Run), at(e.Run), 1e-3, "all run alike")
	}
}

// A foot rod is level, and its hitches stand at least as far apart as hands can
// push them: 2 diameters, less than which they jam (see the knot book).
func TestAFootRodIsLevel(t *testing.T) {
	r := traced(t, firm+"dowel 40 cm x 20 mm\ndowel foot 40 cm x 12 mm\npanel p\n  mount 10 folded\n  taper square rows 2\n  onto foot\n  tail 10 cm\n")
	var xs []float64
	for _, k := range r.Placed {
		if k.Knot.Name == "double half hitch" {
			xs = append(xs, at(k.X))
			require.InDelta(t, at(r.Lowers[0].Y)-6, at(k.Y), 1e-3)
		}
	}
	require.Len(t, xs, 20)
	for i := 1; i < len(xs); i++ {
		require.GreaterOrEqual(t, xs[i]-xs[i-1], 2*d-1e-6)
	}
	require.Empty(t, found(t, "  mount 4 folded\n"))
}

func TestHangingCloserAndSpread(t *testing.T) {
	of := func(hang string) trace.Result {
		return traced(t, firm+"dowel 50 cm x 20 mm\n"+hang+"panel p\n  mount 20 folded\n")
	}
	require.InDelta(t, 20*4*d, at(of("").Mounted), 1e-6)
	require.InDelta(t, 20*4*d, at(of("hang relaxed\n").Mounted), 1e-6)
	require.InDelta(t, 20*3*d, at(of("hang touching\n").Mounted), 1e-6)
	require.InDelta(t, 500-2*30, at(of("hang spread\n").Mounted), 1e-6, "the dowel less its bare ends")
	on := func(dowel string) float64 {
		return at(traced(t, firm+"dowel "+dowel+" x 20 mm\nhang spread\npanel p\n  mount 20 folded\n").Mounted)
	}
	require.InDelta(t, 240, on("30 cm"), 1e-6, "relaxed they just leave the ends of the dowel bare")
	require.InDelta(t, 239, on("299 mm"), 1e-6, "they are pushed closer for that")
	require.InDelta(t, 180, on("239 mm"), 1e-6, "no closer than pushed together")
	ring := traced(t, firm+"ring 20 cm x 8 mm\nhang spread\npanel p round\n  mount 24 folded\n")
	require.InDelta(t, (200-8)*math.Pi, at(ring.Mounted), 1e-6, "all round the ring")
}

// 24 cords of 3 mm take 28.8 cm relaxed and 21.6 cm pushed together.
func TestARodTakesWhatFitsPushedTogether(t *testing.T) {
	const closer, wide = "sized as pushed closer, over %s,", "%s too wide for the dowel"
	for _, c := range []struct {
		dowel, want, says string
		hung              float64
	}{
		{"34.8 cm", "", "", 288},
		{"347 mm", closer, "28.7 cm", 287},
		{"27.6 cm", closer, "21.6 cm", 216},
		{"275 mm", wide, "1 mm", 216},
		{"21.6 cm", wide, "6 cm", 216},
		{"215 mm", "too full", "", 216},
	} {
		dowel := c.dowel
		s, faults := sheet.Parse(firm+"dowel "+dowel+" x 20 mm\npanel p\n  mount 24 folded\n", knot.Standard())
		require.NoError(t, faults.Err())
		r, faulty, err := trace.Trace(context.Background(), s, trace.Maker{Book: knot.Standard()})
		require.NoError(t, err)
		require.Empty(t, faulty)
		require.InDelta(t, c.hung, at(r.Mounted), 1e-6, dowel)
		switch c.want {
		case "":
			require.Empty(t, r.Notes, dowel)
			require.Empty(t, r.TooFull(), dowel)
		case "too full":
			require.Len(t, r.TooFull(), 1, dowel)
			require.Equal(t, "dowel 28 cm x 20 mm", r.TooFull()[0].Right)
			require.Contains(t, r.TooFull()[0].Text, "room for 17 cords with bare ends of 3 cm")
		default:
			require.Empty(t, r.TooFull(), dowel)
			require.Len(t, r.Notes, 1, dowel)
			require.Contains(t, r.Notes[0].Text, fmt.Sprintf(c.want, c.says))
		}
	}
}

func TestTyingChangesThePitch(t *testing.T) {
	of := func(tie string) float64 {
		r := traced(t, head+tie+"panel p\n  mount 2 folded\n  sinnet square times 10\n")
		return (at(r.Panels[0].Worked) - knob) / 10 / d
	}
	// Common practice, no source: 4.0 diameters relaxed, about 3.2 pushed up hard.
	require.InDelta(t, 3.5, of(""), 1e-6)
	require.InDelta(t, 4.0, of("tie relaxed\n"), 1e-6)
	require.InDelta(t, 3.2, of("tie pushed up\n"), 1e-6)
	steep := panelOf(t, "  mount 6 folded\n  bar left to middle\n").Panels[0].Drop
	flat := traced(t, head+"tie pushed up\npanel p\n  mount 6 folded\n  bar left to middle\n").Panels[0].Drop
	require.Less(t, flat, steep, "hitches pushed up make a flatter bar")
}

func TestSlopingTails(t *testing.T) {
	lengths := func(tail string) (all []float64) {
		r := panelOf(t, "  mount 3 folded\n  row square of 6\n  "+tail+"\n")
		for _, n := range r.Panels[0].Ends {
			all = append(all, at(r.Ends[n].Tail))
		}
		return all
	}
	require.Equal(t, []float64{150, 150, 150, 150, 150, 150}, lengths("tail 15 cm"))
	require.InDeltaSlice(t, []float64{150, 170, 190, 210, 230, 250}, lengths("tail 15 cm to 25 cm at right"), 1e-6)
	require.InDeltaSlice(t, []float64{250, 230, 210, 190, 170, 150}, lengths("tail 15 cm to 25 cm at left"), 1e-6)
	require.InDeltaSlice(t, []float64{150, 190, 230, 230, 190, 150}, lengths("tail 15 cm to 25 cm at middle"), 1e-6)
	require.InDeltaSlice(t, []float64{250, 210, 170, 170, 210, 250}, lengths("tail 15 cm to 25 cm at edges"), 1e-6)
}

func TestAShiftedNetBeginsWithAShiftedRow(t *testing.T) {
	plain := panelOf(t, "  mount 6 folded\n  net square rows 4\n").Panels[0].Knots["square knot"]
	shifted := panelOf(t, "  mount 6 folded\n  net square rows 3 shifted\n").Panels[0].Knots["square knot"]
	require.Equal(t, 3+2+3+2, plain)
	require.Equal(t, 2+3+2, shifted)
}

func TestBeads(t *testing.T) {
	r := panelOf(t, "  mount 4 folded\n  bead 15 mm hole 10 mm of 2\n  tail 20 cm\n")
	require.Len(t, r.Beads, 4)
	for _, b := range r.Beads {
		require.Equal(t, 15*mm, b.Long)
		require.Len(t, b.Ends, 2)
		require.Equal(t, 8*mm, b.Bundle, "two cords of 4 mm side by side")
	}
	require.Zero(t, r.Ends[0].TakeUp)
	require.InDelta(t, knob+15, at(r.Ends[0].Mount)*0+at(r.Panels[0].Worked), 2*d)
	require.Empty(t, found(t, "  mount 1 folded\n  bead 15 mm hole 8 mm\n"))
	require.Equal(t, "bead 1.5 cm hole 8 mm", found(t, "  mount 1 folded\n  bead 15 mm hole 7.9 mm\n")[0].Right)
	require.Len(t, found(t, "  mount 4 folded\n  bead 15 mm of 3\n"), 1)
}

func TestATasselIsItsStrandsAndItsWrap(t *testing.T) {
	r := panelOf(t, "  mount 2 folded\n  tassel 10 cm with 12 strands on middle 2\n")
	require.Len(t, r.Extras, 2)
	strands, wrap := r.Extras[0], r.Extras[1]
	require.Equal(t, trace.ForTassel, strands.For)
	require.Equal(t, 12, strands.Count)
	require.Greater(t, strands.Need.Total(), 20*cm, "twice its length, and the way over the ends")
	require.Less(t, strands.Need.Total(), 26*cm)
	require.Equal(t, trace.ForWrap, wrap.For)
}

func TestALeafTapers(t *testing.T) {
	r := panelOf(t, "  mount 2 folded\n  leaf 5 from 8 cm to 4 cm on middle 2\n  tail 20 cm\n")
	require.Len(t, r.Extras, 5)
	for i, x := range r.Extras {
		require.Equal(t, 2, x.Count, "one from each side")
		require.InDelta(t, 2*(80-10*float64(i)), at(x.Need.Run), 1e-6)
	}
	one := panelOf(t, "  mount 2 folded\n  leaf 1 from 8 cm to 4 cm on middle 2\n")
	require.InDelta(t, 160, at(one.Extras[0].Need.Run), 1e-6)
}

func TestAWrapByItsCord(t *testing.T) {
	r := panelOf(t, "  mount 4 folded\n  wrap cord 60 cm\n")
	x := r.Extras[0]
	require.Equal(t, 60*cm, x.Need.Total())
	require.True(t, x.Exact)
	turns := panelOf(t, "  mount 4 folded\n  wrap turns 1\n").Extras[0].Need.TakeUp
	n := x.Need.TakeUp / turns
	require.Equal(t, x.Need.TakeUp, n*turns)
	require.LessOrEqual(t, x.Need.TakeUp, 50*cm)
	require.Greater(t, x.Need.TakeUp+turns, 50*cm, "another turn would eat into the tails")
	require.Len(t, found(t, "  mount 4 folded\n  wrap cord 10 cm\n"), 1, "that is no more than its tails")
}

func TestHalvesThatHangTogetherNowhere(t *testing.T) {
	const mount = "  mount 8 folded\n  bar left to middle\n"
	faults := found(t, mount+"  bar right to middle\n  tail 20 cm\n")
	require.Len(t, faults, 1)
	require.Equal(t, "bar right to middle-1", faults[0].Right)
	for _, good := range []string{"  bar right to middle-1\n", "  bar right to middle\n  bar middle to middle+1\n", "  bar right to middle\n  wrap turns 4\n", "  bar right to middle\n  row square on middle 4\n"} {
		require.Empty(t, found(t, mount+good+"  tail 20 cm\n"), good)
	}
	mirrored := found(t, "  mount 8 folded\n  bar right to middle\n  bar left to middle\n  tail 20 cm\n")
	require.Equal(t, "bar left to middle+1", mirrored[0].Right)
	require.Empty(t, found(t, "  mount 8 folded\n  sinnet square times 4\n"), "sinnets hang each by itself")
}

func TestAnEndHoldsSoManyCords(t *testing.T) {
	require.Empty(t, found(t, "  mount 4 folded\n  row square\n  add 8 folded left\n"))
	faults := found(t, "  mount 4 folded\n  row square\n  add 9 folded left\n")
	require.Len(t, faults, 1)
	require.Equal(t, "add 8 folded left", faults[0].Right)
}

func TestASwagIsNoWiderThanItsRod(t *testing.T) {
	swag := func(over string) []sheet.Fault {
		s, faults := sheet.Parse("cord main 4 mm\ndowel 60 cm x 20 mm\npanel p\n  mount 4 folded\nswag 3 over "+over+" drop 20 cm\n", knot.Standard())
		require.NoError(t, faults.Err())
		_, found, err := trace.Trace(context.Background(), s, trace.Maker{Book: knot.Standard()})
		require.NoError(t, err)
		return found
	}
	require.Empty(t, swag("60 cm"))
	require.Equal(t, "swag 3 over 60 cm drop 20 cm", swag("601 mm")[0].Right)
}

// 24.8 cm between the middles of two mounts of 4.8 cm: each bottom moves 10 cm
// aside, which is 45 degrees for a panel of 14.14 cm.
func TestPanelsLeanAtMostFortyFiveDegrees(t *testing.T) {
	of := func(space string) []sheet.Fault {
		s, faults := sheet.Parse(head+"panel one\n  mount 4 folded\n  space "+space+"\npanel two\n  gap 20 cm\n  mount 4 folded\n  space "+space+"\npanel join from one, two\n  row square\n", knot.Standard())
		require.NoError(t, faults.Err())
		_, found, err := trace.Trace(context.Background(), s, trace.Maker{Book: knot.Standard()})
		require.NoError(t, err)
		return found
	}
	require.Len(t, of("128 mm"), 1)
	require.Empty(t, of("129 mm"))
}

func TestAKnotDoesNotReachAcrossOthers(t *testing.T) {
	faults := found(t, "  mount 12 folded\n  row square on 1-2, 23-24\n")
	require.Len(t, faults, 1)
	require.Contains(t, faults[0].Text, "leave a space of")
	require.Empty(t, found(t, "  mount 12 folded\n  space 10 cm on 1-2, 23-24\n  row square on 1-2, 23-24\n"))
}

func TestABarFromEdgeToEdgeSaysHowItRuns(t *testing.T) {
	notes := func(bar string) int { return len(panelOf(t, "  mount 6 folded\n  "+bar+"\n").Notes) }
	require.Equal(t, 1, notes("bar left to right"))
	require.Equal(t, 1, notes("bar right to left"))
	require.Zero(t, notes("bar left to right level"))
	require.Zero(t, notes("bar left to right slope 5"))
	require.Zero(t, notes("bar left to middle"))
	for _, way := range []string{"left to right", "right to left"} {
		r := panelOf(t, "  mount 6 folded\n  bar "+way+"\n")
		// 11 columns of 6 mm, falling by the root of 2.93² - 2² over 2 (see TestNaturalSlope).
		require.Equal(t, "the bar from edge to edge falls 7.1 cm on its way, as steeply as makes its hitches just touch; for a level one write \"bar "+way+" level\"", r.Notes[0].Text)
	}
	require.Len(t, panelOf(t, "  mount 1 folded\n  bar left to right\n").Notes, 1, "two ends make a bar")
	require.Len(t, found(t, "  mount 1 single\n  bar left to right\n"), 1, "one end does not")
}

func TestCloseCasesAreNoted(t *testing.T) {
	ring := traced(t, firm+"ring 20 cm x 5 mm\npanel p round\n  mount 36 folded\n")
	require.Len(t, ring.Notes, 1, "43 of 61 cm round")
	require.Equal(t, "the cords take 43.2 cm of the ring of 20 cm (61.3 cm round), and are sized as they hang side by side; the line \"hang spread\" spreads them evenly over it", ring.Notes[0].Text)
	for cords, notes := range map[string]int{"45": 1, "46": 0} { // nine tenths are 55.1 cm
		require.Len(t, traced(t, firm+"ring 20 cm x 5 mm\npanel p round\n  mount "+cords+" folded\n").Notes, notes, cords)
	}
	for rod, notes := range map[string]int{"3 mm": 0, "2.9 mm": 1} {
		require.Len(t, traced(t, firm+"dowel 30 cm x "+rod+"\npanel p\n  mount 4 folded\n").Notes, notes, rod)
	}
	require.Empty(t, traced(t, firm+"ring 20 cm x 5 mm\nhang spread\npanel p round\n  mount 36 folded\n").Notes)
	thin := traced(t, "cord main 8 mm single-strand\ndowel 30 cm x 5 mm\npanel p\n  mount 4 folded\n")
	require.Len(t, thin.Notes, 1)
	require.Empty(t, traced(t, "cord main 8 mm single-strand\ndowel 30 cm x 6 mm\npanel p\n  mount 4 folded\n").Notes)
}

func TestFringeOnFootAndRod(t *testing.T) {
	pieces := func(fringe string) int {
		r := traced(t, firm+"dowel 48 cm x 20 mm\npanel p\n  mount 20 folded\n  bar left to right level\n"+fringe+"\n")
		return r.Extras[0].Count
	}
	require.Equal(t, 2*42, pieces("fringe 20 cm by 2 each 1 cm on rod"), "48 cm less 3 cm of bare end on both sides")
	foot := pieces("fringe 20 cm by 3 each 2 cm on foot of p")
	require.Zero(t, foot%3)
	require.InDelta(t, 3*13, foot, 6, "some 24 cm wide")
}
