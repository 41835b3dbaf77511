package stock

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/length"
)

// Six pieces of 51, six of 27, six of 26 and twelve of 23 cm fill nine spools of a metre
// to the last centimetre (51 + 26 + 23 and 27 + 27 + 23 + 23); taking the longest first
// opens eleven. Instances like this are D. S. Johnson's, 1973, from memory.
func TestSpoolsToBuy(t *testing.T) {
	cm := length.Centimetre
	johnson := []Piece{{Length: 51 * cm, Count: 6}, {Length: 27 * cm, Count: 6}, {Length: 26 * cm, Count: 6}, {Length: 23 * cm, Count: 12}}
	for _, tt := range []struct {
		pieces []Piece
		spool  length.Length
		n      int
		fewest bool
	}{
		{johnson, length.Metre, 9, true},
		{johnson, length.Metre - length.Millimetre, 0, true},
		{[]Piece{{Length: 60 * cm, Count: 5}}, length.Metre, 5, true},
		{[]Piece{{Length: length.Metre, Count: 3}}, length.Metre, 3, true},
		{[]Piece{{Length: length.Metre + 1, Count: 1}}, length.Metre, 0, false},
		{nil, length.Metre, 0, false},
		{[]Piece{{Length: 30 * cm, Count: 3 * MaxPieces}}, length.Metre, MaxPieces, true},
		{[]Piece{{Length: 45 * cm, Count: MaxPieces + 1}, {Length: 31 * cm, Count: 1}}, length.Metre, MaxPieces/2 + 1, false}, // too many to search
	} {
		n, fewest := Spools(tt.pieces, tt.spool)
		if tt.n == 0 && tt.fewest {
			require.Greater(t, n, 9, "a millimetre less holds less")
			require.LessOrEqual(t, n, 11, "and not much less")
			continue
		}
		require.Equal(t, tt.n, n)
		require.Equal(t, tt.fewest, fewest)
	}
}

// What is bought is what the cutting plan buys.
func TestSpoolsAreThoseOfThePlan(t *testing.T) {
	proved := 0
	for _, p := range family(12, func(seed uint64) Problem { return uniform(60, seed) }) {
		ctx, cancel := context.WithTimeout(context.Background(), 20*time.Second)
		plan, err := Solve(ctx, p)
		cancel()
		require.NoError(t, err)
		n, fewest := Spools(p.Pieces, p.Stock[0].Length)
		again, _ := Spools(p.Pieces, p.Stock[0].Length)
		require.Equal(t, n, again)
		if !plan.Proved {
			continue
		}
		proved++
		require.GreaterOrEqual(t, n, plan.Spools)
		if fewest {
			require.Equal(t, plan.Spools, n)
		}
	}
	require.Positive(t, proved)
}
