package say_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"larkfold/commands/reply"
	"larkfold/commands/say"
	"larkfold/commands/sitting"
	"larkfold/sizing"
	"larkfold/sizing/cord"
	"larkfold/sizing/cutlist"
	"larkfold/sizing/length"
	"larkfold/sizing/trace"
)

// factsOf are the values behind a label of an answer, in their order.
func factsOf(blocks []reply.Block, label string) (values []string) {
	for _, b := range blocks {
		facts, _ := b.(reply.Facts)
		for _, f := range facts {
			if f.Label == label {
				values = append(values, f.Value)
			}
		}
	}
	return values
}

// tableOf is the cut list of an answer.
func tableOf(t *testing.T, blocks []reply.Block) reply.Table {
	t.Helper()
	for _, b := range blocks {
		if table, ok := b.(reply.Table); ok {
			return table
		}
	}
	require.Fail(t, "no table")
	return reply.Table{}
}

// Where cords of several lengths hang in one panel the answer says which next to which;
// added cords do not hang there, and a panel of one length needs no order.
func TestHangingOrder(t *testing.T) {
	blocks := say.Words(size(t, `cord sand 4 mm
cord reed 4 mm
panel stripes
  mount 2 folded sand, 1 folded reed, 3 folded sand
  row square on left 4
  add 2 folded reed right
  tail 20 cm
panel plain
  mount 4 folded sand
  row square
  tail 20 cm
`), sitting.Prefs{}, nil)
	require.Equal(t, []string{"2 A, 1 B, 3 A, from the left"}, factsOf(blocks, "hang stripes"))
	require.Empty(t, factsOf(blocks, "hang plain"))
}

// The cut list names its cords where there are several, says how a cord is folded, and
// has a line of one system for narrow screens.
func TestCutList(t *testing.T) {
	sized := size(t, "cord main 4 mm\npanel p\n  mount 4 folded\n  row square\n  tail 20 cm\n")
	sized.List.Cuts = []cutlist.Cut{
		{Label: "A", Count: 8, Length: 3 * m, Folded: true, For: "p", Strands: []int{0}},
		{Label: "B", Count: 2, Length: 3 * m, Folded: true, Fold: m, Short: trace.Right, For: "p"},
		{Label: "C", Count: 12, Length: 30 * cm, Folded: true, For: string(trace.ForFringe) + " on p"},
		{Label: "D", Count: 1, Length: m, For: string(trace.ForHanger)},
	}
	both := tableOf(t, say.Words(sized, sitting.Prefs{Style: length.Style{System: length.Both}}, nil))
	// 3 m are 118.11 in, 30 cm 11.81 in, 1 m 39.37 in; a cut is written up to the next 1/8 in.
	require.Equal(t, []string{
		"A    8 x 3.00 m  fold", "B    2 x 3.00 m  fold", "C   12 x 30 cm  fringe", "D    1 x 1.00 m  hanger",
	}, both.Short)
	plain := tableOf(t, say.Words(sized, sitting.Prefs{}, nil))
	folds := func(table reply.Table) (all []string) {
		for _, row := range table.Rows {
			all = append(all, row[3])
		}
		return all
	}
	require.Equal(t, []string{"in the middle", "1.00 m from one end, shorter half right", "in the middle", ""}, folds(plain))
	require.NotContains(t, plain.Rows[0][4], "(main)")
	sized.Cords = append(sized.Cords, cord.Cord{Name: "other", Nominal: 3 * length.Millimetre})
	sized.Sheet.Cords = append(sized.Sheet.Cords, sized.Sheet.Cords[0])
	require.Contains(t, tableOf(t, say.Words(sized, sitting.Prefs{}, nil)).Rows[0][4], "(main)")
}

// What is to buy: spools and why more of them than the length fills, what is left of
// them, their price; for several pieces what it is for; of cord that is there what it takes.
func TestTotals(t *testing.T) {
	base := size(t, "cord main 4 mm\npanel p\n  mount 4 folded\n  row square\n  tail 20 cm\n")
	none := func(int) bool { return false }
	there := func(int) bool { return true }
	for _, tt := range []struct {
		what   string
		cut    length.Length // of which there are twelve
		spool  length.Length
		total  cutlist.Total
		copies int
		there  func(int) bool
		label  string
		want   string
	}{
		{"no spool is known", 5 * m, 0, cutlist.Total{Mass: 500 * length.Gram}, 1, none, "to buy", "60.00 m, about 500 g"},
		{"longer than the spool", 5 * m, 4 * m, cutlist.Total{}, 1, none, "to buy", "60.00 m, about 0 g; a piece is longer than the spool of 4.00 m"},
		{"as many as the length fills", 5 * m, 50 * m, cutlist.Total{Spools: 2, Fewest: true, Cost: 3000}, 1, none, "to buy", "60.00 m, about 0 g; 2 spools of 50.00 m, 40.00 m left over; cost 30.00"},
		{"exactly one", 5 * m, 60 * m, cutlist.Total{Spools: 1, Fewest: true}, 1, none, "to buy", "60.00 m, about 0 g; 1 spool of 60.00 m, 0 cm left over"},
		{"one more than the length fills", 5 * m, 60 * m, cutlist.Total{Spools: 2, Fewest: true}, 1, none, "to buy", "60.00 m, about 0 g; 2 spools of 60.00 m, 60.00 m left over, where the length alone would fill 1: no piece is joined from two spools"},
		{"a millimetre more than one", 5*m + length.Millimetre, 60 * m, cutlist.Total{Spools: 2}, 1, none, "to buy", "60.12 m, about 0 g; 2 spools of 60.00 m, 59.88 m left over, unless /plan finds a better way to cut them"},
		{"what is there", 5 * m, 50 * m, cutlist.Total{Spools: 2}, 1, there, "takes", "60.00 m, about 0 g"},
		{"of one piece", 5 * m, 0, cutlist.Total{}, 1, none, "pieces", ""},
		{"of two", 5 * m, 0, cutlist.Total{}, 2, none, "pieces", "2: counts and cord to buy are for all of them"},
	} {
		sized := base
		sized.Cords = []cord.Cord{base.Cords[0]}
		sized.Cords[0].Spool.Length = tt.spool
		sized.List.Copies = tt.copies
		sized.List.Cuts = []cutlist.Cut{{Label: "A", Count: 12, Length: tt.cut, For: "p"}}
		tt.total.Length = 12 * tt.cut
		sized.List.Totals = []cutlist.Total{tt.total}
		var want []string
		if tt.want != "" {
			want = []string{tt.want}
		}
		require.Equal(t, want, factsOf(say.SizedOf(sized, sitting.Prefs{}, nil, tt.there).Blocks, tt.label), tt.what)
	}
}

// A round panel is measured around, several are named, and beads that are alike are
// counted together, for all pieces.
func TestPanelsAndBeads(t *testing.T) {
	round := say.Words(size(t, "cord main 4 mm\nring 10 cm x 5 mm\ncopies 3\npanel pot round\n  mount 4 folded\n  row square\n  bead 15 mm hole 8 mm of 2\n  bead 15 mm of 4\n  tail 20 cm\n"), sitting.Prefs{}, nil)
	require.Len(t, factsOf(round, "finished"), 1)
	require.Contains(t, factsOf(round, "finished")[0], " around, ")
	require.Contains(t, factsOf(round, "finished")[0], ", 2 square knots")
	// 4 folded cords are 8 ends: 4 beads on two ends each and 2 on four, three times. Two
	// cords of 4 mm side by side are 8 mm; four in a square fit in a circle of (1 + √2) 4 mm, 9.66 mm.
	require.Equal(t, []string{"12 of 1.5 cm with a hole of 8 mm, for cord of 8 mm", "6 of 1.5 cm with a hole of more than 9.66 mm"}, factsOf(round, "beads"))

	two := say.Words(size(t, "cord main 4 mm\npanel left\n  mount 2 folded\n  row square\n  tail 20 cm\npanel right\n  mount 2 folded\n  space 3 cm\n  tail 20 cm\n"), sitting.Prefs{}, nil)
	require.Empty(t, factsOf(two, "finished"))
	require.Contains(t, factsOf(two, "left")[0], " wide, ")
	require.Contains(t, factsOf(two, "left")[0], ", 1 square knot")
	require.Contains(t, factsOf(two, "right")[0], ", no knots")
}

// Knots are listed the most frequent first, and by name where there are as many.
func TestKnotsAreListedByCount(t *testing.T) {
	sized := size(t, "cord main 4 mm\npanel p\n  mount 2 folded\n  row square\n  tail 20 cm\n")
	sized.Panels[0].Knots = map[string]int{"square knot": 2, "half knot": 3, "double half hitch": 2}
	require.Contains(t, factsOf(say.Words(sized, sitting.Prefs{}, nil), "finished")[0], "3 half knots, 2 double half hitches, 2 square knots")
}

// sizedWith is a small piece with its cut list changed.
func sizedWith(t *testing.T, change func(*sizing.Sized)) sizing.Sized {
	t.Helper()
	sized := size(t, "cord main 4 mm\npanel p\n  mount 4 folded\n  row square\n  tail 20 cm\n")
	change(&sized)
	return sized
}

// containsText tells whether a text of an answer holds some words.
func containsText(blocks []reply.Block, words string) bool {
	for _, b := range blocks {
		if text, ok := b.(reply.Text); ok && strings.Contains(string(text), words) {
			return true
		}
	}
	return false
}
