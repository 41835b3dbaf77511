package stock

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"larkfold/sizing/length"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
)

// everyPattern lists the patterns of every bar, full or not, by plain recursion.
func everyPattern(in *instance) []pattern {
	var list []pattern
	now := make([]int, len(in.size))
	for k, bar := range in.bars {
		var walk func(i int, room int64)
		walk = func(i int, room int64) {
			if i == len(now) {
				p := pattern{bar: k, content: bar.capacity - room}
				for j, n := range now {
					if n > 0 {
						p.takes = append(p.takes, take{j, n})
					}
				}
				if len(p.takes) > 0 {
					list = append(list, p)
				}
				return
			}
			for n := 0; n <= in.demand[i] && int64(n)*in.size[i] <= room; n++ {
				now[i] = n
				walk(i+1, room-int64(n)*in.size[i])
			}
			now[i] = 0
		}
		walk(0, bar.capacity)
	}
	return list
}

// referee solves the linear program over the patterns given with gonum's simplex.
func referee(t *testing.T, in *instance, patterns []pattern) float64 {
	limited := make(map[int]int)
	for k, bar := range in.bars {
		if !bar.unlimited {
			limited[k] = len(in.size) + len(limited)
		}
	}
	rows, columns := len(in.size)+len(limited), len(patterns)+len(in.size)+len(limited)
	a := mat.NewDense(rows, columns, nil)
	b, c := make([]float64, rows), make([]float64, columns)
	for j, p := range patterns {
		c[j] = float64(in.cost(p))
		for _, tk := range p.takes {
			a.Set(tk.item, j, float64(tk.n))
		}
		if row, ok := limited[p.bar]; ok {
			a.Set(row, j, 1)
		}
	}
	for i, d := range in.demand {
		b[i] = float64(d)
		a.Set(i, len(patterns)+i, -1)
	}
	for k, row := range limited {
		b[row] = float64(in.bars[k].count)
		a.Set(row, len(patterns)+row, 1)
	}
	value, _, err := lp.Simplex(c, a, b, 1e-9, nil)
	require.NoError(t, err)
	return value
}

func instanceOf(t *testing.T, p Problem) *instance {
	require.NoError(t, p.check())
	merged, goods := merge(p)
	in, _, err := priced(merged, goods, p, p.goal())
	require.NoError(t, err)
	return in
}

func rootBound(in *instance, upper int64) float64 {
	never := func(float64) bool { return false }
	return newRelaxer(in, math.MaxInt).relax(context.Background(), newPartial(in), upper, never).bound
}

// The bound against gonum's simplex over every pattern, and against the
// published values of the linear program where there are any.
func TestBoundEqualsReferee(t *testing.T) {
	for _, test := range []struct {
		name      string
		problem   Problem
		patterns  int     // published number of patterns; 0 for none
		published float64 // 0 for none
		tolerance float64
	}{
		// The encyclopaedia article counts 308 possible patterns; its bound is 72.9167.
		{"paper mill", paperMill(), 308, 72.9167, 5e-5},
		// GAMS model library, model "cutstock": 452.25.
		{"Chvatal", chvatal(), 0, 452.25, 1e-5},
		{"Gilmore and Gomory", gilmoreGomory(), 0, 0, 0},
	} {
		t.Run(test.name, func(t *testing.T) {
			in := instanceOf(t, test.problem)
			patterns := everyPattern(in)
			if test.patterns > 0 {
				require.Len(t, patterns, test.patterns)
			}
			bound := rootBound(in, 1000)
			require.InEpsilon(t, referee(t, in, patterns), bound, 1e-7)
			if test.published > 0 {
				require.InDelta(t, test.published, bound, test.tolerance)
			}
		})
	}
}

// With offcuts and limited spools the the patterns of limited bars pay their dual.
func TestBoundEqualsRefereeWithOffcuts(t *testing.T) {
	for seed := range uint64(30) {
		r := rand.New(rand.NewPCG(seed, 7))
		var p Problem
		for range 4 {
			p.Pieces = append(p.Pieces, Piece{Length: length.Length(20+r.IntN(50)) * length.Centimetre, Count: 1 + r.IntN(9)})
		}
		for range 4 {
			p.Stock = append(p.Stock, Stock{Length: length.Length(40+r.IntN(60)) * length.Centimetre, Count: 1 + r.IntN(3), Offcut: true})
		}
		p.Stock = append(p.Stock,
			Stock{Length: 110 * length.Centimetre, Count: 1 + r.IntN(3), Price: 100},
			Stock{Length: 150 * length.Centimetre, Price: 160})
		in := instanceOf(t, p)
		want := referee(t, in, everyPattern(in))
		require.InDelta(t, want, rootBound(in, 1000), 1e-5*(1+want), "seed %d", seed)
	}
}

// A basis whose inverse, levels and prices have gone astray is put right.
func TestRefactor(t *testing.T) {
	p := paperMill()
	p.Stock = append(p.Stock, Stock{Length: 3700 * length.Millimetre, Count: 5, Offcut: true})
	in := instanceOf(t, p)
	m := newMaster(newPartial(in), 1e12)
	for i, pat := range everyPattern(in) {
		m.addPattern(i, pat, in.cost(pat))
	}
	scale := float64(in.bars[1].fixed)
	m.optimise(context.Background(), scale)
	require.Less(t, m.residual(scale), mostlyRounded)
	level, dual, keyLevel, setDual := slices.Clone(m.level), slices.Clone(m.dual), slices.Clone(m.keyLevel), slices.Clone(m.setDual)

	r := rand.New(rand.NewPCG(1, 2))
	for _, list := range [][]float64{m.inverse, m.level, m.dual} {
		for i := range list {
			list[i] *= 1 + 1e-3*r.Float64()
		}
	}
	require.Greater(t, m.residual(scale), mostlyRounded)
	m.refactor()
	require.Less(t, m.residual(scale), 1e-9)
	for name, pair := range map[string][2][]float64{
		"levels": {level, m.level}, "prices": {dual, m.dual}, "key levels": {keyLevel, m.keyLevel}, "duals of sets": {setDual, m.setDual},
	} {
		require.InDeltaSlice(t, pair[0], pair[1], 1e-6*scale, name)
	}
}
