package paint

import (
	"fmt"
	"image"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/image/font"
	"golang.org/x/image/font/opentype"
	"golang.org/x/image/math/fixed"
)

// twice is an empty white page of two pixels to the point.
func twice(wide, high Points) *Drawing {
	return &Drawing{Title: "Test", Width: wide, Height: high, Pixels: int(2 * wide), Paper: true}
}

// odd is an empty white page of 1.3 pixels to the point, 40 points wide and high.
func odd() *Drawing {
	return &Drawing{Title: "Test", Width: 40, Height: 40, Pixels: 52, Paper: true}
}

var black = RGB(0)

// inkOf is how much of each pixel is black, row by row.
func inkOf(t *testing.T, d *Drawing) [][]float64 {
	t.Helper()
	img := painted(t, d)
	rows := make([][]float64, img.Bounds().Dy())
	for y := range rows {
		rows[y] = make([]float64, img.Bounds().Dx())
		for x := range rows[y] {
			r, _, _, _ := img.At(x, y).RGBA()
			rows[y][x] = 1 - float64(r>>8)/255
		}
	}
	return rows
}

// requireInked compares how much of each pixel of a page is black with how much of it
// lies inside: none may be off by more than most, and all of the ink together by no
// more than five parts in a hundred and what sixteenths of a pixel round away.
func requireInked(t *testing.T, d *Drawing, most float64, inside func(x, y float64) bool, name ...any) {
	t.Helper()
	rows := inkOf(t, d)
	scale := float64(len(rows[0])) / float64(d.Width)
	share := func(x, y, places int) float64 {
		n := 0
		for i := range places { // spread evenly, none above another
			_, aside := math.Modf(0.5 + float64(i)*0.618034)
			if inside((float64(x)+aside)/scale, (float64(y)+(float64(i)+0.5)/float64(places))/scale) {
				n++
			}
		}
		return float64(n) / float64(places)
	}
	ink, area, partly, worst, where := 0.0, 0.0, 0, 0.0, ""
	for y, row := range rows {
		for x, got := range row {
			want := share(x, y, 5)
			if want > 0 && want < 1 || got > 0.1 && got < 0.9 {
				want = share(x, y, 64)
				partly++
			}
			ink, area = ink+got, area+want
			if off := math.Abs(got - want); off > worst {
				worst, where = off, fmt.Sprintf("pixel %d, %d: %.2f instead of %.2f", x, y, got, want)
			}
		}
	}
	require.LessOrEqual(t, worst, most, "%v: %s", name, where)
	require.InDelta(t, area, ink, 0.05*area+float64(partly)/32+1, "%v: all of the ink", name)
}

// stroked tells whether a place lies on a stroke: within half of its width of one of
// its steps, with cut ends, its corners rounded.
func stroked(half float64, round bool, line ...Point) func(x, y float64) bool {
	line = slices.Compact(slices.Clone(line))
	return func(x, y float64) bool {
		for i, a := range line {
			if outer := i == 0 || i == len(line)-1; (!outer || round) && math.Hypot(x-float64(a.X), y-float64(a.Y)) <= half {
				return true
			}
			if i == 0 {
				continue
			}
			b := line[i-1]
			dx, dy := float64(b.X-a.X), float64(b.Y-a.Y)
			long := math.Hypot(dx, dy)
			px, py := x-float64(a.X), y-float64(a.Y)
			along, across := (px*dx+py*dy)/long, (py*dx-px*dy)/long
			if along >= 0 && along <= long && math.Abs(across) <= half {
				return true
			}
		}
		return false
	}
}

// levelled tells whether a place lies on a stroke whose ends are cut level, as those of
// a cord are that hangs or nearly so.
func levelled(half float64, a, b Point) func(x, y float64) bool {
	if a.Y > b.Y {
		a, b = b, a
	}
	dx, dy := float64(b.X-a.X), float64(b.Y-a.Y)
	return func(x, y float64) bool {
		down := (y - float64(a.Y)) / dy
		return down >= 0 && down <= 1 && math.Abs(x-float64(a.X)-down*dx) <= half*math.Hypot(dx, dy)/dy
	}
}

// A straight cord covers what lies within half of its width of its middle, whichever
// way it runs and however thin it is.
func TestStraightStrokesCoverTheirWidth(t *testing.T) {
	for _, line := range [][2]Point{
		{{20.3, 5.2}, {20.3, 34.7}}, {{20, 34.7}, {20, 5}}, // hanging, from above and from below
		{{4.3, 20.1}, {35.9, 20.1}}, {{35.75, 20.5}, {4.25, 20.5}}, // lying
		{{18.3, 4.1}, {22.4, 35.3}}, {{22, 4}, {19, 36}}, {{19, 36}, {22, 4}}, // nearly hanging
		{{6, 6.5}, {33, 31.2}}, {{33.5, 7}, {7, 34}}, {{7, 34}, {33.5, 7}}, {{12, 4}, {28, 37}}, // slanted
		{{5, 18.3}, {35, 21.1}}, {{35, 18.3}, {5, 21.1}}, {{5, 20.2}, {35, 20.21}}, // nearly lying
		{{-9, 20.2}, {50, 23}}, {{-9, 14}, {55, 50}}, {{20, -30}, {24, 70}}, {{38.9, -5}, {38.9, 50}}, {{0.3, -5}, {0.3, 50}}, {{-5, 0.2}, {50, 0.2}}, {{-5, 39.9}, {50, 39.9}}, // over the edges of the page
		{{36, -4}, {44, 44}}, {{-4, 44}, {4, -4}},
	} {
		for _, wide := range []Points{0.4, 1, 3.3, 7} {
			d := odd()
			d.Line(Polyline(line[0], line[1]), black, wide)
			covers := stroked(float64(wide)/2, false, line[0], line[1])
			if dx, dy := math.Abs(float64(line[1].X-line[0].X)), math.Abs(float64(line[1].Y-line[0].Y)); dx < dy*0.2 {
				covers = levelled(float64(wide)/2, line[0], line[1])
			}
			requireInked(t, d, 0.25, covers, line, wide)
		}
	}
}

// Nothing is painted thinner than half a pixel, so that it is still seen.
func TestThePaintedHairline(t *testing.T) {
	for wide, want := range map[Points]float64{0.01: 0.5, 0.24: 0.5, 0.25: 0.5, 0.5: 1, 0.75: 1.5} { // pixels
		for _, dash := range [][]Points{nil, {100, 1}} {
			d := twice(20, 20)
			d.Add(Shape{Path: Polyline(At(10.5, -1), At(10.5, 21)), Stroke: black, Width: wide, Dash: dash})
			sum := 0.0
			for _, ink := range inkOf(t, d)[20] {
				sum += ink
			}
			require.InDelta(t, want, sum, 0.07, "%v wide, dash %v", wide, dash)
		}
	}
}

// Strokes of many steps: the corners between them are filled, sharp ones rounded, and no
// edge is laid twice.
func TestBentStrokesCoverTheirWidth(t *testing.T) {
	for name, line := range map[string][]Point{
		"hangs, then leans":  {At(15, 3), At(15, 20), At(24, 37)},
		"leans both ways":    {At(12, 3), At(17, 20), At(12, 37)},
		"upwards":            {At(12, 37), At(17, 20), At(12, 3)},
		"sharp":              {At(6, 8), At(30, 9), At(8, 30)},
		"square":             {At(6, 8), At(30, 8), At(30, 34)},
		"square, other way":  {At(30, 8), At(6, 8), At(6, 34)},
		"short steps":        {At(4, 30), At(7, 22), At(11, 17), At(17, 14), At(24, 14), At(30, 17), At(35, 24), At(37, 32)},
		"a step of no size":  {At(15, 3), At(15, 20), At(15, 20), At(24, 37)},
		"begins with none":   {At(15, 3), At(15, 3), At(24, 37)},
		"long run of detail": zigzag(),
	} {
		for wide, most := range map[Points]float64{1.2: 0.35, 4: 0.6} { // where two slants meet the first has the whole row
			for _, round := range []bool{false, true} {
				d := odd()
				d.Add(Shape{Path: Polyline(line...), Stroke: black, Width: wide, Round: round})
				requireInked(t, d, most, stroked(float64(wide)/2, round, line...), name, wide, round)
			}
		}
	}
}

// zigzag has many short steps over a large box, which is painted stretch by stretch.
func zigzag() []Point {
	var line []Point
	for i := range 20 {
		line = append(line, At(2+1.8*Points(i), 2+1.8*Points(i)+Points(i%2)*0.8))
	}
	return line
}

// A closed path has no ends: its first corner is as full as the others.
func TestClosedStrokes(t *testing.T) {
	corners := []Point{At(8, 8), At(30, 10), At(20, 32)}
	d := odd()
	d.Line(Polygon(corners...), black, 3)
	around := append(append([]Point(nil), corners...), corners[0])
	middle := stroked(1.5, false, around...)
	requireInked(t, d, 0.45, func(x, y float64) bool {
		return middle(x, y) || math.Hypot(x-8, y-8) <= 1.5
	})
}

// Dashes are as long as they say and the gaps too, counted along the line and round
// its corners; those that are too short to be seen are drawn a fifth of a pixel long.
func TestDashesAreAsLongAsTheySay(t *testing.T) {
	d := twice(60, 20)
	d.Add(Shape{Path: Polyline(At(5, 10), At(55, 10)), Stroke: black, Width: 2, Dash: []Points{8, 3, 2, 5}})
	requireInked(t, d, 0.1, func(x, y float64) bool {
		along := math.Mod(x-5, 18)
		return x >= 5 && x <= 55 && math.Abs(y-10) <= 1 && (along < 8 || along >= 11 && along < 13)
	})
	d = twice(30, 30)
	d.Add(Shape{Path: Polyline(At(5, 5), At(25, 5), At(25, 25)), Stroke: black, Width: 2, Dash: []Points{12, 4}})
	requireInked(t, d, 0.2, func(x, y float64) bool { // 16 to 28 along: 4 before the corner and 8 behind it
		first := x >= 5 && x <= 17 && math.Abs(y-5) <= 1
		second := x >= 21 && x <= 25 && math.Abs(y-5) <= 1 || math.Abs(x-25) <= 1 && y >= 5 && y <= 13
		third := math.Abs(x-25) <= 1 && y >= 17 && y <= 25
		wedge := math.Hypot(x-25, y-5) <= 1
		return first || second || third || wedge
	})
	d = twice(40, 10)
	d.Add(Shape{Path: Polyline(At(0, 5), At(40, 5)), Stroke: black, Width: 2, Dash: []Points{0, 0.1}})
	sum := 0.0
	for _, ink := range inkOf(t, d)[10] {
		sum += ink
	}
	require.InDelta(t, 40, sum, 8, "as much drawn as left out")
}

// Filled shapes cover what lies inside them, as far as they lie on the page.
func TestFilledShapesCoverTheirInside(t *testing.T) {
	circle := func(cx, cy, r float64) func(x, y float64) bool {
		return func(x, y float64) bool { return math.Hypot(x-cx, y-cy) <= r }
	}
	box := func(b Box) func(x, y float64) bool {
		return func(x, y float64) bool {
			return Points(x) >= b.Left && Points(x) <= b.Right && Points(y) >= b.Top && Points(y) <= b.Bottom
		}
	}
	for name, c := range map[string]struct {
		path   Path
		inside func(x, y float64) bool
	}{
		"circle":           {Circle(At(20, 17), 12.3), circle(20, 17, 12.3)},
		"small circle":     {Circle(At(20.2, 17.4), 1.1), circle(20.2, 17.4, 1.1)},
		"over the corner":  {Circle(At(1, 2), 9), circle(1, 2, 9)},
		"over the end":     {Circle(At(39, 38), 9), circle(39, 38, 9)},
		"beyond the page":  {Circle(At(60, 20), 9), circle(60, 20, 9)},
		"box":              {Rectangle(Box{3.3, 4.6, 20.9, 31.2}), box(Box{3.3, 4.6, 20.9, 31.2})},
		"within one pixel": {Rectangle(Box{3.1, 4.1, 3.4, 4.4}), box(Box{3.1, 4.1, 3.4, 4.4})},
		"whole page":       {Rectangle(Box{-1, -1, 41, 41}), box(Box{0, 0, 40, 40})},
		"rounded": {Rounded(Box{5, 5, 35, 25}, 6), func(x, y float64) bool {
			dx, dy := math.Max(math.Max(11-x, x-29), 0), math.Max(math.Max(11-y, y-19), 0)
			return math.Hypot(dx, dy) <= 6
		}},
		"rounded by more than it has": {Rounded(Box{5, 15, 35, 25}, 60), func(x, y float64) bool {
			return math.Hypot(math.Max(math.Max(10-x, x-30), 0), y-20) <= 5
		}},
		"two at once": {append(Rectangle(Box{2, 2, 10, 10}), Rectangle(Box{20, 20, 38, 30})...), func(x, y float64) bool {
			return box(Box{2, 2, 10, 10})(x, y) || box(Box{20, 20, 38, 30})(x, y)
		}},
	} {
		d := odd()
		d.Fill(c.path, black)
		requireInked(t, d, 0.2, c.inside, name)
	}
}

// A curve is painted as near to itself as a pixel shows, large or small.
func TestCurvesAreSmooth(t *testing.T) {
	for _, r := range []Points{1, 5, 30, 190} {
		pixels := float64(r) * 2
		ring := newRaster(new(canvas))
		ring.scale = 2
		ring.flatten(Circle(Point{}, r))
		for i, dot := range ring.flat {
			require.InDelta(t, pixels, math.Hypot(float64(dot.x), float64(dot.y)), 0.0003*pixels+0.01, "on the circle")
			if i > 0 {
				before := ring.flat[i-1]
				middle := math.Hypot(float64(dot.x+before.x)/2, float64(dot.y+before.y)/2)
				require.InDelta(t, pixels, middle, 0.19+0.0003*pixels, "between two steps of a circle of %v", r)
			}
		}
		require.LessOrEqual(t, len(ring.flat), 4*33+5)
	}
}

// A page within the page is cut off at its edges, and what comes after it is not.
func TestAnInsetIsCutOffAtItsEdges(t *testing.T) {
	inner := &Drawing{Width: 15, Height: 10}
	inner.Fill(Rectangle(Box{-30, -30, 60, 60}), black)
	inner.Line(Polyline(At(-20, 5), At(60, 5)), black, 2)
	inner.Stamp("disc", At(15, 10), func(d *Drawing) { d.Fill(Circle(Point{}, 9), black) })
	for _, at := range []Point{{8, 12}, {30, 35}, {-6, -4}} {
		d := twice(40, 40)
		d.Inset(inner, at)
		d.Fill(Rectangle(Box{0, 38, 2, 40}), black)
		requireInked(t, d, 0.05, func(x, y float64) bool {
			return Points(x) >= at.X && Points(x) <= at.X+15 && Points(y) >= at.Y && Points(y) <= at.Y+10 || x <= 2 && y >= 38
		}, at)
	}
}

// Signs are painted as golang.org/x/image/font/opentype paints them, which is not used
// otherwise: each of every face, at places and sizes between pixels.
func TestSignsArePaintedAsTheFontHasThem(t *testing.T) {
	for f := range Face(3) {
		parsed, err := opentype.Parse(f.data())
		require.NoError(t, err)
		for _, size := range []Points{24} {
			face, err := opentype.NewFace(parsed, &opentype.FaceOptions{Size: 2 * float64(size), DPI: 72, Hinting: font.HintingNone})
			require.NoError(t, err)
			for _, sign := range "HgoW8,é…" {
				d := twice(40, 40)
				d.Add(Shape{Words: Words{Text: string(sign), At: At(6, 30), Size: size, Face: f, Ink: black}})
				want := image.NewGray(image.Rect(0, 0, 80, 80))
				for i := range want.Pix {
					want.Pix[i] = 255
				}
				(&font.Drawer{Dst: want, Src: image.Black, Face: face, Dot: fixed.P(12, 60)}).DrawString(string(sign))
				most, _ := farthest(t, want, painted(t, d))
				require.LessOrEqual(t, most, 26, "%c of face %d at %v", sign, f, size)
			}
		}
	}
}

// A line of words is its signs one after the other, each as far on as those before it
// are wide.
func TestWordsAreSignsSideBySide(t *testing.T) {
	const text, size = "4 mm (Wolle)", 11
	d, single := twice(90, 30), twice(90, 30)
	d.Add(Shape{Words: Words{Text: text, At: At(5.2, 20.3), Size: size, Face: Plain, Ink: black}})
	for i, sign := range text {
		at := At(5.2+Plain.Measure(text[:i], size), 20.3)
		single.Add(Shape{Words: Words{Text: string(sign), At: at, Size: size, Face: Plain, Ink: black}})
	}
	_, many := farthest(t, painted(t, d), painted(t, single))
	require.LessOrEqual(t, many, 2)
	wide, high := 0, 0
	for y, row := range inkOf(t, d) {
		for x, ink := range row {
			if ink > 0.5 {
				wide, high = max(wide, x), max(high, y)
			}
		}
	}
	require.Greater(t, wide, int(2*(5+Plain.Measure(text, size)-3)), "up to its last sign")
	require.LessOrEqual(t, float64(high), 2*(20.3+float64(Plain.descent(size))))
}
