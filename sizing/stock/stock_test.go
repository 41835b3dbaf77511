package stock

import (
	"context"
	"testing"

	"larkfold/sizing/length"

	"github.com/stretchr/testify/require"
)

// requireSound fails unless the plan cuts each piece exactly as often as it is
// wanted or says it is short, uses no stock beyond its length or count, and adds
// up to its own totals.
func requireSound(t require.TestingT, p Problem, plan Plan) {
	pieces := make([]int, len(p.Pieces))
	stock := make([]int, len(p.Stock))
	var newCord, taken, fromOffcuts, waste, short length.Length
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
		taken += n * at
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
	require.Equal(t, []any{strips, spools, cuts, newCord, taken, fromOffcuts, waste, short},
		[]any{plan.Strips, plan.Spools, plan.Cuts, plan.NewCord, plan.Taken, plan.FromOffcuts, plan.Waste, plan.Short})
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
	require.Equal(t, 1140*length.Centimetre, plan.Taken)
	require.Equal(t, []Remainder{{Length: 3860 * length.Centimetre, Count: 1, Stock: 1, Label: "spool"}}, plan.Remainders())
}
