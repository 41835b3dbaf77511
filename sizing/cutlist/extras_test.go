package cutlist_test

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/cord"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/length"
	"larkfold/sizing/swatch"
	"larkfold/sizing/trace"
)

// withExtras is a result of nothing but extras, of two cords on spools of 10 m.
func withExtras(extras ...trace.Extra) trace.Result {
	r := trace.Result{Extras: extras, Panels: []trace.Panel{{Name: "left"}, {Name: "right"}}}
	for _, name := range []string{"main", "sand"} {
		c := cord.Cord{Name: name}
		c.Spool = cord.Spool{Length: 10 * length.Metre, Price: 1900}
		r.Cords = append(r.Cords, c)
	}
	r.Hands = make([]swatch.Hands, len(r.Cords)) // nobody's
	return r
}

// Wraps, swags and the hanger have the margin of what they use but for the tail;
// fringe, tassels and leaves are measured and trimmed, and what is at hand is as it is.
func TestMarginOfExtras(t *testing.T) {
	need := trace.Parts{Mount: 10 * cm, Run: 20 * cm, TakeUp: 30 * cm, Tail: 40 * cm}
	for purpose, margin := range map[trace.Purpose]length.Length{
		trace.ForWrap: 6 * cm, trace.ForSwag: 6 * cm, trace.ForHanger: 6 * cm,
		trace.ForFringe: 0, trace.ForTassel: 0, trace.ForLeaf: 0,
	} {
		for _, exact := range []bool{false, true} {
			r := withExtras(trace.Extra{For: purpose, Panel: -1, Count: 1, Exact: exact, Need: need})
			c := made(t, r, cutlist.Terms{Margin: 0.10, Step: 25 * cm}).Cuts[0]
			require.Equal(t, -1, c.Why.End)
			require.Equal(t, string(purpose), c.For)
			switch {
			case exact:
				require.Zero(t, c.Why.Margin)
				require.Equal(t, 100*cm, c.Length)
				require.Zero(t, c.Why.Rounded)
			case margin > 0:
				require.Equal(t, margin, c.Why.Margin, "%s", purpose)
				require.Equal(t, 125*cm, c.Length)
				require.Equal(t, 19*cm, c.Why.Rounded)
			default:
				require.Zero(t, c.Why.Margin, "%s", purpose)
				require.Equal(t, 100*cm, c.Length)
			}
		}
	}
}

func TestOnlyExtrasThatAreAlikeShareALine(t *testing.T) {
	first := trace.Extra{For: trace.ForWrap, Panel: 0, Count: 2, Need: trace.Parts{TakeUp: 50 * cm}, About: "6 turns round 8 ends"}
	change := func(change func(*trace.Extra)) trace.Extra {
		x := first
		change(&x)
		return x
	}
	other := []trace.Extra{
		change(func(x *trace.Extra) { x.For = trace.ForSwag }),
		change(func(x *trace.Extra) { x.Panel = 1 }),
		change(func(x *trace.Extra) { x.Panel = -1 }),
		change(func(x *trace.Extra) { x.Cord = 1 }),
		change(func(x *trace.Extra) { x.Need.TakeUp += 5 * cm }),
		change(func(x *trace.Extra) { x.About = "7 turns round 8 ends" }),
	}
	list := made(t, withExtras(append(append([]trace.Extra{first}, other...), first)...), cutlist.Terms{})
	require.Len(t, list.Cuts, 1+len(other))
	lines := map[string]int{}
	for _, c := range list.Cuts {
		lines[fmt.Sprint(c.For, c.About, c.Cord, c.Length)] = c.Count
	}
	require.Len(t, lines, len(list.Cuts), "no two lines are alike")
	alike := list.Cuts[slices.IndexFunc(list.Cuts, func(c cutlist.Cut) bool { return c.Count == 4 })]
	require.Equal(t, []any{"wrap on left", first.About, 0}, []any{alike.For, alike.About, alike.Cord})
	for _, need := range lines {
		require.Contains(t, []int{2, 4}, need)
	}
	require.False(t, list.Tied, "nothing hung, nothing tied")
}

// A piece of exactly a spool fits it, a longer one fits none, and nothing takes no room.
func TestPiecesAtTheLengthOfASpool(t *testing.T) {
	for _, test := range []struct {
		piece  length.Length
		count  int
		spools int
	}{
		{10 * length.Metre, 3, 3},
		{10*length.Metre + 1, 1, 0},
		{5 * length.Metre, 3, 2},
		{5*length.Metre + 1, 2, 2},
	} {
		r := withExtras(
			trace.Extra{For: trace.ForWrap, Panel: -1, Count: 1, Exact: true},
			trace.Extra{For: trace.ForWrap, Panel: -1, Count: test.count, Exact: true, Need: trace.Parts{TakeUp: test.piece}, About: "long"},
		)
		list := made(t, r, cutlist.Terms{})
		require.Len(t, list.Totals, 1, "a cord that is not cut has no total")
		total := list.Totals[0]
		require.Equal(t, test.spools, total.Spools, "%s", test.piece)
		require.Equal(t, cord.Price(1900*test.spools), total.Cost, "%s", test.piece)
	}
}

// The margin of a hung cord is of what it uses without the tail.
func TestMarginIsOfAllButTheTail(t *testing.T) {
	r := traced(t, "cord main 4 mm\npanel p\n  mount 4 folded\n  row square\n  tail 30 cm\n")
	for _, c := range made(t, r, cutlist.Terms{Margin: 0.10}).Cuts {
		uses := c.Why.Need.Total() - c.Why.Need.Tail
		require.Equal(t, 30*cm, c.Why.Need.Tail)
		require.Equal(t, length.Length(math.Ceil(float64(uses)*0.10)), c.Why.Margin)
	}
}
