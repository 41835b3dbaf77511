package picture

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/picture/paint"
	"larkfold/commands/picture/picturetest"
	"larkfold/sizing/length"
	"larkfold/sizing/stock"
)

// A page keeps as much room for a strip as it takes, however many lines its words are,
// and no more than half a line of it stays free.
func TestAStripHasTheRoomThatItTakes(t *testing.T) {
	plan := picturetest.Cutting(t)
	long := plan.Patterns[1]
	long.Label = strings.Repeat("from the owl that hangs in the hall ", 4)
	wordy := plan.Patterns[3]
	for len(wordy.Cuts) < 200 { // pieces of two kinds in turn: every run has its words
		next := wordy.Cuts[len(wordy.Cuts)%2+10]
		next.Start = wordy.Cuts[len(wordy.Cuts)-1].Start
		wordy.Cuts = append(wordy.Cuts, next)
	}
	lines := map[int]bool{}
	for _, p := range append([]stock.Pattern{long, wordy}, plan.Patterns...) {
		for _, left := range []paint.Points{36, 120} {
			d := &paint.Drawing{Width: 595}
			s := strips{d, length.Style{}, left}
			high := s.high(p)
			low := s.strip(0, p, longestStrip(plan, p.Offcut), 100)
			require.LessOrEqual(t, float64(low-100), float64(high), "%s", p.Label)
			require.Less(t, float64(high-low+100), 7.0, "%s", p.Label)
			above := 0
			for _, part := range d.Parts {
				require.LessOrEqual(t, float64(part.Box.Bottom), float64(100+high))
				if part.Kind == paint.ALine && part.Name == "" {
					above++
				}
			}
			lines[above] = true
		}
	}
	require.Greater(t, len(lines), 2, "of one line of words and of many")
}

// The line above the strips names what they are and how long the whole width is; it is
// shortened at the margin, and the strips begin 16 below it.
func TestTheScaleOfStripsIsNamed(t *testing.T) {
	for offcut, want := range map[bool]string{true: "offcuts, the whole width is 3.00 m", false: "spools, the whole width is 3.00 m"} {
		d := &paint.Drawing{Width: 595}
		require.Equal(t, paint.Points(66), strips{d, length.Style{}, 36}.scaleLine(offcut, 3*length.Metre, 50))
		require.Equal(t, want, d.Shapes[0].Words.Text)
		require.Equal(t, paint.At(36, 50), d.Parts[0].At)
	}
	d := &paint.Drawing{Width: 180}
	strips{d, length.Style{}, 36}.scaleLine(true, 3*length.Metre, 50)
	box := d.Shapes[0].Box()
	require.LessOrEqual(t, box.Right, paint.Points(144.01))
	require.Greater(t, box.Right, paint.Points(130), "as much of it as there is room for")
}

// Below a strip stand the names that its pieces have no room for and where each run ends,
// each under its place as far as there is room, 5 apart, and none further than 12 beyond
// the margin.
func TestWhatStandsBelowAStrip(t *testing.T) {
	cm := length.Centimetre
	p := stock.Pattern{Length: 500 * cm}
	for _, c := range []struct {
		start, long length.Length
		label       string
		piece       int
	}{{0, 100, "A", 0}, {100, 6, "BB", 1}, {106, 6, "BB", 1}, {300, 4, "CC", 2}, {492, 8, "DDDDDDDD", 3}} {
		p.Cuts = append(p.Cuts, stock.Cut{Piece: c.piece, Label: c.label, Start: c.start * cm, Length: c.long * cm})
	}
	d := &paint.Drawing{Width: 572}
	strips{d, length.Style{}, 36}.below(p, func(l length.Length) paint.Points { return 36 + paint.Points(l/cm) }, 200)
	type label struct {
		text string
		x    float64 // of its place
		line float64
	}
	// names at the middles of their runs, sums at the ends of theirs
	want := []label{{"1.00 m", 136, 1}, {"2 BB", 142, 0}, {"1.12 m", 148, 1}, {"CC", 338, 0}, {"3.04 m", 340, 1}, {"DDDDDDDD", 532, 0}, {"5.00 m", 536, 1}}
	free := [2]float64{}
	got := map[string]bool{}
	for _, part := range d.Parts {
		got[part.Name] = true
		for _, w := range want {
			if w.text != part.Name {
				continue
			}
			rule, words := d.Shapes[part.From], d.Shapes[part.From+1]
			require.Equal(t, paint.At(paint.Points(w.x), 200), rule.Path[0].P, w.text)
			require.InDelta(t, 204+13*w.line, float64(rule.Path[1].P.Y), 1e-6)
			require.InDelta(t, 213+13*w.line, float64(words.Words.At.Y), 1e-6)
			face := paint.Plain
			if w.line == 0 {
				face = paint.Bold
			}
			wide := float64(face.Measure(w.text, 10))
			from := float64(words.Words.At.X)
			require.InDelta(t, from+wide/2, float64(rule.Path[1].P.X), 1e-6, "the line leads to its middle")
			middle := min(max(w.x-wide/2, free[int(w.line)]), 572-36+12-wide)
			require.InDelta(t, middle, from, 1e-6, w.text)
			free[int(w.line)] = from + wide + 5
		}
	}
	for _, w := range want {
		require.True(t, got[w.text], w.text)
	}
	require.False(t, got["A"], "it has room within")
}
