package knots

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture/paint"
	"larkfold/sizing/diagram"
	"larkfold/sizing/knot"
)

// tenfold is the page: ten points to a cord diameter, the place 1, 2 of the diagram at 100, 50.
func tenfold() view {
	return view{middle: paint.At(100, 50), centre: diagram.Point{X: 1, Y: 2}, unit: 10}
}

func requireAt(t *testing.T, x, y float64, got paint.Point, msg ...any) {
	t.Helper()
	require.InDelta(t, x, float64(got.X), 1e-3, msg...)
	require.InDelta(t, y, float64(got.Y), 1e-3, msg...)
}

// An arrow runs along its line from end to end; its head points on the way that the last
// stretch goes, five points long and seven wide, both barbs square to it.
func TestArrowsPointWhereTheEndGoes(t *testing.T) {
	for _, way := range [][2]float64{{1, 0}, {0, 1}, {-0.6, 0.8}, {0.8, -0.6}} {
		for _, places := range []int{2, 7, 8, 11} {
			var line []diagram.Point
			for i := range 6 { // it comes round a corner
				line = append(line, diagram.Point{X: -1 + 0.1*float64(6-i)*way[1], Y: 3 - 0.1*float64(6-i)*way[0]})
			}
			if places == 2 {
				line = nil
			}
			for i := range places {
				line = append(line, diagram.Point{X: -1 + 0.2*float64(i)*way[0], Y: 3 + 0.2*float64(i)*way[1]})
			}
			d := &lesson{&paint.Drawing{}}
			d.arrow(line, tenfold())
			require.Len(t, d.Shapes, 3, "its ground, its shaft and its head")
			shaft, head := d.Shapes[1].Path, d.Shapes[2].Path
			from, tip := tenfold().to(line[0]), tenfold().to(line[len(line)-1])
			requireAt(t, float64(from.X), float64(from.Y), shaft[0].P)
			requireAt(t, float64(tip.X), float64(tip.Y), shaft[len(shaft)-1].P)
			require.Len(t, shaft, (len(line)-1+2)/3+1, "every third place, and the last once")
			x, y := 100+(line[len(line)-1].X-1)*10, 50+(line[len(line)-1].Y-2)*10
			requireAt(t, x+5*way[0], y+5*way[1], head[0].P)
			requireAt(t, x-3.5*way[1], y+3.5*way[0], head[1].P)
			requireAt(t, x+3.5*way[1], y-3.5*way[0], head[2].P)
		}
	}
	for _, line := range [][]diagram.Point{{{X: 1}}, {{X: 1}, {X: 1}}} {
		d := &lesson{&paint.Drawing{}}
		d.arrow(line, tenfold())
		require.Empty(t, d.Shapes, "nowhere to point to")
	}
}

// The number of an end stands at its tip: outside it, beside it where a cord comes in
// level at the side of the diagram, and in the middle of its disc.
func TestNumbersStandAtTheTips(t *testing.T) {
	square, _ := knot.Standard().Knot("square knot")
	for _, c := range []struct{ x, y, right, down float64 }{ // from the middle, in diameters; moved, in points
		{0, -3, 0, -6}, {0, 3, 0, 6}, {0, 0, 0, -6}, {-3, 0.1, 0, 6},
		{4, 0, 0, -6}, {4.1, 0, 3, 0}, {-4.1, 0, -3, 0}, {-4, 0, 0, -6},
		{5, 2.4, 3, 0}, {5, 2.5, 0, 6}, {-5, -2.4, -3, 0}, {-5, -2.5, 0, -6},
	} {
		v := view{middle: paint.At(100, 50), centre: diagram.Point{X: 10, Y: 2}, unit: 8}
		at := diagram.Point{X: 10 + c.x, Y: 2 + c.y}
		d := &lesson{&paint.Drawing{}}
		d.tied(square, diagram.Drawing{{Name: "1", Path: diagram.Along([]diagram.Point{at, {X: 10, Y: 2.5, Z: 1}})}}, knot.Stage{}, nil, v)
		n := len(d.Shapes)
		disc, word := boxesOf(d.Shapes[n-2:n-1]), d.Shapes[n-1]
		require.Equal(t, "1", word.Words.Text)
		x, y := 100+8*c.x+c.right, 50+8*c.y+c.down
		require.InDelta(t, x, float64(disc.Left+disc.Right)/2, 1e-3, "%+v", c)
		require.InDelta(t, y, float64(disc.Top+disc.Bottom)/2, 1e-3, "%+v", c)
		require.InDelta(t, 14, float64(disc.Right-disc.Left), 1e-3)
		require.InDelta(t, x, float64(word.Box().Left+word.Box().Right)/2, 1e-3)
		require.InDelta(t, y+3.6, float64(word.Words.At.Y), 1e-3)
	}
}

// Cords are drawn slender, a rod as thick as it is and without a number; where an end
// goes next an arrow begins at its tip.
func TestStrandsOfAStep(t *testing.T) {
	head, _ := knot.Standard().Knot("lark's head")
	drawn := diagram.Drawing{
		{Name: "1", Works: true, Path: diagram.Through(0, 0, 0, 0, 10, 0)},
		{Name: "rod", Thick: 3, Path: diagram.Through(-4, 2, -2, 4, 2, -2)},
	}
	d := &lesson{&paint.Drawing{}}
	d.tied(head, drawn, knot.Stage{Reach: []float64{0.4, knot.All}}, &knot.Stage{Reach: []float64{0.8, knot.All}}, tenfold())
	words, arrows := 0, 0
	for _, s := range d.Shapes {
		switch {
		case s.Words.Text != "":
			words++
		case s.Stroke == paint.GrainInk():
			require.InDelta(t, 30, float64(s.Width), 1e-3)
			requireAt(t, 50, 50, s.Path[0].P)
			requireAt(t, 130, 50, s.Path[len(s.Path)-1].P)
		case s.Stroke == dyeOf(1).Edge:
			require.InDelta(t, 6.2, float64(s.Width), 1e-3)
		case s.Stroke == paint.AccentInk():
			arrows++
			requireAt(t, 90, 30+40, s.Path[0].P)
			requireAt(t, 90, 30+80, s.Path[len(s.Path)-1].P)
		}
	}
	require.Equal(t, 1, words)
	require.Equal(t, 1, arrows)

	fold := diagram.Through(0, 10, 0, 0, 0, 0, 0.5, 0, 0, 1, 0, 0, 1, 10, 0)
	drawn = diagram.Drawing{{Name: "1", Works: true, Folded: true, Path: fold}}
	reach := func(come float64) []float64 { return []float64{pointAt(fold, come/2)} }
	for goes, shown := range map[float64]float64{0.6: 0.6, 1: 0.75} { // at most 0.35 of its way further
		d = &lesson{&paint.Drawing{}}
		d.tied(head, drawn, knot.Stage{Reach: reach(0.4)}, &knot.Stage{Reach: reach(goes)}, tenfold())
		arrows := 0
		for _, s := range d.Shapes {
			if s.Stroke == paint.AccentInk() {
				arrows++
				part := fold.Part(0.2, shown/2)
				from, to := tenfold().to(part[0]), tenfold().to(part[len(part)-1])
				requireAt(t, float64(from.X), float64(from.Y), s.Path[0].P, "%v", goes)
				requireAt(t, float64(to.X), float64(to.Y), s.Path[len(s.Path)-1].P, "%v", goes)
			}
		}
		require.Equal(t, 1, arrows)
	}
}

// pointAt is the place of a path, counted in its points, at a share of its length.
func pointAt(p diagram.Path, share float64) float64 {
	lo, hi := 0.0, float64(len(p.Points)-1)
	for range 60 {
		if mid := (lo + hi) / 2; p.At(mid) < share {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// All steps are drawn at one scale, the largest of 13 points to a diameter at which the
// widest diagram has a diameter to spare at either side, in a card with a margin of 8, and
// no card is higher than 330 or lower than 110.
func TestScaleOfTheSteps(t *testing.T) {
	for _, c := range []struct{ wide, high, unit, card float64 }{
		{10, 4, 10, 110},        // 120 / 12; 6.4 diameters and 32 would be 96
		{10, 9.6, 10, 152},      // 12 diameters and 32
		{2, 27.4, 10, 330},      // 298 / 29.8
		{2, 5.6, 13, 8*13 + 32}, // small
	} {
		dia := &knot.Diagram{Stages: []knot.Stage{{}, {Drawn: 1}}, Draw: func(knot.Body) diagram.Drawing {
			return diagram.Drawing{{Path: diagram.Through(3, 1, 0, 3+c.wide, 1+c.high, 0)}}
		}}
		v, high := stagesView(dia, false, 136)
		require.InDelta(t, c.unit, float64(v.unit), 1e-9, "%+v", c)
		require.InDelta(t, c.card, float64(high), 1e-9, "%+v", c)
		require.InDelta(t, 3+c.wide/2, v.centre.X, 1e-9)
		require.InDelta(t, 1+c.high/2, v.centre.Y, 1e-9)
	}
	_, high := stagesView(&knot.Diagram{Stages: []knot.Stage{{Drawn: 2}}}, false, 136)
	require.InDelta(t, 150, float64(high), 1e-9, "nothing but knots drawn up")
}

// An end that is still to go hangs down from where it has come, shorter where something
// lies below it, and not at all where it would lie on that: 0.7 diameters are left between.
func TestEndsHangAsFarAsTheyAreClear(t *testing.T) {
	end := diagram.Through(0, 0, 0, 1.5, 0, 0, 3, 0, 0).Line
	for below, want := range map[float64]float64{9: 2.4, 3.2: 2.4, 3: 1.6, 2.4: 1.6, 2.2: 0.9, 1.7: 0.9, 1.5: 0, -0.8: 2.4} {
		other := diagram.Through(-9, below, 1, 4, below, 1, 20, below, 1).Line
		hung := hang([][]diagram.Point{end, other}, 0)
		last := hung[len(hung)-1]
		require.InDelta(t, want, last.Y, 1e-9, "%v", below)
		require.Equal(t, end, hung[:len(end)])
		if want > 0 { // half a diameter on, and half of that beside
			require.InDelta(t, 3.75, last.X, 1e-9)
		}
	}
	one := []diagram.Point{{X: 1}}
	require.Equal(t, one, hang([][]diagram.Point{one}, 0))
}

// A folded cord that has come so far shows both halves as far, and the fold 1.6 diameters
// further, in the middle between them.
func TestFoldsGoBeforeTheirHalves(t *testing.T) {
	s := diagram.Strand{Folded: true, Path: diagram.Through(0, 20, 0, 0, 10, 0, 0, 0, 0, 2, 0, 0, 2, 10, 0, 2, 20, 0)}
	require.Equal(t, s.Line, folded(s, 1))
	for _, come := range []float64{0.3, 0.6} {
		line := folded(s, come)
		half := s.Part(0, come/2)
		require.Equal(t, half, line[:len(half)])
		require.Equal(t, s.Line[len(s.Line)-1], line[len(line)-1])
		foot, top, left, right := half[len(half)-1].Y, math.Inf(1), math.Inf(1), math.Inf(-1)
		for _, p := range line {
			top, left, right = min(top, p.Y), min(left, p.X), max(right, p.X)
		}
		require.InDelta(t, 2, left+right, 0.1, "between its halves")
		require.InDelta(t, foot-1.6, top, 0.02)
	}
}

// Working ends take the looks of the house in the order of their names, those of a hitch or
// a wrap the first; what does not work is plain.
func TestLooksOfTheStrands(t *testing.T) {
	drawn := diagram.Drawing{{Name: "2", Works: true}, {Name: "core"}, {Name: "1", Works: true}, {Name: "2", Works: true}}
	for shape, want := range map[knot.Shape][]int{knot.Group: {2, 0, 1, 3}, knot.Plait: {2, 0, 1, 3}, knot.Hitch: {1, 0, 1, 1}, knot.Wrap: {1, 0, 1, 1}} {
		for i, look := range want {
			require.Equal(t, dyeOf(look), dyeOfStrand(&knot.Knot{Row: knot.Row{Shape: shape}}, drawn, i), "%s, %d", shape, i)
		}
	}
}

// A knot drawn up is at most 13 points to a diameter, leaves 12 beside it and 15 above and
// below, stands 4 below the middle for the number above it, and drawn for the other hand is
// its mirror image.
func TestKnotsDrawnUpInACard(t *testing.T) {
	for _, name := range []string{"square knot", "vertical lark's head", "lark's head", "double half hitch"} {
		k, _ := knot.Standard().Knot(name)
		one, _ := k.DrawnUp()
		for _, b := range []paint.Box{paint.Between(10, 20, 110, 320), paint.Between(10, 20, 310, 90), paint.Between(10, 20, 610, 620)} {
			d, mirrored := &lesson{&paint.Drawing{}}, &lesson{&paint.Drawing{}}
			d.finished(k, 1, false, b)
			mirrored.finished(k, 1, true, b)
			left, right, top, foot := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
			for _, s := range one.Strands {
				for _, p := range s.Line {
					left, right = min(left, p.X-s.Thick/2), max(right, p.X+s.Thick/2)
					top, foot = min(top, p.Y), max(foot, p.Y)
				}
			}
			unit := min(float64(b.Right-b.Left-24)/(right-left), float64(b.Bottom-b.Top-30)/(foot-top), 13)
			width := paint.Points(0)
			var middles []paint.Point
			for i, s := range d.Shapes {
				width = max(width, s.Width)
				if s.Width > 0.9*paint.Points(unit) {
					middles = append(middles, s.Path[0].P)
				}
				for n, at := range s.Path {
					requireAt(t, float64(b.Left+b.Right-at.P.X), float64(at.P.Y), mirrored.Shapes[i].Path[n].P, name)
				}
			}
			thickest := 0.0
			for _, s := range one.Strands {
				thickest = max(thickest, s.Thick)
			}
			require.InDelta(t, 0.96*unit*thickest, float64(width), 1e-3, name)
			low, high := paint.Points(math.Inf(1)), paint.Points(math.Inf(-1))
			for _, m := range middles {
				low, high = min(low, m.Y), max(high, m.Y)
			}
			require.InDelta(t, float64(b.Top+b.Bottom)/2+4, float64(low+high)/2, unit/2, name)
		}
	}
}
