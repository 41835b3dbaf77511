package drawn

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture/knots"
	"larkfold/commands/picture/paint"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// mm is a millimetre of the work; at perMillimetre it is a point of the page.
const (
	mm            = length.Millimetre
	perMillimetre = 1 / float64(mm)
)

// near is a place in the work given in millimetres.
func near(t *testing.T, x, y float64, got spot, about ...any) {
	t.Helper()
	require.InDelta(t, x, got.x/float64(mm), 1e-6, about...)
	require.InDelta(t, y, got.y/float64(mm), 1e-6, about...)
}

// nearPage is a place of a page.
func nearPage(t *testing.T, x, y float64, got paint.Point, about ...any) {
	t.Helper()
	require.InDelta(t, x, float64(got.X), 1e-6, about...)
	require.InDelta(t, y, float64(got.Y), 1e-6, about...)
}

// A rod stands out as far as it does, at most 40 mm or an eighth of the work, nearly,
// when there is no room for more; but the swags are tied within what is shown of it.
func TestWhereARodEnds(t *testing.T) {
	for _, c := range []struct {
		about                string
		mounted, long, swag  length.Length
		ring, whole, broken  bool
		left, right          float64
		hangsLeft, hangsRigh float64
	}{
		{about: "its own length", mounted: 100, long: 160, left: -30, right: 130, hangsLeft: -5, hangsRigh: 105},
		{about: "just as far as there is room", mounted: 100, long: 180, left: -40, right: 140, hangsLeft: -15, hangsRigh: 115},
		{about: "longer: tied in the middle of the stub, 0.45 of 40 mm", mounted: 100, long: 182, broken: true, left: -40, right: 140, hangsLeft: -31, hangsRigh: 131},
		{about: "12 % of 1 m", mounted: 1000, long: 2000, broken: true, left: -120, right: 1120, hangsLeft: -93, hangsRigh: 1093},
		{about: "room for all of it", mounted: 100, long: 300, whole: true, left: -100, right: 200, hangsLeft: -75, hangsRigh: 175},
		{about: "a rod shorter than the work", mounted: 100, long: 80, left: 0, right: 100, hangsLeft: 25, hangsRigh: 75},
		{about: "too short to tie within", mounted: 20, long: 50, left: -15, right: 35, hangsLeft: -15, hangsRigh: 35},
		{about: "just long enough to tie within", mounted: 20, long: 52, left: -16, right: 36, hangsLeft: 9, hangsRigh: 11},
		{about: "no length: 25 mm at each side", mounted: 100, left: -25, right: 125, hangsLeft: 0, hangsRigh: 100},
		{about: "a ring, unrolled", mounted: 100, long: 40, ring: true, left: 0, right: 100, hangsLeft: 25, hangsRigh: 75},
		// 55 % of what stands out is this side of the break: the swag's 45 mm and 10 more
		{about: "a swag beyond the work", mounted: 100, long: 400, swag: 190, broken: true, left: -100, right: 200, hangsLeft: -77.5, hangsRigh: 177.5},
	} {
		k := &sketch{wholeRod: c.whole}
		k.r.Mounted, k.r.Rod = c.mounted*mm, sheet.Rod{Length: c.long * mm, Thickness: 10 * mm, Ring: c.ring}
		if c.swag > 0 {
			k.r.Sheet.Swags = []sheet.Swag{{Over: c.swag * mm}}
		}
		left, right, broken := k.rodEnds()
		require.Equal(t, c.broken, broken, c.about)
		near(t, c.left, c.right, spot{left, right}, c.about)
		left, right = k.hangsBy()
		near(t, c.hangsLeft, c.hangsRigh, spot{left, right}, c.about)
	}
	// a second rod stands out by its own half, at most 40 mm, and a ring not at all
	for _, c := range []struct {
		long        length.Length
		ring        bool
		left, right float64
	}{{120, false, 190, 310}, {180, false, 160, 340}, {300, false, 160, 340}, {60, false, 200, 300}, {120, true, 200, 300}} {
		left, right := besides(trace.Loaded{Rod: sheet.Rod{Length: c.long * mm, Ring: c.ring}, From: 200 * mm, Mounted: 100 * mm})
		near(t, c.left, c.right, spot{left, right}, "%v", c)
	}
}

// How high a hanger rises: as the sheet says, or by its angle over half the width
// between where it is tied, 25 mm in from each end.
func TestHowHighAHangerRises(t *testing.T) {
	for _, c := range []struct {
		hanger *sheet.Hanger
		rod    sheet.Rod
		want   float64
	}{
		{nil, sheet.Rod{Length: 250 * mm}, 0},
		{&sheet.Hanger{Rise: 80 * mm}, sheet.Rod{Length: 250 * mm}, 80},
		{&sheet.Hanger{Angle: 45}, sheet.Rod{Length: 250 * mm}, 100},
		{&sheet.Hanger{Angle: 60}, sheet.Rod{Length: 250 * mm}, 100 * math.Sqrt(3)},
		{&sheet.Hanger{Angle: 45}, sheet.Rod{}, 75},                             // 100 mm of work and 25 at each side
		{&sheet.Hanger{Angle: 45}, sheet.Rod{Length: 250 * mm, Ring: true}, 50}, // unrolled
	} {
		k := &sketch{}
		k.r.Mounted, k.r.Rod, k.r.Sheet.Hanger = 100*mm, c.rod, c.hanger
		require.InDelta(t, c.want*float64(mm), k.riseOf(), 1, "%v", c)
	}
}

// The legs of a hanger are alike and meet over the middle; one that is cut short ends
// on the way there.
func TestLegsOfAHanger(t *testing.T) {
	for _, c := range []struct {
		room  float64
		wide  float64 // between the tops
		fixed bool    // or cut short
	}{{60, 0, true}, {90, 0, true}, {30, 75, false}, {45, 37.5, false}} {
		d := &paint.Drawing{Width: 400}
		k := &sketch{Drawing: d, scale: perMillimetre, origin: paint.At(50, 100), dyes: knots.DyesOf(someCords(4 * mm))}
		k.r.Cords, k.r.Mounted, k.r.Rod = someCords(4*mm), 200*mm, sheet.Rod{Length: 200 * mm}
		k.hanger(60*float64(mm), c.room*float64(mm))
		// tied at 25 and 175 mm: the middle is 100 mm from the left, 150 on the page
		up := min(c.room, 60)
		nearPage(t, 150, 100-up, d.Parts[0].At)
		feet, tops := map[string]int{}, map[string]int{}
		for _, s := range d.Shapes {
			if len(s.Path) == 2 {
				feet[fmt.Sprintf("%.1f %.1f", s.Path[0].P.X, s.Path[0].P.Y)]++
				tops[fmt.Sprintf("%.2f %.1f", s.Path[1].P.X, s.Path[1].P.Y)]++
			}
		}
		require.Len(t, feet, 2)
		require.Contains(t, feet, "75.0 100.0")
		require.Contains(t, feet, "225.0 100.0")
		require.Contains(t, tops, fmt.Sprintf("%.2f %.1f", 150-c.wide/2, 100-up))
		require.Contains(t, tops, fmt.Sprintf("%.2f %.1f", 150+c.wide/2, 100-up))
		var marks []paint.Point // of cords cut short, from 5 left of the cord to 5 right of it
		for _, s := range d.Shapes {
			if s.Fill == d.Ground() { // the fixing: 0.9 of a cord round a place a point higher
				require.True(t, c.fixed)
				box := s.Box()
				nearPage(t, 150, 100-up-1, paint.At((box.Left+box.Right)/2, (box.Top+box.Bottom)/2))
				require.InDelta(t, 2*3.6+1.2, float64(box.Right-box.Left), 0.01)
				marks = append(marks, paint.Point{})
			} else if first, last := s.Path[0].P, s.Path[len(s.Path)-1].P; len(s.Path) == 4 {
				nearPage(t, float64(first.X)+10, 100-up-1, last)
				marks = append(marks, paint.At((first.X+last.X)/2, first.Y))
			}
		}
		if c.fixed {
			require.Equal(t, []paint.Point{{}}, marks)
		} else {
			require.Len(t, marks, 2)
			nearPage(t, 150-c.wide/2, 100-up-1, marks[0])
			nearPage(t, 150+c.wide/2, 100-up-1, marks[1])
		}
		// the label stands 15 to the right of half way up the right leg
		nearPage(t, (225+150+c.wide/2)/2+15, 100-up/2, k.hangerTag)
	}
}

// An arrow runs along its way; its tip lies 7 beyond the end and its wings 5 aside.
func TestAnArrowPointsTheWayItRuns(t *testing.T) {
	for _, c := range []struct {
		way              []paint.Point
		tip, wing, other paint.Point
		line             int
	}{
		{[]paint.Point{{X: 10, Y: 20}, {X: 50, Y: 20}}, paint.At(57, 20), paint.At(50, 25), paint.At(50, 15), 2},
		{[]paint.Point{{X: 50, Y: 20}, {X: 10, Y: 20}}, paint.At(3, 20), paint.At(10, 15), paint.At(10, 25), 2},
		{[]paint.Point{{X: 10, Y: 20}, {X: 10, Y: 80}}, paint.At(10, 87), paint.At(5, 80), paint.At(15, 80), 2},
		{[]paint.Point{{X: 0, Y: 0}, {X: 30, Y: 40}}, paint.At(34.2, 45.6), paint.At(26, 43), paint.At(34, 37), 2}, // 3, 4, 5
		// of a long way every bend is followed, and the last run gives the direction
		{[]paint.Point{{X: 0, Y: 0}, {X: 10, Y: 5}, {X: 20, Y: 0}, {X: 26, Y: 8}}, paint.At(30.2, 13.6), paint.At(22, 11), paint.At(30, 5), 2},
		{[]paint.Point{{X: 0, Y: 0}, {X: 10, Y: 5}, {X: 20, Y: 0}, {X: 30, Y: 5}, {X: 40, Y: 5}}, paint.At(47, 5), paint.At(40, 10), paint.At(40, 0), 5},
	} {
		d := &paint.Drawing{Width: 100}
		m := &moment{sketch: &sketch{Drawing: d}}
		m.pointer(c.way)
		require.Len(t, d.Shapes, 3)
		for _, s := range d.Shapes[:2] {
			require.Len(t, s.Path, c.line)
			require.Equal(t, c.way[0], s.Path[0].P)
			require.Equal(t, c.way[len(c.way)-1], s.Path[c.line-1].P)
		}
		require.Greater(t, d.Shapes[0].Width, d.Shapes[1].Width, "on a ground of its own")
		head := d.Shapes[2].Path
		for i, want := range []paint.Point{c.tip, c.wing, c.other} {
			nearPage(t, float64(want.X), float64(want.Y), head[i].P, "%v", c.way)
		}
	}
	// the number of the end stands 12 before the beginning
	nearPage(t, -2, 20, beside(paint.At(10, 20), paint.At(50, 20)))
	nearPage(t, 37.2, 10.4, beside(paint.At(30, 20), paint.At(0, 60)), "3, 4, 5")
	nearPage(t, 10, 8, beside(paint.At(10, 20), paint.At(10, 20)))
}

// A number of an end stays on the picture, and none stands over another.
func TestMarksStayOnThePicture(t *testing.T) {
	d := &paint.Drawing{Width: 100, Height: 60}
	m := &moment{sketch: &sketch{Drawing: d}}
	var taken []paint.Box
	for n, c := range []struct{ x, y, toX, toY paint.Points }{{50, 30, 50, 30}, {-5, 30, 8, 30}, {110, 30, 92, 30}, {30, -9, 30, 8}, {30, 90, 30, 52}} {
		m.mark(int32(n+1), paint.At(c.x, c.y), paint.DarkInk(), &taken)
		box := taken[len(taken)-1]
		require.Len(t, taken, n+1)
		nearPage(t, float64(c.toX), float64(c.toY), paint.At((box.Left+box.Right)/2, (box.Top+box.Bottom)/2))
		require.InDelta(t, 14, float64(box.Right-box.Left), 1e-9)
		require.Equal(t, fmt.Sprint(n+1), d.Parts[n].Name)
	}
	m.mark(9, paint.At(63, 30), paint.DarkInk(), &taken) // 13 apart: it would overlap
	m.mark(9, paint.At(65, 30), paint.DarkInk(), &taken)
	require.Len(t, taken, 6)
}

// A girdle is straight from one held place to the next, and columns stand round it evenly,
// the seam at the back.
func TestColumnsStandEvenlyRoundARing(t *testing.T) {
	v := &hung{sketch: &sketch{scale: perMillimetre, origin: paint.At(0, 50)}, axis: 200}
	v.levels = []girdle{{y: 0, radius: 100}, {y: 50, radius: 60}, {y: 50, radius: 40}, {y: 90, radius: 20}}
	for y, want := range map[float64]float64{-5: 100, 0: 100, 25: 80, 49: 60.8, 70: 30, 90: 20, 500: 20} {
		require.InDelta(t, want, v.radius(y), 1e-9, "%v", y)
	}
	v.r.Rod.Thickness = 8
	require.InDelta(t, 104, v.widest(), 1e-9, "to the outside of the rim")

	// four ends, 10 mm of girth each, the first column at 5 mm
	v.r.Panels = []trace.Panel{{Ends: make([]int, 4), Strands: []int{0, 1}, Round: true}}
	v.r.Strands = []trace.Strand{{X: 10 * mm, Width: 20 * mm, Ends: []int{0, 1}}, {X: 30 * mm, Width: 20 * mm, Ends: []int{2, 3}}}
	v.first = 5 * float64(mm)
	for n, quarter := range []float64{-0.75, -0.25, 0.25, 0.75} {
		require.InDelta(t, quarter*math.Pi, v.angle(float64(5+10*n)*float64(mm), 0), 1e-9)
	}
	// below a ring twice as wide they are twice as far apart
	v.r.Lowers = []trace.Lower{{Y: 50 * mm, Width: 80 * mm}}
	require.InDelta(t, -0.25*math.Pi, v.angle(25*float64(mm), 50*float64(mm)), 1e-9)
	require.InDelta(t, 0.25*math.Pi, v.angle(25*float64(mm), 49*float64(mm)), 1e-9)

	v.levels = []girdle{{y: 0, radius: 100 * float64(mm)}}
	for angle, want := range map[float64]xyz{0: {0, 7, 100}, math.Pi / 2: {100, 7, 0}, -math.Pi / 2: {-100, 7, 0}, math.Pi: {0, 7, -100}} {
		got := v.round(angle, 7)
		require.InDelta(t, want.x*float64(mm), got.x, 1)
		require.InDelta(t, want.z*float64(mm), got.z, 1)
		require.Equal(t, want.y, got.y)
	}
	// seen from above by 0.22: the front of a ring of 100 mm lies 22 lower
	nearPage(t, 200, 50+10+22, v.at(xyz{0, 10 * float64(mm), 100 * float64(mm)}))
	nearPage(t, 170, 50+10-22, v.at(xyz{-30 * float64(mm), 10 * float64(mm), -100 * float64(mm)}))
}

// A rim is an ellipse of two halves, as flat as it is seen; it is a little thicker than
// its wood is shown.
func TestRimsAreSeenFromAbove(t *testing.T) {
	d := &paint.Drawing{Width: 400}
	v := &hung{sketch: &sketch{Drawing: d, scale: perMillimetre, origin: paint.At(0, 50)}, axis: 200}
	v.rim(30*float64(mm), 100*float64(mm), 8*mm)
	require.Len(t, v.things, 2)
	for i, side := range []float64{-1, 1} {
		require.Equal(t, side > 0, v.things[i].front)
		v.things[i].draw(0)
		p := d.Shapes[2*i].Path
		nearPage(t, 100, 80, p[0].P)
		nearPage(t, 200, 80+22*side, p[1].P)
		nearPage(t, 300, 80, p[2].P)
		k := paint.Quarter
		nearPage(t, 100, 80+22*side*k, p[1].A)
		nearPage(t, 200-100*k, 80+22*side, p[1].B)
		nearPage(t, 200+100*k, 80+22*side, p[2].A)
		nearPage(t, 300, 80+22*side*k, p[2].B)
		nearPage(t, 200, 80+22*side, d.Parts[i].At)
		require.InDelta(t, 8.8, float64(d.Shapes[2*i].Width), 1e-6)
		require.InDelta(t, 7.6, float64(d.Shapes[2*i+1].Width), 1e-6)
	}
}

// The hanger of a ring runs from its sides to over its middle.
func TestTheHangerOfARingIsAlikeOnBothSides(t *testing.T) {
	for _, c := range []struct{ rise, up, top, tag float64 }{{60, 60, 0, 50}, {60, 30, 50, 75}} {
		d := &paint.Drawing{Width: 400}
		v := &hung{sketch: &sketch{Drawing: d, scale: perMillimetre, origin: paint.At(0, 150), dyes: knots.DyesOf(someCords(4 * mm))}, axis: 200}
		v.r.Cords = someCords(4 * mm)
		v.levels = []girdle{{radius: 100 * float64(mm)}}
		v.hanger(c.rise*float64(mm), c.up*float64(mm))
		nearPage(t, 200, 150-c.up, d.Parts[0].At)
		ends := map[string]bool{}
		for _, s := range d.Shapes {
			if len(s.Path) == 2 {
				for _, at := range s.Path {
					ends[fmt.Sprintf("%.1f %.1f", at.P.X, at.P.Y)] = true
				}
			}
		}
		want := map[string]bool{"100.0 150.0": true, "300.0 150.0": true}
		for _, side := range []float64{-1, 1} {
			want[fmt.Sprintf("%.1f %.1f", 200+side*c.top, 150-c.up)] = true
		}
		require.Equal(t, want, ends)
		nearPage(t, 200+c.tag+15, 150-c.up/2, v.hangerTag)
	}
}

// A tassel is as long as it is cut, hangs alike on both sides of its middle and spreads
// to 1.4 times its width, which the page makes room for; its strands are drawn one by one
// up to 24.
func TestTasselsHangEvenly(t *testing.T) {
	for count, drawn := range map[int]int{1: 1, 2: 2, 9: 9, 24: 24, 25: 24} {
		d := &paint.Drawing{Width: 400}
		k := &sketch{Drawing: d, scale: perMillimetre, origin: paint.At(0, 0), dyes: knots.DyesOf(someCords(2 * mm))}
		k.r.Cords, k.r.Panels = someCords(2*mm), make([]trace.Panel, 1)
		k.r.Rods = make([]trace.Loaded, 1)
		k.r.Extras = []trace.Extra{{For: trace.ForTassel, Count: count, X: 100 * mm, Y: 50 * mm, Width: 20 * mm, Height: 80 * mm}}
		k.tassel(0)
		feet, wraps := []float64{}, []float64{}
		for _, s := range d.Shapes {
			if len(s.Path) == 2 {
				nearPage(t, 90, float64(s.Path[0].P.Y), s.Path[0].P)
				nearPage(t, 110, float64(s.Path[0].P.Y)+0.6, s.Path[1].P) // 0.3 of a cord lower
				if n := len(wraps); n == 0 || wraps[n-1] != float64(s.Path[0].P.Y) {
					wraps = append(wraps, float64(s.Path[0].P.Y))
				}
				continue
			}
			nearPage(t, float64(s.Path[0].P.X), 50, s.Path[0].P)
			foot := s.Path[len(s.Path)-1].P
			nearPage(t, float64(foot.X), 130, foot)
			require.InDelta(t, (float64(foot.X)-100)*0.8/1.4, float64(s.Path[0].P.X)-100, 1e-6, "it spreads from 0.8 of its width to 1.4")
			if n := len(feet); n == 0 || feet[n-1] != float64(foot.X) {
				feet = append(feet, float64(foot.X))
			}
		}
		require.Len(t, feet, drawn)
		require.Equal(t, []float64{58, 60, 62}, []float64{math.Round(wraps[0]), math.Round(wraps[1]), math.Round(wraps[2])}, "three turns, a cord apart")
		if drawn == 1 {
			require.InDelta(t, 100, feet[0], 1e-6)
			continue
		}
		for i, foot := range feet { // evenly from 86 to 114
			require.InDelta(t, 86+28*float64(i)/float64(drawn-1), foot, 1e-6)
		}
		e := extent{away, away, -away, -away}
		k.fitted(&e)
		near(t, 86, 130, spot{e.left, e.bottom})
		near(t, 114, 130, spot{e.right, e.top})
	}
}

// Rods and beads below are as large as they are about their middle, and the page makes
// room for them; the row of hitches is never longer than the rod under it.
func TestRoomForFittings(t *testing.T) {
	for _, c := range []struct {
		wide, long  length.Length
		ring        bool
		left, right float64
	}{{60, 100, false, 50, 150}, {120, 100, false, 40, 160}, {60, 10, true, 70, 130}} {
		d := &paint.Drawing{Width: 400}
		k := &sketch{Drawing: d, scale: perMillimetre}
		k.r.Panels, k.r.Rods = make([]trace.Panel, 1), make([]trace.Loaded, 1)
		k.r.Lowers = []trace.Lower{{X: 100 * mm, Y: 70 * mm, Width: c.wide * mm, Rod: sheet.Rod{Length: c.long * mm, Thickness: 8 * mm, Ring: c.ring}}}
		k.lower(0)
		nearPage(t, c.left, 70, d.Shapes[0].Path[0].P)
		nearPage(t, c.right, 70, d.Shapes[0].Path[1].P)
		nearPage(t, 100, 70, d.Parts[0].At)
		require.InDelta(t, 8.8, float64(d.Shapes[0].Width), 1e-6)
		require.InDelta(t, 7.6, float64(d.Shapes[1].Width), 1e-6)
		e := extent{away, away, -away, -away}
		k.fitted(&e)
		near(t, c.left-8, 62, spot{e.left, e.top})
		near(t, c.right+8, 78, spot{e.right, e.bottom})
	}
	k := &sketch{}
	k.r.Panels = make([]trace.Panel, 1)
	k.r.Rods = []trace.Loaded{{}, {Rod: sheet.Rod{Length: 120 * mm, Thickness: 10 * mm}, From: 200 * mm, Mounted: 100 * mm}}
	k.r.Beads = []trace.Beaded{{X: 50 * mm, Y: 40 * mm, Wide: 12 * mm}}
	e := extent{away, away, -away, -away}
	k.fitted(&e)
	near(t, 44, -5, spot{e.left, e.top})
	near(t, 315, 46, spot{e.right, e.bottom})
}

// A fringe by so much of a width hangs there in equal steps, half a step from each end:
// along a foot, or down an edge or both in turn.
func TestFringeAlongAWidth(t *testing.T) {
	panel := trace.Panel{Left: 20 * mm, Right: 100 * mm, Worked: 60 * mm, Pivot: 60 * mm}
	lower := []trace.Lower{{X: 60 * mm, Y: 70 * mm, Width: 120 * mm}}
	for _, c := range []struct {
		about string
		panel int
		side  sheet.Side
		lower []trace.Lower
		want  [][2]float64
	}{
		{"on the rod", -1, 0, nil, [][2]float64{{25, 0}, {75, 0}, {125, 0}, {175, 0}}},
		{"on a foot", 0, sheet.Foot, nil, [][2]float64{{30, 60}, {50, 60}, {70, 60}, {90, 60}}},
		{"on a ring below", 0, sheet.Foot, lower, [][2]float64{{15, 70}, {45, 70}, {75, 70}, {105, 70}}},
		{"down the left edge", 0, sheet.LeftEdge, nil, [][2]float64{{20, 7.5}, {20, 22.5}, {20, 37.5}, {20, 52.5}}},
		{"down the right edge", 0, sheet.RightEdge, nil, [][2]float64{{100, 7.5}, {100, 22.5}, {100, 37.5}, {100, 52.5}}},
		{"down both", 0, sheet.BothEdges, nil, [][2]float64{{20, 7.5}, {100, 22.5}, {20, 37.5}, {100, 52.5}}},
	} {
		k := &sketch{}
		k.r.Mounted, k.r.Panels, k.r.Lowers = 200*mm, []trace.Panel{panel}, c.lower
		got := k.spaced(trace.Extra{Panel: c.panel, Count: 4}, sheet.Fringe{Each: 10 * mm, Side: c.side})
		require.Len(t, got, 4)
		for i, want := range c.want {
			near(t, want[0], want[1], got[i], c.about)
		}
	}
}

// charts of two panels and one that joins them, the gap between the first two so wide.
func chartWithGap(gap length.Length) *chart {
	c := &chart{sketch: &sketch{Drawing: &paint.Drawing{Width: 500}, scale: perMillimetre}}
	c.r.Panels = []trace.Panel{
		{Name: "a", Left: 0, Right: 50 * mm, JoinedBy: -1}, {Name: "b", Left: (50 + gap) * mm, Right: (100 + gap) * mm, JoinedBy: -1},
	}
	return c
}

// There is room beside a panel for a row's number and a step's at its left, 18 and 19, and
// for a step's at its right, 19 and 6, or else they stand over it or at its other side.
func TestRoomForNumbersBesideAPanel(t *testing.T) {
	for _, c := range []struct {
		gap     length.Length
		of      int
		toLeft  bool
		toRight bool
	}{{24, 0, true, false}, {25, 0, true, true}, {36, 1, false, true}, {37, 1, true, true}, {0, 0, true, false}, {0, 1, false, true}, {36, 0, true, true}} {
		chart := chartWithGap(c.gap)
		s := charted{of: Span{Panel: c.of}}
		left, right := chart.edges(s)
		near(t, float64(c.of)*float64(50+c.gap), float64(c.of)*float64(50+c.gap)+50, spot{left, right})
		toLeft, toRight := chart.free(s, left, right)
		require.Equal(t, []bool{c.toLeft, c.toRight}, []bool{toLeft, toRight}, "%v", c)
	}
	// what a panel is made of is not in its way
	chart := chartWithGap(0)
	chart.r.Panels[1].From = []int{0}
	left, right := chart.edges(charted{of: Span{Panel: 1}})
	toLeft, toRight := chart.free(charted{of: Span{Panel: 1}}, left, right)
	require.True(t, toLeft && toRight)
	left, right = chart.edges(charted{of: Span{Panel: -1}})
	near(t, 0, 100, spot{left, right}, "of the whole piece")
	// mounts that stand out further
	chart.r.Panels[0].Strands = []int{0}
	chart.r.Strands = []trace.Strand{{X: 2 * mm, Width: 10 * mm}}
	left, _ = chart.edges(charted{of: Span{Panel: 0}})
	near(t, -3, 0, spot{left, 0})
	// one that leans stands where the middle of its work is: swung level, half of it aside
	chart.r.Panels = []trace.Panel{{Worked: 60 * mm, Lean: math.Pi / 2}}
	left, right = chart.edges(charted{})
	near(t, 30, 30, spot{left, right})
}

// A bar is as long as it is from the outer side of its first hitch to that of its last.
func TestBarsOfAChart(t *testing.T) {
	hitch := &knot.Knot{Row: knot.Row{Shape: knot.Hitch}}
	for _, c := range []struct {
		about             string
		slope             trace.Angle
		first, last       [2]length.Length
		from, to          [2]float64
		round, step, ends int
		none              bool
	}{
		{about: "level to the right", first: [2]length.Length{10, 20}, last: [2]length.Length{90, 20}, from: [2]float64{6, 20}, to: [2]float64{94, 20}, ends: 2},
		{about: "level to the left", first: [2]length.Length{90, 20}, last: [2]length.Length{10, 20}, from: [2]float64{94, 20}, to: [2]float64{6, 20}, ends: 2},
		{about: "falling at 45 degrees", slope: math.Pi / 4, first: [2]length.Length{10, 20}, last: [2]length.Length{90, 100}, from: [2]float64{6, 16}, to: [2]float64{94, 104}, ends: 2},
		{about: "and to the left", slope: -math.Pi / 4, first: [2]length.Length{90, 20}, last: [2]length.Length{10, 100}, from: [2]float64{94, 16}, to: [2]float64{6, 104}, ends: 2},
		{about: "not its first row", round: 1, ends: 2, none: true},
		{about: "another step's", step: 1, ends: 2, none: true},
		{about: "a single half hitch", ends: 1, none: true},
	} {
		chart := chartWithGap(10)
		for _, at := range [][2]length.Length{c.first, c.last} {
			chart.r.Placed = append(chart.r.Placed, trace.Placed{Knot: hitch, X: at[0] * mm, Y: at[1] * mm, Width: 8 * mm, Slope: c.slope, Ends: make([]int32, c.ends), Round: c.round, Step: c.step})
		}
		chart.r.Ends, chart.r.Strands = make([]trace.End, 1), make([]trace.Strand, 1)
		from, to, ok := chart.bar(charted{of: Span{To: 1}})
		require.Equal(t, !c.none, ok, c.about)
		if ok {
			near(t, c.from[0], c.from[1], from, c.about)
			near(t, c.to[0], c.to[1], to, c.about)
		}
		_, _, ok = chart.bar(charted{of: Span{To: 2}})
		require.False(t, ok, "a sentence of several steps")
	}
}

// Free ends are named from more than a centimetre on, a bar's fall from more than 5 mm,
// both to half a centimetre.
func TestSizesOfAChartInWords(t *testing.T) {
	hitch := &knot.Knot{Row: knot.Row{Shape: knot.Hitch}}
	for _, c := range []struct {
		drop, fall length.Length
		joined     int
		want       string
	}{
		{210, 0, -1, "A: 8 cm wide, drop 21 cm."},
		{211, 0, -1, "A: 8 cm wide, drop 21 cm, 1 cm of it hanging free."},
		{300, 0, 1, "A: 8 cm wide, drop 30 cm."},
		{210, 5, -1, "; bar 3 "},
		{210, 6, -1, " falling 5 mm"},
	} {
		chart := chartWithGap(10)
		chart.r.Panels = chart.r.Panels[:1]
		p := &chart.r.Panels[0]
		p.Width, p.Drop, p.Worked, p.JoinedBy = 80*mm, c.drop*mm, 200*mm, c.joined
		if c.fall > 0 {
			chart.r.Ends, chart.r.Strands = make([]trace.End, 1), make([]trace.Strand, 1)
			for n := range 2 {
				chart.r.Placed = append(chart.r.Placed, trace.Placed{Knot: hitch, X: length.Length(60*n) * mm, Y: c.fall * length.Length(n) * mm, Width: 8 * mm, Ends: make([]int32, 2)})
			}
			chart.steps = []charted{{label: "3", of: Span{To: 1}}}
		}
		line := strings.Join(chart.sizesInWords(), " ")
		require.Contains(t, line, c.want)
		require.Equal(t, strings.Contains(c.want, "free"), strings.Contains(line, "free"), line)
		require.Equal(t, strings.Contains(c.want, "falling"), strings.Contains(line, "falling"), line)
	}
}

// The scale is the longest round length that is at most 110 points long.
func TestTheScaleOfAChartIsRound(t *testing.T) {
	for _, c := range []struct {
		millimetre float64 // points to one
		imperial   bool
		words      string
		long       float64
	}{{1.1, false, "10 cm", 110}, {1.11, false, "5 cm", 55.5}, {12, false, "1 cm", 120}, {0.1, false, "1.00 m", 100}, {1, true, "4 in", 101.6}} {
		d := &paint.Drawing{Width: 500}
		chart := &chart{sketch: &sketch{Drawing: d, scale: c.millimetre * perMillimetre}}
		if c.imperial {
			chart.units.System = length.Imperial
		}
		require.Equal(t, paint.Points(90), chart.scaleBar(paint.At(16, 70)))
		nearPage(t, 16, 70, d.Shapes[0].Path[0].P)
		nearPage(t, 16+c.long, 70, d.Shapes[0].Path[1].P, "%v", c)
		for i, x := range []float64{16, 16 + c.long} { // a tick at each end, alike above and below
			nearPage(t, x, 66.5, d.Shapes[1+i].Path[0].P)
			nearPage(t, x, 73.5, d.Shapes[1+i].Path[1].P)
		}
		require.Equal(t, c.words, d.Shapes[3].Words.Text)
	}
}

// A step's bracket reaches from the top of what it ties to its bottom, open to the work.
func TestBracketsReachAsFarAsTheirStep(t *testing.T) {
	for _, way := range []paint.Points{-1, 1} {
		d := &paint.Drawing{Width: 500}
		c := &chart{sketch: &sketch{Drawing: d}}
		c.bracket(charted{label: "3", tied: 2}, 60, 20, 50, way)
		want := [][4]float64{{60, 20.5, 60, 49.5}, {60, 20.5, 60 - 3*float64(way), 20.5}, {60, 49.5, 60 - 3*float64(way), 49.5}}
		require.Len(t, d.Shapes, 3)
		for i, w := range want {
			nearPage(t, w[0], w[1], d.Shapes[i].Path[0].P)
			nearPage(t, w[2], w[3], d.Shapes[i].Path[1].P)
		}
		nearPage(t, 60, 35, d.Parts[0].At)
		c.bracket(charted{tied: 2}, 60, 20, 23.9, way) // too low
		c.bracket(charted{}, 60, 20, 50, way)          // nothing is tied
		require.Len(t, d.Parts, 1)
		c.bracket(charted{tied: 1}, 60, 20, 24, way)
		require.Len(t, d.Parts, 2)
	}
}

// A pair of leaf cords reaches half its width to each side and falls on the way out.
func TestLeavesReachAsFarAsTheyAreCut(t *testing.T) {
	d := &paint.Drawing{Width: 400}
	k := &sketch{Drawing: d, scale: perMillimetre, dyes: knots.DyesOf(someCords(2 * mm))}
	k.r.Cords, k.r.Panels = someCords(2*mm), make([]trace.Panel, 2)
	k.r.Extras = []trace.Extra{
		{For: trace.ForLeaf, X: 100 * mm, Y: 50 * mm, Width: 60 * mm, Height: 8 * mm, Panel: 1},
		{For: trace.ForLeaf, Panel: -1}, {For: trace.ForWrap, Panel: 1},
	}
	k.tassels(0)
	require.Empty(t, d.Parts)
	k.tassels(1)
	k.tassel(1)
	require.Len(t, d.Parts, 1, "only leaves and tassels that have a place")
	tips := map[string]bool{}
	for _, s := range d.Shapes {
		if from, to := s.Path[0].P, s.Path[len(s.Path)-1].P; math.Abs(float64(to.X)-100) > 20 {
			tips[fmt.Sprintf("%.2f %.2f", to.X, to.Y)] = true
			require.Less(t, math.Abs(float64(from.X)-100), 5.0, "from its spine")
			require.Greater(t, to.Y, from.Y, "it falls")
		}
	}
	// at 54, the middle of its height, and 0.4 of 30 below: its two legs 0.55 of a cord
	// above and below, nine tenths of that at the tip
	require.Equal(t, map[string]bool{"70.00 65.01": true, "70.00 66.99": true, "130.00 65.01": true, "130.00 66.99": true}, tips)
}

// The light on a bead falls on its upper half, within it.
func TestBeadsAreLitFromAbove(t *testing.T) {
	d := &paint.Drawing{Width: 400}
	k := &sketch{Drawing: d, scale: perMillimetre}
	k.r.Panels, k.r.Beads = make([]trace.Panel, 2), []trace.Beaded{{X: 100 * mm, Y: 50 * mm, Wide: 12 * mm, Long: 16 * mm, Panel: 1}}
	k.beads(0)
	require.Empty(t, d.Parts)
	k.beads(1)
	nearPage(t, 100, 58, d.Parts[0].At)
	box := paint.Between(94, 50, 106, 66)
	for _, at := range d.Shapes[0].Path {
		if at.Op == paint.Close {
			continue
		}
		require.InDelta(t, 100, float64(at.P.X), 6.0001)
		require.InDelta(t, 58, float64(at.P.Y), 8.0001)
	}
	for _, at := range d.Shapes[1].Path {
		require.True(t, at.P.X > box.Left+1 && at.P.X < box.Right-1 && at.P.Y > box.Top+1 && at.P.Y < 58, "%v", at.P)
	}
	require.Less(t, d.Shapes[1].Path[0].P.X, paint.Points(100))
	require.Greater(t, d.Shapes[1].Path[len(d.Shapes[1].Path)-1].P.X, paint.Points(100))
}

// A part is enlarged where a dozen knots are lower than 3.4 points: 26 cords wide, as far
// as the panel is, round the middle of the panel that has most, from its top.
func TestWhichPartIsEnlarged(t *testing.T) {
	square := &knot.Knot{Row: knot.Row{Shape: knot.Group}}
	wrap := &knot.Knot{Row: knot.Row{Shape: knot.Wrap}}
	dense := func(knots int, high float64, wide length.Length) (enlarged, bool) {
		k := &sketch{scale: perMillimetre}
		k.r.Cords, k.r.Strands, k.r.Ends = someCords(4*mm), make([]trace.Strand, 1), make([]trace.End, 1)
		k.r.Panels = []trace.Panel{{Left: 0, Right: 50 * mm}, {Left: 100 * mm, Right: (100 + wide) * mm}}
		for n := range knots {
			p := trace.Placed{Knot: square, Panel: min(n/5, 1), Y: length.Length(30+10*n) * mm, Width: 8 * mm, Height: length.Length(high * float64(mm)), Ends: make([]int32, 4)}
			k.r.Placed = append(k.r.Placed, p)
		}
		k.r.Placed = append(k.r.Placed, trace.Placed{Knot: wrap, Panel: 1, Height: mm, Ends: make([]int32, 4)})
		return k.dense()
	}
	for _, c := range []struct {
		knots int
		high  float64
		wide  length.Length
		ok    bool
	}{{11, 3, 200, false}, {12, 3, 200, true}, {12, 3.4, 200, false}, {12, 3.39, 200, true}, {12, 3, 60, true}} {
		part, ok := dense(c.knots, c.high, c.wide)
		require.Equal(t, c.ok, ok, "%v", c)
		if !ok {
			continue
		}
		// the panel's first knot is the sixth, at 80 mm; two cords of room above it
		half := min(52, float64(c.wide)/2)
		near(t, 100+float64(c.wide)/2-half, 72, spot{part.left, part.top}, "%v", c)
		near(t, 100+float64(c.wide)/2+half, 72+2*half*18/26, spot{part.right, part.bottom}, "%v", c)
		require.InDelta(t, 8, part.margin/float64(mm), 1e-6, "as far as a knot is wide")
	}
}

// Cords that are added are tied round their host one below the other, 2.2 cords apart or
// as near as there is room for, and leave it to the side of their own columns.
func TestWhereAddedCordsAreTied(t *testing.T) {
	for _, c := range []struct {
		room, column float64 // of the host below, and where the columns are, in millimetres
		first, apart float64
		out          float64
	}{{80, 30, 24.4, 8.8, 44.4}, {80, 70, 24.4, 8.8, 55.6}, {17.6, 70, 24.4, 8.8, 55.6}, {10, 70, 22.5, 5, 55.6}, {6, 70, 22.2, 4.4, 55.6}} {
		k := &sketch{tied: map[int]tiedOn{}, leads: map[int][]spot{}}
		k.r.Cords, k.r.Panels = someCords(4*mm), make([]trace.Panel, 1)
		x := length.Length(c.column) * mm
		k.r.Strands = []trace.Strand{{Ends: []int{0}}, {X: x, Y: 20 * mm, Ends: []int{1, 2}, Added: true}, {X: x, Y: 20 * mm, Ends: []int{3}, Added: true}}
		k.r.Ends = []trace.End{{}, {Strand: 1}, {Strand: 1}, {Strand: 2}}
		at := func(x, y float64) spot { return spot{x * float64(mm), y * float64(mm)} }
		paths := [][]spot{{at(50, 0), at(50, 20+c.room)}, {at(c.column-2, 20), at(c.column-2, 90)}, {at(c.column+2, 20)}, {at(c.column, 20), at(c.column, 25)}}
		k.tieRound(paths, 0, []int{1, 2})
		for n := range 2 {
			near(t, 50, c.first+float64(n)*c.apart, k.tied[n+1].at, "%v", c)
			require.Equal(t, c.column < 50, k.tied[n+1].left)
		}
		upper, lower := 1, 2 // the upper leg goes to the farther column
		if c.column > 50 {
			upper, lower = 2, 1
		}
		near(t, c.out, c.first-2.2, k.leads[upper][0], "%v", c)
		near(t, c.out, c.first+2.2, k.leads[lower][0], "%v", c)
		for _, e := range []int{1, 2} { // it falls by 0.6 of the way there, 0 at least
			from, to := k.leads[e][0], k.leads[e][1]
			column := paths[e][0].x
			near(t, column/float64(mm), (from.y+0.6*math.Abs(column-from.x))/float64(mm), to)
		}
		// one end hangs by the middle of its knot, and is there before what ties it next
		near(t, c.out, c.first+c.apart, k.leads[3][0])
		near(t, c.column, max(25, c.first+c.apart), k.leads[3][1])
	}
}

// How closely knots are drawn: every bend where a cord is 3.2 pixels wide and there are at
// most 4,000 of them, in outline below 0.9 pixels and beyond 12,000.
func TestHowCloselyKnotsAreDrawn(t *testing.T) {
	for _, c := range []struct {
		thick   length.Length // tenths of a pixel
		knots   int
		want    detail
		outline bool
	}{
		{33, 1, full, false}, {31, 1, simple, false}, {33, 4000, full, false}, {33, 4001, simple, false},
		{33, 12_000, simple, false}, {33, 12_001, outlined, true}, {10, 1, simple, false}, {8, 1, outlined, true},
	} {
		k := &sketch{Drawing: &paint.Drawing{Width: paint.MostPixels, Pixels: paint.MostPixels}, scale: perMillimetre}
		k.r.Cords, k.r.Strands, k.r.Placed = someCords(c.thick*mm/10), make([]trace.Strand, 1), make([]trace.Placed, c.knots)
		k.chooseDetail()
		require.Equal(t, c.want, k.detail, "%v", c)
		require.Equal(t, c.outline, k.Outline, "%v", c)
	}
}

// What hangs free of an end on the picture of a step: its tail when it is trimmed by then,
// else as far as the picture goes, up or down.
func TestHowMuchOfAnEndHangs(t *testing.T) {
	m := &moment{sketch: &sketch{}, cut: make([]bool, 3), top: 10, bottom: 100}
	m.r.Panels = []trace.Panel{{}, {BothWays: true}}
	m.r.Strands = []trace.Strand{{}, {Panel: 1}}
	m.r.Ends = []trace.End{{Parts: trace.Parts{Tail: 7}}, {Strand: 1, Side: trace.Right}, {Strand: 1, Side: trace.Left}}
	for _, c := range []struct {
		end  int
		y    float64
		cut  bool
		want length.Length
	}{{0, 40, false, 60}, {0, 100, false, 0}, {0, 130, false, 0}, {0, 40, true, 7}, {1, 40, false, 30}, {1, 10, false, 0}, {1, 5, false, 0}, {2, 40, false, 60}} {
		m.cut[c.end] = c.cut
		require.Equal(t, c.want, m.free(c.end, spot{0, c.y}), "%v", c)
	}
	m.left, m.right = 20, 200
	for _, c := range []struct {
		box  extent
		want bool
	}{
		{extent{30, 20, 40, 30}, true}, {extent{0, 0, 300, 300}, true}, {extent{10, 20, 20, 30}, false}, {extent{10, 20, 21, 30}, true},
		{extent{200, 20, 210, 30}, false}, {extent{199, 20, 210, 30}, true}, {extent{30, 0, 40, 10}, false}, {extent{30, 0, 40, 11}, true},
		{extent{30, 100, 40, 110}, false}, {extent{30, 99, 40, 110}, true},
	} {
		require.Equal(t, c.want, m.shows(c.box), "%v", c.box)
	}
}

// A rod that is longer than shown is broken 0.45 of what stands out from its ends, with a
// gap of 3 points there; its parts and gaps make up all of it.
func TestABrokenRod(t *testing.T) {
	d := &paint.Drawing{Width: 400}
	k := &sketch{Drawing: d, scale: perMillimetre, origin: paint.At(100, 50)}
	k.rod(-40*float64(mm), 140*float64(mm), 10*mm, false, true)
	nearPage(t, 150, 50, d.Parts[0].At)
	var pieces, gaps [][4]float64
	for _, s := range d.Shapes {
		left, top, right, bottom := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
		for _, at := range s.Path {
			if at.Op != paint.Close {
				left, top = min(left, float64(at.P.X)), min(top, float64(at.P.Y))
				right, bottom = max(right, float64(at.P.X)), max(bottom, float64(at.P.Y))
			}
		}
		box := [4]float64{math.Round(left*1e6) / 1e6, math.Round(top*1e6) / 1e6, math.Round(right*1e6) / 1e6, math.Round(bottom*1e6) / 1e6}
		switch s.Fill {
		case paint.WoodInk():
			pieces = append(pieces, box)
		case d.Ground():
			gaps = append(gaps, box)
		}
	}
	require.ElementsMatch(t, [][4]float64{{60, 45, 78, 55}, {81, 45, 219, 55}, {222, 45, 240, 55}}, pieces)
	require.ElementsMatch(t, [][4]float64{{78, 44, 81, 56}, {219, 44, 222, 56}}, gaps)
}

// A piece of fringe on a rim hangs as deep as half its cord, a leg at each side.
func TestFringeOnARim(t *testing.T) {
	d := &paint.Drawing{Width: 400}
	v := &hung{sketch: &sketch{Drawing: d, scale: perMillimetre, dyes: knots.DyesOf(someCords(4 * mm))}}
	v.r.Cords, v.r.Extras = someCords(4*mm), []trace.Extra{{For: trace.ForFringe, Need: trace.Parts{Run: 160 * mm}}}
	v.tuftAt(0, paint.At(100, 50), 0)
	legs := map[float64]bool{}
	for _, s := range d.Shapes {
		if len(s.Path) == 2 {
			legs[math.Round(float64(s.Path[0].P.X)*1e6)/1e6] = true
			nearPage(t, float64(s.Path[1].P.X), 50, s.Path[0].P)
			nearPage(t, float64(s.Path[0].P.X), 130, s.Path[1].P)
		}
	}
	require.Equal(t, map[float64]bool{97.8: true, 102.2: true}, legs, "0.55 of a cord aside")
}

// A hanger is tied with two turns at each of its places, 0.55 of a cord aside, and a swag
// with one for each cord; they reach over the rod by 0.3 of a cord.
func TestTiesReachRoundTheRod(t *testing.T) {
	d := &paint.Drawing{Width: 400}
	k := &sketch{Drawing: d, scale: perMillimetre, origin: paint.At(50, 100), dyes: knots.DyesOf(someCords(4 * mm))}
	k.r.Cords, k.r.Mounted, k.r.Rod = someCords(4*mm), 200*mm, sheet.Rod{Length: 200 * mm, Thickness: 10 * mm}
	k.r.Rods = make([]trace.Loaded, 1)
	k.r.Extras = []trace.Extra{{For: trace.ForHanger}, {For: trace.ForSwag}}
	k.r.Sheet.Swags = []sheet.Swag{{Count: 2, Over: 100 * mm, Drop: 50 * mm}}
	k.ties()
	at := map[float64]bool{}
	for _, s := range d.Shapes {
		if len(s.Path) == 2 {
			x := float64(s.Path[0].P.X)
			nearPage(t, x, 93.8, s.Path[0].P)
			nearPage(t, x, 106.2, s.Path[1].P)
			at[math.Round(x*1e6)/1e6] = true
		}
	}
	// at 25 and 175 mm; of the swag at 50 and 150, its second cord a cord further in
	require.Equal(t, map[float64]bool{72.8: true, 77.2: true, 222.8: true, 227.2: true, 100: true, 200: true, 104: true, 196: true}, at)
	for _, none := range []func(){func() { k.r.Rods = nil }, func() { k.r.Rods, k.r.Rod.Ring = make([]trace.Loaded, 1), true }} {
		shapes := len(d.Shapes)
		none()
		k.ties()
		require.Len(t, d.Shapes, shapes)
	}
}

// The places round a knot that a picture must show: it and where its ends come and go, by
// half their thickness; one on a slope of 60 degrees reaches twice as far down.
func TestTheRoomRoundAKnot(t *testing.T) {
	for slope, bottom := range map[trace.Angle]float64{0: 32, math.Pi / 3: 38, -math.Pi / 3: 38} {
		m := &moment{sketch: &sketch{}}
		m.r.Cords, m.r.Panels, m.r.Strands, m.r.Ends = someCords(4*mm), make([]trace.Panel, 1), make([]trace.Strand, 1), make([]trace.End, 1)
		m.r.Placed = []trace.Placed{{X: 50 * mm, Y: 20 * mm, Width: 10 * mm, Height: 9 * mm, Slope: slope, Ends: []int32{0}}}
		at := func(x, y float64) []spot { return []spot{{x * float64(mm), y * float64(mm)}} }
		m.knots = []seen{{in: at(46, 19), out: at(50, 30)}}
		e := extent{away, away, -away, -away}
		m.around(0, &e)
		near(t, 44, 17, spot{e.left, e.top})
		near(t, 55, bottom, spot{e.right, e.bottom}, "%v", slope)
	}
}

// Where the ends of a knot come in and go out: the carrier of a hitch from side to side,
// along its slope, the hitching end down through its middle; the ends of a knot side by
// side, a cord apart, as far as the knot is wide, those of one that crosses changed.
func TestWhereEndsComeAndGo(t *testing.T) {
	book := knot.Standard()
	square, ok := book.Knot("square knot")
	require.True(t, ok)
	crossed := *square
	crossed.Cross = true
	straight := *square
	straight.Cross = false
	hitch, ok := book.Knot("double half hitch")
	require.True(t, ok)
	root := 2 * math.Sqrt(3) // 4 mm along a slope of 60 degrees are 2 aside and this much down
	for _, c := range []struct {
		about   string
		knot    *knot.Knot
		places  []int32
		slope   trace.Angle
		wide    length.Length
		in, out [][2]float64
	}{
		{"a carrier to the right", hitch, []int32{1, 2}, 0, 8, [][2]float64{{46, 22}, {50, 20}}, [][2]float64{{54, 22}, {50, 24}}},
		{"a carrier to the left", hitch, []int32{2, 1}, 0, 8, [][2]float64{{54, 22}, {50, 20}}, [][2]float64{{46, 22}, {50, 24}}},
		{"falling to the right", hitch, []int32{1, 2}, math.Pi / 3, 8, [][2]float64{{48, 24 - root}, {50, 20}}, [][2]float64{{52, 24 + root}, {50, 28}}},
		{"falling to the left", hitch, []int32{2, 1}, -math.Pi / 3, 8, [][2]float64{{52, 24 - root}, {50, 20}}, [][2]float64{{48, 24 + root}, {50, 28}}},
		{"side by side", &straight, []int32{1, 2, 3, 4}, 0, 20, [][2]float64{{44, 20}, {48, 20}, {52, 20}, {56, 20}}, [][2]float64{{44, 24}, {48, 24}, {52, 24}, {56, 24}}},
		{"as far as it is wide", &straight, []int32{1, 2, 3, 4}, 0, 10, [][2]float64{{45, 20}, {48, 20}, {52, 20}, {55, 20}}, [][2]float64{{45, 24}, {48, 24}, {52, 24}, {55, 24}}},
		{"crossed", &crossed, []int32{1, 2, 3, 4}, 0, 20, [][2]float64{{44, 20}, {48, 20}, {52, 20}, {56, 20}}, [][2]float64{{56, 24}, {48, 24}, {52, 24}, {44, 24}}},
	} {
		k := &sketch{}
		k.r.Cords, k.r.Panels, k.r.Strands, k.r.Ends = someCords(4*mm), make([]trace.Panel, 1), make([]trace.Strand, 1), make([]trace.End, 4)
		k.r.Placed = []trace.Placed{{Knot: c.knot, X: 50 * mm, Y: 20 * mm, Width: c.wide * mm, Height: 4 * mm, Slope: c.slope, Ends: []int32{0, 1, 2, 3}[:len(c.places)], Places: c.places}}
		k.see()
		s := k.knots[0]
		near(t, 50, 20, s.at, c.about)
		near(t, 50, 24, s.foot, c.about)
		require.InDelta(t, float64(c.slope), s.turn, 1e-9)
		for i := range c.places {
			near(t, c.in[i][0], c.in[i][1], s.in[i], "%s: end %d in", c.about, i)
			near(t, c.out[i][0], c.out[i][1], s.out[i], "%s: end %d out", c.about, i)
		}
	}
	k := &sketch{}
	k.r.Cords, k.r.Panels, k.r.Strands, k.r.Ends = someCords(4*mm), []trace.Panel{{Lean: math.Pi / 6}}, make([]trace.Strand, 1), make([]trace.End, 1)
	k.r.Placed = []trace.Placed{{Knot: square, Slope: math.Pi / 2, Ends: []int32{0}, Places: []int32{1}}}
	k.see()
	require.InDelta(t, math.Pi/3, k.knots[0].turn, 1e-9, "a panel that leans to the right turns its knots to the left")
}

// What a step is about is in the picture: the cords that it hangs, its beads, the rod that
// it hitches onto, its tassel.
func TestWhatAStepIsAbout(t *testing.T) {
	for _, c := range []struct {
		about                    string
		with                     func(*trace.Result)
		left, top, right, bottom float64
	}{
		{"cords", func(r *trace.Result) { r.Strands[0].Step = 1 }, 45, -5, 55, 5},
		{"a bead", func(r *trace.Result) {
			r.Beads = []trace.Beaded{{Step: 1, X: 50 * mm, Y: 40 * mm, Long: 16 * mm, Wide: 12 * mm, Ends: []int32{0}}}
		}, 42, 40, 58, 56},
		{"a wide bead", func(r *trace.Result) {
			r.Beads = []trace.Beaded{{Step: 1, X: 50 * mm, Y: 40 * mm, Long: 16 * mm, Wide: 20 * mm, Ends: []int32{0}}}
		}, 40, 38, 60, 58},
		{"a rod", func(r *trace.Result) {
			r.Lowers = []trace.Lower{{Step: 1, X: 50 * mm, Y: 70 * mm, Width: 60 * mm, Rod: sheet.Rod{Thickness: 8 * mm}}}
		}, 12, 62, 88, 78},
		{"a tassel", func(r *trace.Result) {
			r.Extras = []trace.Extra{{For: trace.ForTassel, Step: 1, X: 50 * mm, Y: 70 * mm, Width: 20 * mm, Height: 90 * mm}}
		}, 36, 70, 64, 160},
		{"nothing of its own: the panel's mounts", func(r *trace.Result) {
			r.Beads = []trace.Beaded{{Step: 2, X: 500 * mm, Ends: []int32{0}}}
			r.Lowers = []trace.Lower{{Step: 0, X: 500 * mm}}
			r.Extras = []trace.Extra{{For: trace.ForTassel, Step: 2, X: 500 * mm}}
		}, 45, -5, 55, 5},
	} {
		m := &moment{sketch: &sketch{}, of: Span{Panel: 0, From: 1, To: 2}, takes: make([]bool, 1), cut: make([]bool, 1)}
		tail := sheet.Step(&sheet.Tail{})
		m.r.Panels = []trace.Panel{{Done: []sheet.Step{tail, tail, tail}}}
		m.r.Cords, m.r.Ends = someCords(4*mm), make([]trace.End, 1)
		m.r.Strands = []trace.Strand{{X: 50 * mm, Width: 10 * mm, Ends: []int{0}}}
		m.paths = [][]spot{{{}}}
		c.with(&m.r)
		e := m.focus()
		if c.about == "cords" {
			require.True(t, m.rodNow())
		} else {
			require.False(t, m.rodNow())
		}
		near(t, c.left, c.top, spot{e.left, e.top}, c.about)
		near(t, c.right, c.bottom, spot{e.right, e.bottom}, c.about)
	}
}

// A picture of a step is as wide as it says; a focus that is small has 44 cords side by
// side round it, 5 of them above and 9 below, with what it stands in beside it.
func TestHowMuchAPictureOfAStepShows(t *testing.T) {
	m := &moment{sketch: &sketch{Drawing: &paint.Drawing{Pixels: 400, Width: 400}}, of: Span{Panel: 0, From: 1, To: 2}}
	m.r.Cords, m.r.Panels = someCords(4*mm), make([]trace.Panel, 1)
	for n := range 100 {
		m.r.Strands = append(m.r.Strands, trace.Strand{X: length.Length(4+8*n) * mm, Width: 8 * mm})
	}
	at := func(x float64) extent {
		return extent{(x - 20) * float64(mm), 300 * float64(mm), (x + 20) * float64(mm), 340 * float64(mm)}
	}
	// 44 cords are 176 mm: a focus in the middle, and others near the edges of 800 mm of
	// work, of which 2 cords and 0.04 of 40 mm are margin
	for x, left := range map[float64]float64{400: 312, 20: -9.6, 780: 809.6 - 176} {
		m.frame(at(x), 400, 400)
		require.InDelta(t, 400.0/176, m.scale*float64(mm), 1e-6)
		near(t, left, left+176, spot{m.left, m.right}, "%v", x)
		// above: 5 cords and 0.15 of 40 mm; 9 below
		near(t, 300-26, 340+36, spot{m.top, m.bottom})
		require.Equal(t, full, m.detail)
		nearPage(t, 0, 0, m.page(spot{m.left, m.top}))
	}
	// a focus of 600 mm with its margins, 32 mm each, is 664 wide; 0.3 of that is shown, what
	// is above first, and below the rod at least half of it
	for y, want := range map[float64][2]float64{300: {300 + 10 + 36 - 199.2, 300 + 10 + 36}, -4: {-16, 83.6}} {
		m.frame(extent{100 * float64(mm), y * float64(mm), 700 * float64(mm), (y + 10) * float64(mm)}, 400, 400)
		require.InDelta(t, 400.0/664, m.scale*float64(mm), 1e-6)
		near(t, want[0], want[1], spot{m.top, m.bottom}, "%v", y)
	}
	// work that is narrower stands in the middle
	m.r.Strands = m.r.Strands[:10] // 80 mm
	m.frame(at(30), 400, 400)
	near(t, 40-88, 40+88, spot{m.left, m.right})
	// above the rod there is nothing to be seen but 3 cords' height
	m.frame(extent{0, -4 * float64(mm), 80 * float64(mm), 4 * float64(mm)}, 400, 400)
	near(t, -4-12, 40, spot{m.top, m.bottom})
}

// Fringe by the loop hangs half way between one knot of an edge and the next, of the knots
// that stand outermost.
func TestLoopsOfAnEdge(t *testing.T) {
	k := &sketch{}
	k.r.Panels = make([]trace.Panel, 2)
	for n, x := range []length.Length{10, 14, 10, 50, 54, 50} { // two columns, every second row further in
		k.r.Placed = append(k.r.Placed, trace.Placed{X: x * mm, Y: length.Length(20+30*(n%3)) * mm, Width: 8 * mm, Height: 6 * mm})
	}
	k.r.Placed = append(k.r.Placed, trace.Placed{Panel: 1, X: 0, Y: 40 * mm}, trace.Placed{Panel: 1, X: 90 * mm, Y: 40 * mm})
	for _, c := range []struct {
		right bool
		loops int
		want  [][2]float64
	}{
		{false, 2, [][2]float64{{8, 38}, {8, 68}}}, {false, 1, [][2]float64{{6, 53}}}, // from 6 to 10, and between the outermost two
		{true, 2, [][2]float64{{56, 38}, {56, 68}}}, {true, 1, [][2]float64{{56, 38}}}, {true, 0, nil},
	} {
		got := k.edge(0, c.right, c.loops)
		require.Len(t, got, len(c.want))
		for i, want := range c.want {
			near(t, want[0], want[1], got[i], "%v", c)
		}
	}
}
