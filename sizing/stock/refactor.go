package stock

import "math"

// Every pivot changes the inverse a little off the truth. So now and then the
// levels and prices are put back into the program's own equations, and when these
// are missed by more than a millionth the inverse is worked out afresh.
const (
	checkPivots   = 64
	mostlyRounded = 1e-6
)

// residual returns by how much the basis misses the program's equations: of a
// row's or a set's level, for one piece or bar, and of a price, for the dearest
// column's cost.
func (m *master) residual(scale float64) float64 {
	rows, sets := m.missing()
	worst := 0.0
	for _, v := range rows {
		worst = max(worst, math.Abs(v))
	}
	for _, v := range sets {
		worst = max(worst, math.Abs(v))
	}
	for _, j := range m.basis {
		worst = max(worst, math.Abs(m.reduced(&m.columns[j]))/scale)
	}
	return worst
}

// missing returns what the levels leave of each row's and each set's right-hand side.
func (m *master) missing() (rows, sets []float64) {
	rows, sets = append(rows, m.want...), append(sets, m.limit...)
	take := func(j int, level float64) {
		c := &m.columns[j]
		for _, e := range c.entries {
			rows[e.row] -= e.value * level
		}
		if c.set >= 0 {
			sets[c.set] -= level
		}
	}
	for i, j := range m.basis {
		take(j, m.level[i])
	}
	for l, j := range m.key {
		take(j, m.keyLevel[l])
	}
	return rows, sets
}

// refactor works out the inverse of the working basis by Gauss and Jordan's
// elimination with row exchanges, and from it the levels and the prices. It leaves
// all as it was when the basis is singular.
func (m *master) refactor() {
	n := m.rows
	m.work += n * n * n
	basis, inverse := make([]float64, n*n), make([]float64, n*n) // row by row
	for i, j := range m.basis {
		c := &m.columns[j]
		for _, e := range c.entries {
			basis[e.row*n+i] += e.value
		}
		if c.set >= 0 {
			for _, e := range m.columns[m.key[c.set]].entries {
				basis[e.row*n+i] -= e.value
			}
		}
		inverse[i*n+i] = 1
	}
	for at := range n {
		pivot := at
		for i := at + 1; i < n; i++ {
			if math.Abs(basis[i*n+at]) > math.Abs(basis[pivot*n+at]) {
				pivot = i
			}
		}
		if math.Abs(basis[pivot*n+at]) < tiny {
			return
		}
		for _, a := range [][]float64{basis, inverse} {
			x, y := a[at*n:(at+1)*n], a[pivot*n:(pivot+1)*n]
			if at != pivot {
				for j := range x {
					x[j], y[j] = y[j], x[j]
				}
			}
		}
		by := 1 / basis[at*n+at]
		for j := range n {
			basis[at*n+j] *= by
			inverse[at*n+j] *= by
		}
		for i := range n {
			f := basis[i*n+at]
			if i == at || f == 0 {
				continue
			}
			for j := range n {
				basis[i*n+j] -= f * basis[at*n+j]
				inverse[i*n+j] -= f * inverse[at*n+j]
			}
		}
	}
	for i := range n {
		for j := range n {
			m.inverse[j*n+i] = inverse[i*n+j]
		}
	}
	m.resolve()
}

// resolve works out the levels and the prices of the basis from its inverse.
func (m *master) resolve() {
	n := m.rows
	right := append([]float64(nil), m.want...)
	for l, j := range m.key {
		m.keyLevel[l] = m.limit[l]
		for _, e := range m.columns[j].entries {
			right[e.row] -= e.value * m.limit[l]
		}
	}
	clear(m.level)
	for j, v := range right {
		for i, u := range m.inverse[j*n : (j+1)*n] {
			m.level[i] += u * v
		}
	}
	cost := make([]float64, n)
	for i, j := range m.basis {
		c := &m.columns[j]
		cost[i] = c.cost
		if c.set >= 0 {
			cost[i] -= m.columns[m.key[c.set]].cost
			m.keyLevel[c.set] -= m.level[i]
		}
	}
	for j := range n {
		m.dual[j] = 0
		for i, u := range m.inverse[j*n : (j+1)*n] {
			m.dual[j] += u * cost[i]
		}
	}
	m.settle()
}
