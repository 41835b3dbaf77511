package stock

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"
	"time"

	"larkfold/sizing/length"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// requireSound fails unless the plan cuts each piece exactly as often as it is
// wanted or says it is short, uses no stock beyond its length or count, and adds
// up to its own totals.
func requireSound(t require.TestingT, p Problem, plan Plan) {
	pieces := make([]int, len(p.Pieces))
	stock := make([]int, len(p.Stock))
	var newCord, fromOffcuts, waste, short length.Length
	strips, spools, cuts := 0, 0, 0
	for _, pat := range plan.Patterns {
		s := p.Stock[pat.Stock]
		require.Positive(t, pat.Times)
		require.NotEmpty(t, pat.Cuts)
		require.Equal(t, s.Length, pat.Length)
		require.Equal(t, s.Offcut, pat.Offcut)
		stock[pat.Stock] += pat.Times
		at, sum := length.Length(0), length.Length(0)
		for _, c := range pat.Cuts {
			require.Equal(t, at, c.Start)
			require.Equal(t, p.Pieces[c.Piece].Length, c.Length)
			require.LessOrEqual(t, c.Start+c.Length, s.Length)
			pieces[c.Piece] += pat.Times
			at += c.Length + p.Kerf
			sum += c.Length
		}
		require.Equal(t, max(0, s.Length-at), pat.Remainder)
		n := length.Length(pat.Times)
		strips += pat.Times
		cuts += pat.Times * len(pat.Cuts)
		if at-p.Kerf == s.Length {
			cuts -= pat.Times
		}
		lost := s.Length - sum
		if pat.Keep {
			require.GreaterOrEqual(t, pat.Remainder, p.Keep)
			lost -= pat.Remainder
		} else if pat.Remainder > 0 {
			require.Less(t, pat.Remainder, p.Keep)
		}
		waste += n * lost
		if s.Offcut {
			fromOffcuts += n * at
			continue
		}
		spools += pat.Times
		if s.PerMetre > 0 {
			newCord += n * at
		} else {
			newCord += n * s.Length
		}
	}
	for _, u := range plan.Unplaced {
		require.Positive(t, u.Count)
		require.Equal(t, p.Pieces[u.Piece].Length, u.Length)
		pieces[u.Piece] += u.Count
		short += (u.Length + p.Kerf) * length.Length(u.Count)
	}
	for i, piece := range p.Pieces {
		require.Equal(t, piece.Count, pieces[i], "piece %d", i)
	}
	for i, s := range p.Stock {
		if s.Count > 0 {
			require.LessOrEqual(t, stock[i], s.Count, "stock %d", i)
		}
	}
	require.Equal(t, []any{strips, spools, cuts, newCord, fromOffcuts, waste, short},
		[]any{plan.Strips, plan.Spools, plan.Cuts, plan.NewCord, plan.FromOffcuts, plan.Waste, plan.Short})
}

// requireBounded fails unless the plan reaches its bounds from above.
func requireBounded(t require.TestingT, plan Plan) {
	require.GreaterOrEqual(t, plan.Short, plan.Bound.Short)
	require.GreaterOrEqual(t, plan.Gap(), 0.0)
	switch plan.Goal {
	case LeastCost:
		require.GreaterOrEqual(t, plan.Cost, plan.Bound.Cost)
	default:
		require.GreaterOrEqual(t, plan.NewCord, plan.Bound.NewCord)
	}
	if plan.Proved {
		require.Zero(t, plan.Gap())
	}
}

func TestEveryPlanIsSoundAndBounded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := smallProblem(40).Draw(t, "problem")
		ctx, cancel := context.WithTimeout(context.Background(), 20*time.Millisecond)
		defer cancel()
		plan, err := Solve(ctx, p)
		require.NoError(t, err)
		requireSound(t, p, plan)
		requireBounded(t, plan)
	})
}

func TestAnotherOffcutNeverHurts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := smallProblem(9).Draw(t, "problem")
		before, err := Solve(context.Background(), p)
		require.NoError(t, err)
		more := p
		more.Stock = append(slices.Clone(p.Stock), Stock{
			Length: length.Length(rapid.IntRange(5, 60).Draw(t, "offcut")) * length.Centimetre, Count: rapid.IntRange(1, 2).Draw(t, "count"), Offcut: true})
		after, err := Solve(context.Background(), more)
		require.NoError(t, err)
		requireSound(t, more, after)
		require.LessOrEqual(t, after.Short, before.Short)
		if before.Short > 0 {
			return // other pieces may be placed now, and these may need new cord too
		}
		if before.Goal == LeastCost {
			require.LessOrEqual(t, after.Cost, before.Cost)
		} else {
			require.LessOrEqual(t, after.NewCord, before.NewCord)
		}
	})
}

func TestSolveIsDeterministic(t *testing.T) {
	p := hanging(3, 5*length.Metre, 8*length.Metre, 0, 0)
	first, err := Solve(context.Background(), p)
	require.NoError(t, err)
	for range 3 {
		again, err := Solve(context.Background(), p)
		require.NoError(t, err)
		require.Equal(t, first, again)
	}
}

func TestSolveReturnsAPlanWhenTheContextHasEnded(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	for _, p := range []Problem{workshopOrder(0), triplets(120, 1), hanging(0, 5*length.Metre, 8*length.Metre, 100, 170)} {
		plan, err := Solve(ctx, p)
		require.NoError(t, err)
		requireSound(t, p, plan)
		requireBounded(t, plan)
		require.Empty(t, plan.Unplaced)
	}
}

// Without a deadline of the caller's there is one all the same, and a part that
// may use all but a little of the time leaves no more than a fifth.
func TestSolveHasADeadline(t *testing.T) {
	ctx, work, cancel := limited(context.Background())
	defer cancel()
	deadline, ok := ctx.Deadline()
	require.True(t, ok)
	require.LessOrEqual(t, time.Until(deadline), Patience)
	require.Equal(t, proofWork, work)

	given, cancelGiven := context.WithTimeout(context.Background(), time.Hour)
	defer cancelGiven()
	same, work, cancelSame := limited(given)
	defer cancelSame()
	require.Equal(t, given, same)
	require.Equal(t, math.MaxInt, work)
	for rest, least := range map[time.Duration]time.Duration{
		time.Minute: 59 * time.Minute, 10 * time.Hour: 48 * time.Minute,
	} {
		part, cancelPart := allBut(given, rest)
		deadline, _ := part.Deadline()
		require.InDelta(t, least.Minutes(), time.Until(deadline).Minutes(), 0.1)
		cancelPart()
	}
}

func TestSolveServesTheWorkshop(t *testing.T) {
	distinct := Problem{Stock: []Stock{{Length: 100 * length.Metre}}}
	for i := range 5000 {
		distinct.Pieces = append(distinct.Pieces, Piece{Length: 300*length.Millimetre + length.Length(i)*617*length.Micrometre, Count: 1})
	}
	limited := workshopOrder(1)
	limited.Stock[500].Count = 40
	for name, p := range map[string]Problem{"5000 pieces, 500 offcuts": workshopOrder(0), "5000 lengths": distinct, "too little": limited} {
		t.Run(name, func(t *testing.T) {
			ctx, cancel := context.WithTimeout(context.Background(), 300*time.Millisecond)
			defer cancel()
			plan, err := Solve(ctx, p)
			require.NoError(t, err)
			requireSound(t, p, plan)
			requireBounded(t, plan)
			require.Less(t, plan.Gap(), 0.02)
			require.Equal(t, name == "too little", len(plan.Unplaced) > 0)
		})
	}
}

func TestSolveSaysWhatIsShort(t *testing.T) {
	cm := length.Centimetre
	p := Problem{
		Pieces: []Piece{{Length: 90 * cm, Count: 3, Label: "long"}, {Length: 40 * cm, Count: 2, Label: "short"}},
		Stock:  []Stock{{Length: 100 * cm, Count: 2, Offcut: true}, {Length: 85 * cm, Count: 1, Offcut: true}},
	}
	plan, err := Solve(context.Background(), p)
	require.NoError(t, err)
	requireSound(t, p, plan)
	require.True(t, plan.Proved)
	require.Equal(t, []Shortage{{Piece: 0, Length: 90 * cm, Count: 1, Label: "long"}}, plan.Unplaced)
	require.Equal(t, 90*cm, plan.Short)
}

// Long pieces have only the limited stock; short ones also fit the spools.
func TestSolveLeavesOutNothingThatUnlimitedStockCanServe(t *testing.T) {
	cm := length.Centimetre
	p := Problem{
		Pieces: []Piece{{Length: 180 * cm, Count: 3}, {Length: 60 * cm, Count: 5}},
		Stock:  []Stock{{Length: 200 * cm, Count: 2, Offcut: true}, {Length: 100 * cm}},
	}
	plan, err := Solve(context.Background(), p)
	require.NoError(t, err)
	requireSound(t, p, plan)
	require.True(t, plan.Proved)
	require.Equal(t, []Shortage{{Piece: 0, Length: 180 * cm, Count: 1}}, plan.Unplaced)
	require.Equal(t, 500*cm, plan.NewCord)
}

func TestSolveBuysByTheMetre(t *testing.T) {
	m := length.Metre
	p := Problem{
		Pieces: []Piece{{Length: 3 * m, Count: 5}},
		Stock:  []Stock{{Length: 10 * m, Count: 1, Offcut: true}, {Length: 50 * m, PerMetre: 45}, {Length: 50 * m, Price: 2000}},
	}
	plan, err := Solve(context.Background(), p)
	require.NoError(t, err)
	requireSound(t, p, plan)
	require.True(t, plan.Proved)
	require.Equal(t, []any{LeastCost, Price(270), Price(270), 6 * m}, []any{plan.Goal, plan.Cost, plan.Bound.Cost, plan.NewCord})
}

// A price that does not come out even is rounded up, once.
func TestSolveRoundsCostUp(t *testing.T) {
	p := Problem{
		Pieces: []Piece{{Length: 333 * length.Millimetre, Count: 2}},
		Stock:  []Stock{{Length: length.Metre, PerMetre: 100}},
	}
	plan, err := Solve(context.Background(), p)
	require.NoError(t, err)
	require.Equal(t, []Price{67, 67}, []Price{plan.Cost, plan.Bound.Cost})
	require.True(t, plan.Proved)
}

func TestSolveCountsKerf(t *testing.T) {
	cm := length.Centimetre
	p := Problem{Pieces: []Piece{{Length: 49 * cm, Count: 4}}, Stock: []Stock{{Length: 99 * cm}}}
	for _, test := range []struct {
		kerf   length.Length
		strips int
		cuts   int
		waste  length.Length
	}{
		{0, 2, 4, 0},
		{cm, 2, 2, 2 * cm},     // the second piece ends with the stock and needs no cut
		{2 * cm, 4, 4, 8 * cm}, // 49 + 2 + 49 is more than 99
	} {
		p.Kerf = test.kerf
		plan, err := Solve(context.Background(), p)
		require.NoError(t, err)
		requireSound(t, p, plan)
		require.Equal(t, []any{test.strips, test.cuts, test.waste}, []any{plan.Strips, plan.Cuts, plan.Waste}, "kerf %s", test.kerf)
	}
}

// Among plans that take the same, one long remainder is better than two short
// ones, and a short offcut goes before a long one.
func TestSolveKeepsUsefulRemainders(t *testing.T) {
	cm := length.Centimetre
	p := Problem{
		Pieces: []Piece{{Length: 30 * cm, Count: 1}},
		Stock: []Stock{
			{Length: 200 * cm, Count: 1, Offcut: true, Label: "long"},
			{Length: 35 * cm, Count: 1, Offcut: true, Label: "short"},
		},
		Keep: 10 * cm,
	}
	plan, err := Solve(context.Background(), p)
	require.NoError(t, err)
	require.Len(t, plan.Patterns, 1)
	require.Equal(t, "short", plan.Patterns[0].Label)
	require.Empty(t, plan.Remainders())
	require.Equal(t, 5*cm, plan.Waste)

	p = Problem{
		Pieces: []Piece{{Length: 60 * cm, Count: 2}, {Length: 20 * cm, Count: 2}},
		Stock:  []Stock{{Length: 100 * cm}},
	}
	plan, err = Solve(context.Background(), p)
	require.NoError(t, err)
	require.Equal(t, 3, plan.Cuts)
	require.Equal(t, []Remainder{{Length: 40 * cm, Count: 1}}, plan.Remainders())
}

func TestPatternsNameThePieces(t *testing.T) {
	cm := length.Centimetre
	p := Problem{
		Pieces: []Piece{{Length: 40 * cm, Count: 3, Label: "A"}, {Length: 40 * cm, Count: 2, Label: "B"}},
		Stock:  []Stock{{Length: 80 * cm, Count: 1, Label: "left"}, {Length: 80 * cm, Count: 4, Label: "right"}},
	}
	plan, err := Solve(context.Background(), p)
	require.NoError(t, err)
	requireSound(t, p, plan)
	var lines []string
	for _, pat := range plan.Patterns {
		line := fmt.Sprintf("%d x %s:", pat.Times, pat.Label)
		for _, c := range pat.Cuts {
			line += fmt.Sprintf(" %s at %s", c.Label, c.Start)
		}
		lines = append(lines, line)
	}
	require.Equal(t, []string{"1 x left: A at 0 cm A at 40 cm", "1 x right: A at 0 cm B at 40 cm", "1 x right: B at 0 cm"}, lines)
}

func TestSolveServesOffcutsAndSpools(t *testing.T) {
	p := Problem{
		Pieces: []Piece{{Length: 150 * length.Centimetre, Count: 8, Label: "A"}, {Length: 80 * length.Centimetre, Count: 5, Label: "B"}},
		Stock: []Stock{
			{Length: 230 * length.Centimetre, Count: 2, Offcut: true, Label: "scrap"},
			{Length: 50 * length.Metre, Label: "spool"},
		},
		Keep: 50 * length.Centimetre,
	}
	plan, err := Solve(context.Background(), p)
	require.NoError(t, err)
	requireSound(t, p, plan)
	require.Empty(t, plan.Unplaced)
	require.Equal(t, 50*length.Metre, plan.NewCord)
	require.Equal(t, 1140*length.Centimetre, taken(p, plan))
	require.Equal(t, []Remainder{{Length: 3860 * length.Centimetre, Count: 1, Stock: 1}}, plan.Remainders())
}
