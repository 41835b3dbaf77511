package say_test

import (
	"context"
	"strings"
	"testing"

	"larkfold/commands/picture"
	"larkfold/commands/say"
	"larkfold/sizing"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet/sheettest"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const tideLine = `piece Tide Line
cord main 4 mm single-strand, spool 100 m 900 g 24.00
cord deep 4 mm plied
dowel 60 cm x 20 mm birch
margin 8%

panel wave
  mount 12 folded main
  row square
  net square rows 6
  taper square
  bar left to middle
  bar right to middle
  space 3 cm
  sinnet half times 12 on 1-4, 21-24
  gather left to middle
  gather right to middle
  wrap turns 6 with deep
  tail 18 cm
fringe 12 cm by 2 on left of wave
hanger rise 15 cm
`

func size(t *testing.T, text string) sizing.Plan {
	t.Helper()
	p, err := sizing.Size(context.Background(), text, sizing.Bench{})
	require.NoError(t, err)
	return p
}

func TestInstructions(t *testing.T) {
	got := say.Instructions(size(t, tideLine).Sheet, length.Style{})
	require.Equal(t, []picture.Instructions{
		{Name: "wave", Steps: []string{
			"Hang 12 cords of main, folded, by lark's heads.",
			"One row of square knots.",
			"6 rows of square knots in turn, each row shifted by half a knot.",
			"As many rows as there are of square knots, narrowing by half a knot at both edges.",
			"A bar: the end at the left crosses to the middle, and every end on the way ties a double half hitch over it.",
			"A bar: the end at the right crosses to the middle, and every end on the way ties a double half hitch over it.",
			"Leave 3 cm free of knots.",
			"One below the other, 12 half knots on ends 1 to 4 and ends 21 to 24.",
			"Gather: the end at the left crosses to the middle, every end on the way ties a double half hitch over it and then lies in with it.",
			"Gather: the end at the right crosses to the middle, every end on the way ties a double half hitch over it and then lies in with it.",
			"A gathering wrap, 6 turns with deep, round all ends.",
			"Trim so that 18 cm hang free.",
		}},
		{Name: "to finish", Steps: []string{
			"Hang fringe on the left edge of wave: 2 pieces to a loop, each folded and drawn through; trim to 12 cm.",
			"Tie the hanger to both ends of the rod so that it rises 15 cm.",
		}},
	}, got)
}

func TestNetsSayTheirDepthLast(t *testing.T) {
	got := say.Instructions(size(t, "piece H\ncord main 4 mm\npanel p\n  mount 8 folded\n  net square for 30 cm\n").Sheet, length.Style{})
	require.Equal(t, "Square knots in turn, each row shifted by half a knot, as many rows as reach 30 cm.", got[0].Steps[1])
}

func TestEveryStepHasWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := sheettest.Written(t)
		steps := 0
		for _, in := range say.Instructions(s, length.Style{}) {
			for _, sentence := range in.Steps {
				require.NotContains(t, sentence, "no words yet")
				require.NotContains(t, sentence, "  ")
				require.True(t, strings.HasSuffix(sentence, "."), sentence)
				steps++
			}
		}
		want := len(s.Fringes) + len(s.Swags)
		if s.Hanger != nil {
			want++
		}
		for _, p := range s.Panels {
			want += len(p.Steps)
			if len(p.From) > 0 {
				want++
			}
		}
		require.Equal(t, want, steps)
	})
}
