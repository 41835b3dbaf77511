package stock

import (
	"context"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"larkfold/sizing/length"
)

// Counted in bulk, first fit takes what it takes placed one by one: enough for all, and
// no more than half as much again as the content asks for.
func TestSpoolsInBulk(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 11))
	for range 300 {
		spool := length.Length(100+random.IntN(900)) * length.Centimetre
		var p Problem
		p.Stock = []Stock{{Length: spool}}
		one := []length.Length{} // bars as they are, one by one
		var pieces []Piece
		for range 1 + random.IntN(6) {
			pieces = append(pieces, Piece{Length: length.Length(5+random.IntN(95)) * spool / 100, Count: 1 + random.IntN(40)})
		}
		p.Pieces = pieces
		in, _ := merge(p)
		in.bars[0].fixed = 1
		for i, size := range in.size {
			for range in.demand[i] {
				at := 0
				for at < len(one) && int64(one[at]) < size {
					at++
				}
				if at == len(one) {
					one = append(one, length.Length(in.bars[0].capacity))
				}
				one[at] -= length.Length(size)
			}
		}
		require.EqualValues(t, len(one), in.inBulk(), "%v on %v", pieces, spool)
	}
}

// A million pieces are counted at once.
func TestSpoolsForAMillionPieces(t *testing.T) {
	n, fewest := Spools([]Piece{{Length: 6 * length.Metre, Count: 1_000_000}}, 10*length.Metre)
	require.Equal(t, 1_000_000, n)
	require.True(t, fewest, "one to a spool, for two do not fit")
}

// What fits is told by a plan, and what cannot is not told to.
func TestFits(t *testing.T) {
	m := length.Metre
	for _, test := range []struct {
		stock  []Stock
		pieces []Piece
		fits   bool
	}{
		{[]Stock{{Length: 10 * m, Count: 1}}, []Piece{{Length: 5 * m, Count: 2}}, true},
		{[]Stock{{Length: 10*m - 1, Count: 1}}, []Piece{{Length: 5 * m, Count: 2}}, false},
		{[]Stock{{Length: 10 * m, Count: 1}, {Length: 5 * m, Count: 1}}, []Piece{{Length: 5 * m, Count: 3}}, true},
		{[]Stock{{Length: 10 * m, Count: 1}, {Length: 5*m - 1, Count: 1}}, []Piece{{Length: 5 * m, Count: 3}}, false},
		// the largest first would leave 4 over: 6+4 and 5+5 are needed
		{[]Stock{{Length: 10 * m, Count: 2}}, []Piece{{Length: 6 * m, Count: 1}, {Length: 5 * m, Count: 2}, {Length: 4 * m, Count: 1}}, true},
		{[]Stock{{Length: 12 * m, Count: 2}}, []Piece{{Length: 4 * m, Count: 3}, {Length: 3 * m, Count: 4}}, true},
		{[]Stock{{Length: 16 * m, Count: 2}}, []Piece{{Length: 6 * m, Count: 2}, {Length: 5 * m, Count: 4}}, true},
		{lengths(378, 887, 650), cuts(160, 124, 90, 577, 300, 91, 447, 95), true},
	} {
		fits, err := Fits(t.Context(), Problem{Stock: test.stock, Pieces: test.pieces})
		require.NoError(t, err)
		require.Equal(t, test.fits, fits, "%v from %v", test.pieces, test.stock)
	}
}

func lengths(centimetres ...int) (all []Stock) {
	for _, l := range centimetres {
		all = append(all, Stock{Length: length.Length(l) * length.Centimetre, Count: 1, Offcut: true})
	}
	return all
}

func cuts(centimetres ...int) (all []Piece) {
	for _, l := range centimetres {
		all = append(all, Piece{Length: length.Length(l) * length.Centimetre, Count: 1})
	}
	return all
}

// Whether pieces fit that no quick rule places does not hang on the clock: with a
// deadline, near or far, as without one; and when the time is over nothing is said.
func TestFitsIsCountedNotTimed(t *testing.T) {
	p := Problem{Stock: lengths(378, 887, 650), Pieces: cuts(160, 124, 90, 577, 300, 91, 447, 95)}
	in, _ := merge(p)
	_, whole := greedy(t.Context(), newPartial(in))
	require.False(t, whole, "the quick rules place it: take another")
	for _, left := range []time.Duration{time.Minute, time.Hour} {
		ctx, cancel := context.WithTimeout(t.Context(), left)
		defer cancel()
		fits, err := Fits(ctx, p)
		require.NoError(t, err)
		require.True(t, fits)
	}
	over, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := Fits(over, p)
	require.ErrorIs(t, err, context.Canceled)
}
