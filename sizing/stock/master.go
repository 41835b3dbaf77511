package stock

import "context"

// A master is the pattern linear program of one residual problem: how often to
// use each pattern so that every item is cut at least as often as wanted, no bar
// is used more often than there are, and the cost is least. It is solved by the
// revised simplex method with an explicit inverse; patterns come in as they are
// found to pay.
type master struct {
	rows    int
	itemRow []int // by item; -1 when none is wanted
	barRow  []int // by bar; -1 when there is no limit
	columns []column
	basis   []int // column by row
	inBasis []bool
	inverse []float64 // of the basis, column by column
	level   []float64 // of the basic columns
	dual    []float64 // by row
	scratch []float64 // the column that comes in, in terms of the basis
	changed []int     // rows where it is not zero
	pivots  int
	work    int // done so far, about in nanoseconds
}

type column struct {
	cost    float64
	entries []entry
	pattern int // index into the pool; -1 for the columns that only make the program whole
}

type entry struct {
	row   int
	value float64
}

// payEps is the reduced cost, as a share of the dearest column, that counts as zero.
const payEps = 1e-9

// newMaster sets up the program for what is left on the bench. The first basis
// is one column for each row: for an item a bar of nothing else when such bars
// are not limited, else the dear make-believe column of that cost.
func newMaster(b *bench, makeBelieve float64) *master {
	in := b.in
	m := &master{itemRow: make([]int, len(in.size)), barRow: make([]int, len(in.bars))}
	var rhs []float64
	for i, d := range b.demand {
		m.itemRow[i] = -1
		if d > 0 {
			m.itemRow[i] = len(rhs)
			rhs = append(rhs, float64(d))
		}
	}
	for k, bar := range in.bars {
		m.barRow[k] = -1
		if !bar.unlimited && b.count[k] > 0 {
			m.barRow[k] = len(rhs)
			rhs = append(rhs, float64(b.count[k]))
		}
	}
	m.rows = len(rhs)
	m.basis = make([]int, m.rows)
	m.inverse = make([]float64, m.rows*m.rows)
	m.level = make([]float64, m.rows)
	m.dual = make([]float64, m.rows)
	m.scratch = make([]float64, m.rows)
	for i, row := range m.itemRow {
		if row < 0 {
			continue
		}
		cost, n := makeBelieve, 1
		for _, bar := range in.bars {
			if bar.unlimited && bar.capacity >= in.size[i] {
				fit := min(b.demand[i], int(bar.capacity/in.size[i]))
				own := float64(bar.fixed) + float64(bar.rate)*float64(int64(fit)*in.size[i])
				if own/float64(fit) < cost/float64(n) {
					cost, n = own, fit
				}
			}
		}
		m.start(row, column{cost, []entry{{row, float64(n)}}, -1}, rhs[row])
		m.add(column{0, []entry{{row, -1}}, -1})
	}
	for _, row := range m.barRow {
		if row >= 0 {
			m.start(row, column{0, []entry{{row, 1}}, -1}, rhs[row])
		}
	}
	return m
}

// start makes a column of one entry the first basic column of its row.
func (m *master) start(row int, c column, rhs float64) {
	value := c.entries[0].value
	m.basis[row] = len(m.columns)
	m.inverse[row*m.rows+row] = 1 / value
	m.level[row] = rhs / value
	m.dual[row] = c.cost / value
	m.add(c)
	m.inBasis[m.basis[row]] = true
}

func (m *master) add(c column) {
	m.columns = append(m.columns, c)
	m.inBasis = append(m.inBasis, false)
}

// addPattern offers a pattern of the pool to the program.
func (m *master) addPattern(index int, p pattern, cost int64) {
	c := column{cost: float64(cost), pattern: index, entries: make([]entry, 0, len(p.takes)+1)}
	for _, t := range p.takes {
		c.entries = append(c.entries, entry{m.itemRow[t.item], float64(t.n)})
	}
	if row := m.barRow[p.bar]; row >= 0 {
		c.entries = append(c.entries, entry{row, 1})
	}
	m.add(c)
}

func (m *master) reduced(c *column) float64 {
	r := c.cost
	for _, e := range c.entries {
		r -= e.value * m.dual[e.row]
	}
	return r
}

// optimise brings in columns as long as one pays, or until the context ends.
func (m *master) optimise(ctx context.Context, scale float64) {
	for limit := 50 * (m.rows + 20); limit > 0 && ctx.Err() == nil; limit-- {
		m.work += 8*len(m.columns) + m.rows*m.rows
		enter, least := -1, -payEps*scale
		for j := range m.columns {
			if !m.inBasis[j] {
				if r := m.reduced(&m.columns[j]); r < least {
					enter, least = j, r
				}
			}
		}
		if enter < 0 || !m.pivot(enter, least) {
			return
		}
	}
}

// pivot brings one column into the basis and reports whether it could.
func (m *master) pivot(enter int, reduced float64) bool {
	n, u := m.rows, m.scratch
	clear(u)
	for _, e := range m.columns[enter].entries {
		for i, v := range m.inverse[e.row*n : (e.row+1)*n] {
			u[i] += v * e.value
		}
	}
	leave, step := -1, 0.0
	for i, v := range u {
		if v <= 1e-9 {
			continue
		}
		ratio := max(m.level[i], 0) / v
		switch {
		case leave < 0 || ratio < step-1e-12:
		case ratio <= step+1e-12 && v > u[leave]: // the largest pivot keeps the inverse clean
		default:
			continue
		}
		leave, step = i, ratio
	}
	if leave < 0 {
		return false
	}
	m.changed = m.changed[:0]
	for i, v := range u {
		if v != 0 {
			m.changed = append(m.changed, i)
		}
	}
	by := 1 / u[leave]
	for j := range n {
		col := m.inverse[j*n : (j+1)*n]
		t := col[leave] * by
		if t == 0 {
			continue
		}
		if len(m.changed) < n/3 {
			for _, i := range m.changed {
				col[i] -= u[i] * t
			}
		} else {
			for i, v := range u {
				col[i] -= v * t
			}
		}
		col[leave] = t
		m.dual[j] += reduced * t
	}
	for _, i := range m.changed {
		m.level[i] -= u[i] * step
	}
	m.level[leave] = step
	m.inBasis[m.basis[leave]] = false
	m.inBasis[enter] = true
	m.basis[leave] = enter
	m.pivots++
	return true
}
