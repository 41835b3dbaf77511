package stock

import (
	"context"
	"math"
	"slices"
	"testing"
	"time"

	"larkfold/sizing/length"

	"github.com/stretchr/testify/require"
)

func TestSolveRefuses(t *testing.T) {
	const m = length.Metre
	good := func() Problem {
		return Problem{Pieces: []Piece{{Length: 2 * m, Count: 3}}, Stock: []Stock{{Length: 50 * m}}}
	}
	for _, test := range []struct {
		change func(p *Problem)
		want   string
	}{
		{func(p *Problem) { p.Pieces = nil }, "nothing to cut: name at least one piece"},
		{func(p *Problem) { p.Stock = nil }, "nothing to cut from: name at least one offcut or spool"},
		{func(p *Problem) { p.Stock = make([]Stock, 5_001) }, "5001 lines of stock are too many: at most 5000"},
		{func(p *Problem) { p.Pieces[0].Length = 0 }, "piece 1: length 0 cm: want more than 0"},
		{func(p *Problem) { p.Pieces[0].Length = -m / 2 }, "piece 1: length -50 cm: want more than 0"},
		{func(p *Problem) { p.Pieces[0].Length = 1e18 }, "piece 1: length 1000000 km: want at most 10 km"},
		{func(p *Problem) { p.Pieces[0] = Piece{51 * m, 1, "A"} }, `piece 1 ("A") of 51 m is longer than the longest stock, 50 m`},
		{func(p *Problem) { p.Pieces[0].Count = 0 }, "piece 1: count 0: want at least 1"},
		{func(p *Problem) { p.Pieces[0].Count = -4 }, "piece 1: count -4: want at least 1"},
		{func(p *Problem) { p.Pieces[0].Count = math.MaxInt }, "piece 1: count 9223372036854775807: more than 20000 pieces in all are too many"},
		{func(p *Problem) { p.Pieces = append(p.Pieces, Piece{m, 19_998, "B"}) }, `piece 2 ("B"): count 19998: more than 20000 pieces in all are too many`},
		{func(p *Problem) { p.Stock[0].Length = -m }, "spool 1: length -1 m: want more than 0"},
		{func(p *Problem) { p.Stock[0].Length = -1e18 }, "spool 1: length -1000000 km: want more than 0"},
		{func(p *Problem) { p.Stock[0].Count = -1 }, "spool 1: count -1: want 0 for no limit, or more"},
		{func(p *Problem) { p.Stock[0].Price = -1 }, "spool 1: price -0.01: want from 0 to 1000000.00"},
		{func(p *Problem) { p.Stock[0].Price = 100_000_001 }, "spool 1: price 1000000.01: want from 0 to 1000000.00"},
		{func(p *Problem) { p.Stock[0].PerMetre = -250 }, "spool 1: price per metre -2.50: want from 0 to 1000000.00"},
		{func(p *Problem) { p.Stock[0].Price, p.Stock[0].PerMetre = 1, 1 }, "spool 1: a price for the spool and a price per metre: want one of them"},
		{func(p *Problem) { p.Stock[0] = Stock{Length: m, Count: 1, Offcut: true, Price: 1, Label: "red"} }, `offcut 1 ("red"): an offcut with a price: offcuts cost nothing, give it as a spool`},
		{func(p *Problem) { p.Stock[0].Offcut = true }, "offcut 1: an offcut without a count: say how many there are"},
		{func(p *Problem) { p.Kerf = -1 }, "kerf -0.000001 mm: want from 0 cm to 10 km"},
		{func(p *Problem) { p.Kerf = 10_001 * m }, "kerf 10.001 km: want from 0 cm to 10 km"},
		{func(p *Problem) { p.Keep = -m }, "shortest remainder to keep -1 m: want from 0 cm to 10 km"},
		{func(p *Problem) {
			p.Pieces = []Piece{{Length: 2*m + 1, Count: 10_000}, {Length: 3 * m, Count: 10_000}}
			p.Stock = []Stock{{Length: 50 * m, Price: 99_999_999}, {Length: 10_000 * m, PerMetre: 99_999_998}}
		}, "prices, lengths and counts together are too large to add up exactly: use rounder lengths or fewer pieces"},
	} {
		t.Run(test.want, func(t *testing.T) {
			p := good()
			test.change(&p)
			_, err := Solve(context.Background(), p)
			require.EqualError(t, err, test.want)
		})
	}
}

// What is refused begins just beyond the most that is taken.
func TestTheMostIsTaken(t *testing.T) {
	most := Problem{
		Pieces: []Piece{{Length: MaxLength, Count: MaxPieces - 1}, {Length: 1, Count: 1}},
		Stock:  make([]Stock, MaxStock), Kerf: MaxLength, Keep: MaxLength,
	}
	for i := range most.Stock {
		most.Stock[i] = Stock{Length: MaxLength, Price: MaxPrice}
	}
	most.Stock[1] = Stock{Length: 1, PerMetre: MaxPrice}
	require.NoError(t, most.check())
	for name, beyond := range map[string]func(p *Problem){
		"piece": func(p *Problem) { p.Pieces = []Piece{{Length: MaxLength + 1, Count: 1}} },
		"count": func(p *Problem) { p.Pieces[1].Count++ },
		"lines": func(p *Problem) { p.Stock = append(p.Stock, p.Stock[0]) },
		"kerf":  func(p *Problem) { p.Kerf++ },
		"keep":  func(p *Problem) { p.Keep++ },
		"price": func(p *Problem) { p.Stock[0].Price++ },
		"metre": func(p *Problem) { p.Stock[1].PerMetre++ },
	} {
		p := most
		p.Pieces, p.Stock = slices.Clone(most.Pieces), slices.Clone(most.Stock)
		beyond(&p)
		require.Error(t, p.check(), name)
	}
}

func TestSolveRefusesPiecesLongerThanAllStock(t *testing.T) {
	_, err := Solve(context.Background(), Problem{
		Pieces: []Piece{{Length: length.Metre, Count: 1}, {Length: 3 * length.Metre, Count: 2, Label: "B"}},
		Stock:  []Stock{{Length: 2 * length.Metre}, {Length: length.Metre, Count: 1, Offcut: true}},
	})
	var tooLong *TooLongError
	require.ErrorAs(t, err, &tooLong)
	require.Equal(t, TooLongError{Piece: 1, Label: "B", Length: 3 * length.Metre, Longest: 2 * length.Metre}, *tooLong)
}

func FuzzSolve(f *testing.F) {
	f.Add(int64(2e9), 3, int64(1e9), 2, int64(50e9), 0, int64(0), int64(0), int64(0), int64(0), false)
	f.Add(int64(1), 19_000, int64(1e13), 1, int64(1e13), 1, int64(7), int64(3), int64(5), int64(0), true)
	f.Add(int64(-1), -1, int64(math.MaxInt64), math.MaxInt, int64(math.MinInt64), -1, int64(math.MaxInt64), int64(-1), int64(-1), int64(100_000_000), true)
	f.Fuzz(func(t *testing.T, piece1 int64, n1 int, piece2 int64, n2 int, stock int64, count int, kerf, keep, price, perMetre int64, offcut bool) {
		p := Problem{
			Pieces: []Piece{{Length: length.Length(piece1), Count: n1}, {Length: length.Length(piece2), Count: n2}},
			Stock: []Stock{
				{Length: length.Length(stock), Count: count, Price: Price(price), PerMetre: Price(perMetre)},
				{Length: 30 * length.Metre, Count: max(1, min(9, count)), Offcut: offcut},
			},
			Kerf: length.Length(kerf), Keep: length.Length(keep),
		}
		ctx, cancel := context.WithTimeout(context.Background(), 50*time.Millisecond)
		defer cancel()
		plan, err := Solve(ctx, p)
		if err == nil {
			requireSound(t, p, plan)
		}
	})
}
