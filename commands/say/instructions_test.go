package say_test

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"larkfold/commands/picture/drawn"
	"larkfold/commands/picture/picturetest"
	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/length"
	"larkfold/sizing/sheet"
	"larkfold/sizing/sheet/sheettest"
	"larkfold/sizing/vocabulary"
)

func size(t *testing.T, text string) sizing.Sized {
	t.Helper()
	sized, err := sizing.Size(context.Background(), text, sizing.Maker{})
	require.NoError(t, err)
	return sized
}

func TestInstructions(t *testing.T) {
	got := say.Instructions(size(t, picturetest.TideLine).Result, length.Style{})
	require.Equal(t, []drawn.Instructions{
		{Name: "wave", Steps: []string{
			"Hang 12 cords of main, folded, by lark's heads.",
			"One row: 6 square knots on each 4 ends from 1 to 24.",
			"6 rows of alternating square knots: rows 1, 3 and 5: 6 square knots on each 4 ends from 1 to 24; rows 2, 4 and 6: 5 square knots on each 4 ends from 3 to 22.",
			"4 rows of square knots, narrowing by half a knot at both edges: row 1: 4 square knots on each 4 ends from 5 to 20; row 2: 3 square knots on each 4 ends from 7 to 18; row 3: 2 square knots on each 4 ends from 9 to 16; row 4: 1 square knot on ends 11 to 14.",
			"Carry end 1 to the right, falling as steeply as lets the hitches touch: ends 2 to 12 each tie a double half hitch over it in turn; it is end 12 then, and those it has passed stand one place further left.",
			"Carry end 24 to the left, falling as steeply as lets the hitches touch: ends 23 to 13 each tie a double half hitch over it in turn; it is end 13 then, and those it has passed stand one place further right.",
			"Leave 3 cm free of knots.",
			"One below the other, 12 half knots on ends 1 to 4 and ends 21 to 24, 24 in all, the outer two ends changing sides in each.",
			"Carry end 1 to the right, falling as steeply as lets the hitches touch: ends 2 to 12 each tie a double half hitch over it in turn and then lie in with it; it is end 12 then, and those it has passed stand one place further left.",
			"Carry end 24 to the left, falling as steeply as lets the hitches touch: ends 23 to 13 each tie a double half hitch over it in turn and then lie in with it; it is end 13 then, and those it has passed stand one place further right.",
			"A gathering wrap, 6 turns, round ends 1 to 24 with deep.",
			"Trim so that 18 cm hang free.",
		}},
		{Name: "to finish", Steps: []string{
			"Hang fringe on the left edge of wave: 2 pieces to a loop, each folded and drawn through; trim to 12 cm.",
			"Tie the hanger to both ends of the rod so that it rises 15 cm.",
		}},
	}, untold(got))
}

// The example of every word has its sentence.
func TestExamplesHaveTheirSentences(t *testing.T) {
	for _, w := range vocabulary.Words() {
		for _, in := range say.Instructions(size(t, w.Sheet()).Result, length.Style{}) {
			for _, step := range in.Steps {
				require.NotContains(t, step, "no words yet", "%s: its sentence belongs into stepWords", w.Name)
			}
		}
	}
}

// untold are instructions without the steps that they tell.
func untold(all []drawn.Instructions) []drawn.Instructions {
	for i := range all {
		all[i].Tells, all[i].Spans = nil, nil
	}
	return all
}

func TestNetsSayWhatTheyReach(t *testing.T) {
	got := say.Instructions(size(t, "piece H\ncord main 4 mm\npanel p\n  mount 8 folded\n  net square for 30 cm\n").Result, length.Style{})
	require.Equal(t, "31 rows of alternating square knots, which reach 30 cm: rows 1, 3 and so on to 31: 4 square knots on each 4 ends from 1 to 16; rows 2, 4 and so on to 30: 3 square knots on each 4 ends from 3 to 14.", got[0].Steps[1])
}

func TestEveryStepHasWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := sheettest.Valid(t)
		steps := 0
		for _, in := range say.Instructions(traced(t, s), length.Style{}) {
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
			for _, step := range p.Steps {
				if _, repeats := step.(sheet.Repeat); repeats {
					want-- // the step that ends it is told as doing it again
				}
				want++
			}
			if len(p.From) > 0 {
				want++
			}
		}
		require.Equal(t, want, steps)
	})
}

// The steps of a piece come with its chart and a sheet of small pictures for every
// panel and for what finishes it, each of its own.
func TestStepsComeWithPictures(t *testing.T) {
	sized := size(t, picturetest.TideLine)
	names, keys := []string{}, map[string]bool{}
	for _, b := range say.Steps(sized, sitting.Prefs{}) {
		if p, ok := b.(reply.Picture); ok {
			names, keys[p.Key] = append(names, p.Name), true
			img, err := p.Draw()
			require.NoError(t, err)
			require.NotEmpty(t, img.PNG)
			require.Contains(t, img.Alt, "numbered 1 to 12", "the first is the chart")
			break
		}
	}
	for _, b := range say.Steps(sized, sitting.Prefs{})[2:] {
		if p, ok := b.(reply.Picture); ok {
			names, keys[p.Key] = append(names, p.Name), true
			img, err := p.Draw()
			require.NoError(t, err)
			require.Contains(t, img.Alt, "a picture each")
		}
	}
	require.Equal(t, []string{"tide-line-chart.png", "tide-line-steps-1.png", "tide-line-steps-2.png"}, names)
	require.Len(t, keys, 3)
	one, two := say.Step(sized, drawn.Span{Panel: 0, From: 0, To: 1}, sitting.Prefs{}), say.Step(sized, drawn.Span{Panel: 0, From: 1, To: 2}, sitting.Prefs{})
	require.NotEqual(t, one.Key, two.Key)
}
