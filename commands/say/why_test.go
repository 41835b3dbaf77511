package say_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/knot"
	"larkfold/sizing/length"
	"larkfold/sizing/swatch"
	"larkfold/sizing/trace"
)

// A line of the cut list is found by its letter, large or small.
func TestLinesHaveLetters(t *testing.T) {
	sized := sizedWith(t, func(s *sizing.Sized) { s.List.Cuts = []cutlist.Cut{{Label: "A"}, {Label: "B", Count: 7}} })
	c, err := say.Line(sized, " b ")
	require.NoError(t, err)
	require.Equal(t, 7, c.Count)
	_, err = say.Line(sized, "C")
	var e *reply.UserError
	require.ErrorAs(t, err, &e)
	require.Equal(t, "A, B", e.Right)
}

// Why a cut is as long as it is: its parts add up to what it needs, margin and rounding
// to the cut. Here 10, 20, 30 and 15 cm need 75 cm, 10 % of all but the tail are 6 cm, and
// 81 cm are rounded up to the next 5 cm, twice that of a folded cord.
func TestWhyACutIsSoLong(t *testing.T) {
	need := trace.Parts{Mount: 10 * cm, Run: 20 * cm, TakeUp: 30 * cm, Tail: 15 * cm}
	why := cutlist.Why{End: -1, Need: need, Margin: 6 * cm, Fraction: 0.1, Rounded: 4 * cm}
	extra := cutlist.Cut{Label: "A", Count: 1, Length: 85 * cm, For: "wrap", About: "6 turns", Why: why}
	hung := extra
	hung.Folded, hung.Length, hung.Why.End, hung.Why.Rounded = true, 165*cm, 0, 3*cm
	off := hung
	off.Length, off.Fold = 160*cm, 75*cm
	called, whole, tied, bare := extra, extra, extra, extra
	called.Why.Called, called.Why.Fraction = true, 0.0801
	whole.Length, whole.Why.Rounded = 81*cm, 0
	tied.Length, tied.Why.Tying, tied.Why.Rounded = 85*cm, 3*cm, cm
	bare.Length, bare.Why = 20*cm, cutlist.Why{End: -1, Need: trace.Parts{Run: 20 * cm}}
	parts := []reply.Fact{{Label: "for", Value: "wrap: 6 turns"}, {Label: "tying on", Value: "10 cm"}, {Label: "straight", Value: "20 cm"}, {Label: "winding", Value: "30 cm"}, {Label: "tail", Value: "15 cm"}, {Label: "needs", Value: "75 cm"}}
	margin := reply.Fact{Label: "margin", Value: "6 cm (10 % of all but the tail)"}
	ends := []reply.Fact{{Label: "the longest", Value: "end 1 from the left, the left half of its cord"}, {Label: "mount", Value: "10 cm"}, {Label: "straight runs", Value: "20 cm (from knot to knot)"}, {Label: "pebble", Value: "30 cm as worker of 3"}, {Label: "tail", Value: "15 cm"}, {Label: "needs", Value: "75 cm"}, margin}
	for _, tt := range []struct {
		what string
		cut  cutlist.Cut
		step length.Length
		want []reply.Fact
	}{
		{"a wrap", extra, 5 * cm, append(parts[:6:6], margin, reply.Fact{Label: "rounded up by", Value: "4 cm (to 5 cm)"}, reply.Fact{Label: "cut", Value: "85 cm"})},
		{"called for", called, 5 * cm, append(parts[:6:6], reply.Fact{Label: "margin", Value: "6 cm (9 % of all but the tail, which your swatches call for)"}, reply.Fact{Label: "rounded up by", Value: "4 cm (to 5 cm)"}, reply.Fact{Label: "cut", Value: "85 cm"})},
		{"not rounded", whole, 5 * cm, append(parts[:6:6], margin, reply.Fact{Label: "cut", Value: "81 cm"})},
		{"too short to tie with", tied, 5 * cm, append(parts[:6:6], margin, reply.Fact{Label: "for hands", Value: "3 cm (the tail is too short to tie with)"}, reply.Fact{Label: "rounded up by", Value: "1 cm (to 5 cm)"}, reply.Fact{Label: "cut", Value: "85 cm"})},
		{"nothing but what there is", bare, 5 * cm, []reply.Fact{{Label: "for", Value: "wrap: 6 turns"}, {Label: "straight", Value: "20 cm"}, {Label: "needs", Value: "20 cm"}, {Label: "cut", Value: "20 cm"}}},
		{"folded", hung, 5 * cm, append(ends[:7:7], reply.Fact{Label: "folded", Value: "twice 81 cm"}, reply.Fact{Label: "rounded up by", Value: "3 cm (to 5 cm)"}, reply.Fact{Label: "cut", Value: "1.65 m"})},
		{"written to a centimetre from a metre on", hung, cm, append(ends[:7:7], reply.Fact{Label: "folded", Value: "twice 81 cm"}, reply.Fact{Label: "rounded up by", Value: "3 cm (to 1 cm)"}, reply.Fact{Label: "cut", Value: "1.65 m"})},
		{"and so not to a millimetre", hung, length.Millimetre, append(ends[:7:7], reply.Fact{Label: "folded", Value: "twice 81 cm"}, reply.Fact{Label: "rounded up by", Value: "3 cm (to 1 mm, and written to 1 cm)"}, reply.Fact{Label: "cut", Value: "1.65 m"})},
		{"off its middle", off, 5 * cm, append(ends[:7:7], reply.Fact{Label: "rounded up by", Value: "4 cm (to 5 cm)"}, reply.Fact{Label: "folded", Value: "75 cm from one end; this half takes the other 85 cm"}, reply.Fact{Label: "cut", Value: "1.60 m"})},
	} {
		sized := sizedWith(t, func(s *sizing.Sized) {
			s.List.Cuts, s.List.Terms.Step = []cutlist.Cut{tt.cut}, tt.step
			s.Ends[0].Parts = trace.Parts{}
			s.Ends[0].Uses = []trace.Use{{Knot: "pebble", Role: "worker", Times: 3, Takes: 30 * cm}}
		})
		answer, err := say.Why(sized, sitting.Prefs{}, "A")
		require.NoError(t, err)
		require.Equal(t, tt.want, []reply.Fact(answer.Blocks[1].(reply.Facts)), tt.what)
	}
}

// What is least certain is the part that may be most off, not the longest: 5 % of 4 m
// are 20 cm, 10 % of 1 m are 10 cm, 20 % of 1.5 m are 30 cm. Where swatches were made they
// say it.
func TestWhatIsLeastCertain(t *testing.T) {
	of := func(trust knot.Trust) string {
		for _, k := range knot.Standard().Knots() {
			if k.Trust == trust && k.Kin() != knot.Mounts {
				return k.Name
			}
		}
		require.Fail(t, "no such knot", trust)
		return ""
	}
	high, low := of(knot.High), of(knot.Low)
	told := func(change func(*sizing.Sized)) []string {
		sized := sizedWith(t, func(s *sizing.Sized) {
			s.Ends[0].Parts = trace.Parts{}
			change(s)
			s.List.Cuts[0].Why.End = 0
		})
		answer, err := say.Why(sized, sitting.Prefs{}, "A")
		require.NoError(t, err)
		return factsOf(answer.Blocks, "least certain")
	}
	uses := func(highTakes, lowTakes length.Length) func(*sizing.Sized) {
		return func(s *sizing.Sized) {
			s.Ends[0].Uses = []trace.Use{{Knot: high, Role: "worker", Times: 1, Takes: highTakes}, {Knot: low, Role: "filler", Times: 1, Takes: lowTakes}}
		}
	}
	require.Equal(t, []string{high + " as worker, by 20 cm either way (5 % of what it takes; its numbers are of high trust, and a swatch settles it)"}, told(uses(4*m, 95*cm)))
	require.Equal(t, []string{low + " as filler, by 30 cm either way (20 % of what it takes; its numbers are of low trust, and a swatch settles it)"}, told(uses(4*m, 150*cm)))
	require.Empty(t, told(func(s *sizing.Sized) { s.Ends[0].Uses = nil }))
	// Nine samples that differ by 8 % leave 3 % of the mean in doubt beside them: more than
	// 8 %, and less than 8 and 3 % together.
	swatches := told(func(s *sizing.Sized) {
		uses(m, 0)(s)
		k, _ := s.Book.Knot(high)
		s.Hands = []swatch.Hands{{k.Kin(): {From: k.Kin(), TakeUp: factor(9, 1, 0.08)}}}
	})
	require.Len(t, swatches, 1)
	require.Regexp(t, `by (8\.\d|9(\.\d)?|10(\.\d)?|11) cm either way \((8|9|10|11) % of what it takes; as your swatches of .+ leave it\)`, swatches[0])
	require.Contains(t, told(func(s *sizing.Sized) { s.Ends[0].Uses, s.Ends[0].Mount = nil, 10*cm })[0], "the mount, by ")
}

// An end is named by its panel where there are several, and by its half where its cord
// has two ends.
func TestEndsAreNamed(t *testing.T) {
	longest := func(text string) string {
		answer, err := say.Why(size(t, text), sitting.Prefs{}, "A")
		require.NoError(t, err)
		return factsOf(answer.Blocks, "the longest")[0]
	}
	require.Regexp(t, `^end \d from the left, the (left|right) half of its cord$`, longest("cord main 4 mm\npanel p\n  mount 2 folded\n  row square\n  tail 20 cm\n"))
	require.Regexp(t, `^end \d from the left, all of its cord$`, longest("cord main 4 mm\npanel p\n  mount 4 single\n  row square\n  tail 20 cm\n"))
	require.Regexp(t, `^end \d from the left in panel p, the `, longest("cord main 4 mm\npanel p\n  mount 2 folded\n  row square\n  tail 20 cm\npanel q\n  mount 2 folded\n  row square\n  tail 20 cm\n"))
}
