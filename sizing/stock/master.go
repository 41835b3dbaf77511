package stock

import "context"

// A master is the pattern linear program of one residual problem: how often to
// use each pattern so that every item is cut at least as often as wanted, no bar
// is used more often than there are, and the cost is least.
//
// It is solved by the revised simplex method with an explicit inverse; patterns
// come in as they are found to pay. The limits of the bars are generalised upper
// bounds (G. B. Dantzig and R. M. Van Slyke, 1967): every limited class of bars is
// a set of columns whose levels add up to its count, one of them is the key of
// the set, and the working basis holds the other basic columns less their keys.
// So its order is the number of items, however many offcuts there are.
type master struct {
	rows       int
	itemRow    []int     // by item; -1 when none is wanted
	setOf      []int     // by bar; -1 when there is no limit
	want       []float64 // by row, how many pieces
	limit      []float64 // by set, how many bars
	columns    []column
	basic      []bool
	candidates []int // columns that paid when all were last looked at

	basis   []int     // column by row
	level   []float64 // of these
	inverse []float64 // of the working basis, column by column
	dual    []float64 // by row

	key      []int     // column by set
	keyLevel []float64 // of these
	setDual  []float64 // the dual of the set's count

	in      []float64 // by row, how fast a level falls as the new column comes in
	keyIn   []float64 // by set, how fast the key's level falls
	members [][]int   // by set, the rows of its basic columns
	pivots  int
	work    int // done so far, about in nanoseconds
}

type column struct {
	cost    float64
	entries []entry
	set     int // -1 for none
	pattern int // index into the pool; -1 for slack and artificial variables
}

type entry struct {
	row   int
	value float64
}

// payEps is the reduced cost, as a share of the dearest column, that counts as zero.
const payEps = 1e-9

// newMaster sets up the program for what is left to cut. The first basis
// is one column for each row, a bar of nothing else when such bars are not
// limited, else an artificial variable of that cost; and for each limited bar
// the column that leaves it whole.
func newMaster(part *partial, artificial float64) *master {
	in := part.in
	m := &master{itemRow: make([]int, len(in.size)), setOf: make([]int, len(in.bars))}
	for i, d := range part.demand {
		m.itemRow[i] = -1
		if d > 0 {
			m.itemRow[i] = m.rows
			m.want = append(m.want, float64(d))
			m.rows++
		}
	}
	m.basis = make([]int, m.rows)
	m.level = make([]float64, m.rows)
	m.inverse = make([]float64, m.rows*m.rows)
	m.dual = make([]float64, m.rows)
	m.in = make([]float64, m.rows)
	for i, row := range m.itemRow {
		if row < 0 {
			continue
		}
		cost, n := artificial, 1
		for _, bar := range in.bars {
			if bar.unlimited && bar.capacity >= in.size[i] {
				fit := min(part.demand[i], int(bar.capacity/in.size[i]))
				own := float64(bar.fixed) + float64(bar.rate)*float64(int64(fit)*in.size[i])
				if own/float64(fit) < cost/float64(n) {
					cost, n = own, fit
				}
			}
		}
		m.basis[row] = m.add(column{cost, []entry{{row, float64(n)}}, -1, -1})
		m.basic[m.basis[row]] = true
		m.level[row] = float64(part.demand[i]) / float64(n)
		m.inverse[row*m.rows+row] = 1 / float64(n)
		m.dual[row] = cost / float64(n)
		m.add(column{0, []entry{{row, -1}}, -1, -1})
	}
	for k, bar := range in.bars {
		m.setOf[k] = -1
		if !bar.unlimited && part.count[k] > 0 {
			set := len(m.key)
			m.setOf[k] = set
			whole := m.add(column{0, nil, set, -1})
			m.basic[whole] = true
			m.key = append(m.key, whole)
			m.keyLevel = append(m.keyLevel, float64(part.count[k]))
			m.limit = append(m.limit, float64(part.count[k]))
		}
	}
	m.setDual = make([]float64, len(m.key))
	m.keyIn = make([]float64, len(m.key))
	m.members = make([][]int, len(m.key))
	return m
}

func (m *master) add(c column) int {
	m.columns = append(m.columns, c)
	m.basic = append(m.basic, false)
	return len(m.columns) - 1
}

// addPattern offers a pattern of the pool to the program.
func (m *master) addPattern(index int, p pattern, cost int64) {
	c := column{cost: float64(cost), set: m.setOf[p.bar], pattern: index, entries: make([]entry, 0, len(p.takes))}
	for _, t := range p.takes {
		c.entries = append(c.entries, entry{m.itemRow[t.item], float64(t.n)})
	}
	m.add(c)
}

// reduced returns what one unit of the column adds to the cost at the present duals.
func (m *master) reduced(c *column) float64 {
	r := c.cost
	if c.set >= 0 {
		r -= m.setDual[c.set]
	}
	for _, e := range c.entries {
		r -= e.value * m.dual[e.row]
	}
	return r
}

// optimise brings in columns as long as one pays, or until the context ends. It
// looks at the columns that paid at the last look at all of them first.
func (m *master) optimise(ctx context.Context, scale float64) {
	least := -payEps * scale
	paying, all := m.candidates[:0], false
	for limit := 50 * (m.rows + len(m.key) + 20); limit > 0 && ctx.Err() == nil; limit-- {
		enter, reduced := -1, least
		for _, j := range paying {
			if r := m.reduced(&m.columns[j]); r < reduced && !m.basic[j] {
				enter, reduced = j, r
			}
		}
		m.work += 8*len(paying) + m.rows*m.rows + 8*len(m.key)
		switch {
		case enter >= 0:
			all = false
			if !m.pivot(enter, reduced) {
				return
			}
			if m.pivots%checkPivots == 0 && m.residual(scale) > mostlyRounded {
				m.refactor()
			}
		case all:
			return
		default:
			paying, all = paying[:0], true
			for j := range m.columns {
				if !m.basic[j] && m.reduced(&m.columns[j]) < least {
					paying = append(paying, j)
				}
			}
			m.work += 8 * len(m.columns)
		}
	}
	m.candidates = paying
}

// tiny is the smallest element to divide by.
const tiny = 1e-9

// pivot brings one column into the basis and reports whether it could.
func (m *master) pivot(enter int, reduced float64) bool {
	set := m.columns[enter].set
	m.bringIn(enter)
	row, leavingKey, step := m.leaving()
	if row < 0 && leavingKey < 0 {
		return false
	}
	for i, v := range m.in {
		m.level[i] -= v * step
	}
	for l, v := range m.keyIn {
		m.keyLevel[l] -= v * step
	}
	m.pivots++
	m.basic[enter] = true
	if leavingKey >= 0 {
		m.basic[m.key[leavingKey]] = false
		if len(m.members[leavingKey]) == 0 { // then the set is the new column's own
			m.key[set], m.keyLevel[set] = enter, step
			m.settle()
			return true
		}
		row = m.changeKey(leavingKey)
	} else {
		m.basic[m.basis[row]] = false
	}
	m.replace(row, reduced)
	m.basis[row], m.level[row] = enter, step
	m.settle()
	return true
}

// bringIn finds how the basic levels answer to the new column.
func (m *master) bringIn(enter int) {
	clear(m.in)
	n := m.rows
	addTo := func(c *column, sign float64) {
		for _, e := range c.entries {
			f := sign * e.value
			for i, v := range m.inverse[e.row*n : (e.row+1)*n] {
				m.in[i] += v * f
			}
		}
	}
	c := &m.columns[enter]
	addTo(c, 1)
	clear(m.keyIn)
	if c.set >= 0 {
		addTo(&m.columns[m.key[c.set]], -1)
		m.keyIn[c.set] = 1
	}
	for l, rows := range m.members {
		for _, i := range rows {
			m.keyIn[l] -= m.in[i]
		}
	}
}

// leaving returns the row or the set whose basic column or key falls to zero
// first, and how far the new column comes in; of equals the one that falls
// fastest, which keeps the inverse clean.
func (m *master) leaving() (row, set int, step float64) {
	row, set = -1, -1
	fastest := 0.0
	first := func(level, speed float64) bool {
		if speed <= tiny {
			return false
		}
		ratio := max(level, 0) / speed
		switch {
		case fastest == 0 || ratio < step-1e-12:
		case ratio <= step+1e-12 && speed > fastest:
		default:
			return false
		}
		step, fastest = ratio, speed
		return true
	}
	for i, v := range m.in {
		if first(m.level[i], v) {
			row = i
		}
	}
	for l, v := range m.keyIn {
		if first(m.keyLevel[l], v) {
			row, set = -1, l
		}
	}
	return row, set, step
}

// changeKey makes another basic column of the set its key, puts the old key in
// its row, and returns the row.
func (m *master) changeKey(set int) int {
	rows := m.members[set]
	row := rows[0]
	n := m.rows
	for j := range n {
		col := m.inverse[j*n : (j+1)*n]
		sum := 0.0
		for _, i := range rows {
			sum += col[i]
		}
		col[row] = -sum
	}
	m.in[row] = m.keyIn[set]
	m.key[set], m.basis[row] = m.basis[row], m.key[set]
	m.keyLevel[set], m.level[row] = m.level[row], m.keyLevel[set]
	return row
}

// replace puts the column that comes in into the working basis at the row.
func (m *master) replace(row int, reduced float64) {
	n := m.rows
	by := 1 / m.in[row]
	for j := range n {
		col := m.inverse[j*n : (j+1)*n]
		t := col[row] * by
		if t == 0 {
			continue
		}
		for i, v := range m.in {
			col[i] -= v * t
		}
		col[row] = t
		m.dual[j] += reduced * t
	}
}

// settle brings the members and the duals of the sets up to date.
func (m *master) settle() {
	if len(m.key) == 0 {
		return
	}
	for l := range m.members {
		m.members[l] = m.members[l][:0]
	}
	for i, j := range m.basis {
		if l := m.columns[j].set; l >= 0 {
			m.members[l] = append(m.members[l], i)
		}
	}
	for l, j := range m.key {
		c := &m.columns[j]
		m.setDual[l] = c.cost
		for _, e := range c.entries {
			m.setDual[l] -= e.value * m.dual[e.row]
		}
	}
}
