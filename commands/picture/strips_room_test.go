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
