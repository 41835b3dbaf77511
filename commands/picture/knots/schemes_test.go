package knots

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture/paint"
	"larkfold/commands/picture/picturetest"
	"larkfold/sizing/knot"
)

// straights are the straight pieces of cord of a drawing, each as its two ends and the
// ink of its edge.
func straights(shapes []paint.Shape) (from, to []paint.Point, edges []paint.Ink, widths []paint.Points) {
	for i, s := range shapes {
		if len(s.Path) == 2 && !s.Stroke.Clear() && i+1 < len(shapes) && len(shapes[i+1].Path) == 2 && shapes[i+1].Width < s.Width && shapes[i+1].Path[0] == s.Path[0] && s.Dash == nil && (i == 0 || len(shapes[i-1].Path) == 0 || shapes[i-1].Width <= s.Width) {
			from, to, edges, widths = append(from, s.Path[0].P), append(to, s.Path[1].P), append(edges, s.Stroke), append(widths, s.Width)
		}
	}
	return from, to, edges, widths
}

// The net is square knots in rows of two and three, 7.2 cords from middle to middle and 5.2
// from row to row; every end goes on to the knot that ties it next, and hangs straight where
// there is none. In a box of 196 by 186 a cord is 10 wide.
func TestTheNetOfTheScheme(t *testing.T) {
	net, _ := knot.Standard().Knot("alternating net")
	for rows, want := range map[int][][2]float64{
		1: nil,
		2: {{49, 33}, {59, 43}, {69, 85}, {79, 95}, {121, 105}, {131, 115}, {141, 157}, {151, 167}},
		3: {{49, 33}, {59, 43}, {69, 85}, {79, 95}, {121, 105}, {131, 115}, {141, 157}, {151, 167},
			{13, 13}, {23, 23}, {33, 49}, {43, 59}, {85, 69}, {95, 79}, {105, 121}, {115, 131}, {157, 141}, {167, 151}, {177, 177}, {187, 187}},
	} {
		d := &lesson{&paint.Drawing{}}
		d.tightened(net, 4, rows, paint.Between(2, 7, 198, 193))
		from, to, edges, widths := straights(d.Shapes)
		require.Len(t, from, len(want), "%d rows", rows)
		for i, w := range want {
			row := float64(min(i/8, 1))
			requireAt(t, w[0], 64+52*row, from[i], "%d rows, end %d", rows, i)
			requireAt(t, w[1], 76+52*row, to[i], "%d rows, end %d", rows, i)
			require.Equal(t, dyeOf([]int{1, 0, 0, 2}[i%4]).Edge, edges[i])
			require.InDelta(t, 10, float64(widths[i]), 1e-3)
		}
		var knots []paint.Shape
		for _, s := range d.Shapes {
			if len(s.Path) > 2 {
				knots = append(knots, s)
			}
		}
		b := boxesOf(knots)
		require.InDelta(t, 100, float64(b.Left+b.Right)/2, 2, "in the middle")
		require.InDelta(t, []float64{72 + 60, 144 + 60, 144 + 60}[rows-1], float64(b.Right-b.Left), 8)
		require.InDelta(t, 24, float64(b.Top), 8)
		require.InDelta(t, 64+52*float64(rows-1), float64(b.Bottom), 10)
	}
	for _, b := range []paint.Box{
		paint.Between(40, 30, 146, 930), // narrow: (106 - 16) / 18
		paint.Between(40, 30, 940, 131), // low: (101 - 16) / 17
	} {
		d := &lesson{&paint.Drawing{}}
		d.tightened(net, 4, 2, b)
		_, _, _, widths := straights(d.Shapes)
		require.InDelta(t, 5, float64(widths[0]), 1e-3)
	}
}

// A wrap is wound round plain ends that stand a cord apart and come out two cords above and
// below it, all in the middle of its box with two and a half cords and eight points to spare.
func TestTheWrapOfTheScheme(t *testing.T) {
	wrap, _ := knot.Standard().Knot("gathering wrap")
	for high, cord := range map[paint.Points]float64{146: 10, 81: 5, 900: 13} { // 16 and 8 + 5 cords
		d := &lesson{&paint.Drawing{}}
		d.tightened(wrap, 4, 8, paint.Between(50, 20, 150, 20+high))
		from, to, edges, widths := straights(d.Shapes)
		require.Len(t, from, 4)
		middle := 20 + float64(high)/2
		for i := range from {
			requireAt(t, 100+cord*(float64(i)-1.5), middle-6*cord, from[i])
			requireAt(t, 100+cord*(float64(i)-1.5), middle+6*cord, to[i])
			require.Equal(t, dyeOf(0).Edge, edges[i])
			require.InDelta(t, cord, float64(widths[i]), 1e-3)
		}
		var turns []paint.Shape
		for _, s := range d.Shapes {
			if s.Stroke == dyeOf(1).Edge {
				turns = append(turns, s)
			}
		}
		require.Len(t, turns, 8)
		b := boxesOf(turns)
		require.InDelta(t, 100, float64(b.Left+b.Right)/2, 1e-3)
		require.InDelta(t, 5*cord+0.4*cord, float64(b.Right-b.Left), 1e-3, "four ends and half a cord at either side, round")
		require.InDelta(t, middle, float64(b.Top+b.Bottom)/2, 0.1*cord)
	}
}

// heron is a knot of a community, 3 cords high, that leaves no cord but what it says.
func heron(t *testing.T, width string, steps ...string) *knot.Knot {
	t.Helper()
	book, err := knot.Standard().With(knot.Row{
		Name: "heron knot", Short: "HR", Shape: knot.Group, About: "Our own.", Ends: 3, Fewest: 3, Most: 3,
		Roles:  []knot.Role{{Name: "worker", Works: true, Takes: "9*d"}, {Name: "filler", Takes: "3*d"}},
		Places: []string{"worker", "filler", "worker"}, Height: "3*d", Width: width,
		HowTo: steps, Source: "measured by us", Trust: knot.Low,
	})
	require.NoError(t, err)
	k, _ := book.Knot("heron knot")
	return k
}

// A knot of which only the row is known fills its box, with 8 points beside it and 17 above
// and below, in cord of at most 13; its ends come out 0.9 cords above the first and below
// the last.
func TestSchemesFillTheirBox(t *testing.T) {
	for _, c := range []struct {
		width      string
		wide, high paint.Points
		times      int
		cord       float64
	}{
		{"5*d", 216, 94, 2, 10}, // (94 - 34) / 6
		{"5*d", 66, 200, 1, 10}, // (66 - 16) / 5
		{"2*d", 56, 200, 1, 10}, // (56 - 16) / 4: three ends and half a cord at either side
		{"5*d", 500, 500, 1, 13},
	} {
		d := &lesson{&paint.Drawing{}}
		d.tightened(heron(t, c.width, "Tie it."), 3, c.times, paint.Between(10, 20, 10+c.wide, 20+c.high))
		from, to, edges, widths := straights(d.Shapes)
		x, top, high := 10+float64(c.wide)/2, 20+float64(c.high)/2-1.5*c.cord*float64(c.times), 3*c.cord
		foot := top + high*float64(c.times)
		require.Len(t, from, 6+3*c.times, "%+v", c)
		for i := range 3 {
			side := x + c.cord*float64(i-1)
			requireAt(t, side, top-0.9*c.cord, from[2*i], "%+v", c)
			requireAt(t, side, top+0.04*high, to[2*i])
			requireAt(t, side, foot-0.04*high, from[2*i+1])
			requireAt(t, side, foot+0.9*c.cord, to[2*i+1])
			require.InDelta(t, c.cord, float64(widths[i]), 1e-3)
			require.Equal(t, dyeOf([]int{1, 0, 2}[i]).Edge, edges[2*i])
		}
		n := 0
		for _, s := range d.Shapes {
			if s.Fill == dyeOf(1).Body {
				b := boxesOf([]paint.Shape{{Path: s.Path}})
				require.InDelta(t, x, float64(b.Left+b.Right)/2, 1e-3)
				require.InDelta(t, top+high*(float64(n)+0.1), float64(b.Top), 1e-3)
				require.InDelta(t, top+high*(float64(n)+0.9), float64(b.Bottom), 1e-3)
				require.NotEqual(t, s.Path[0].P.X, s.Path[1].P.X, "a box, its corners in turn")
				require.Equal(t, s.Path[1].P.X, s.Path[2].P.X)
				require.Equal(t, s.Path[0].P.X, s.Path[3].P.X)
				n++
			}
		}
		require.Equal(t, c.times, n)
	}
}

// The page of a scheme: a card of half the page, in its middle, the looks of the ends below
// it, then what each end takes and how it is tied, line below line.
func TestThePageOfAScheme(t *testing.T) {
	d := HowTo(heron(t, "5*d", "Tie it.", "Draw it up."))
	card := d.Shapes[picturetest.Parts(d, AStage)[0].From].Box()
	require.Equal(t, paint.Between(110, card.Top, 290, card.Top+120), card)
	at := map[string]paint.Point{}
	for _, s := range d.Shapes {
		if s.Words.Text != "" {
			at[s.Words.Text] = s.Words.At
		}
	}
	legend := float64(card.Bottom) + 16
	worker := "worker 1"
	requireAt(t, 52, legend+3.6, at[worker])
	requireAt(t, 52+float64(paint.Plain.Measure(worker, 10.5))+52, legend+3.6, at["filler 2"])
	takes := at["worker: 9*d"]
	about := at["This knot has no diagram in the book; it is known by what its ends take:"]
	requireAt(t, 20, legend+24+4, about)
	requireAt(t, 20, legend+28+14, takes)
	requireAt(t, 20, legend+28+28, at["filler: 3*d"])
	requireAt(t, 20, legend+28+42+6, at["1."])
	requireAt(t, 38, legend+28+42+6, at["Tie it."])
	requireAt(t, 20, legend+28+42+6+17, at["2."])
	requireAt(t, 38, legend+28+42+6+17, at["Draw it up."])
}

// The legend of a scheme names every look once, with the ends that have it: by number up to
// three of them, more from the first to the last.
func TestLegendOfTheEnds(t *testing.T) {
	square, _ := knot.Standard().Knot("square knot")
	for ends, want := range map[int][]string{
		4: {"worker 1", "filler 2, 3", "worker 4"},
		5: {"worker 1", "filler 2, 3, 4", "worker 5"},
		6: {"worker 1", "filler 2 to 5", "worker 6"},
	} {
		d := &lesson{&paint.Drawing{}}
		require.Equal(t, paint.Points(124), d.endsLegend(square, ends, 100))
		var words []string
		var edges []paint.Ink
		x := paint.Points(20)
		for _, s := range d.Shapes {
			switch {
			case s.Words.Text != "":
				words = append(words, s.Words.Text)
				requireAt(t, float64(x)+32, 103.6, s.Words.At)
				x += 32 + paint.Plain.Measure(s.Words.Text, 10.5) + 20
			case s.Width == 6:
				edges = append(edges, s.Stroke)
				requireAt(t, float64(x), 100, s.Path[0].P, "its sample")
				requireAt(t, float64(x)+26, 100, s.Path[1].P)
			}
		}
		require.Equal(t, want, words)
		require.Equal(t, []paint.Ink{dyeOf(1).Edge, dyeOf(0).Edge, dyeOf(2).Edge}, edges)
	}
	wrap, _ := knot.Standard().Knot("gathering wrap")
	require.Equal(t, paint.Points(104), (&lesson{&paint.Drawing{}}).endsLegend(wrap, 4, 100), "no legend, no room for it")
	require.Equal(t, []int{1, 0, 0}, []int{manner(wrap, 1, 3), manner(wrap, 2, 3), manner(wrap, 3, 3)}, "what is wound, and what it is wound round")

	// of the diagram as well: sample, words, and so on along the line
	page := HowTo(square)
	var words []paint.Shape
	for _, s := range page.Shapes {
		if slices.Contains([]string{"worker 1", "filler 2 to 3", "worker 4"}, s.Words.Text) {
			words = append(words, s)
		}
	}
	require.Len(t, words, 3)
	for i, x := 0, paint.Points(52); i < 3; i++ {
		requireAt(t, float64(x), float64(words[0].Words.At.Y), words[i].Words.At)
		x += paint.Plain.Measure(words[i].Words.Text, 10.5) + 14 + 32
	}
}
