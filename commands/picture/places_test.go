package picture_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture"
	"larkfold/commands/picture/drawn"
	"larkfold/commands/picture/paint"
	"larkfold/commands/picture/picturetest"
	"larkfold/commands/say"
	"larkfold/sizing/dowel"
	"larkfold/sizing/length"
	"larkfold/sizing/stock"
)

// filledBoxes are the boxes of a part that are filled, in order, without the disc of a label.
func filledBoxes(d *paint.Drawing, p paint.Part) []paint.Box {
	var all []paint.Box
	for _, s := range d.Shapes[p.From:p.To] {
		if len(s.Path) == 5 && !s.Fill.Clear() {
			all = append(all, s.Box())
		}
	}
	return all
}

// Bars of where the cord goes are to one scale: each as long as its cut or its end, its
// portions side by side, the longest marked as that and no other.
func TestBarsAreToOneScale(t *testing.T) {
	for _, text := range []string{picturetest.KeyRing, "piece Sea\ncord main 4 mm\ndowel 40 cm x 20 mm\npanel p\n  mount 4 folded\n  row square\n  wrap turns 6\n  tail 20 cm\n"} {
		sized := picturetest.Size(t, text)
		d := picture.Use(sized, length.Style{})
		bars := picturetest.Parts(d, picture.ABar)
		require.Len(t, bars, len(sized.List.Cuts)+len(sized.Ends))
		scale, longest := 0.0, 0
		for i, b := range bars {
			var portions []length.Length
			total := length.Length(0)
			if i < len(sized.List.Cuts) {
				c := sized.List.Cuts[i]
				require.Equal(t, i, b.Index)
				need := c.Why.Need
				whole := c.Length
				if c.Folded && c.Why.End >= 0 {
					whole /= 2
				}
				portions, total = []length.Length{need.Mount, need.Run, need.TakeUp, need.Tail, whole - need.Total()}, whole
			} else {
				e := sized.Ends[i-len(sized.List.Cuts)].Parts
				portions, total = []length.Length{e.Mount, e.Run, e.TakeUp, e.Tail}, e.Total()
			}
			boxes := filledBoxes(d, b)
			first, last := boxes[0], boxes[len(boxes)-1]
			if scale == 0 {
				scale = float64(last.Right-first.Left) / float64(total)
			}
			require.InDelta(t, float64(total)*scale, float64(last.Right-first.Left), 0.01, "bar %d", i)
			require.Equal(t, bars[0].At.X, first.Left, "all begin at one line")
			n := 0
			for _, l := range portions {
				if l <= 0 {
					continue
				}
				require.InDelta(t, float64(l)*scale, float64(boxes[n].Right-boxes[n].Left), 0.01)
				if n > 0 {
					require.InDelta(t, float64(boxes[n-1].Right), float64(boxes[n].Left), 0.01, "side by side")
				}
				n++
			}
			require.Len(t, boxes, n)
			if i > 0 {
				require.Greater(t, b.At.Y, bars[i-1].At.Y+13)
			}
			for _, s := range d.Shapes[b.From:b.To] {
				if strings.HasSuffix(s.Words.Text, "longest") {
					longest++
					require.True(t, strings.HasPrefix(s.Words.Text, length.Style{}.Format(total)))
				}
				require.GreaterOrEqual(t, s.Box().Left, paint.Points(0))
				require.LessOrEqual(t, s.Box().Right, d.Width)
			}
		}
		require.Equal(t, 2, longest, "of the cuts one, and of the ends one")
	}
	few := picturetest.NetOf(t, 8)
	many := picturetest.NetOf(t, 18) // 36 ends, more than 32 are too many
	require.NotContains(t, picturetest.WordsOf(picture.Use(few, length.Style{})), "too many")
	require.Contains(t, picturetest.WordsOf(picture.Use(many, length.Style{})), "36 ends are too many to show one by one.")
	require.NotContains(t, picturetest.WordsOf(picture.Use(picturetest.NetOf(t, 16), length.Style{})), "too many", "32 are not")
}

// The marks of a sheet are those of its mounts, the work in the middle of the rod; on a
// rod of no length it begins at its left end.
func TestMarksAreThoseOfTheMounts(t *testing.T) {
	for rod, long := range map[string]length.Length{"dowel 60 cm x 20 mm": 600 * length.Millimetre, "dowel 20 cm x 20 mm": 200 * length.Millimetre} {
		sized := picturetest.Size(t, "piece M\ncord main 4 mm\n"+rod+"\npanel a\n  mount 4 folded\n  row square\n  add 2 folded left\npanel b\n  gap 5 cm\n  mount 8 single\n  row square\n")
		offset := (long - sized.Mounted) / 2
		var want []float64
		for _, p := range sized.Panels {
			left, right := math.Inf(1), math.Inf(-1)
			for _, n := range p.Strands {
				if s := sized.Strands[n]; !s.Added {
					left, right = min(left, float64(s.X-s.Width/2)), max(right, float64(s.X+s.Width/2))
				}
			}
			want = append(want, (float64(offset)+left)/float64(length.Millimetre), (float64(offset)+right)/float64(length.Millimetre))
		}
		got := marksOnPaper(picture.Sheets(sized, picture.Options{}))
		require.Len(t, got, 4)
		for i := range want {
			require.InDelta(t, want[i], got[i]/millimetre, 0.2, "%s, mark %d", rod, i)
		}
	}
}

// A rod of up to 4 m is marked in life size, a longer one in words; marks at the ends of
// a strip stand on both.
func TestMarksOfLongRods(t *testing.T) {
	mm := length.Millimetre
	for end, strips := range map[length.Length]bool{3999 * mm: true, 4000 * mm: true, 4001 * mm: false} {
		pages := picture.Sheets(picturetest.Size(t, picturetest.KeyRing), picture.Options{Marks: []dowel.Mark{{Group: "wave", Cords: 2, PerCord: 5 * mm, Start: end - 10*mm, End: end}}})
		text := picturetest.WordsOf(pages...)
		require.Equal(t, strips, strings.Contains(text, "must measure 100 mm"), "%v", end)
		require.Equal(t, !strips, strings.Contains(text, "wave: from 3.99 m to 4.00 m from the left end of the rod."), "%v: %v", end, text)
	}
	// On A4 a strip is 297 mm less twice 14.8 and 59.3 for head and foot, in whole
	// centimetres: 20 cm; its numbers count centimetres, its ticks stand a centimetre apart.
	pages := picture.Sheets(picturetest.Size(t, picturetest.KeyRing), picture.Options{Marks: []dowel.Mark{{Group: "wave", Cords: 40, PerCord: 15 * mm, Start: 0, End: 900 * mm}}})
	seen := 0
	for _, page := range pages {
		for _, s := range picturetest.Parts(page, picture.AStrip) {
			whole := float64(s.Box.Bottom-s.At.Y-0.3) / millimetre
			require.InDelta(t, 200, whole, 0.1)
			var ticks []float64
			for _, shape := range page.Shapes[s.From:s.To] {
				if p := shape.Path; len(p) == 2 && p[0].P.Y == p[1].P.Y && shape.Width == 0.4 {
					ticks = append(ticks, float64(p[0].P.Y-s.At.Y)/millimetre)
					require.InDelta(t, float64(s.At.X)+32, float64(p[1].P.X), 0.01, "at its right edge")
				}
				if n := shape.Words; n.Text != "" && !strings.HasPrefix(n.Text, "strip") {
					var cm float64
					_, err := fmt.Sscan(n.Text, &cm)
					require.NoError(t, err)
					require.InDelta(t, cm*10-float64(s.Index)*200, float64(n.At.Y-2.8-s.At.Y)/millimetre, 0.05, "the number of its place")
				}
			}
			require.Len(t, ticks, 21)
			for i, at := range ticks {
				require.InDelta(t, 10*float64(i), at, 0.05)
			}
			seen++
		}
		require.LessOrEqual(t, len(picturetest.Parts(page, picture.AStrip)), 4, "four to a page")
	}
	require.Equal(t, 5, seen, "90 cm in strips of 20 cm")
}

// What is left of a strip lies at its end, as long as it is, and says whether it is kept.
func TestWhatIsLeftOfAStrip(t *testing.T) {
	plan := picturetest.Cutting(t)
	d := picture.Strips(plan, "Plan", length.Style{})
	rests := map[int]paint.Part{}
	for _, r := range picturetest.Parts(d, picture.ARest) {
		rests[r.Index] = r
	}
	for _, s := range picturetest.Parts(d, picture.AStrip) {
		p := plan.Patterns[s.Index]
		r, ok := rests[s.Index]
		require.Equal(t, p.Remainder > 0, ok)
		if !ok {
			continue
		}
		scale := float64(s.Box.Right-s.Box.Left) / float64(p.Length)
		ground := d.Shapes[r.From].Box()
		require.InDelta(t, float64(s.Box.Right), float64(ground.Right), 0.01)
		require.InDelta(t, float64(p.Remainder)*scale, float64(ground.Right-ground.Left), float64(length.Centimetre)*scale+0.01)
		words := ""
		for _, shape := range d.Shapes[r.From:r.To] {
			words += shape.Words.Text
		}
		if words != "" {
			require.Equal(t, map[bool]string{true: "keep " + length.Style{}.Format(p.Remainder), false: "waste"}[p.Keep], words)
		}
	}
	for gap, want := range map[bool]string{true: "proved best", false: "within "} {
		require.Contains(t, picturetest.WordsOf(picture.Strips(stock.Plan{Proved: gap, Cuts: 1}, "Plan", length.Style{})), want)
	}
	// at most 30 strips are drawn, the others counted
	var many stock.Plan
	for range 31 {
		many.Patterns = append(many.Patterns, plan.Patterns[0])
	}
	require.Contains(t, picturetest.WordsOf(picture.Strips(many, "Plan", length.Style{})), "and 1 strip more")
	many.Patterns = many.Patterns[:30]
	require.NotContains(t, picturetest.WordsOf(picture.Strips(many, "Plan", length.Style{})), "more")
}

// Everything of a print stands ten millimetres or more from the edges of its paper, more
// than printers need.
func TestPrintsKeepTheirMargins(t *testing.T) {
	sized := picturetest.Size(t, picturetest.TideLine)
	o := picture.Options{Steps: say.Instructions(sized.Result, length.Style{}), Cutting: []picture.Cutting{{Title: "main", Plan: picturetest.Cutting(t)}}, Assumptions: manySentences(80)}
	for _, paper := range []picture.Paper{picture.A4, picture.Letter} {
		o.Paper = paper
		pages := picture.Sheets(sized, o)
		for n, page := range pages {
			free := paint.Between(10*millimetre, 10*millimetre, page.Width-10*millimetre, page.Height-10*millimetre)
			for _, p := range page.Parts {
				switch p.Kind {
				case paint.ALine, picture.APiece, drawn.AStep, picture.AStrip:
					require.True(t, p.Box.Within(free), "page %d: %s %s %v in %v", n+1, p.Kind, p.Name, p.Box, free)
				}
			}
		}
		require.Contains(t, picturetest.WordsOf(pages[len(pages)-1]), fmt.Sprintf("page %d of %d", len(pages), len(pages)))
	}
}

func manySentences(n int) []string {
	list := make([]string, n)
	for i := range list {
		list[i] = fmt.Sprintf("Sentence %d says what this reckons with, and it is long enough to take two lines of the page that it is printed on, whichever paper is chosen.", i+1)
	}
	return list
}
