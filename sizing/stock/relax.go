package stock

import (
	"cmp"
	"context"
	"encoding/binary"
	"slices"
)

// A pool remembers every pattern that a search has met, each once.
type pool struct {
	patterns []pattern
	index    map[string]int
}

// add returns where the pattern stands, and whether it is new.
func (p *pool) add(pat pattern) (int, bool) {
	key := pat.key()
	if i, ok := p.index[key]; ok {
		return i, false
	}
	i := len(p.patterns)
	p.patterns = append(p.patterns, pat)
	p.index[key] = i
	return i, true
}

// key is equal for equal patterns only.
func (p pattern) key() string {
	key := make([]byte, 0, 4+6*len(p.takes))
	key = binary.AppendUvarint(key, uint64(p.bar))
	for _, t := range p.takes {
		key = binary.AppendUvarint(key, uint64(t.item))
		key = binary.AppendUvarint(key, uint64(t.n))
	}
	return string(key)
}

// A relaxation is the solution of a residual problem's linear program.
type relaxation struct {
	bound float64    // no way to cut the rest costs less
	use   []activity // patterns in the solution
	// pieceDual and barDual are dual prices that prove the bound: of a piece of each
	// item, and of a bar of each class (zero or less).
	pieceDual []float64
	barDual   []float64
}

type activity struct {
	pattern
	level float64
}

// slack is how much of a bound may be rounding: far more than the sums of
// floating point numbers behind it can be off.
const slack = 1e-9

// A relaxer solves relaxations, keeping the patterns it has met.
type relaxer struct {
	in     *instance
	pool   pool
	sack   knapsack
	recent []int // patterns in the last basis
	work   int   // done so far, about in nanoseconds
	limit  int   // of the work
}

func newRelaxer(in *instance, limit int) *relaxer {
	return &relaxer{in: in, pool: pool{index: make(map[string]int)}, limit: limit}
}

// relax bounds what is left to cut from below by column generation. The
// fills it prices may miss the best until none is found; then it looks again
// without giving up, so that the bound is that of the linear program whatever
// the sizes. It stops early when enough says that the bound is high enough, when
// the work allowed is done or the context ends; the bound holds in any case.
func (r *relaxer) relax(ctx context.Context, part *partial, upper int64, enough func(bound float64) bool) relaxation {
	in := r.in
	scale := float64(upper) + 1
	m := newMaster(part, 4*scale)
	dear := 1.0
	for k, bar := range in.bars {
		if part.count[k] > 0 {
			dear = max(dear, float64(bar.fixed)+float64(bar.rate)*float64(bar.capacity))
		}
	}
	offered := make([]bool, len(r.pool.patterns))
	offer := func(i int) {
		if p := r.pool.patterns[i]; !offered[i] && part.room(p) > 0 {
			m.addPattern(i, p, in.cost(p))
			offered[i] = true
		}
	}
	for _, i := range r.recent { // the last basis is seldom far from the next
		offer(i)
	}
	m.optimise(ctx, dear)
	for i := range r.pool.patterns {
		offer(i)
	}
	best := relaxation{bound: 0, pieceDual: make([]float64, len(in.size)), barDual: make([]float64, len(in.bars))}
	next := 0 // bar to price first
	steps := longSteps
	for {
		m.optimise(ctx, dear)
		found, whole, exact := r.price(ctx, part, m, &next, dear, steps, &best)
		if enough(best.bound) || ctx.Err() != nil || m.pivots > 200*(m.rows+len(m.key)+20) {
			break
		}
		allowed := (r.limit - r.work - r.sack.work) / workOfStep
		if found == 0 && whole && (exact || allowed <= steps) {
			break
		}
		steps = longSteps
		if found == 0 && whole {
			steps = allowed
		}
	}
	r.work += m.work + r.sack.work + 100*len(r.pool.patterns)
	r.sack.work = 0
	r.recent = r.recent[:0]
	for i, j := range m.basis {
		r.report(m, j, m.level[i], &best)
	}
	for l, j := range m.key {
		r.report(m, j, m.keyLevel[l], &best)
	}
	return best
}

// report adds a basic column to what the relaxation uses, if it is a pattern.
func (r *relaxer) report(m *master, j int, level float64, best *relaxation) {
	c := m.columns[j]
	if c.pattern >= 0 {
		r.recent = append(r.recent, c.pattern)
	}
	if level < 1e-7 {
		return
	}
	if c.pattern >= 0 {
		best.use = append(best.use, activity{r.pool.patterns[c.pattern], level})
	} else if p, ok := r.alone(m, c); ok {
		best.use = append(best.use, activity{p, level})
	}
}

// alone returns the pattern behind a first column that is a bar of one item.
func (r *relaxer) alone(m *master, c column) (pattern, bool) {
	if len(c.entries) != 1 || c.entries[0].value < 1 {
		return pattern{}, false
	}
	i, n := slices.Index(m.itemRow, c.entries[0].row), int(c.entries[0].value)
	p := pattern{takes: []take{{i, n}}, content: int64(n) * r.in.size[i]}
	for k, bar := range r.in.bars {
		p.bar = k
		if bar.unlimited && bar.capacity >= p.content && float64(r.in.cost(p)) == c.cost {
			return p, true
		}
	}
	return pattern{}, false
}

// enoughColumns is how many paying patterns end a round of pricing when there
// are many bars.
const enoughColumns = 24

// price looks for patterns that pay at the present duals, bar by bar, and adds
// them to the program. When it has looked at every bar it raises the bound if it
// can. A search for a fill may take so many steps. It returns how many patterns
// it added, whether every bar was seen, and whether every fill was the best.
func (r *relaxer) price(ctx context.Context, part *partial, m *master, next *int, dear float64, steps int, best *relaxation) (found int, whole, exact bool) {
	in := r.in
	exact = true
	worth := make([]float64, len(in.size))
	for i, row := range m.itemRow {
		if row >= 0 {
			worth[i] = max(0, m.dual[row])
		}
	}
	for k, bar := range in.bars { // cord by the metre without limit caps the worth of every piece it fits
		if bar.byTheMetre() && part.count[k] > 0 {
			for i, w := range in.size {
				if w <= bar.capacity {
					worth[i] = min(worth[i], float64(bar.rate)*float64(w))
				}
			}
		}
	}
	over := make([]float64, len(in.bars)) // what the best fill is worth at most, less the cost of the bar
	rate, widest := int64(-1), int64(0)
	for n := range in.bars {
		k := (*next + n) % len(in.bars)
		bar := in.bars[k]
		if part.count[k] == 0 || bar.byTheMetre() {
			continue
		}
		if found >= enoughColumns || ctx.Err() != nil {
			*next = k
			return found, false, false
		}
		if bar.rate != rate {
			rate = bar.rate
			r.sack.set(in.size, part.demand, func(i int) float64 { return worth[i] - float64(rate)*float64(in.size[i]) })
			widest = 0
			for j, other := range in.bars {
				if other.rate == rate && part.count[j] > 0 {
					widest = max(widest, other.capacity)
				}
			}
		}
		dual := 0.0
		if set := m.setOf[k]; set >= 0 {
			dual = min(0, m.setDual[set])
		}
		threshold := float64(bar.fixed) - dual + payEps*dear
		takes, atMost, sure := r.sack.solve(ctx, bar.capacity, threshold, widest, steps)
		over[k] = atMost - float64(bar.fixed)
		exact = exact && sure
		if takes == nil {
			continue
		}
		p := pattern{bar: k, takes: takes}
		for _, t := range takes {
			p.content += int64(t.n) * in.size[t.item]
		}
		if index, fresh := r.pool.add(p); fresh {
			m.addPattern(index, p, in.cost(p))
			found++
		}
	}
	r.raise(part, worth, over, best)
	return found, true, exact
}

// raise turns prices for the items into a bound: where a bar's best fill is worth
// more than the bar, a limited bar is charged its dual, and otherwise all prices come
// down until no fill is (Farley's bound).
func (r *relaxer) raise(part *partial, worth, over []float64, best *relaxation) {
	in := r.in
	factor := 1.0
	for k, bar := range in.bars {
		if bar.unlimited && part.count[k] > 0 && over[k] > 0 {
			factor = min(factor, float64(bar.fixed)/(float64(bar.fixed)+over[k]))
		}
	}
	sum, size := 0.0, 0.0
	for i, d := range part.demand {
		sum += worth[i] * factor * float64(d)
	}
	size = sum
	dual := make([]float64, len(in.bars))
	for k, bar := range in.bars {
		if bar.unlimited || part.count[k] == 0 {
			continue
		}
		// At prices times factor the best fill is worth at most factor times as much.
		dual[k] = min(0, float64(bar.fixed)-factor*(over[k]+float64(bar.fixed)))
		sum += dual[k] * float64(part.count[k])
		size -= dual[k] * float64(part.count[k])
	}
	bound := sum - slack*size
	if bound <= best.bound {
		return
	}
	best.bound = bound
	for i := range worth {
		worth[i] *= factor
	}
	best.pieceDual, best.barDual = worth, dual
}

// continuous returns the cost of the content as if it were poured: into the free
// bars, then into those that cost least for their length.
func continuous(in *instance) float64 {
	content := 0.0
	for i, d := range in.demand {
		content += float64(d) * float64(in.size[i])
	}
	order := make([]int, len(in.bars))
	for k := range order {
		order[k] = k
	}
	per := func(k int) float64 {
		b := in.bars[k]
		return float64(b.fixed)/float64(b.capacity) + float64(b.rate)
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(per(a), per(b)) })
	sum := 0.0
	for _, k := range order {
		poured := min(content, float64(in.bars[k].count)*float64(in.bars[k].capacity))
		sum += poured * per(k)
		content -= poured
	}
	return sum * (1 - slack)
}
