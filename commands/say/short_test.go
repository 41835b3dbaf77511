package say_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/length"
	"larkfold/sizing/trace"
)

// shortened is what is said of a line of the cut list that is too short by so much.
func shortened(sized sizing.Sized, c cutlist.Cut, by length.Length) reply.Reply {
	return say.Short(sized, sitting.Prefs{}, c, by)
}

// sinnets is a panel of two cords with a sinnet of ten knots, and whatever comes below.
func sinnets(t *testing.T, below string) sizing.Sized {
	return size(t, "cord main 4 mm\npanel p\n  mount 2 folded\n  sinnet square times 10 on left 4\n"+below+"  tail 30 cm\n")
}

// tail is what the neediest end of a line has beyond its last knot and its tail.
func spare(sized sizing.Sized, c cutlist.Cut) length.Length {
	least := c.Length
	for _, e := range sized.Ends {
		least = min(least, c.Leg(trace.Left)-e.Total())
	}
	return least
}

// A cord that is short has its margin first, then its tail; what is missing of a folded
// cord is missing half on each side.
func TestWhatIsShortComesOffMarginAndTail(t *testing.T) {
	sized := sinnets(t, "")
	c := sized.List.Cuts[0]
	left := spare(sized, c)
	for _, tt := range []struct {
		by   length.Length
		says string
	}{
		{2*left - 4*cm, "none of the 4 ends, if your hand takes what was reckoned: margin and rounding are worth more, 2 cm are left over"},
		{2 * left, "none of the 4 ends, if your hand takes what was reckoned: margin and rounding are worth more, 0 cm are left over"},
		{2*left + 2*cm, "none of the 4 ends before its last knot, but the tails come out up to 1 cm shorter: trim all to match"},
		{2*left + 4*cm, "none of the 4 ends before its last knot, but the tails come out up to 2 cm shorter: trim all to match"},
	} {
		require.Equal(t, []string{tt.says}, factsOf(shortened(sized, c, tt.by).Blocks, "runs out"))
	}
	f := length.Style{}.Format
	folded := factsOf(shortened(sized, c, 20*cm).Blocks, "short")[0]
	require.Equal(t, fmt.Sprintf("A by 20 cm: %s instead of %s, folded as before: 10 cm less on each side", f(c.Length-20*cm), f(c.Length)), folded)

	single := size(t, "cord main 4 mm\npanel p\n  mount 4 single\n  sinnet square times 10 on left 4\n  tail 30 cm\n")
	whole := single.List.Cuts[0]
	require.Equal(t, fmt.Sprintf("A by 20 cm: %s instead of %s", f(whole.Length-20*cm), f(whole.Length)), factsOf(shortened(single, whole, 20*cm).Blocks, "short")[0])
	require.Contains(t, factsOf(shortened(single, whole, spare(single, whole)+cm).Blocks, "runs out")[0], "up to 1 cm shorter", "all of it is missing on its one side")
}

// atRound is by how much a line must be too short for its first end to run out at a
// round of a step of its panel.
func atRound(t *testing.T, sized sizing.Sized, c cutlist.Cut, step, round int) length.Length {
	t.Helper()
	for by := length.Length(0); by < c.Length; by += cm {
		lost := by
		if c.Folded {
			lost = by / 2
		}
		for _, strand := range c.Strands {
			for side, n := range sized.Strands[strand].Ends {
				out, ok := sized.RunsOut(n, c.Leg(trace.Side(side))-lost, sized.List.Terms.Tying)
				if ok && out.Placed >= 0 && sized.Placed[out.Placed].Step == step && sized.Placed[out.Placed].Round == round {
					return by
				}
			}
		}
	}
	require.Fail(t, "no end runs out there")
	return 0
}

// Where a cord runs out before its last knot: at which step and row, what can be left
// out from there, and how long a piece is joined: what the end would still need and
// twice the 10 cm that two cords run together, rounded up as cuts are.
func TestWhereACordRunsOut(t *testing.T) {
	sized := sinnets(t, "")
	c := sized.List.Cuts[0]
	for round, leave := range map[int]string{0: "that step; the tails then begin there", 4: "its rows 5 to 10; the tails then begin there", 9: "its last row, 10; the tails then begin there"} {
		answer := shortened(sized, c, atRound(t, sized, c, 1, round))
		require.Equal(t, []string{leave}, factsOf(answer.Blocks, "leave out"))
		require.True(t, strings.HasPrefix(factsOf(answer.Blocks, "at")[0], fmt.Sprintf("step 2 of p, row %d of 10: One below the other, 10 square knots", round+1)), round)
	}
	first := shortened(sized, c, atRound(t, sized, c, 1, 0))
	last := shortened(sized, c, atRound(t, sized, c, 1, 9))
	require.Equal(t, []string{"end 1 of p, the left half of its cord; 2 of the 4 ends do before they are done"}, factsOf(last.Blocks, "runs out first"), "the inner two fill and have enough")
	require.True(t, strings.HasPrefix(factsOf(first.Blocks, "or join")[0], "a piece of "+length.Style{}.Cut((sized.Ends[0].Total()-sized.Ends[0].Mount+20*cm).RoundUp(5*cm))+": some three knots above, lay it in with the fillers"), factsOf(first.Blocks, "or join")[0])
	one := c
	one.Strands = c.Strands[:1]
	require.Equal(t, []string{"end 1 of p, the left half of its cord"}, factsOf(shortened(sized, one, atRound(t, sized, c, 1, 9)).Blocks, "runs out first"), "nobody counts one of one")
	require.Equal(t, reply.Block(reply.Caution("A joined cord holds by the knots round the join. Never join where a cord hangs load: in a hanger, at a mount, in what carries a pot, a shelf or a child's swing. Cut those anew.")), first.Blocks[len(first.Blocks)-1])

	below := sinnets(t, "  space 2 cm\n  row square\n")
	b := below.List.Cuts[0]
	require.Equal(t, []string{"its rows 5 to 10, and what comes below it on these ends; the tails then begin there"}, factsOf(shortened(below, b, atRound(t, below, b, 1, 4)).Blocks, "leave out"))
	last = shortened(below, b, atRound(t, below, b, 3, 0))
	require.Equal(t, []string{"that step; the tails then begin there"}, factsOf(last.Blocks, "leave out"))
	require.True(t, strings.HasPrefix(factsOf(last.Blocks, "at")[0], "step 4 of p: One row: "), "a step that is done once has no rows")

	joined := size(t, "cord main 4 mm\npanel p\n  mount 2 folded\n  sinnet square times 10 on left 4\n  tail 30 cm\npanel q from p\n  row square\n  tail 20 cm\n")
	j := joined.List.Cuts[0]
	require.Equal(t, []string{"its rows 5 to 10, and what comes below it on these ends; the tails then begin there"}, factsOf(shortened(joined, j, atRound(t, joined, j, 1, 4)).Blocks, "leave out"), "what joins it comes below it")
}

// What is left must do for the mount and for hands, 12 cm, to tie anything; with so much
// it is the first knot that cannot be tied.
func TestWhatIsLeftMustTie(t *testing.T) {
	sized := sinnets(t, "")
	c := sized.List.Cuts[0]
	enough := 2 * (c.Length/2 - sized.Ends[0].Mount - 12*cm)
	require.Contains(t, factsOf(shortened(sized, c, enough).Blocks, "at")[0], "step 2 of p, row 1 of 10")
	mount := shortened(sized, c, enough+2)
	require.Equal(t, []string{"its mount: what is left is too short to tie with. Cut it anew"}, factsOf(mount.Blocks, "at"))
	require.Empty(t, factsOf(mount.Blocks, "or join"))
}

// How a new cord is taken in depends on what the old one does there: it ties a hitch,
// ties another knot, or fills and carries. A round panel may hang a load and is not joined.
func TestHowACordIsJoined(t *testing.T) {
	join := func(sized sizing.Sized, strand, step, round int) reply.Reply {
		c := sized.List.Cuts[0]
		c.Strands = []int{strand}
		return shortened(sized, c, atRound(t, sized, c, step, round))
	}
	single := size(t, "cord main 4 mm\npanel p\n  mount 4 single\n  sinnet square times 10 on left 4\n  tail 30 cm\n")
	require.Contains(t, factsOf(join(single, 0, 1, 4).Blocks, "or join")[0], "here let it tie, and let the old end fill")
	require.Contains(t, factsOf(join(single, 1, 1, 4).Blocks, "or join")[0], "lay it beside the old end")
	bar := size(t, "cord main 4 mm\npanel p\n  mount 4 single\n  bar left to right level\n  tail 30 cm\n")
	require.Contains(t, factsOf(join(bar, 2, 1, 0).Blocks, "or join")[0], "lay it along the carrier for three hitches, tie this hitch with it")
	require.Contains(t, factsOf(join(bar, 0, 1, 0).Blocks, "or join")[0], "lay it beside the old end")
	pot := size(t, "cord main 4 mm\nring 10 cm x 5 mm\npanel pot round\n  mount 4 folded\n  net square rows 8\n  tail 30 cm\n")
	answer := join(pot, 0, 1, 4)
	require.Equal(t, []string{"not here: a round panel may hang a load. Cut the cord anew"}, factsOf(answer.Blocks, "join"))
	require.Empty(t, factsOf(answer.Blocks, "or join"))
}

// A wrap, a hanger and a swag want what they need, to the last nanometre; fringe is
// trimmed, half on each side.
func TestExtrasThatAreShort(t *testing.T) {
	sized := sinnets(t, "")
	extra := func(what string) cutlist.Cut {
		return cutlist.Cut{Label: "B", Count: 1, Length: m, For: what, Why: cutlist.Why{End: -1, Need: trace.Parts{Run: 70 * cm, Tail: 10 * cm}}}
	}
	for _, tt := range []struct {
		what string
		by   length.Length
		says string
	}{
		{"wrap on p", 20 * cm, "nothing: it needs 80 cm, the rest was margin"},
		{"wrap on p", 30 * cm, "it needs 80 cm: wind fewer turns (/wrap with your ends and cord:\"70 cm\" tells how many), or cut another; a wrap is not joined"},
		{"wrap on p", 20*cm + 1, "it needs 80 cm: wind fewer turns"},
		{"hanger", 20 * cm, "nothing, if your knots take what was reckoned: it needs 80 cm, the rest was margin"},
		{"hanger", 20*cm + 1, "it is not joined, for it hangs load: cut another, or give it less rise or drop"},
		{"swag", 21 * cm, "it is not joined, for it hangs load: cut another, or give it less rise or drop"},
		{"fringe on p", 5 * cm, "trim all of them shorter by 2.5 cm, or use it where it does not show; it is not joined"},
	} {
		answer := shortened(sized, extra(tt.what), tt.by)
		require.Contains(t, factsOf(answer.Blocks, "so")[0], tt.says, tt.what)
		require.NotContains(t, factsOf(answer.Blocks, "short")[0], "each side", tt.what)
	}
}
