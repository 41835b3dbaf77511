package stock

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"larkfold/sizing/length"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// figures are the aims of a plan in their order, in nanometres and in hundredths
// times a billion.
type figures struct{ short, cost, taken int64 }

func (a figures) less(b figures) bool {
	switch {
	case a.short != b.short:
		return a.short < b.short
	case a.cost != b.cost:
		return a.cost < b.cost
	}
	return a.taken < b.taken
}

// bruteForce finds the best figures by trying every set of pieces on every
// length of stock.
func bruteForce(p Problem) figures {
	var sizes []length.Length
	for _, piece := range p.Pieces {
		for range piece.Count {
			sizes = append(sizes, piece.Length+p.Kerf)
		}
	}
	all := 1<<len(sizes) - 1
	content := make([]length.Length, all+1)
	for set := 1; set <= all; set++ {
		for i, w := range sizes {
			if set>>i&1 == 1 {
				content[set] += w
			}
		}
	}
	price := func(s Stock, set int) figures {
		l := content[set]
		switch {
		case s.Offcut:
			return figures{}
		case p.goal() == LeastCost:
			return figures{cost: int64(s.Price)*int64(length.Metre) + int64(s.PerMetre)*int64(l), taken: int64(l)}
		case s.PerMetre > 0:
			return figures{cost: int64(l), taken: int64(l)}
		}
		return figures{cost: int64(s.Length), taken: int64(l)}
	}
	never := figures{cost: math.MaxInt64}
	best := make([]figures, all+1)
	for set := range best {
		best[set] = never
	}
	best[0] = figures{}
	one := func(from []figures, s Stock, set int) figures {
		least := from[set]
		for sub := set; sub > 0; sub = (sub - 1) & set {
			if content[sub] > s.Length+p.Kerf || from[set^sub] == never {
				continue
			}
			f, rest := price(s, sub), from[set^sub]
			f.cost += rest.cost
			f.taken += rest.taken
			if f.less(least) {
				least = f
			}
		}
		return least
	}
	for _, s := range p.Stock {
		if s.Count == 0 {
			for set := 1; set <= all; set++ { // subsets come first
				best[set] = one(best, s, set)
			}
			continue
		}
		for range s.Count {
			next := make([]figures, all+1)
			for set := range next {
				next[set] = one(best, s, set)
			}
			best = next
		}
	}
	least := never
	least.short = math.MaxInt64
	for set, f := range best {
		if f == never {
			continue
		}
		f.short = int64(content[all^set])
		if f.less(least) {
			least = f
		}
	}
	return least
}

// taken is what a plan cuts off spools, kerf included.
func taken(p Problem, plan Plan) length.Length {
	sum := length.Length(0)
	for _, pat := range plan.Patterns {
		for _, c := range pat.Cuts {
			if !pat.Offcut {
				sum += (c.Length + p.Kerf) * length.Length(pat.Times)
			}
		}
	}
	return sum
}

func figuresOf(p Problem, plan Plan) figures {
	f := figures{short: int64(plan.Short), taken: int64(taken(p, plan))}
	for _, pat := range plan.Patterns {
		s := p.Stock[pat.Stock]
		if s.Offcut {
			continue
		}
		content := length.Length(0)
		for _, c := range pat.Cuts {
			content += c.Length + p.Kerf
		}
		each := int64(s.Length)
		switch {
		case plan.Goal == LeastCost:
			each = int64(s.Price)*int64(length.Metre) + int64(s.PerMetre)*int64(content)
		case s.PerMetre > 0:
			each = int64(content)
		}
		f.cost += each * int64(pat.Times)
	}
	return f
}

// smallProblem draws up to so many pieces, offcuts and spools, limited or not,
// priced whole, by the metre, or not at all.
func smallProblem(most int) *rapid.Generator[Problem] {
	return rapid.Custom(func(t *rapid.T) Problem {
		unit := rapid.SampledFrom([]length.Length{length.Centimetre, length.Inch / 8, 1234567}).Draw(t, "unit")
		var p Problem
		longest := 0
		for range rapid.IntRange(1, 3).Draw(t, "kinds of stock") {
			n := rapid.IntRange(10, 60).Draw(t, "stock")
			longest = max(longest, n)
			s := Stock{Length: length.Length(n) * unit, Offcut: rapid.Bool().Draw(t, "offcut")}
			s.Count = rapid.IntRange(0, 3).Draw(t, "count")
			if s.Offcut {
				s.Count = max(1, s.Count)
			}
			p.Stock = append(p.Stock, s)
		}
		pricing := rapid.IntRange(0, 3).Draw(t, "pricing")
		for i := range p.Stock {
			s := &p.Stock[i]
			if s.Offcut || pricing == 0 {
				continue
			}
			amount := Price(rapid.IntRange(100, 130).Draw(t, "price"))
			if pricing == 1 || pricing == 2 && i == 0 {
				s.Price = amount
			} else {
				s.PerMetre = amount
			}
		}
		p.Kerf = length.Length(rapid.IntRange(0, 2).Draw(t, "kerf")) * unit
		p.Keep = length.Length(rapid.IntRange(0, 9).Draw(t, "keep")) * unit
		left := rapid.IntRange(1, most).Draw(t, "pieces")
		for left > 0 {
			n := rapid.IntRange(1, min(3, left)).Draw(t, "count")
			left -= n
			p.Pieces = append(p.Pieces, Piece{Length: length.Length(rapid.IntRange(3, longest).Draw(t, "piece")) * unit, Count: n})
		}
		return p
	})
}

func requireBest(t require.TestingT, p Problem) {
	plan, err := Solve(context.Background(), p)
	require.NoError(t, err)
	requireSound(t, p, plan)
	best := bruteForce(p)
	got := figuresOf(p, plan)
	require.True(t, plan.Proved)
	require.Equal(t, best.short, got.short, "left out")
	require.Equal(t, plan.Bound.Short, plan.Short)
	if plan.Goal == LeastCost {
		require.Equal(t, plan.Bound.Cost, plan.Cost)
	} else {
		require.Equal(t, plan.Bound.NewCord, plan.NewCord)
	}
	if best.short == 0 {
		require.Equal(t, best.cost, got.cost, "cost")
		if !mixed(p) {
			require.Equal(t, best.taken, got.taken, "taken")
		}
	}
}

// mixed tells whether some spools are sold whole and others by the metre; then
// what is taken is not searched for beyond what the cost asks.
func mixed(p Problem) bool {
	whole, metre := false, false
	for _, s := range p.Stock {
		if !s.Offcut {
			whole = whole || s.PerMetre == 0
			metre = metre || s.PerMetre > 0
		}
	}
	return whole && metre
}

func TestSolveEqualsBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { requireBest(t, smallProblem(9).Draw(t, "problem")) })
}

// Twelve pieces of nearly as many lengths, drawn alike likely, so that the
// search has to work.
func TestSolveEqualsBruteForceOnTwelvePieces(t *testing.T) {
	for seed := range uint64(40) {
		r := rand.New(rand.NewPCG(seed, 12))
		var p Problem
		for range 12 {
			p.Pieces = append(p.Pieces, Piece{Length: length.Length(15+r.IntN(46)) * length.Centimetre, Count: 1})
		}
		p.Stock = []Stock{
			{Length: length.Length(60+r.IntN(60)) * length.Centimetre, Count: 1 + r.IntN(2), Offcut: true},
			{Length: length.Length(60+r.IntN(60)) * length.Centimetre, Count: 1 + r.IntN(2), Price: Price(seed % 2 * 70)},
			{Length: 120 * length.Centimetre, Count: int(seed % 5), Price: Price(seed % 2 * 100)},
		}
		requireBest(t, p)
	}
}

// However early a search stops and however bad the solution it starts from, the
// bound never exceeds the best, and a proof is one.
func TestBoundNeverExceedsTheBest(t *testing.T) {
	onePiece := func(part *partial, k int) pattern {
		for i, w := range part.in.size {
			if part.demand[i] > 0 && w <= part.in.bars[k].capacity {
				return pattern{bar: k, takes: []take{{i, 1}}, content: w}
			}
		}
		return pattern{bar: k}
	}
	ctx := context.Background()
	rapid.Check(t, func(t *rapid.T) {
		p := smallProblem(9).Draw(t, "problem")
		best := bruteForce(p)
		if best.short > 0 {
			return
		}
		merged, goods := merge(p)
		in, unit, err := priced(merged, goods, p, p.goal())
		require.NoError(t, err)
		part := newPartial(in)
		if !part.inOrder(ctx, nil, onePiece) {
			return
		}
		for _, work := range []int{1, 10_000, 100_000, 1_000_000, 100_000_000} {
			uses, bound := minimise(ctx, in, part.uses, work)
			require.LessOrEqual(t, bound*unit, best.cost, "work %d", work)
			require.GreaterOrEqual(t, in.total(uses)*unit, best.cost)
			if in.wholeOnly() {
				uses, bound = byCounts(ctx, in, part.uses, work)
				require.LessOrEqual(t, bound*unit, best.cost, "counts, work %d", work)
				require.GreaterOrEqual(t, in.total(uses)*unit, best.cost)
			}
		}
		if in.wholeOnly() { // with enough work they are settled
			uses, bound := byCounts(ctx, in, part.uses, math.MaxInt)
			require.Equal(t, best.cost, bound*unit)
			require.Equal(t, best.cost, in.total(uses)*unit)
		}
	})
}

// The exact search on its own, without quick rules, dives and the ladder that
// lifts bounds, finds the best and knows that it saw everything.
func TestBranchIsExact(t *testing.T) {
	ctx := context.Background()
	for seed := range uint64(80) {
		r := rand.New(rand.NewPCG(seed, 21))
		var p Problem
		for range 5 {
			p.Pieces = append(p.Pieces, Piece{Length: length.Length(20+r.IntN(50)) * length.Centimetre, Count: 1 + r.IntN(3)})
		}
		p.Stock = []Stock{
			{Length: length.Length(70+r.IntN(40)) * length.Centimetre, Count: 1 + r.IntN(2), Offcut: true},
			{Length: 100 * length.Centimetre, Price: Price(90 + r.IntN(20))},
			{Length: length.Length(120+r.IntN(60)) * length.Centimetre, Count: 3, Price: Price(130 + r.IntN(40))},
		}
		if seed%2 == 0 {
			p.Stock[2].Count, p.Stock[2].Price, p.Stock[2].PerMetre = 1, 0, Price(60+r.IntN(60))
		}
		merged, goods := merge(p)
		in, unit, err := priced(merged, goods, p, LeastCost)
		require.NoError(t, err)
		s := newSearch(ctx, in, 1000*1e9/unit, math.MaxInt)
		s.ladder = ladder{}
		s.quick = func(context.Context, *partial) (*partial, bool) { return nil, false }
		require.True(t, s.branch(newPartial(in), 0, nil, -1), "seed %d", seed)
		require.Equal(t, bruteForce(p).cost, s.cost*unit, "seed %d", seed)
		require.Equal(t, s.cost, in.total(s.best))
	}
}
