package stock

import (
	"cmp"
	"errors"
	"math"
	"math/bits"
	"slices"

	"larkfold/sizing/length"
)

// An instance is a problem stripped to numbers: equal pieces and equal stock
// merged, the kerf added to both, and lengths counted in the greatest unit that
// divides every piece. Sizes go down; bars have the free ones first.
type instance struct {
	size   []int64
	demand []int
	bars   []bar
	unit   length.Length
}

// A bar is a class of equal stock. Cutting content out of one costs
// fixed + rate*content.
type bar struct {
	capacity    int64
	count       int  // never more than there are pieces
	unlimited   bool // count is no limit
	fixed, rate int64
}

func (b bar) free() bool { return b.fixed == 0 && b.rate == 0 }

// byTheMetre is cord without limit that costs only what is cut off.
func (b bar) byTheMetre() bool { return b.unlimited && b.fixed == 0 && b.rate > 0 }

// A take is n pieces of one size in a pattern.
type take struct{ item, n int }

// A pattern cuts content out of one bar.
type pattern struct {
	bar     int
	takes   []take // by item
	content int64
}

// A use is a pattern and how many bars are cut by it.
type use struct {
	pattern
	times int
}

// cost returns what one bar cut by the pattern costs.
func (in *instance) cost(p pattern) int64 {
	b := in.bars[p.bar]
	return b.fixed + b.rate*p.content
}

// total returns the cost of a whole solution.
func (in *instance) total(uses []use) int64 {
	sum := int64(0)
	for _, u := range uses {
		sum += in.cost(u.pattern) * int64(u.times)
	}
	return sum
}

func (in *instance) pieces() int {
	n := 0
	for _, d := range in.demand {
		n += d
	}
	return n
}

// A goods remembers which lines of the problem were merged into the items and
// bars of an instance.
type goods struct {
	pieces [][]int // by item
	stock  [][]int // by bar
}

// merge turns a checked problem into an instance whose costs are zero.
func merge(p Problem) (*instance, goods) {
	var g goods
	in := &instance{}
	order := make([]int, len(p.Pieces))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(p.Pieces[b].Length, p.Pieces[a].Length) })
	for k, i := range order {
		piece := p.Pieces[i]
		if k == 0 || piece.Length != p.Pieces[order[k-1]].Length {
			in.size = append(in.size, int64(piece.Length+p.Kerf))
			in.demand = append(in.demand, 0)
			g.pieces = append(g.pieces, nil)
		}
		last := len(in.size) - 1
		in.demand[last] += piece.Count
		g.pieces[last] = append(g.pieces[last], i)
	}
	divisor := int64(0)
	for _, w := range in.size {
		divisor = gcd(divisor, w)
	}
	in.unit = length.Length(divisor)
	for i := range in.size {
		in.size[i] /= divisor
	}

	total := in.pieces()
	order = order[:0]
	for i, s := range p.Stock {
		if int64(s.Length+p.Kerf)/divisor >= in.size[len(in.size)-1] {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int { return compareStock(p.Stock[a], p.Stock[b]) })
	for k, i := range order {
		s := p.Stock[i]
		if k == 0 || compareStock(s, p.Stock[order[k-1]]) != 0 {
			in.bars = append(in.bars, bar{capacity: int64(s.Length+p.Kerf) / divisor})
			g.stock = append(g.stock, nil)
		}
		last := len(in.bars) - 1
		b := &in.bars[last]
		b.count = min(b.count+min(s.Count, total), total)
		if s.Count == 0 {
			b.unlimited, b.count = true, total
		}
		g.stock[last] = append(g.stock[last], i)
	}
	return in, g
}

// compareStock orders offcuts before spools and short before long; zero means
// that two lines may be merged.
func compareStock(a, b Stock) int {
	free := func(s Stock) int {
		if s.Offcut {
			return 0
		}
		return 1
	}
	return cmp.Or(cmp.Compare(free(a), free(b)), cmp.Compare(a.Length, b.Length),
		cmp.Compare(a.Price, b.Price), cmp.Compare(a.PerMetre, b.PerMetre))
}

// priced returns the instance with the costs of the goal, and how many
// hundredths times a billion, or nanometres, one unit of cost is.
func priced(in *instance, g goods, p Problem, goal Goal) (*instance, int64, error) {
	out := *in
	out.bars = slices.Clone(in.bars)
	divisor := int64(0)
	for k := range out.bars {
		b, s := &out.bars[k], p.Stock[g.stock[k][0]]
		switch {
		case s.Offcut:
		case goal == LeastCost:
			b.fixed = int64(s.Price) * int64(length.Metre)
			hi, lo := bits.Mul64(uint64(s.PerMetre), uint64(in.unit))
			if hi != 0 || lo > math.MaxInt64 {
				return nil, 0, errTooLarge
			}
			b.rate = int64(lo)
		case s.PerMetre > 0:
			b.rate = int64(in.unit)
		default:
			b.fixed = int64(s.Length)
		}
		divisor = gcd(gcd(divisor, b.fixed), b.rate)
	}
	divisor = max(divisor, 1)
	pieces := int64(in.pieces())
	for k := range out.bars {
		b := &out.bars[k]
		b.fixed /= divisor
		b.rate /= divisor
		hi, lo := bits.Mul64(uint64(b.rate), uint64(b.capacity))
		if hi != 0 || lo > maxCost || b.fixed > maxCost || (b.fixed+int64(lo)) > maxCost/pieces {
			return nil, 0, errTooLarge
		}
	}
	return &out, divisor, nil
}

// maxCost keeps every sum of costs, and every product the bounds need, inside an int64.
const maxCost = math.MaxInt64 / 4

var errTooLarge = errors.New("prices, lengths and counts together are too large to add up exactly: use rounder lengths or fewer pieces")

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
