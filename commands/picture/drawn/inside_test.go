package drawn

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture/knots"
	"larkfold/commands/picture/paint"
	"larkfold/sizing/cord"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/trace"
)

// someCords is one cord as thick as it says.
func someCords(thick length.Length) []cord.Cord { return []cord.Cord{{Nominal: thick, Squeeze: 1}} }

// A run is cut where it leaves a box, and not drawn where it only touches it.
func TestRunsAreCutAtTheLens(t *testing.T) {
	box := extent{left: 0, top: 0, right: 100, bottom: 50}
	for _, c := range []struct {
		a, b, from, to spot
		ok             bool
	}{
		{spot{10, 10}, spot{90, 40}, spot{10, 10}, spot{90, 40}, true},
		{spot{-100, 25}, spot{200, 25}, spot{0, 25}, spot{100, 25}, true},
		{spot{40, 80}, spot{40, -20}, spot{40, 50}, spot{40, 0}, true},
		{spot{-20, -20}, spot{60, 60}, spot{0, 0}, spot{50, 50}, true},
		{spot{-1, 10}, spot{-1, 40}, spot{}, spot{}, false},
		{spot{101, 10}, spot{101, 40}, spot{}, spot{}, false},
		{spot{10, 51}, spot{90, 51}, spot{}, spot{}, false},
		{spot{0, 10}, spot{0, 40}, spot{0, 10}, spot{0, 40}, true}, // along its edge
		{spot{100, 10}, spot{100, 40}, spot{100, 10}, spot{100, 40}, true},
		{spot{-50, 40}, spot{20, 90}, spot{}, spot{}, false}, // past a corner
		{spot{150, 10}, spot{200, 10}, spot{}, spot{}, false},
		{spot{away, away}, spot{20, 20}, spot{}, spot{}, false},
		{spot{20, 20}, spot{away, away}, spot{}, spot{}, false},
	} {
		from, to, ok := clipped(c.a, c.b, box)
		require.Equal(t, c.ok, ok, "%v", c)
		if ok {
			for i, got := range []spot{from, to} {
				want := []spot{c.from, c.to}[i]
				require.InDelta(t, want.x, got.x, 1e-9, "%v", c)
				require.InDelta(t, want.y, got.y, 1e-9, "%v", c)
			}
		}
	}
}

func TestNumbersAreThinnedOut(t *testing.T) {
	for need, every := range map[float64]int{0.2: 1, 1: 1, 1.01: 2, 2: 2, 2.1: 5, 5: 5, 5.1: 10, 60: 100, 500: 500, 501: 777} {
		require.Equal(t, every, thinned(need, 777), "%v", need)
	}
	require.Equal(t, 1, thinned(501, 0))
}

// A swag hangs in the catenary of its width and depth: y = a cosh(x/a), with the a that
// gives its sag, found here by halving.
func TestSwagsAreCatenaries(t *testing.T) {
	k := &sketch{}
	k.r.Mounted = 200
	for _, arc := range []hangs{{100, 10}, {100, 50}, {80, 240}} {
		low, high := arc.wide/200, arc.wide*100
		for range 200 {
			if a := (low + high) / 2; a*(math.Cosh(arc.wide/2/a)-1) > arc.deep {
				low = a
			} else {
				high = a
			}
		}
		a := low
		for _, share := range []float64{-1, -0.7, 0, 0.3, 1} {
			x := share * arc.wide / 2
			at := k.along(arc, share)
			require.InDelta(t, 100+x, at.x, 1e-9)
			require.InDelta(t, arc.deep-a*(math.Cosh(x/a)-1), at.y, 0.01, "%v at %v", arc, share)
		}
	}
}

// The cords of a swag lie within each other, as far as there is room and 40 at most.
func TestCordsOfASwagAreNested(t *testing.T) {
	k := &sketch{}
	k.r.Cords = someCords(4 * length.Millimetre)
	for _, c := range []struct {
		count      int
		over, drop length.Length
		want       int
	}{{3, 500, 120, 3}, {60, 5000, 2000, 40}, {9, 20, 900, 3}, {9, 900, 12, 3}, {9, 900, 9, 2}} {
		arcs := k.nested(sheet.Swag{Count: c.count, Over: c.over * length.Millimetre, Drop: c.drop * length.Millimetre}, 0)
		require.Len(t, arcs, c.want, "%v", c)
		for i, arc := range arcs {
			require.InDelta(t, float64((c.over-8*length.Length(i))*length.Millimetre), arc.wide, 1)
			require.Less(t, 0.0, arc.deep)
			if i > 0 {
				require.Less(t, arc.deep, arcs[i-1].deep)
			}
		}
	}
}

// A hanger up to a quarter too high is drawn as high as it may be, a higher one is cut.
func TestHangersThatNearlyFit(t *testing.T) {
	for rise, want := range map[float64]float64{50: 50, 100: 100, 101: 100, 125: 100, 125.1: 125.1, 300: 300} {
		require.Equal(t, want, fits(rise, 100), "%v", rise)
	}
}

// A place of a panel that leans turns about the middle of its mount.
func TestPanelsLeanAboutTheirMounts(t *testing.T) {
	p := trace.Panel{Pivot: 100, Lean: math.Pi / 2}
	for from, want := range map[spot]spot{{100, 0}: {100, 0}, {100, 30}: {130, 0}, {110, 0}: {100, -10}} {
		at := lean(p, from.x, from.y)
		require.InDelta(t, want.x, at.x, 1e-9)
		require.InDelta(t, want.y, at.y, 1e-9)
	}
	require.Equal(t, spot{7, 9}, lean(trace.Panel{Pivot: 100}, 7, 9))
}

// How a cord is hung: over the rod and down at both sides, alike on the left and the
// right; its bar before the rod.
func TestHeadsOfCords(t *testing.T) {
	const rod, width, side = 10, 4, 6
	for _, way := range []sheet.Way{sheet.Folded, sheet.Laid} {
		d := &paint.Drawing{}
		head(d, paint.Upright(paint.Point{}), way, 2, knots.DyesOf(someCords(length.Millimetre)).Of(0), rod, width, side)
		left, right, top, bottom := paint.Points(0), paint.Points(0), paint.Points(0), paint.Points(0)
		for _, s := range d.Shapes {
			for _, at := range s.Path {
				left, right, top, bottom = min(left, at.P.X), max(right, at.P.X), min(top, at.P.Y), max(bottom, at.P.Y)
			}
		}
		require.InDelta(t, 0, float64(left+right), 1e-9)
		require.Equal(t, paint.Points(-rod-0.4*width), top, "over the rod")
		require.Equal(t, paint.Points(rod+0.9*width), bottom, "and below it")
		ends := map[paint.Points]bool{}
		for _, s := range d.Shapes {
			if s.Path[0].P.Y == bottom {
				ends[s.Path[0].P.X] = true
			}
		}
		want := map[paint.Points]bool{-side: true, side: true}
		if way == sheet.Laid {
			want = map[paint.Points]bool{-side / 2: true, side / 2: true}
		}
		require.Equal(t, want, ends)
		if way == sheet.Folded {
			bar := d.Shapes[len(d.Shapes)-1].Path
			require.Equal(t, paint.Points(-side-0.75*width), bar[0].P.X)
			for _, at := range bar {
				require.True(t, at.P.Y > 0 && at.P.Y < rod, "its bar lies before the rod")
			}
		}
	}
	// of a single end, one part hangs straight down in the middle
	d := &paint.Drawing{}
	head(d, paint.Upright(paint.Point{}), sheet.Folded, 1, knots.DyesOf(someCords(length.Millimetre)).Of(0), rod, width, side)
	require.Equal(t, paint.At(0, rod+0.9*width), d.Shapes[0].Path[0].P)
}

// Loose cord hangs down, or up, and sways by less than its own width.
func TestTailsHang(t *testing.T) {
	for _, tail := range []paint.Points{80, -80} {
		for end := range 9 {
			var p paint.Path
			tailOf(&p, end, paint.At(50, 60), tail, 5)
			require.Equal(t, paint.At(50, 60+tail).Y, p[0].P.Y)
			for _, at := range []paint.Point{p[0].A, p[0].B, p[0].P} {
				require.InDelta(t, 50, float64(at.X), 1.6001, "a fiftieth of its length")
			}
			require.InDelta(t, 100, float64(p[0].A.X+p[0].B.X), 1e-9, "to both sides")
			require.InDelta(t, 60+0.35*float64(tail), float64(p[0].A.Y), 1e-9)
			require.InDelta(t, 60+0.7*float64(tail), float64(p[0].B.Y), 1e-9)
		}
	}
}

// Where a run that hangs reaches a depth, and what comes next below it.
func TestRunsReachTheirDepth(t *testing.T) {
	path := []spot{{10, 0}, {30, 20}, {away, away}, {50, 20}, {50, 60}}
	for y, x := range map[float64]float64{0: 10, 5: 15, 19.9: 29.9, 20: 50, 40: 50, 60: 50, 99: 50} {
		require.InDelta(t, x, reaching(path, y), 1e-9, "%v", y)
	}
	for y, next := range map[float64]float64{-1: 0, 0: 20, 19: 20, 20: 60, 60: math.Inf(1)} {
		require.Equal(t, next, below(path, y), "%v", y)
	}
}

// Spans say what comes before a step, what belongs to it and what comes later.
func TestWhenAStepIsDone(t *testing.T) {
	s := Span{Panel: 1, From: 2, To: 4}
	for _, c := range []struct{ panel, step, want int }{{0, 9, -1}, {1, 1, -1}, {1, 2, 0}, {1, 3, 0}, {1, 4, 1}, {2, 0, 1}} {
		require.Equal(t, c.want, s.when(c.panel, c.step), "%v", c)
	}
	require.Equal(t, -1, Span{Panel: -1}.when(7, 7), "what finishes the piece comes last")
	in := Instructions{Spans: []Span{{Panel: -1}, {Panel: 0}}}
	require.Equal(t, []string{"F1", "2", "3"}, []string{in.Number(0), in.Number(1), in.Number(2)})
}
