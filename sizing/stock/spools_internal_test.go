package stock

import (
	"math/rand/v2"
	"testing"

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
