package drawn_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture/drawn"
	"larkfold/commands/picture/paint"
	"larkfold/commands/picture/picturetest"
	"larkfold/sizing/dowel"
	"larkfold/sizing/length"
	"larkfold/sizing/trace"
)

// scaled is where a place of the work lies on a picture, and how many points a length is,
// from where the outermost mounts do.
func scaled(t *testing.T, r trace.Result, d *paint.Drawing) (at func(x, y length.Length) paint.Point, points func(length.Length) float64) {
	t.Helper()
	mounts := picturetest.Parts(d, drawn.AMount)
	first, last := mounts[0], mounts[0]
	for _, m := range mounts {
		if s := r.Strands[m.Index]; s.Added {
			continue
		} else if s.X < r.Strands[first.Index].X {
			first = m
		} else if s.X > r.Strands[last.Index].X {
			last = m
		}
	}
	scale := float64(last.At.X-first.At.X) / float64(r.Strands[last.Index].X-r.Strands[first.Index].X)
	points = func(l length.Length) float64 { return float64(l) * scale }
	return func(x, y length.Length) paint.Point {
		return paint.At(first.At.X+paint.Points(points(x-r.Strands[first.Index].X)), first.At.Y+paint.Points(points(y)))
	}, points
}

// A rod is drawn to scale, the work in its middle; one much longer than the work is
// broken, and the page says so.
func TestRodsAreDrawnToScale(t *testing.T) {
	for long, broken := range map[string]bool{"19 cm": false, "22 cm": false, "3 m": true} {
		sized, d := drawnOf(t, "piece R\ncord main 4 mm\ndowel "+long+" x 20 mm\npanel r\n  mount 10 folded\n  net square rows 20\n  tail 20 cm\nhanger rise 8 cm\n")
		at, points := scaled(t, sized.Result, d)
		rod := picturetest.Parts(d, drawn.ARod)[0].Box
		middle := at(sized.Mounted/2, 0)
		require.InDelta(t, float64(middle.X), float64(rod.Left+rod.Right)/2, 0.01, long)
		require.InDelta(t, float64(middle.Y), float64(rod.Top+rod.Bottom)/2, 0.01, long)
		if !broken {
			require.InDelta(t, points(sized.Rod.Length), float64(rod.Right-rod.Left)-0.8, 0.01, long)
			require.InDelta(t, points(sized.Rod.Thickness), float64(rod.Bottom-rod.Top)-0.8, 0.01, long)
			require.NotContains(t, picturetest.WordsOf(d), "longer than shown")
			// a hanger is tied as far in as it is cut for
			hanger := picturetest.Parts(d, drawn.AHanger)[0]
			foot := d.Shapes[hanger.From].Path[0].P
			require.InDelta(t, float64(rod.Left)+0.4+points(dowel.HangerInset), float64(foot.X), 0.01, long)
			require.InDelta(t, float64(middle.Y), float64(foot.Y), 0.01)
			require.InDelta(t, float64(middle.Y)-points(80*length.Millimetre), float64(hanger.At.Y), 0.01, "it rises as far as it is cut for")
			require.InDelta(t, float64(middle.X), float64(hanger.At.X), 0.01)
			continue
		}
		require.Less(t, float64(rod.Right-rod.Left), points(sized.Rod.Length)/3)
		require.Contains(t, picturetest.WordsOf(d), "The dowel is longer than shown.")
	}
}

// Every label over the rod stands over the middle of the cords that it is of.
func TestLabelsStandOverTheirCords(t *testing.T) {
	sized, d := drawnOf(t, "piece L\ncord main 4 mm\ncord reed 4 mm\ndowel 60 cm x 20 mm\npanel l\n  mount 6 folded main\n  mount 4 folded reed\n  net square rows 8\n  tail 20 cm\n")
	at, _ := scaled(t, sized.Result, d)
	found := 0
	for _, c := range sized.List.Cuts {
		left, right := sized.Strands[c.Strands[0]], sized.Strands[c.Strands[0]]
		for _, s := range c.Strands {
			if sized.Strands[s].X < left.X {
				left = sized.Strands[s]
			}
			if sized.Strands[s].X > right.X {
				right = sized.Strands[s]
			}
		}
		for _, l := range picturetest.Parts(d, paint.ALabel) {
			if l.Name == c.Label {
				found++
				require.InDelta(t, float64(at((left.X-left.Width/2+right.X+right.Width/2)/2, 0).X), float64(l.At.X), 0.01)
				require.Less(t, l.Box.Bottom, picturetest.Parts(d, drawn.ARod)[0].Box.Top)
			}
		}
	}
	require.Equal(t, 2, found)
}

// The sizes are drawn as long as they say: the width below everything, the drop beside
// it, from the rod to the lowest tip.
func TestSizesAreAsLongAsTheySay(t *testing.T) {
	sized, d := drawnOf(t, "piece S\ncord main 4 mm\ndowel 60 cm x 20 mm\npanel s\n  mount 12 folded\n  net square rows 8\n  tail 20 cm\n")
	at, points := scaled(t, sized.Result, d)
	p := sized.Panels[0]
	low := paint.Points(0)
	for _, e := range picturetest.Parts(d, drawn.AnEnd) {
		low = max(low, e.Box.Bottom)
	}
	sizes := picturetest.Parts(d, paint.ADimension)
	require.Len(t, sizes, 2)
	across, down := d.Shapes[sizes[0].From].Path, d.Shapes[sizes[1].From].Path
	require.InDelta(t, float64(at(p.Left, 0).X), float64(across[0].P.X), 0.01)
	require.InDelta(t, points(p.Right-p.Left), float64(across[1].P.X-across[0].P.X), 0.01)
	require.Equal(t, across[0].P.Y, across[1].P.Y)
	require.Greater(t, across[0].P.Y, low, "below everything")
	require.InDelta(t, float64(at(0, 0).Y), float64(down[0].P.Y), 0.01)
	require.InDelta(t, points(p.Drop), float64(down[1].P.Y-down[0].P.Y), 0.01)
	require.Greater(t, down[0].P.X, at(p.Right, 0).X, "beside it")
	text := length.Style{}.Format((p.Right - p.Left).Tidy())
	require.Contains(t, picturetest.WordsOf(d), text)
	require.Contains(t, picturetest.WordsOf(d), length.Style{}.Format(p.Drop.Tidy()))
	require.InDelta(t, points(p.Drop+sized.Cords[0].Diameter()/2), float64(low-at(0, 0).Y), 0.6, "the lowest tip")
}

// Beads, tassels and rods below hang where the trace has them, as large as they are.
func TestFittingsHangInTheirPlace(t *testing.T) {
	sized, d := drawnOf(t, "piece B\ncord main 4 mm\ndowel 40 cm x 20 mm\ndowel low 30 cm x 12 mm\npanel b\n  mount 6 folded\n  sinnet square times 4\n  bead 16 mm hole 10 mm of 4\n  space 2 cm\n  row square\n  onto low\n  tail 12 cm\n")
	at, points := scaled(t, sized.Result, d)
	beads := picturetest.Parts(d, drawn.ABead)
	require.NotEmpty(t, beads)
	require.Len(t, beads, len(sized.Beads))
	for _, part := range beads {
		b := sized.Beads[part.Index]
		middle := at(b.X, b.Y+b.Long/2)
		require.InDelta(t, float64(middle.X), float64(part.Box.Left+part.Box.Right)/2, 0.01)
		require.InDelta(t, float64(middle.Y), float64(part.Box.Top+part.Box.Bottom)/2, 0.01)
		require.InDelta(t, points(b.Wide), float64(part.Box.Right-part.Box.Left)-0.8, 0.01)
		require.InDelta(t, points(b.Long), float64(part.Box.Bottom-part.Box.Top)-0.8, 0.01)
		for _, e := range picturetest.Parts(d, drawn.AnEnd) {
			require.Less(t, e.From, part.From, "the cords go through it")
		}
	}
	rods := picturetest.Parts(d, drawn.ARod)
	require.Len(t, rods, 2)
	low, l := rods[1], sized.Lowers[0]
	middle := at(l.X, l.Y)
	require.InDelta(t, float64(middle.X), float64(low.Box.Left+low.Box.Right)/2, 0.01)
	require.InDelta(t, float64(middle.Y), float64(low.At.Y), 0.01)
	axis := d.Shapes[low.From].Path
	require.InDelta(t, points(l.Rod.Length), float64(axis[1].P.X-axis[0].P.X), 0.01)
	require.InDelta(t, points(l.Rod.Thickness), float64(d.Shapes[low.From].Width)-0.8, 0.01)
}

// Fringe hangs as far as it is cut for below the edge or the foot that it is tied to,
// all along it.
func TestFringeHangsAlongItsEdge(t *testing.T) {
	for _, where := range []string{"fringe 12 cm by 2 on left of f", "fringe 12 cm by 2 on right of f"} {
		sized, d := drawnOf(t, "piece F\ncord main 4 mm\ndowel 60 cm x 20 mm\npanel f\n  mount 12 folded\n  net square rows 12\n  tail 4 cm\n"+where+"\n")
		_, points := scaled(t, sized.Result, d)
		x := sized.Extras[0]
		require.Equal(t, trace.ForFringe, x.For)
		heads, fringe := picturetest.Parts(d, drawn.AHead)[0], picturetest.Parts(d, drawn.AFringe)[0]
		require.Equal(t, x.Count, heads.To-heads.From)
		tops := map[paint.Points]int{}
		top, low := paint.Points(math.Inf(1)), paint.Points(0)
		for _, s := range d.Shapes[heads.From:heads.To] {
			top, low = min(top, s.At.Y), max(low, s.At.Y)
			tops[s.At.Y]++
			if where == "fringe 12 cm by 2 on left of f" {
				require.Less(t, s.At.X, paint.PageWidth/2)
			}
		}
		for y, n := range tops {
			require.Equal(t, 1, n, "one below the other: %v", y)
		}
		require.InDelta(t, float64(low)+points(x.Need.Run/2), float64(fringe.Box.Bottom), 0.1*points(x.Need.Run/2), where)
		knots := picturetest.Parts(d, drawn.AKnot)
		require.Greater(t, top, knots[0].At.Y, "between the first knot of the edge and the last")
		require.Less(t, low, knots[len(knots)-1].Box.Bottom+paint.Points(points(8*length.Millimetre)))
		require.Less(t, fringe.To, knots[0].From, "behind the work")
	}
}

// The numbers of the ends stand under the places that they leave the rod at, and the
// numbers of rows beside them, from the top down.
func TestNumbersOfAChartStandByWhatTheyCount(t *testing.T) {
	sized := picturetest.Size(t, "piece C\ncord main 4 mm\ndowel 60 cm x 20 mm\npanel c\n  mount 6 folded\n  net square rows 10\n  tail 10 cm\n")
	d := chartOf(sized, length.Style{})
	at, points := scaled(t, sized.Result, d)
	ends := map[int]paint.Part{}
	for _, e := range picturetest.Parts(d, drawn.AnEnd) {
		ends[e.Index] = e
	}
	numbers := picturetest.Parts(d, drawn.AnEndNumber)
	require.GreaterOrEqual(t, len(numbers), 6)
	for _, n := range numbers {
		require.InDelta(t, float64(ends[n.Index].At.X), float64(n.At.X), 0.01, n.Name)
		require.Greater(t, float64(n.Box.Top), float64(at(0, 0).Y)+points(sized.Rod.Thickness)/2)
	}
	rounds := map[int]length.Length{} // the top of each row
	for _, p := range sized.Placed {
		if y, ok := rounds[p.Round]; !ok || p.Y < y {
			rounds[p.Round] = p.Y
		}
	}
	high := sized.Placed[0].Height
	rows := picturetest.Parts(d, drawn.ARow)
	require.GreaterOrEqual(t, len(rows), 4)
	for _, r := range rows {
		require.InDelta(t, float64(at(0, rounds[r.Index]+high/2).Y), float64(r.At.Y), points(high)*0.25, r.Name)
		require.LessOrEqual(t, r.Box.Right, at(0, 0).X, "beside the work")
	}
}

// A step is shown whole, 400 pixels wide and at most as high, with the ends that it
// takes up inside the picture.
func TestStepsFillTheirPicture(t *testing.T) {
	sized := picturetest.Size(t, picturetest.TideLine)
	for _, of := range spansOf(sized) {
		d := drawn.Step(sized, of, length.Style{})
		require.Equal(t, paint.Points(400), d.Width)
		require.LessOrEqual(t, float64(d.Height), 400.01)
		require.GreaterOrEqual(t, float64(d.Height), 119.0, "nor a mere strip")
		left, right := paint.Points(math.Inf(1)), paint.Points(math.Inf(-1))
		for _, k := range picturetest.Parts(d, drawn.AKnot) {
			require.True(t, k.Box.Within(d.Page()), "%v: %v", of, k.Box)
			left, right = min(left, k.Box.Left), max(right, k.Box.Right)
		}
		for _, l := range picturetest.Parts(d, paint.ALabel) {
			require.True(t, l.Box.Within(d.Page()), "%v: %s", of, l.Name)
		}
	}
}
