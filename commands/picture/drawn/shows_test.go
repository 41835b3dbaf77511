package drawn_test

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture/drawn"
	"larkfold/commands/picture/paint"
	"larkfold/commands/picture/picturetest"
	"larkfold/sizing"
	"larkfold/sizing/length"
)

// drawnOf is the picture of a sheet.
func drawnOf(t *testing.T, text string) (sizing.Sized, *paint.Drawing) {
	t.Helper()
	sized := picturetest.Size(t, text)
	d := drawn.Piece(sized, length.Style{})
	picturetest.RequireClear(t, d)
	return sized, d
}

// stampOf is the stamp that a part is drawn with.
func stampOf(t *testing.T, d *paint.Drawing, p paint.Part) *paint.Stamp {
	t.Helper()
	require.Equal(t, p.From+1, p.To)
	require.NotNil(t, d.Shapes[p.From].Stamp)
	return d.Shapes[p.From].Stamp
}

// mirrored tells whether one stamp is the mirror image of the other: the same shapes
// in the same order, with left and right changed.
func mirrored(a, b *paint.Stamp) bool {
	if len(a.Shapes) != len(b.Shapes) {
		return false
	}
	near := func(p, q paint.Point) bool {
		return math.Abs(float64(p.X+q.X)) < 1e-6 && math.Abs(float64(p.Y-q.Y)) < 1e-6
	}
	for i := range a.Shapes {
		s, o := &a.Shapes[i], &b.Shapes[i]
		if len(s.Path) != len(o.Path) || s.Stroke != o.Stroke || s.Fill != o.Fill || s.Width != o.Width {
			return false
		}
		for n := range s.Path {
			if !near(s.Path[n].P, o.Path[n].P) || !near(s.Path[n].A, o.Path[n].A) || !near(s.Path[n].B, o.Path[n].B) {
				return false
			}
		}
	}
	return true
}

func TestTheHalvesOfAVAreMirrored(t *testing.T) {
	for _, bars := range []string{
		"bar left to middle\n  bar right to middle+1", "bar left to middle level\n  bar right to middle+1 level",
		"bar middle to left\n  bar middle+1 to right", "bar left to middle slope 30\n  bar right to middle+1 slope 30",
	} {
		sized, d := drawnOf(t, "piece V\ncord main 4 mm\ndowel 40 cm x 20 mm\npanel v\n  mount 6 folded\n  "+bars+"\n  tail 20 cm\n")
		knots := picturetest.Parts(d, drawn.AKnot)
		require.Len(t, knots, len(sized.Placed))
		require.GreaterOrEqual(t, len(knots), 9)
		first, last := stampOf(t, d, knots[0]), stampOf(t, d, knots[len(knots)-1])
		require.True(t, mirrored(first, last), bars)
		require.False(t, mirrored(first, first), "a hitch is not its own mirror image")
		for i, k := range knots { // each half has stamps of its own, all alike
			want := first
			if sized.Placed[i].Places[0] > sized.Placed[i].Places[1] != (sized.Placed[0].Places[0] > sized.Placed[0].Places[1]) {
				want = last
			}
			require.Same(t, want, stampOf(t, d, k), "%s: knot %d", bars, i)
		}
	}
}

func TestAPanelThatPassesUnderAnotherLiesBehindIt(t *testing.T) {
	for _, order := range []string{"wave first", "hang first"} {
		wave := "panel wave\n  mount 4 folded\n  net square until under hang by 4 cm\n"
		hang := "panel hang\n  gap 4 cm\n  mount 6 folded\n  net square rows 8\n  tail 3 cm\n"
		text := "piece U\ncord main 4 mm\ndowel 60 cm x 20 mm\n" + wave + hang
		if order == "hang first" {
			text = "piece U\ncord main 4 mm\ndowel 60 cm x 20 mm\n" + hang + wave
		}
		sized, d := drawnOf(t, text)
		lastOfWave, firstOfHang := 0, len(d.Shapes)
		for _, p := range d.Parts {
			panel := ""
			switch p.Kind {
			case drawn.AKnot:
				panel = sized.Panels[sized.Placed[p.Index].Panel].Name
			case drawn.AnEnd:
				panel = sized.Panels[sized.Ends[p.Index].Panel].Name
			}
			switch panel {
			case "wave":
				lastOfWave = max(lastOfWave, p.To)
			case "hang":
				firstOfHang = min(firstOfHang, p.From)
			}
		}
		require.LessOrEqual(t, lastOfWave, firstOfHang, order)
	}
}

// The page is the work's: a hanger has a third of the height at most.
func TestTheHangerLeavesThePageToTheWork(t *testing.T) {
	for _, rise := range []string{"rise 5 cm", "rise 60 cm", "rise 5 m", "angle 85"} {
		for _, rows := range []string{"1", "12", "80"} {
			_, d := drawnOf(t, "piece H\ncord main 4 mm\ndowel 60 cm x 20 mm\npanel h\n  mount 20 folded\n  net square rows "+rows+"\n  tail 2 cm\nhanger "+rise+"\n")
			rod, hanger := picturetest.Parts(d, drawn.ARod)[0], picturetest.Parts(d, drawn.AHanger)[0]
			low := rod.Box.Bottom
			for _, e := range picturetest.Parts(d, drawn.AnEnd) {
				low = max(low, e.Box.Bottom)
			}
			work, up := low-rod.At.Y, rod.At.Y-hanger.At.Y
			require.Positive(t, up)
			require.GreaterOrEqual(t, float64(work), 2*float64(up)-0.01, "%s, %s rows", rise, rows)
		}
	}
}

// path is the middle of the first cord of a part.
func path(d *paint.Drawing, p paint.Part) paint.Path { return d.Shapes[p.From].Path }

func TestTheLabelOfASwagStandsOnIt(t *testing.T) {
	const swags = "piece S\ncord main 4 mm\ncord rust 3 mm\ndowel 60 cm x 20 mm\npanel s\n  mount 12 folded main\n  net square rows 6\n  tail 20 cm\nswag 3 rust over 50 cm drop 12 cm\nswag 2 main over 56 cm drop 40 cm\n"
	sized, d := drawnOf(t, swags)
	found := picturetest.Parts(d, drawn.ASwag)
	require.Len(t, found, 2)
	for _, s := range found {
		label := ""
		for _, c := range sized.List.Cuts {
			if c.About == sized.Extras[s.Index].About {
				label = c.Label
			}
		}
		stands := false
		for _, l := range picturetest.Parts(d, paint.ALabel) {
			for _, step := range path(d, s) {
				stands = stands || l.Name == label && math.Hypot(float64(step.P.X-l.At.X), float64(step.P.Y-l.At.Y)) < 0.01
			}
		}
		require.True(t, stands, label)
	}
}

// at is where a path that runs down reaches a depth.
func at(p paint.Path, y paint.Points) paint.Points {
	for i := 1; i < len(p); i++ {
		a, b := p[i-1].P, p[i].P
		if a.Y <= y && y <= b.Y && a.Y < b.Y {
			return a.X + (b.X-a.X)*(y-a.Y)/(b.Y-a.Y)
		}
	}
	return p[len(p)-1].P.X
}

func TestAddedCordsAreTiedRoundTheEndThatHoldsThem(t *testing.T) {
	for _, where := range []string{"add 3 folded left", "add 2 folded right", "add 2 folded at 5", "add 2 single right"} {
		sized, d := drawnOf(t, "piece A\ncord main 4 mm\ndowel 60 cm x 20 mm\npanel a\n  mount 6 folded\n  net square rows 4\n  "+where+"\n  space 6 cm\n  bar left to right level\n  tail 20 cm\n")
		ends := map[int]paint.Part{}
		for _, e := range picturetest.Parts(d, drawn.AnEnd) {
			ends[e.Index] = e
		}
		heights := map[paint.Points]bool{}
		added := 0
		for _, m := range picturetest.Parts(d, drawn.AMount) {
			s := sized.Strands[m.Index]
			if !s.Added {
				continue
			}
			added++
			require.False(t, heights[m.At.Y], "%s: one knot lies over another", where)
			heights[m.At.Y] = true
			host := ends[s.Host]
			require.InDelta(t, float64(at(path(d, host), m.At.Y)), float64(m.At.X), 0.01, where)
			for _, e := range s.Ends { // its own ends begin in the knot
				require.True(t, ends[e].Box.Overlaps(m.Box), where)
				require.True(t, m.Box.Left < ends[e].At.X && ends[e].At.X < m.Box.Right, where)
				require.True(t, m.Box.Top < ends[e].At.Y && ends[e].At.Y < m.Box.Bottom, where)
			}
			require.Greater(t, m.From, host.From, "%s: the knot lies over its host", where)
		}
		require.Positive(t, added)
	}
}

func TestFringeIsTiedOn(t *testing.T) {
	sized, d := drawnOf(t, picturetest.TwoArms)
	for _, h := range picturetest.Parts(d, drawn.AHead) {
		require.Equal(t, sized.Extras[h.Index].Count, h.To-h.From)
	}
	require.Len(t, picturetest.Parts(d, drawn.AHead), len(picturetest.Parts(d, drawn.AFringe)))
}

// Whoever cuts by the picture finds every line of the cut list in it.
func TestEveryCutIsLabelled(t *testing.T) {
	files, err := filepath.Glob(filepath.Join("..", "..", "testdata", "sheets", "*.sheet"))
	require.NoError(t, err)
	plans := picturetest.Demos(t)
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		plans[filepath.Base(file)] = picturetest.Size(t, string(text))
	}
	for name, sized := range plans {
		d := drawn.Piece(sized, length.Style{})
		labels := map[string]bool{}
		for _, l := range picturetest.Parts(d, paint.ALabel) {
			labels[l.Name] = true
			require.True(t, l.Box.Within(d.Page()), "%s: %s", name, l.Name)
		}
		for _, c := range sized.List.Cuts {
			require.True(t, labels[c.Label], "%s: cut %s, for %s, is labelled nowhere", name, c.Label, c.For)
		}
	}
}

// A net whose knots are too small to be seen shows a part of it enlarged, in which they
// can; others do not.
func TestDenseNetsShowTheirKnotsEnlarged(t *testing.T) {
	for cords, dense := range map[int]bool{20: false, 40: false, 120: true, 200: true} {
		sized := picturetest.NetOf(t, cords)
		d := drawn.Piece(sized, length.Style{})
		picturetest.RequireClear(t, d)
		lenses := picturetest.Parts(d, drawn.ALens)
		if !dense {
			require.Empty(t, lenses, cords)
			continue
		}
		require.Len(t, lenses, 1, cords)
		large := 0
		for _, s := range d.Shapes[lenses[0].From:lenses[0].To] {
			if s.Stamp != nil {
				box := s.Box()
				require.Greater(t, float64(box.Bottom-box.Top), 10.0, "a knot is ten pixels high on a phone")
				if box.Overlaps(lenses[0].Box) {
					large++
				}
			}
		}
		require.Greater(t, large, 10)
		require.Less(t, lenses[0].To, picturetest.Parts(d, drawn.AKnot)[0].From, "it covers nothing")
		last := picturetest.Parts(d, drawn.AKnot)
		require.Len(t, last, len(sized.Placed))
	}
}

// Below a ring that is wider, or narrower, the chart stands in the middle.
func TestAWiderRingStandsInTheMiddleOfItsChart(t *testing.T) {
	for _, text := range []string{picturetest.Cradle, picturetest.Shade} {
		_, d := drawnOf(t, text)
		var rods []paint.Part
		for _, r := range picturetest.Parts(d, drawn.ARod) {
			if r.Unrolled {
				rods = append(rods, r)
			}
		}
		require.Len(t, rods, 2)
		a, b := rods[0].Box, rods[1].Box
		require.InDelta(t, float64(a.Left+a.Right)/2, float64(b.Left+b.Right)/2, 0.05*float64(b.Right-b.Left))
		for _, e := range picturetest.Parts(d, drawn.AnEnd) {
			if !e.Unrolled {
				continue
			}
			p := path(d, e)
			for i := 1; i < len(p); i++ {
				if p[i].Op == paint.Line && p[i].P.Y > b.Top-2 && p[i].P.Y < b.Bottom {
					require.LessOrEqual(t, math.Abs(float64(p[i].P.X-p[i-1].P.X)), 0.6*float64(b.Right-b.Left-a.Right+a.Left)+12)
				}
			}
		}
	}
}

// A hanger that is a little too high is drawn flatter, to its top; only a much higher
// one is cut short.
func TestAHangerIsNotCutShortNearItsTop(t *testing.T) {
	cut := func(rise string) bool {
		_, d := drawnOf(t, "piece H\ncord main 4 mm\ndowel 60 cm x 20 mm\npanel h\n  mount 20 folded\n  net square rows 12\n  tail 20 cm\nhanger rise "+rise+"\n")
		hanger := picturetest.Parts(d, drawn.AHanger)[0]
		top := 0
		for _, s := range d.Shapes[hanger.From:hanger.To] {
			if len(s.Path) == 2 && s.Path[1].P.X == hanger.At.X {
				top++
			}
		}
		return top == 0
	}
	require.False(t, cut("10 cm"))
	require.False(t, cut("17 cm"), "a little more than a third of the height")
	require.True(t, cut("30 cm"))
}

// A cut is folded in the picture where the cut list folds it: 1.45 m are 57.09 in, which
// are cut at the next half inch, in each system by itself.
func TestAFoldIsWhereItIsCut(t *testing.T) {
	sized := picturetest.Size(t, "cord main 4 mm\npanel p\n  mount 2 folded\n  row square\n  tail 20 cm\n")
	c := sized.List.Cuts[0]
	c.Fold = 145 * length.Centimetre
	require.Contains(t, drawn.CutWords(sized, c, length.Style{}), "fold 1.45 m from one end")
	require.Contains(t, drawn.CutWords(sized, c, length.Style{System: length.Both}), "fold 1.45 m (4 ft 9 1/2 in) from one end")
	c.Fold = 57 * length.Inch
	require.Contains(t, drawn.CutWords(sized, c, length.Style{System: length.Imperial}), "fold 4 ft 9 in from one end")
}
