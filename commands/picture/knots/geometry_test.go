package knots

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture/paint"
	"larkfold/commands/picture/picturetest"
	"larkfold/sizing/diagram"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
)

// boxesOf is the box round some shapes.
func boxesOf(shapes []paint.Shape) paint.Box {
	all := shapes[0].Box()
	for _, s := range shapes[1:] {
		b := s.Box()
		all = paint.Between(min(all.Left, b.Left), min(all.Top, b.Top), max(all.Right, b.Right), max(all.Bottom, b.Bottom))
	}
	return all
}

// Every step of every knot stands in a card of its own, whole, its drawing in the middle
// and its number at the corner; cards lie side by side, in rows that stand in the middle
// of the page.
func TestEveryStepStandsInItsCard(t *testing.T) {
	for _, k := range knot.Standard().Knots() {
		d := HowTo(k)
		picturetest.RequireClear(t, d)
		for _, s := range d.Shapes {
			if s.Words.Text != "" {
				require.GreaterOrEqual(t, float64(s.Words.Size), 10.0, "%s: %s", k.Name, s.Words.Text)
			}
		}
		stages := picturetest.Parts(d, AStage)
		if k.Diagram == nil {
			continue
		}
		hands := 1
		if k.Diagram.Hands[1] != "" && k.Diagram.Draw != nil {
			hands = 2
		}
		require.Len(t, stages, hands*len(k.Diagram.Stages), k.Name)
		words := picturetest.WordsOf(d)
		rows := map[paint.Points]paint.Box{}
		var cards []paint.Box
		for i, s := range stages {
			require.Equal(t, i%len(k.Diagram.Stages), s.Index)
			shapes := d.Shapes[s.From:s.To]
			card := shapes[0].Box()
			require.Greater(t, len(shapes), 2, "%s, step %d is empty", k.Name, i)
			require.True(t, boxesOf(shapes[1:]).Within(card), "%s, step %d: %v in %v", k.Name, i+1, boxesOf(shapes[1:]), card)
			number := shapes[len(shapes)-1]
			require.Equal(t, fmt.Sprint(s.Index+1), number.Words.Text)
			require.Less(t, number.Box().Right-card.Left, paint.Points(24))
			require.Less(t, number.Box().Bottom-card.Top, paint.Points(20))
			for _, other := range cards {
				require.False(t, other.Overlaps(card), "%s: cards lie over each other", k.Name)
			}
			cards = append(cards, card)
			row, ok := rows[card.Top]
			if !ok {
				row = card
			}
			if ok {
				require.InDelta(t, 8, float64(card.Left-row.Right), 0.01, "side by side")
			}
			rows[card.Top] = paint.Between(min(row.Left, card.Left), card.Top, max(row.Right, card.Right), card.Bottom)
			if k.Diagram.Stages[s.Index].Drawn > 0 { // a knot drawn up stands in the middle
				b := boxesOf(shapes[1 : len(shapes)-1])
				require.InDelta(t, float64(card.Left+card.Right)/2, float64(b.Left+b.Right)/2, 4, "%s, step %d", k.Name, i+1)
				require.Greater(t, max((b.Right-b.Left)/(card.Right-card.Left), (b.Bottom-b.Top)/(card.Bottom-card.Top)), paint.Points(0.45), "%s, step %d is small", k.Name, i+1)
			}
		}
		for _, row := range rows {
			require.InDelta(t, float64(paint.PageWidth), float64(row.Left+row.Right), 0.01, "%s: rows stand in the middle", k.Name)
		}
		if k.Shape == knot.Group && k.Diagram.Draw != nil { // which look is which end
			for i, strand := range k.Diagram.Drawing(false) {
				if roles, _ := k.Cast(k.Ends); strand.Works {
					require.Contains(t, words, k.Roles[roles[i]].Name+" "+strand.Name, k.Name)
				}
			}
		}
		for i := range k.HowTo {
			require.Contains(t, words, fmt.Sprintf("%d.", i+1))
			require.Contains(t, d.Alt()+"…", fmt.Sprintf("%d. ", i+1), k.Name)
		}
	}
}

// along are places of a path, close enough to find what passes a place.
func along(p paint.Path) []paint.Point {
	var all []paint.Point
	var from paint.Point
	for _, s := range p {
		if s.Op == paint.Move {
			all = append(all, s.P)
		}
		for n := 1; n <= 24 && s.Op != paint.Move && s.Op != paint.Close; n++ {
			t := paint.Points(n) / 24
			u := 1 - t
			at := paint.At(u*from.X+t*s.P.X, u*from.Y+t*s.P.Y)
			if s.Op == paint.Curve {
				at = paint.At(u*u*u*from.X+3*u*u*t*s.A.X+3*u*t*t*s.B.X+t*t*t*s.P.X, u*u*u*from.Y+3*u*u*t*s.A.Y+3*u*t*t*s.B.Y+t*t*t*s.P.Y)
			}
			all = append(all, at)
		}
		from = s.P
	}
	return all
}

// topmost is the ink of the stroke that lies over all others at a place.
func topmost(d *paint.Drawing, at paint.Point, inks map[paint.Ink]int) int {
	top := -1
	for _, s := range d.Shapes {
		strand, ok := inks[s.Stroke]
		for _, p := range along(s.Path) {
			if ok && math.Hypot(float64(p.X-at.X), float64(p.Y-at.Y)) < float64(s.Width)*0.4 {
				top = strand
			}
		}
	}
	return top
}

// What crosses over another strand is seen whole where they cross, for each hand.
func TestWhatCrossesOverLiesOver(t *testing.T) {
	found := 0
	for _, k := range knot.Standard().Knots() {
		if k.Diagram == nil || k.Diagram.Draw == nil {
			continue
		}
		for _, hand := range []bool{false, true} {
			var threads []thread
			var lines [][]diagram.Point
			inks := map[paint.Ink]int{}
			for _, s := range k.Diagram.Drawing(hand) {
				if s.Name == "rod" {
					continue
				}
				body := paint.RGB(uint32(0x100000 + len(lines)*0x1F))
				inks[body] = len(lines)
				lines = append(lines, s.Line)
				threads = append(threads, thread{line: s.Line, width: 6, dye: Dye{Body: body, Edge: paint.DarkInk()}})
			}
			d := &paint.Drawing{Width: 400, Height: 400}
			to := func(p diagram.Point) paint.Point { return paint.At(200+paint.Points(p.X)*10, 20+paint.Points(p.Y)*10) }
			crossing(d, threads, to, paint.CardInk())
			crossings := diagram.Crossings(lines)
			places := make([]paint.Point, len(crossings))
			for n, x := range crossings {
				line, at := lines[x.Over.Strand], x.Over.At
				i := min(int(at), len(line)-2)
				a, b, share := to(line[i]), to(line[i+1]), paint.Points(at-float64(i))
				places[n] = paint.At(a.X+share*(b.X-a.X), a.Y+share*(b.Y-a.Y))
			}
			for n, x := range crossings {
				place, crowded := places[n], x.Over.Strand == x.Under.Strand
				for m, other := range places {
					crowded = crowded || m != n && math.Hypot(float64(other.X-place.X), float64(other.Y-place.Y)) < 9
				}
				for m, line := range lines {
					for _, p := range line {
						at := to(p)
						crowded = crowded || m != x.Over.Strand && m != x.Under.Strand && math.Hypot(float64(at.X-place.X), float64(at.Y-place.Y)) < 9
					}
				}
				if crowded { // a third strand lies there
					continue
				}
				require.Equal(t, x.Over.Strand, topmost(d, place, inks), "%s at %v", k.Name, place)
				found++
			}
		}
	}
	require.Greater(t, found, 100)
}

// Drawn up, what lies nearer is painted later, and is not darker.
func TestWhatLiesNearerIsPaintedLater(t *testing.T) {
	body := []paint.Ink{paint.RGB(0xF00000), paint.RGB(0x00F000)}
	line := func(x1, y1, x2, y2, z float64) []diagram.Point {
		points := straight(x1, y1, x2, y2)
		for i := range points {
			points[i].Z = z
		}
		return points
	}
	for _, near := range []int{0, 1} {
		depth := [2]float64{-1, -1}
		depth[near] = 2
		d := &paint.Drawing{Width: 200, Height: 200}
		tubes(d, []thread{
			{line: line(0, 5, 10, 5, depth[0]), width: 10, dye: Dye{Body: body[0], Edge: paint.DarkInk()}},
			{line: line(5, 0, 5, 10, depth[1]), width: 10, dye: Dye{Body: body[1], Edge: paint.DarkInk()}},
		}, func(p diagram.Point) paint.Point { return paint.At(paint.Points(p.X)*10, paint.Points(p.Y)*10) })
		inks := map[paint.Ink]int{body[near]: near, body[1-near].Darker(0.28): 1 - near}
		require.Equal(t, near, topmost(d, paint.At(50, 50), inks))
		require.Equal(t, 1-near, topmost(d, []paint.Point{paint.At(50, 5), paint.At(5, 50)}[near], inks), "the one behind is shown beside it, darker")
	}
}

// Marks and gaps follow each other in turn, from the beginning of a cord on.
func TestPatternsAlongACord(t *testing.T) {
	for at, want := range map[float64]bool{0: true, 1.99: true, 2: false, 2.99: false, 3: true, 3.49: true, 3.5: false, 4.49: false, 4.5: true, 6.4: true, 6.6: false, 45: true} {
		require.Equal(t, want, on([]paint.Points{2, 1, 0.5, 1}, at), "%v", at)
	}
}

// A cord's edge is a sixth of its width at either side, but a third of a point at least
// where half of the cord is left for its body, and nine tenths at most.
func TestEdgesOfACord(t *testing.T) {
	for width, edge := range map[paint.Points]float64{0.8: 0.2, 1: 0.25, 1.2: 0.3, 1.5: 0.3, 1.875: 0.3, 5: 0.8, 5.625: 0.9, 10: 0.9} {
		d := &paint.Drawing{}
		dyeOf(0).Lay(d, paint.Polyline(paint.At(0, 0), paint.At(9, 0)), width)
		require.Len(t, d.Shapes, 2, "plain")
		require.Equal(t, width, d.Shapes[0].Width)
		require.Equal(t, dyeOf(0).Edge, d.Shapes[0].Stroke)
		require.Equal(t, dyeOf(0).Body, d.Shapes[1].Stroke)
		require.InDelta(t, edge, float64(width-d.Shapes[1].Width)/2, 1e-6, "%v wide", width)
	}
	d := &paint.Drawing{}
	dyeOf(1).Sample(d, paint.Between(10, 20, 36, 20), 5)
	require.Equal(t, paint.Polyline(paint.At(10, 20), paint.At(36, 20)), d.Shapes[2].Path)
	require.Equal(t, []paint.Points{8, 6}, d.Shapes[2].Dash, "1.6 and 1.2 widths")
	require.InDelta(t, 1.1, float64(d.Shapes[2].Width), 1e-6)
	d = &paint.Drawing{}
	dyeOf(3).Sample(d, paint.Between(10, 20, 36, 20), 5)
	require.Empty(t, d.Shapes[2].Dash, "a full line")
}

// A knot in a piece keeps to the height that the trace gives it and its workers to the
// width, comes in at its top where its ends do and leaves at its foot; what runs to the left is the
// mirror image of what runs to the right.
func TestKnotsKeepToTheirPlace(t *testing.T) {
	fitted := 0
	for _, k := range knot.Standard().Knots() {
		ends := max(k.Ends, 2)
		sides := make([]float64, ends)
		for i := range sides {
			sides[i] = float64(i) - float64(ends-1)/2
		}
		size, err := k.Size(knot.Gauge{Diameter: length.Millimetre, Rod: 4 * length.Millimetre, Ends: ends})
		if err != nil {
			continue // a pattern
		}
		for _, loose := range []float64{1, 1.3} {
			w, h := loose*float64(size.Width)/float64(length.Millimetre), loose*float64(size.Height)/float64(length.Millimetre)
			f, ok := fit(k, w, h, sides, false)
			left, okLeft := fit(k, w, h, sides, true)
			require.Equal(t, ok, okLeft, k.Name)
			if !ok {
				continue
			}
			fitted++
			require.Len(t, f.ends, len(f.lines))
			lies := k.Look().Lies
			low, high := math.Inf(1), math.Inf(-1)
			for i, line := range f.lines {
				require.Contains(t, fmt.Sprint(makeRange(ends)), fmt.Sprint(f.ends[i]), k.Name)
				for n, p := range line {
					low, high = min(low, p.Y), max(high, p.Y)
					if k.Shape == knot.Hitch {
						require.InDelta(t, -p.X, left.lines[i][n].X, 1e-9, "%s is mirrored", k.Name)
						require.InDelta(t, p.Y, left.lines[i][n].Y, 1e-9, k.Name)
					}
				}
			}
			require.Greater(t, low, -0.35*h-0.6, "%s begins at its top", k.Name)
			require.Less(t, high, 1.35*h+0.6, "%s ends at its foot", k.Name)
			require.Less(t, low, 0.5*h, k.Name)
			require.Greater(t, high, 0.5*h, k.Name)
			if k.Shape == knot.Hitch {
				require.InDelta(t, -w/2-0.05, f.lines[0][0].X, 1e-9, "its carrier comes in from the left")
				require.InDelta(t, w/2+0.05, f.lines[0][len(f.lines[0])-1].X, 1e-9)
				require.InDelta(t, h/2, f.lines[0][0].Y, 1e-9)
				require.Equal(t, ends-1, f.ends[len(f.ends)-1])
				continue
			}
			if k.Shape != knot.Group || lies == knot.Apart || lies == knot.Rolled || lies == knot.Woven {
				continue
			}
			roles, cores := k.Cast(ends)
			if drawn, _ := shaped(k); drawn.Pitch == 0 || cores == 0 || len(working(drawn.Strands)) != ends-cores {
				continue
			}
			reach, middle := 0.0, 0.0 // of what they are tied round
			for i, r := range roles {
				if !k.Roles[r].Works {
					middle += sides[i] / float64(cores)
				}
			}
			for i, line := range f.lines {
				if e := f.ends[i]; !k.Roles[roles[e]].Works { // it hangs where it came in
					for _, p := range line {
						require.InDelta(t, sides[e], p.X, 1e-9, k.Name)
					}
					require.InDelta(t, -0.1, line[0].Y, 1e-9)
					require.InDelta(t, h+0.1, line[len(line)-1].Y, 1e-9)
					continue
				}
				require.InDelta(t, 0, line[0].Y, 0.35*h, k.Name)
				require.InDelta(t, h, line[len(line)-1].Y, 0.35*h, k.Name)
				for _, p := range line {
					reach = max(reach, math.Abs(p.X-middle))
				}
			}
			require.InDelta(t, w/2-0.5, reach, 1e-9, "%s: workers reach out to its width", k.Name)
		}
	}
	require.Greater(t, fitted, 20)
}

func makeRange(n int) []int {
	all := make([]int, n)
	for i := range all {
		all[i] = i
	}
	return all
}

// Knots below each other go on without a gap: where one strand ends another begins.
func TestRepeatedKnotsGoOnWithoutAGap(t *testing.T) {
	for _, name := range []string{"square knot", "half knot", "double half hitch"} {
		k, ok := knot.Standard().Knot(name)
		require.True(t, ok)
		one, ok := k.DrawnUp()
		require.True(t, ok)
		step := 0.0 // from place to place of a line
		for _, s := range one.Strands {
			for n := 1; n < len(s.Line); n++ {
				step = max(step, math.Hypot(s.Line[n].X-s.Line[n-1].X, s.Line[n].Y-s.Line[n-1].Y))
			}
		}
		for _, times := range []int{1, 2, 5} {
			all := repeated(k, one.Strands, one.Pitch, times)
			if k.Shape == knot.Hitch {
				works := working(all)
				require.Len(t, works, times, "a hitch each")
				for i := 1; i < times; i++ {
					require.InDelta(t, one.Pitch, works[i].Line[0].X-works[i-1].Line[0].X, 1e-9)
				}
				for _, s := range all {
					if !s.Works && times > 1 {
						require.Less(t, s.Line[0].X, -2.0)
						require.Greater(t, s.Line[len(s.Line)-1].X, one.Pitch*float64(times)-1)
					}
				}
				continue
			}
			require.Len(t, all, len(one.Strands))
			for i, s := range all {
				before := one.Strands[i].Line
				require.InDelta(t, before[0].Y+one.Pitch*float64(times), s.Line[len(s.Line)-1].Y, 0.35*one.Pitch, name)
				for n := 1; n < len(s.Line); n++ {
					require.Less(t, math.Hypot(s.Line[n].X-s.Line[n-1].X, s.Line[n].Y-s.Line[n-1].Y), step+0.1, "%s: %d times", name, times)
				}
			}
		}
	}
}

// A knot too small for its bends stays within its width and height, its mass in the
// middle; a hitch leans the way its carrier runs.
func TestSmallKnotsStayInTheirPlace(t *testing.T) {
	for _, name := range []string{"square knot", "half knot", "right half knot", "overhand knot", "double half hitch"} {
		k, ok := knot.Standard().Knot(name)
		require.True(t, ok)
		for _, cord := range []paint.Points{0.3, 2, 9} {
			s := tied(t, name, k.Ends, cord, false)
			s.small(k)
			b := boxesOf(s.Shapes)
			require.True(t, b.Within(paint.Between(-s.Wide/2-0.16*s.Wide, -0.15*s.High-0.25*s.Wide, s.Wide/2+0.16*s.Wide, 1.15*s.High+0.25*s.Wide)), "%s: %v", name, b)
			mass := boxesOf(s.Shapes[:1])
			if k.Shape == knot.Hitch {
				mass = b
			}
			require.InDelta(t, 0, float64(mass.Left+mass.Right), 1e-6, "%s", name)
			require.InDelta(t, float64(s.High), float64(mass.Top+mass.Bottom), 1e-6, "%s", name)
			if k.Shape != knot.Hitch { // its edge shows all round its body
				body := s.Shapes[1].Box()
				for _, edge := range []paint.Points{body.Left - mass.Left, body.Top - mass.Top, mass.Right - body.Right, mass.Bottom - body.Bottom} {
					require.InDelta(t, float64(max(0.12, min(0.5, s.Wide*0.08))), float64(edge), 1e-6, name)
				}
				for _, stroke := range s.Shapes[2:] {
					require.True(t, stroke.Path[1].P.X != stroke.Path[0].P.X && stroke.Path[1].P.Y != stroke.Path[0].P.Y, "strokes slant")
					require.True(t, boxesOf([]paint.Shape{{Path: stroke.Path}}).Within(mass), "%s: %v in %v", name, stroke.Path, mass)
				}
				continue
			}
			left := tied(t, name, k.Ends, cord, true)
			left.small(k)
			require.Len(t, s.Shapes, 4, "two turns")
			require.Greater(t, s.Shapes[0].Path[0].P.X, s.Shapes[0].Path[1].P.X)
			require.InDelta(t, 0.12*2*float64(s.Wide), float64(s.Shapes[0].Path[0].P.X-s.Shapes[0].Path[1].P.X), 1e-6)
			require.InDelta(t, 0.5*float64(s.Wide), float64(s.Shapes[2].Path[0].P.X-s.Shapes[0].Path[0].P.X), 1e-6)
			for i := range s.Shapes {
				require.Less(t, left.Shapes[i].Path[0].P.X, left.Shapes[i].Path[1].P.X)
			}
			require.Less(t, s.Shapes[1].Width, s.Shapes[0].Width)
		}
	}
	square, _ := knot.Standard().Knot("square knot")
	half, _ := knot.Standard().Knot("half knot")
	right, _ := knot.Standard().Knot("right half knot")
	strokes := func(k *knot.Knot) []paint.Shape {
		s := tied(t, k.Name, k.Ends, 2, false)
		s.small(k)
		return s.Shapes[2:]
	}
	rises := func(s paint.Shape) bool { return (s.Path[1].P.X > s.Path[0].P.X) == (s.Path[1].P.Y > s.Path[0].P.Y) }
	require.Len(t, strokes(square), 2, "both halves cross in front")
	require.NotEqual(t, rises(strokes(square)[0]), rises(strokes(square)[1]))
	require.Len(t, strokes(half), 1)
	require.NotEqual(t, rises(strokes(half)[0]), rises(strokes(right)[0]), "left and right are told apart")
}

// An ellipse is one: every place of its path lies on it.
func TestEllipses(t *testing.T) {
	for _, p := range along(ellipse(paint.Upright(paint.At(10, 20)), 7, 5, 3)) {
		x, y := float64(p.X-10)/5, float64(p.Y-27)/3
		require.InDelta(t, 1, math.Hypot(x, y), 0.001)
	}
}

// A wrap shows as many turns as it has, 60 at most, one below the other and each as
// high as its share.
func TestTurnsOfAWrap(t *testing.T) {
	for turns, want := range map[int]int{0: 1, 1: 1, 7: 7, 60: 60, 61: 60} {
		s := Symbol{Drawing: &paint.Drawing{}, Frame: paint.Upright(paint.Point{}), Wide: 20, High: 42, Thick: 6, Cords: []int{1}, Turns: turns}
		s.wrap()
		var edges []paint.Shape
		for _, shape := range s.Shapes {
			if shape.Stroke == dyeOf(1).Edge {
				edges = append(edges, shape)
			}
		}
		require.Len(t, edges, want)
		each := 42 / float64(want)
		for i, turn := range edges {
			b := turn.Path
			middle := float64(b[0].P.Y+b[3].P.Y) / 2
			require.InDelta(t, each*(float64(i)+0.5), middle, each*0.15, "turn %d of %d", i, turns)
			require.InDelta(t, each, float64(turn.Width), 1e-6)
			require.InDelta(t, -10+each*0.3, float64(b[0].P.X), 1e-6)
			require.InDelta(t, 10-each*0.3, float64(b[3].P.X), 1e-6)
			require.Less(t, b[0].P.Y, b[3].P.Y, "it winds downwards")
		}
		last := s.Shapes[1:]
		if each > 1 {
			require.Equal(t, dyeOf(1).Body, last[0].Stroke)
			require.InDelta(t, each-min(0.9, each*0.3), float64(last[0].Width), 1e-6)
		}
		if each > 2 {
			require.Equal(t, dyeOf(1).Mark, last[1].Stroke)
		}
	}
}

// A knot of which only the row is known is a box over its ends with its short name, if
// that can be read in it.
func TestKnotsOfOnlyARow(t *testing.T) {
	k := &knot.Knot{Row: knot.Row{Name: "heron knot", Short: "HR", Shape: knot.Group, Ends: 4}}
	named := func(k *knot.Knot, wide, high, cord paint.Points) bool {
		s := tied(t, k.Name, 4, cord, false)
		s.Wide, s.High = wide, high
		s.schematic(k)
		words := false
		var box paint.Box
		for _, shape := range s.Shapes {
			if shape.Fill == dyeOf(0).Body {
				box = boxesOf([]paint.Shape{{Path: shape.Path}})
			}
			if shape.Words.Text != "" {
				words = true
				require.True(t, shape.Box().Left >= box.Left && shape.Box().Right <= box.Right && shape.Box().Top >= box.Top && shape.Words.At.Y <= box.Bottom, "%v in %v", shape.Box(), box)
				require.InDelta(t, 0, float64(shape.Box().Left+shape.Box().Right), 1e-6)
			}
		}
		require.InDelta(t, 0, float64(box.Left+box.Right), 1e-6)
		require.InDelta(t, float64(min(wide, 6*cord)), float64(box.Right-box.Left), 1e-6)
		require.InDelta(t, 0.1*float64(high), float64(box.Top), 1e-6)
		require.InDelta(t, 0.9*float64(high), float64(box.Bottom), 1e-6)
		ends := 0
		for _, shape := range s.Shapes { // the ends come out above and below it
			if b := shape.Box(); shape.Stroke == dyeOf(0).Body || shape.Stroke == dyeOf(1).Body {
				ends++
				require.Less(t, b.Top, paint.Points(0))
				require.Greater(t, b.Bottom, high)
			}
		}
		require.Equal(t, 4, ends)
		return words
	}
	short := paint.Bold.Measure("HR", 10) / 0.95
	require.True(t, named(k, 40, 13, 8))
	require.False(t, named(k, 40, 12.9, 8), "too low")
	require.True(t, named(k, short+0.1, 30, 8))
	require.False(t, named(k, short-0.1, 30, 8), "too narrow")
	k.Short = ""
	require.True(t, named(k, 120, 30, 20), "its name, where it has no short one")
	require.False(t, named(k, 40, 30, 20))
}

// A row without a diagram says what each of its ends takes.
func TestSchemesSayWhatEachEndTakes(t *testing.T) {
	k := &knot.Knot{Row: knot.Row{Name: "heron knot", Short: "HR", Shape: knot.Wrap, Roles: []knot.Role{{Name: "winder", Takes: "9*d"}}}}
	d := HowTo(k)
	require.Empty(t, picturetest.Parts(d, AStage))
	require.Contains(t, picturetest.WordsOf(d), "winder: 9*d")
	require.True(t, strings.HasPrefix(d.Alt(), "How to tie a heron knot."))
	require.Contains(t, d.Alt(), "only a scheme of its ends")
}
