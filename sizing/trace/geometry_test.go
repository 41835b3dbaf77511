package trace_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/integrate/quad"

	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/trace"
)

const (
	mm = length.Millimetre
	cm = length.Centimetre
)

// The cord of these tests is firm and works at 3 mm; a folded one takes 12 mm of a
// rod of 20 mm, and its ends begin 13 mm below the rod's axis.
const (
	firm = "cord main 4 mm braided squeeze 0.75\n"
	head = firm + "dowel 2 m x 20 mm\n"
)

const (
	d    = 3.0  // mm, working
	knob = 13.0 // mm, from the rod's axis to where a mount ends
	tall = 10.5 // mm, a square knot: 3.5 diameters
)

func panelOf(t *testing.T, steps string) trace.Result {
	t.Helper()
	return traced(t, head+"panel p\n"+steps)
}

// in millimetres
func at(l length.Length) float64 { return l.Millimetres() }

// Two strips hang from their own mounts and meet: each is the long side of a right
// triangle (Pythagoras), its drop the upright one.
func TestJoinedPanelsLeanByPythagoras(t *testing.T) {
	r := traced(t, head+`panel one
  mount 4 folded
  space 50 cm
panel two
  gap 20 cm
  mount 4 folded
  space 50 cm
panel join from one, two
  row square
`)
	// Mounts of 48 mm with 200 mm between them: their middles are 248 mm apart, and
	// the strips of 48 mm stand side by side when each has moved 100 mm.
	strip, aside := knob+500, 100.0
	for i, sign := range []float64{1, -1} {
		require.InDelta(t, math.Sqrt(strip*strip-aside*aside), at(r.Panels[i].Drop), 1e-3)
		require.InDelta(t, sign*math.Asin(aside/strip), float64(r.Panels[i].Lean), 1e-9)
		require.Equal(t, 2, r.Panels[i].JoinedBy)
	}
	require.InDelta(t, 96, at(r.Panels[2].Columns[15]-r.Panels[2].Columns[0])+2*d, 1e-3)
	for i, e := range r.Ends {
		require.GreaterOrEqual(t, at(e.Run), 500.0, "end %d", i)
		require.Less(t, at(e.Run), 540.0, "end %d: it swings and runs to its knot, no more", i)
	}
	// The foot of each strip is turned with it, and its ends run from there to the knot.
	sin := aside / strip
	cos := math.Sqrt(1 - sin*sin)
	for i := range 4 {
		across := func(i int) float64 { return 6*float64(i) - 21 } // of 48 mm, from its middle
		x, y := 24+across(i)*cos+strip*sin, strip*cos-across(i)*sin
		top := strip*cos - across(0)*sin // of the knot: below its lowest end
		stands := 24 + aside + (across(0)+across(3))/2 + (float64(i)-1.5)*d
		require.InDelta(t, strip+math.Hypot(stands-x, top-y), at(r.Ends[i].Run), 1e-3)
	}
	require.InDelta(t, at(r.Panels[2].Columns[0]+r.Panels[2].Columns[15])/2, at(r.Panels[2].Pivot), 1e-3)
	require.Equal(t, []trace.Note(nil), r.Notes)
	// An end on the inner side of a leaning strip hangs higher: mirror images alike.
	for i := range 8 {
		require.InDelta(t, at(r.Ends[i].Total()), at(r.Ends[15-i].Total()), 1e-5)
	}
}

func TestUnlikePanelsThatAreJoinedAreNoted(t *testing.T) {
	join := func(one, two string) []trace.Note {
		return traced(t, head+"panel one\n  mount 4 folded\n  "+one+"\npanel two\n  mount 4 folded\n  "+two+"\npanel join from one, two\n  row square\n").Notes
	}
	require.Empty(t, join("net square rows 3", "net square rows 3"))
	notes := join("net square rows 3", "net square rows 4")
	require.Len(t, notes, 1)
	require.Equal(t, "one has 5 knots and two has 6: they are joined, so check that you want them to differ", notes[0].Text)
}

// Unequal panels meet nearer to the one with more ends.
func TestTheHeavierPanelMovesLess(t *testing.T) {
	r := traced(t, head+`panel one
  mount 12 folded
  space 50 cm
panel two
  gap 20 cm
  mount 4 folded
  space 50 cm
panel join from one, two
  row square
`)
	require.Less(t, math.Abs(float64(r.Panels[0].Lean)), math.Abs(float64(r.Panels[1].Lean)))
	require.InDelta(t, 3, math.Sin(-float64(r.Panels[1].Lean))/math.Sin(float64(r.Panels[0].Lean)), 0.5)
}

const herons = head + `panel left
  mount 8 folded
  net square %s
panel short
  gap 3 cm
  mount 10 folded
  net square rows 9
  tail 16 cm
panel right
  gap 3 cm
  mount 8 folded
  net square %s
panel join from left, right
  row square
`

// The count of `until under` is the smallest that passes.
func TestUntilUnderIsTheSmallestCount(t *testing.T) {
	until := func(count string) trace.Result { return traced(t, fmt.Sprintf(herons, count, count)) }
	for _, by := range []length.Length{0, 1 * cm, 4 * cm, 15 * cm} {
		count := "until under short"
		if by > 0 {
			count += " by " + by.String()
		}
		r := until(count)
		target := r.Panels[1].Drop + by
		require.GreaterOrEqual(t, r.Panels[0].Drop, target)
		rows := 0 // of the left panel: 4 knots and 3 in turn
		for n := r.Panels[0].Knots["square knot"]; n > 0; rows++ {
			n -= 4 - rows%2
		}
		same, fewer := until(fmt.Sprintf("rows %d", rows)), until(fmt.Sprintf("rows %d", rows-1))
		require.Equal(t, r.Panels[0].Drop, same.Panels[0].Drop)
		require.Less(t, fewer.Panels[0].Drop, target)
		require.Equal(t, fmt.Sprintf("left: %d rows pass under short", rows), r.Notes[0].Text)
		others := "panel reed\n  mount 4 folded\n  row square\npanel shore from reed\n  row square\n"
		besides := traced(t, fmt.Sprintf(strings.Replace(herons, "panel left", others+"panel left", 1), count, count))
		require.Equal(t, r.Notes[0].Text, besides.Notes[0].Text, "whatever else is joined")
	}
}

// `for` is the smallest count that reaches the length.
func TestForIsTheSmallestCount(t *testing.T) {
	for _, c := range []struct {
		reach string
		rows  int
	}{{"1 mm", 1}, {"10.5 mm", 1}, {"10.6 mm", 2}, {"21 mm", 2}, {"10 cm", 10}} {
		r := panelOf(t, "mount 2 folded\nsinnet square for "+c.reach+"\n")
		require.Equal(t, c.rows, r.Panels[0].Knots["square knot"], c.reach)
	}
}

// On a ring the net has no edges: every end ties in every row, and all groups do
// the same.
func TestRoundNet(t *testing.T) {
	r := traced(t, firm+"ring 10 cm x 5 mm\npanel p round\nmount 8 folded\nnet square rows 6\n")
	require.Equal(t, 6*4, r.Panels[0].Knots["square knot"])
	require.Zero(t, r.Panels[0].LeftLoops+r.Panels[0].RightLoops)
	require.InDelta(t, 8*12, at(r.Panels[0].Width), 1e-3, "the girth")
	for i, e := range r.Ends {
		require.Equal(t, 6, e.Knots)
		require.InDelta(t, at(r.Ends[min(i%4, 3-i%4)].Total()), at(e.Total()), 1e-4, "end %d", i)
	}
	flat := panelOf(t, "mount 8 folded\nnet square rows 6\n")
	require.Equal(t, 3*4+3*3, flat.Panels[0].Knots["square knot"])
}

// A shift turns the grouping: the group that passes the seam takes the last ends
// and the first.
func TestShiftTurnsARoundRow(t *testing.T) {
	r := traced(t, "cord main 4 mm\npanel p round\nmount 4 folded\nrow square shift 2\n")
	require.Equal(t, []int32{2, 3, 4, 5}, r.Placed[0].Ends)
	require.Equal(t, []int32{6, 7, 0, 1}, r.Placed[1].Ends)
	// The way over the seam is as short as the way beside it.
	require.InDelta(t, at(r.Ends[2].Run), at(r.Ends[6].Run), 1e-4)
	require.InDelta(t, at(r.Ends[5].Run), at(r.Ends[1].Run), 1e-4)
}

// A skip leaves ends at both sides of the seam, where a round panel begins and ends.
func TestSkipOfARoundRow(t *testing.T) {
	r := traced(t, "cord main 4 mm\npanel p round\nmount 6 folded\nrow square\nrow square skip 2\n")
	require.Equal(t, []int32{2, 3, 4, 5}, r.Placed[3].Ends)
	require.Equal(t, []int32{6, 7, 8, 9}, r.Placed[4].Ends)
	require.Len(t, r.Placed, 5)
}

// A taper opens a round panel at its seam, row by row.
func TestTaperOfARoundPanel(t *testing.T) {
	r := traced(t, "cord main 4 mm\npanel p round\nmount 8 folded\ntaper square\n")
	require.Equal(t, 4+3+2+1, r.Panels[0].Knots["square knot"])
}

func TestAddsStandWhereTheyAreAdded(t *testing.T) {
	for _, c := range []struct {
		where string
		want  []int
		place int // of the first end added, from the left
	}{
		{"left", []int{8, 9, 0, 1, 2, 3, 4, 5, 6, 7}, 1},
		{"right", []int{0, 1, 2, 3, 4, 5, 6, 7, 8, 9}, 9},
		{"at middle", []int{0, 1, 2, 3, 8, 9, 4, 5, 6, 7}, 5},
		{"at 2", []int{0, 1, 8, 9, 2, 3, 4, 5, 6, 7}, 3},
	} {
		r := panelOf(t, "mount 4 folded\nrow square\nadd 1 folded "+c.where+"\n")
		require.Equal(t, c.want, r.Panels[0].Ends, c.where)
		require.IsIncreasing(t, r.Panels[0].Columns, c.where)
		require.True(t, r.Strands[4].Added)
		require.Equal(t, c.place, r.Strands[4].Place, c.where)
		for _, e := range r.Ends[8:] {
			// Lark's head round an end of 3 mm: 5 pi/6 (D + d) + 2.16 d.
			require.InDelta(t, 5*math.Pi/6*(3+3)+2.16*3, at(e.Mount), 1e-3)
		}
	}
	both := panelOf(t, "mount 4 folded\nadd 1 folded left\nadd 1 folded right\nrow square of 6\n")
	require.Equal(t, []int32{8, 9, 0, 1, 2, 3}, both.Placed[0].Ends)
	two := panelOf(t, "mount 4 folded\nrow square\nadd 2 folded left\nrow square on left 4\n")
	require.Equal(t, []int{1, 3}, []int{two.Strands[4].Place, two.Strands[5].Place})
	// The lark's heads hang below the knot that their end comes from, by half of that end and d.
	require.InDelta(t, knob+tall+1.5+d, at(two.Placed[2].Y), 1e-3)
}

// A level bar's carrier lies straight across the work, with 3 % of crimp.
func TestCarrierOfALevelBar(t *testing.T) {
	r := panelOf(t, "mount 4 single\nbar left to right slope 0\n")
	// Single mounts are 3 diameters wide: the ends stand 9 mm apart, wider than
	// hitches that touch.
	carrier := r.Ends[0]
	require.InDelta(t, knob+1.5*d+27, at(carrier.Run), 1e-3, "down to the bar's axis, half of its height below its top, and across three gaps")
	require.InDelta(t, 27*0.03, at(carrier.TakeUp), 1e-3)
	require.Equal(t, []int{1, 2, 3, 0}, r.Panels[0].Ends)
	for _, e := range r.Ends[1:] {
		require.Equal(t, []trace.Use{{Knot: "double half hitch", Role: "hitching end", Family: knot.Hitches, Times: 1, Takes: e.TakeUp}}, e.Uses)
		// 2 C + 2.6 less 1 %: two loops round one core.
		require.InEpsilon(t, 2*2*math.Pi*d+2.6*d, at(e.TakeUp), 0.03)
	}
}

// A level bar below folded mounts is pushed together as far as hands can, to 2
// diameters a hitch, and stands just as wide as the work above it; thicker cord
// among thinner makes it no wider than both are.
func TestLevelBarKeepsTheWidth(t *testing.T) {
	r := panelOf(t, "mount 4 folded\nbar left to right slope 0\n")
	require.InDelta(t, 6*2*d, at(r.Placed[6].X-r.Placed[0].X), 1e-2)
	mixed := traced(t, "cord a 4 mm squeeze 0.75\ncord b 2 mm squeeze 0.75\npanel p\nmount 2 folded b\nmount 2 folded a\nmount 2 folded b\nbar left to right slope 0\n")
	require.InDelta(t, 4*6+2*12-3, at(mixed.Panels[0].Columns[11]-mixed.Panels[0].Columns[0]), 1e-3)
	require.Less(t, at(mixed.Placed[10].X-mixed.Placed[0].X), at(mixed.Panels[0].Width))
}

// Below cords that are pushed together a level bar stands wider than they do: its
// hitches lie two diameters apart, about the middle of their columns.
func TestLevelBarStandsWiderThanWhatItHitches(t *testing.T) {
	r := traced(t, firm+"dowel 2 m x 20 mm\nhang touching\npanel p\nmount 4 folded\nbar left to right slope 0\n")
	columns := r.Panels[0].Columns
	middle := at(columns[0]+columns[7]) / 2
	require.Less(t, at(columns[7]-columns[0]), 7*2*d)
	for i, p := range r.Placed {
		require.InDelta(t, middle+float64(i-3)*2*d, at(p.X), 1e-3)
		require.InDelta(t, 2*d, at(p.Width), 1e-3)
	}
}

// A sloping bar falls by its angle, and what it hitches leaves square to it.
func TestSlopingBar(t *testing.T) {
	for _, slope := range []float64{0, 20, 35, 60} {
		r := panelOf(t, fmt.Sprintf("mount 4 single\nbar left to right slope %g\n", slope))
		sin, cos := math.Sincos(slope * math.Pi / 180)
		a, b := r.Placed[0], r.Placed[2]
		require.InDelta(t, at(b.X-a.X)*sin/cos, at(b.Y-a.Y), 1e-3)
		require.InDelta(t, at(b.X-a.X)/cos/2, at(a.Width), 1e-3, "the pitch is measured along the bar")
		require.InDelta(t, knob+(1.5*d+27)/cos, at(r.Ends[0].Run), 1e-3, "the carrier's axis, half of a height of three diameters down, over three gaps of 9 mm")
		for i, p := range r.Placed {
			e := r.Ends[i+1]
			require.InDelta(t, at(p.X)-3*d*sin, at(e.X), 1e-3)
			require.InDelta(t, at(p.Y)+3*d*cos, at(e.Y), 1e-3)
		}
	}
}

// A natural bar falls so steeply that its hitches just touch: 2.93 diameters
// along the carrier over columns 2 diameters apart.
func TestNaturalSlope(t *testing.T) {
	r := panelOf(t, "mount 4 folded\nbar left to right\n")
	require.InDelta(t, math.Acos(2/2.93), float64(r.Placed[0].Slope), 1e-6)
	back := panelOf(t, "mount 4 folded\nbar right to left\n")
	require.InDelta(t, -math.Acos(2/2.93), float64(back.Placed[0].Slope), 1e-6)
}

// In a gather every hitch closes round one core more.
func TestGatherGrowsItsCore(t *testing.T) {
	r := panelOf(t, "mount 4 folded\ngather left to right slope 0\n")
	book, _ := knot.Standard().Knot("double half hitch")
	for k := 1; k < 8; k++ {
		size, err := book.Size(knot.Gauge{Diameter: 3 * mm, Ends: k + 1, Pitch: r.Placed[k-1].Width})
		require.NoError(t, err)
		require.Equal(t, size.Takes[0], r.Ends[k].TakeUp, "hitch %d", k)
		require.Equal(t, r.Ends[0].X, r.Ends[k].X, "all leave where the carrier does")
		require.Equal(t, r.Ends[0].Y, r.Ends[k].Y)
		if k > 1 {
			require.Greater(t, at(r.Ends[k].TakeUp), at(r.Ends[k-1].TakeUp)-0.02, "bundles of 6 and 7 have the same hull")
			require.Less(t, r.Ends[k].Run, r.Ends[k-1].Run, "the later it joins, the less of the bar it follows")
		}
	}
}

// A wrap on a ring draws all ends in from the girth to the bundle.
func TestWrapUnderARing(t *testing.T) {
	r := traced(t, firm+"ring 10 cm x 5 mm\npanel p round\nmount 8 folded\nspace 20 cm\nwrap turns 5\n")
	run := at(r.Ends[0].Run)
	girth := 8 * 12.0
	knob := 2.5 + 3
	// Packings of 16 circles: R/r = 4.6154 (E. Specht's compilation), so the outer
	// ends lie 3.6154 radii of 1.5 mm from the middle.
	in := girth/(2*math.Pi) - 3.6154*1.5
	require.InDelta(t, math.Hypot(in, knob+200)+5*3, run, 0.3)
	for _, e := range r.Ends {
		require.Equal(t, r.Ends[0].Run, e.Run)
	}
	require.InDelta(t, (10.0*10)+5*(at(turn(16+2))+6), at(r.Extras[0].Need.Total()), 3, "ten centimetres of tails, five turns, a buried loop of two diameters for each")
}

// turn is one close loop round n cores: 2 pi + the hull of the densest penny
// packing (H. Harborth, 1974), ceil(sqrt(12 n - 3)) - 3.
func turn(n float64) length.Length {
	return length.Length((2*math.Pi + math.Ceil(math.Sqrt(12*n-3)) - 3) * d * float64(mm))
}

// Each strand of a plait is sqrt(P^2 + 6.65^2) long for a repeat of P diameters,
// here 8 (figures from tightening ideal rope, see sizing/tight).
func TestPlaitTakesItsSlantedWay(t *testing.T) {
	r := panelOf(t, "mount 3 folded\nplait for 24 cm\n")
	for _, e := range r.Ends {
		require.InDelta(t, 240*math.Hypot(8, 6.65)/8, at(e.TakeUp), 0.01)
		require.InDelta(t, knob+240, at(e.Y), 1.0)
	}
	require.Equal(t, 2, r.Panels[0].Knots["three-strand plait"])
}

// The arc of a hanging cord, measured by summing it up numerically: y = a cosh(x/a)
// (E. H. Lockwood, A Book of Curves, 1961, chapter 13, from memory).
func TestCatenaryAgainstIntegration(t *testing.T) {
	for _, c := range []struct{ span, sag float64 }{{500, 180}, {500, 5}, {300, 300}, {100, 900}, {2000, 1}} {
		// a from the sag by bisection, in a way of its own: sag + a = a cosh(span/2a).
		low, high := 1e-3*c.span, 1e6*c.span
		for range 300 {
			a := math.Sqrt(low * high)
			if u := c.span / 2 / a; u > 700 || a*(math.Cosh(u)-1) > c.sag {
				low = a
			} else {
				high = a
			}
		}
		a := high
		arc := 2 * quad.Fixed(func(x float64) float64 { return math.Hypot(1, math.Sinh(x/a)) }, 0, c.span/2, 400, nil, 0)
		got := at(trace.Catenary(length.Length(c.span)*mm, length.Length(c.sag)*mm))
		require.InEpsilon(t, arc, got, 1e-6, "%v", c)
		// Textbook closed form for half the length S and the sag h:
		// a = (S^2 - h^2)/2h and half the span = a ln((S + h)/(S - h)).
		s, h := got/2, c.sag
		form := (s*s - h*h) / (2 * h) * math.Log((s+h)/(s-h))
		require.InEpsilon(t, c.span, 2*form, 1e-5, "%v", c)
	}
	// A shallow arc is a parabola: w (1 + 8/3 (h/w)^2).
	require.InEpsilon(t, 1000*(1+8.0/3*0.02*0.02), at(trace.Catenary(1000*mm, 20*mm)), 1e-6)
	require.Equal(t, 50*cm, trace.Catenary(50*cm, 0), "taut")
	require.Equal(t, 36*cm, trace.Catenary(0, 18*cm), "down and up again")
	// A very deep one is two straight legs.
	require.InEpsilon(t, 2*10_000, at(trace.Catenary(10*mm, 10_000*mm)), 0.01)
}

func TestSwagIsCutWithBothTies(t *testing.T) {
	r := traced(t, head+"panel p\nmount 2 folded\nswag 3 over 50 cm drop 18 cm\n")
	x := r.Extras[0]
	require.Equal(t, trace.ForSwag, x.For)
	require.Equal(t, 3, x.Count)
	require.Equal(t, trace.Catenary(50*cm, 18*cm), x.Need.Run)
	// 1.92 loops round a rod of 20 mm, 3.7 diameters and a tail of 6 cm, twice.
	require.InDelta(t, 2*(1.92*math.Pi*(20+3)+3.7*3+60), at(x.Need.Mount), 0.01)
}

// Edge loops counted by hand: the free stretches of the edge ends from one knot to
// the next, where a folded piece of fringe finds room.
func TestEdgeLoops(t *testing.T) {
	for _, c := range []struct {
		steps       string
		left, right int
	}{
		{"mount 4 folded\nrow square\n", 0, 0},
		{"mount 4 folded\nnet square rows 2\n", 0, 0},               // rows 1 of 2 reach the edge
		{"mount 4 folded\nnet square rows 3\n", 1, 1},               // rows 1 and 3
		{"mount 4 folded\nnet square rows 9\n", 4, 4},               // rows 1, 3, 5, 7, 9
		{"mount 6 folded\ntaper square\n", 0, 0},                    // only the first row
		{"mount 4 folded\nsinnet square times 4 on left 4\n", 0, 0}, // close below one another
		{"mount 4 folded\nsinnet square times 4 apart 1 cm on left 4\n", 3, 0},
		{"mount 3 folded\nsinnet square times 2 of 6\nspace 3 cm\nplait of 6 for 9 cm\n", 1, 1},
		{"mount 4 single\nrow square\nspace 2 cm\nbar left to right slope 0\nspace 2 cm\nbar left to right slope 0\n", 2, 2},
		{"mount 4 folded\nnet square rows 3\nwrap turns 5\n", 1, 1}, // a wrap is no knot of the edge's
		// A loop has three diameters of free cord, 9 mm.
		{"mount 2 folded\nsinnet square times 4 apart 8.9 mm\n", 0, 0},
		{"mount 2 folded\nsinnet square times 4 apart 9 mm\n", 3, 3},
		{"mount 8 folded\nsinnet square times 4 apart 9 mm on 5-8\n", 0, 0}, // no edge's
		// From a square knot the carrier runs 4.5 mm aside and down to the bar's axis,
		// 4.5 mm below its top; the last hitch is 1.5 mm aside, at the top of the bar.
		{"mount 2 folded\nrow square\nspace 3.2 mm\nbar left to right slope 0\n", 0, 0},
		{"mount 2 folded\nrow square\nspace 3.4 mm\nbar left to right slope 0\n", 1, 0},
		{"mount 2 folded\nrow square\nspace 8.8 mm\nbar left to right slope 0\n", 1, 0},
		{"mount 2 folded\nrow square\nspace 8.9 mm\nbar left to right slope 0\n", 1, 1},
		// It falls by 15 tan 10° = 2.6 mm up to the last hitch.
		{"mount 2 folded\nrow square\nspace 6.2 mm\nbar left to right slope 10\n", 1, 0},
		{"mount 2 folded\nrow square\nspace 6.3 mm\nbar left to right slope 10\n", 1, 1},
		// The ends of a plait stand as they leave a square knot of four.
		{"mount 2 folded\nrow square\nspace 8.9 mm\nplait 4 of 4 for 9 cm\n", 0, 0},
		{"mount 2 folded\nrow square\nspace 9 mm\nplait 4 of 4 for 9 cm\n", 1, 1},
		{"mount 2 folded\nrow square\nspace 3.2 mm\nbar right to left slope 0\n", 0, 0},
		{"mount 2 folded\nrow square\nspace 3.4 mm\nbar right to left slope 0\n", 0, 1},
	} {
		r := panelOf(t, c.steps)
		require.Equal(t, []int{c.left, c.right}, []int{r.Panels[0].LeftLoops, r.Panels[0].RightLoops}, strings.ReplaceAll(c.steps, "\n", "; "))
	}
	r := traced(t, head+"panel p\nmount 4 folded\nnet square rows 9\nfringe 20 cm by 2 on both of p\n")
	require.Equal(t, 2*(4+4), r.Extras[0].Count)
	// A piece: twice the drop, a lark's head round the edge cord, 5 mm of trim an end.
	require.InDelta(t, 2*200+2*(5*math.Pi/6*(3+3)+2.16*3)+2*5, at(r.Extras[0].Need.Total()), 0.01)
}

// What an end has used is never less than the way from its mount to where it
// stands, also for carriers, however often they cross.
func TestNoEndIsShorterThanItsWay(t *testing.T) {
	for _, steps := range []string{
		"mount 4 folded\nrow square\nnet square rows 7\n",
		"mount 8 single\n" + strings.Repeat("bar left to right slope 0\nbar right to left slope 0\n", 8),
		"mount 8 single\n" + strings.Repeat("bar left to right\nbar right to left\n", 8),
		"mount 6 folded\ngather left to middle\ngather right to middle\nwrap turns 9\n",
		"mount 6 folded\nplait for 30 cm\nspace 5 cm\nrow overhand of 6\n",
		"mount 4 folded\nsinnet half times 40\nsinnet vertical lark's head times 9 of 2\n",
	} {
		r := panelOf(t, steps)
		for i, e := range r.Ends {
			require.GreaterOrEqual(t, at(e.Run+e.TakeUp)+1e-3, at(e.Y), "end %d of %s", i+1, strings.ReplaceAll(steps, "\n", "; "))
		}
	}
}
