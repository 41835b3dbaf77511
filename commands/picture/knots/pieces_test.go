package knots

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture/paint"
	"larkfold/sizing/diagram"
	"larkfold/sizing/knot"
)

// fittedAs is a knot of the book brought to a width and a height, its ends a cord apart.
func fittedAs(t *testing.T, name string, ends int, w, h float64) fitted {
	t.Helper()
	k, ok := knot.Standard().Knot(name)
	require.True(t, ok)
	sides := make([]float64, ends)
	for i := range sides {
		sides[i] = float64(i) - float64(ends-1)/2
	}
	f, ok := fit(k, w, h, sides, false)
	require.True(t, ok, name)
	return f
}

// spread is how far some lines go.
func spread(lines ...[]diagram.Point) (lo, hi diagram.Point) {
	lo, hi = lines[0][0], lines[0][0]
	for _, line := range lines {
		for _, p := range line {
			lo = diagram.Point{X: min(lo.X, p.X), Y: min(lo.Y, p.Y), Z: min(lo.Z, p.Z)}
			hi = diagram.Point{X: max(hi.X, p.X), Y: max(hi.Y, p.Y), Z: max(hi.Z, p.Z)}
		}
	}
	return lo, hi
}

// The ball of a berry takes 0.64 of its height and lies on a cylinder of that diameter, from
// its top to its foot; it narrows to 0.4 of its width at both. The knot that locks it hangs
// below, in 0.8 of the width.
func TestBerriesAreBalls(t *testing.T) {
	const w, h = 8.0, 20.0
	f := fittedAs(t, "berry knot", 4, w, h)
	require.Equal(t, []int{1, 2, 0, 3, 0, 3}, f.ends, "the fillers and the workers of the lock, the workers of the ball")
	flat := fittedAs(t, "square knot", 4, w, h)
	flatLo, flatHi := spread(flat.lines[2:]...)
	const r, tall = 0.64 * h / 2, 0.64 * h
	widest := 0.0
	for _, line := range f.lines[4:] {
		require.InDelta(t, 0, line[0].Y, 0.01*h)
		require.InDelta(t, tall, line[len(line)-1].Y, 0.02*h)
		for _, p := range line {
			sin := math.Sqrt(max(0, 1-math.Pow(1-p.Y/r, 2)))
			widest = max(widest, math.Abs(p.X)/(0.4+0.6*sin))
			require.True(t, p.Z-r*sin > flatLo.Z-1e-6 && p.Z-r*sin < flatHi.Z+1e-6, "as deep as a flat knot, on the ball: %v", p)
		}
	}
	require.InDelta(t, w/2-0.5, widest, 1e-6)
	for _, line := range f.lines[:2] {
		require.InDelta(t, tall-0.1, line[0].Y, 1e-9)
		require.InDelta(t, h+0.1, line[len(line)-1].Y, 1e-9)
	}
	require.InDelta(t, tall, f.lines[2][0].Y, 1e-9)
	lo, hi := spread(f.lines[2:4]...)
	require.InDelta(t, 0.8*w/2-0.5, max(-lo.X, hi.X), 1e-9)
	require.InDelta(t, h, f.lines[2][len(f.lines[2])-1].Y, 0.1*h)
}

// What is woven, hitched or tied once is as large as its place is: at twice the width and
// the height it is twice the drawing, in the middle of it. Its strands are cut off at its top and foot, beyond which only a bend
// reaches, by half a cord at most.
func TestTwiceTheSizeIsTwiceTheDrawing(t *testing.T) {
	for _, c := range []struct {
		name       string
		ends       int
		w, h       float64
		thick      float64 // of its strands
		strandEnds []int
	}{
		{"josephine knot", 4, 10.4, 6, 1, []int{0, 3}},
		{"josephine knot", 6, 20.8, 40, 2, []int{0, 5}},
		{"overhand knot", 2, 6, 4, 2, []int{0}},
	} {
		f := fittedAs(t, c.name, c.ends, c.w, c.h)
		twice := fittedAs(t, c.name, c.ends, 2*c.w, 2*c.h)
		require.InDelta(t, c.thick, f.thick, 1e-9, c.name)
		require.InDelta(t, 2*c.thick, twice.thick, 1e-9, c.name)
		require.Equal(t, c.strandEnds, f.ends, c.name)
		for i, line := range f.lines {
			require.Len(t, twice.lines[i], len(line), c.name)
			for n, p := range line {
				require.InDelta(t, 2*p.X, twice.lines[i][n].X, 1e-6, c.name)
				require.InDelta(t, 2*p.Y, twice.lines[i][n].Y, 1e-6, c.name)
				require.InDelta(t, 2*p.Z, twice.lines[i][n].Z, 1e-6, c.name)
				require.GreaterOrEqual(t, p.Y, -0.5*c.thick, c.name)
				require.LessOrEqual(t, p.Y, c.h+0.5*c.thick, c.name)
				require.LessOrEqual(t, math.Abs(p.X), c.w/2+1e-6, c.name)
			}
		}
		lo, hi := spread(f.lines...)
		if c.h < 10 { // longer than its place: it fills that
			require.InDelta(t, 0, lo.Y, 0.3*c.thick, c.name)
			require.InDelta(t, c.h, hi.Y, 0.3*c.thick, c.name)
		}
	}
	f := fittedAs(t, "vertical double half hitch", 2, 4, 3)
	require.InDelta(t, 1, f.thick, 1e-9, "two strands are as thick as they are")
	require.Equal(t, []int{0, 1}, f.ends)
	f = fittedAs(t, "josephine knot", 4, 20.8, 40)
	for i, x := range []float64{-JosephineLegs * 20.8, JosephineLegs * 20.8} {
		require.InDelta(t, x, f.lines[i][0].X, 0.1, "where its strands come in")
	}
	lo, hi := spread(f.lines...)
	require.InDelta(t, 10.4, hi.X, 0.05, "the middle of its strands reaches out to its width")
	require.InDelta(t, -10.4, lo.X, 0.05)
	require.InDelta(t, 40, lo.Y+hi.Y, 0.5, "in the middle of its height")
}

// A plait is as thick as its width makes it and has as many repeats as its length takes,
// one at least, stretched to it; its ends are shared out among its strands in turn.
func TestPlaitsRepeatOverTheirLength(t *testing.T) {
	k, _ := knot.Standard().Knot("three-strand plait")
	one, _ := k.DrawnUp()
	works := working(one.Strands)
	oneLo, oneHi := spread(works.Lines()...)
	for _, c := range []struct {
		repeats float64 // of the length, as thick as it is
		times   int
	}{{0.2, 1}, {1.4, 1}, {1.6, 2}, {2.4, 2}, {4.6, 5}} {
		for _, w := range []float64{3, 7} {
			thick := w / (2*max(-oneLo.X, oneHi.X) + 1)
			h := c.repeats * one.Pitch * thick
			f := fittedAs(t, "three-strand plait", 7, w, h)
			lo, hi := spread(f.lines...)
			require.InDelta(t, w/2, max(-lo.X, hi.X)+f.thick/2, 1e-9, "to its width, cord and all")
			require.InDelta(t, oneHi.Z*thick, hi.Z, 1e-9)
			require.InDelta(t, oneLo.Z*thick, lo.Z, 1e-9)
			require.Len(t, f.lines[0], c.times*len(works[0].Line), "%v repeats", c.repeats)
			require.Equal(t, []int{0, 2, 4}, f.ends, "7 ends in 3 strands")
			require.InDelta(t, 0, f.lines[0][0].Y, 1e-9)
			require.InDelta(t, h, f.lines[0][len(f.lines[0])-1].Y, 0.05*h)
		}
	}
}

// A hitch keeps its shape up and down, a tenth of a cord beyond its height, and takes the
// width of its place, up to 1.3 times its own.
func TestHitchesTakeTheirWidth(t *testing.T) {
	k, _ := knot.Standard().Knot("double half hitch")
	one, _ := k.DrawnUp()
	works := working(one.Strands)
	for times, want := range map[float64]float64{0.5: 0.5, 1: 1, 1.2: 1.2, 1.3: 1.3, 5: 1.3} {
		f := fittedAs(t, k.Name, 2, times*one.Pitch, 2)
		line := cropped(works[0].Line, 1.1, func(p diagram.Point) float64 { return p.Y })
		require.Len(t, f.lines[1], len(line))
		for n, p := range f.lines[1] {
			require.InDelta(t, want*line[n].X, p.X, 1e-9)
			require.InDelta(t, line[n].Y+1, p.Y, 1e-9)
			require.InDelta(t, line[n].Z, p.Z, 1e-9)
		}
		require.InDelta(t, -0.1, f.lines[1][0].Y, 0.3)
	}
}

// What a sinnet is tied round hangs where it comes in, but at least half a cord within the
// edge; its workers lie about the middle of that.
func TestCoresStayInTheirSinnet(t *testing.T) {
	k, _ := knot.Standard().Knot("square knot")
	for _, c := range []struct{ in, hangs [2]float64 }{
		{[2]float64{-1.9, 1.9}, [2]float64{-1.9, 1.9}}, {[2]float64{-8, 8}, [2]float64{-2, 2}}, {[2]float64{0.5, 8}, [2]float64{0.5, 2}}, {[2]float64{-9, -1}, [2]float64{-2, -1}},
	} {
		f, ok := fit(k, 6, 4, []float64{-9, c.in[0], c.in[1], 9}, false)
		require.True(t, ok)
		for i, line := range f.lines[:2] {
			lo, hi := spread(line)
			require.InDelta(t, c.hangs[i], lo.X, 1e-9)
			require.InDelta(t, c.hangs[i], hi.X, 1e-9)
			require.InDelta(t, -0.1, lo.Y, 1e-9)
			require.InDelta(t, 4.1, hi.Y, 1e-9)
		}
		lo, hi := spread(f.lines[2:]...)
		middle := (c.hangs[0] + c.hangs[1]) / 2
		require.InDelta(t, 2.5, max(middle-lo.X, hi.X-middle), 1e-9)
		require.InDelta(t, 0, f.lines[2][0].Y, 1e-9, "from its top")
	}
}

// A line loses what lies further out than its box, at both ends; what lies on the edge stays.
func TestLinesAreCropped(t *testing.T) {
	line := straight(-4, 0, 4, 0)
	x := func(p diagram.Point) float64 { return p.X }
	require.Equal(t, line[2:7], cropped(line, 2, x))
	require.Equal(t, line[3:6], cropped(line, 1.9, x))
	require.Equal(t, line, cropped(line, 4, x))
	require.Empty(t, cropped(line[:3], 1, x))
}

// A symbol lies where its frame is, in cord of its own width; each of its ends is drawn
// where it comes in, in its own look.
func TestSymbolsLieInTheirFrame(t *testing.T) {
	k, _ := knot.Standard().Knot("square knot")
	symbol := func(cord paint.Points) Symbol {
		s := tied(t, k.Name, 4, cord, false)
		s.Frame.At, s.Cords = paint.At(100, 50), []int{0, 1, 2, 3}
		require.True(t, s.drawnUp(k))
		return s
	}
	s, twice := symbol(5), symbol(10)
	require.Len(t, twice.Shapes, len(s.Shapes))
	ofCord := make([][]paint.Shape, 4)
	for i, shape := range s.Shapes {
		for n, at := range shape.Path {
			requireAt(t, 100+2*float64(at.P.X-100), 50+2*float64(at.P.Y-50), twice.Shapes[i].Path[n].P)
		}
		for cord := range ofCord {
			if shape.Stroke == dyeOf(cord).Edge {
				require.InDelta(t, 5, float64(shape.Width), 1e-3)
				ofCord[cord] = append(ofCord[cord], shape)
			}
		}
	}
	for cord, x := range map[int]float64{1: 97.5, 2: 102.5} { // half a cord beside the middle
		b := boxesOf(ofCord[cord])
		require.InDelta(t, x-2.5, float64(b.Left), 1e-3)
		require.InDelta(t, x+2.5, float64(b.Right), 1e-3)
	}
	whole := boxesOf(append(ofCord[0], ofCord[3]...))
	require.InDelta(t, 100-15, float64(whole.Left), 1, "30 wide")
	require.InDelta(t, 100+15, float64(whole.Right), 1)
}

// A rod hides what passes behind it, and what passes before it is painted again over it,
// from its upper edge to its lower one with 0.3 of a cord to spare at both.
func TestCordsBeforeAndBehindARod(t *testing.T) {
	to := func(p diagram.Point) paint.Point { return paint.At(paint.Points(100+p.X*10), paint.Points(50+p.Y*10)) }
	hanging := func(from, upTo, z float64) []diagram.Point {
		var line []diagram.Point
		for y := from; y <= upTo; y += 0.5 {
			line = append(line, diagram.Point{Y: y, Z: z})
		}
		return line
	}
	for _, c := range []struct {
		name string
		line []diagram.Point
		rod  float64      // its axis
		want [][2]float64 // painted again, from and up to which y of the diagram
	}{ // two diameters thick: from -1.3 to 1.3 of the axis, to the next place of the line and a seam of 0.15 places
		{"behind", hanging(-5, 5, -1), 0, nil},
		{"level with it", hanging(-5, 5, 0), 0, nil},
		{"before", hanging(-5, 5, 1), 0, [][2]float64{{-1.075, 1.575}}},
		{"before a lower one", hanging(-5, 9, 1), 4, [][2]float64{{2.925, 5.575}}},
		{"it ends before it", hanging(-5, 0, 1), 0, [][2]float64{{-1.075, 0}}},
		{"it begins before it", hanging(0, 5, 1), 0, [][2]float64{{0, 1.575}}},
		{"beside it", hanging(-5, -1.5, 1), 0, nil},
		{"on its edge", []diagram.Point{{Y: -3, Z: 1}, {Y: -2, Z: 1}, {Y: -1.3, Z: 1}}, 0, nil},
		{"on its lower edge", []diagram.Point{{Y: 1.3, Z: 1}, {Y: 2, Z: 1}, {Y: 3, Z: 1}}, 0, nil},
	} {
		d := &paint.Drawing{}
		rod := straight(-4, c.rod, 4, c.rod)
		crossing(d, []thread{{line: rod, width: 20, dye: woodDye(), rod: true}, {line: c.line, width: 6, dye: dyeOf(0)}}, to, paint.CardInk())
		last := len(c.line) - 1
		require.Equal(t, dyeOf(0).Edge, d.Shapes[0].Stroke, "the cord, whole")
		requireAt(t, 100, 50+10*c.line[0].Y, d.Shapes[0].Path[0].P, c.name)
		requireAt(t, 100, 50+10*c.line[last].Y, d.Shapes[0].Path[len(d.Shapes[0].Path)-1].P, c.name)
		require.Equal(t, paint.GrainInk(), d.Shapes[2].Stroke, "then the rod")
		requireAt(t, 60, 50+10*c.rod, d.Shapes[2].Path[0].P)
		requireAt(t, 140, 50+10*c.rod, d.Shapes[2].Path[len(d.Shapes[2].Path)-1].P)
		again := d.Shapes[4:]
		require.Len(t, again, 2*len(c.want), c.name)
		for i, w := range c.want {
			path := again[2*i].Path
			requireAt(t, 100, 50+10*w[0], path[0].P, c.name)
			requireAt(t, 100, 50+10*w[1], path[len(path)-1].P, c.name)
		}
	}
}

// Turns of a wrap below a point show no body, up to two no pattern; each bends evenly to
// both sides and stays in its share of the height.
func TestThinTurnsOfAWrap(t *testing.T) {
	for each, shapes := range map[paint.Points]int{1: 1, 1.1: 2, 2: 2, 2.1: 3} {
		s := Symbol{Drawing: &paint.Drawing{}, Frame: paint.Upright(paint.Point{}), Wide: 20, High: 7 * each, Thick: each, Cords: []int{1}, Turns: 7}
		s.wrap()
		require.Len(t, s.Shapes, 7*shapes, "%v each", each)
		for i, shape := range s.Shapes {
			p := shape.Path
			require.InDelta(t, -4, float64(p[1].P.X), 1e-3)
			require.InDelta(t, 4, float64(p[2].P.X), 1e-3)
			middle := (float64(i/shapes) + 0.5) * float64(each)
			for _, at := range p {
				require.InDelta(t, middle, float64(at.P.Y), 0.13*float64(each))
			}
			require.True(t, p[0].P.Y < p[1].P.Y && p[1].P.Y < p[2].P.Y && p[2].P.Y > p[3].P.Y, "it sags")
			require.Less(t, p[0].P.Y, p[3].P.Y)
			require.InDelta(t, []float64{1, 0.7, 0.2}[i%shapes]*float64(each), float64(shape.Width), 1e-3)
		}
	}
}

// A knot too small for its bends is no wider than its cords and one at either side, however
// wide its place is: flat from 0.06 to 0.94 of its height, its halves crossing in front
// one below the other, or round, with one stroke.
func TestTheMassOfSmallKnots(t *testing.T) {
	square, _ := knot.Standard().Knot("square knot")
	for _, c := range []struct{ wide, mass, edge float64 }{{60, 30, 0.5}, {20, 20, 0.5}, {5, 5, 0.4}} {
		s := tied(t, "square knot", 4, 5, false)
		s.Wide, s.High = paint.Points(c.wide), 20
		s.small(square)
		b, body := s.Shapes[0].Box(), s.Shapes[1].Box()
		requireAt(t, -c.mass/2, 1.2, paint.At(b.Left, b.Top))
		requireAt(t, c.mass/2, 18.8, paint.At(b.Right, b.Bottom))
		requireAt(t, -c.mass/2+c.edge, 1.2+c.edge, paint.At(body.Left, body.Top))
		in := c.mass/2 - c.edge
		upper, lower := s.Shapes[2], s.Shapes[3]
		requireAt(t, -in, 6, upper.Path[0].P)
		requireAt(t, in, 9.6, upper.Path[1].P)
		requireAt(t, in, 10.4, lower.Path[0].P)
		requireAt(t, -in, 14, lower.Path[1].P)
		require.InDelta(t, 1.5, float64(upper.Width), 1e-3, "0.3 of a cord")
	}
	overhand, _ := knot.Standard().Knot("overhand knot")
	for wide, half := range map[float64]float64{60: 9.6, 10: 4.8} { // 0.48 of 4 cords, or of its place
		s := tied(t, "overhand knot", 2, 5, false)
		s.Wide, s.High = paint.Points(wide), 20
		s.small(overhand)
		b := s.Shapes[0].Box()
		requireAt(t, -half, 0.4, paint.At(b.Left, b.Top))
		requireAt(t, half, 19.6, paint.At(b.Right, b.Bottom))
		requireAt(t, -half/2, 13, s.Shapes[2].Path[0].P)
		requireAt(t, half/2, 7, s.Shapes[2].Path[1].P)
		require.InDelta(t, 1, float64(s.Shapes[2].Width), 1e-3, "0.2 of a cord")
	}
	hitch, _ := knot.Standard().Knot("double half hitch")
	s := tied(t, "double half hitch", 2, 5, false)
	s.small(hitch) // 30 wide, each turn half of it
	require.InDelta(t, 15, float64(s.Shapes[0].Width), 1e-3)
	require.InDelta(t, 14, float64(s.Shapes[1].Width), 1e-3)
}

// Ends that come in further out than a knot of which only the row is known go down a cord
// within its edge; its name stands in the middle of its box, whose rim is a quarter of a
// cord, from 0.6 to 1.2.
func TestEndsOfKnotsOfOnlyARow(t *testing.T) {
	k := &knot.Knot{Row: knot.Row{Name: "heron knot", Short: "HR", Shape: knot.Group, Ends: 4}}
	for cord, rim := range map[paint.Points]float64{1: 0.6, 4: 1, 10: 1.2} {
		s := tied(t, k.Name, 4, cord, false)
		s.Wide, s.High, s.Sides = 6*cord, 40, []paint.Points{-5 * cord, -1.5 * cord, 1.9 * cord, 2.1 * cord}
		s.schematic(k)
		from, to, _, _ := straights(s.Shapes)
		require.Len(t, from, 4)
		for i, x := range []float64{-2, -1.5, 1.9, 2} {
			requireAt(t, x*float64(cord), -1.6, from[i])
			requireAt(t, x*float64(cord), 41.6, to[i])
		}
		for _, shape := range s.Shapes {
			if shape.Fill == dyeOf(0).Body {
				require.InDelta(t, rim, float64(shape.Width), 1e-3)
			}
			if shape.Words.Text != "" {
				require.InDelta(t, 23.6, float64(shape.Words.At.Y), 1e-3, "its foot 0.36 of its size below the middle")
			}
		}
	}
}
