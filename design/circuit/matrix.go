package circuit

import "math"

// matrix is a dense square matrix whose row and column 0 belong to chassis:
// they take what elements at chassis stamp and are left out of the solution.
type matrix struct {
	n     int
	a     []float64
	rows  [][]float64 // into a; exchanged by pivoting
	order []int       // row of the right side that belongs to each pivot
	mixed bool        // rows and order are not those of the matrix any more
}

func newMatrix(n int) *matrix {
	m := &matrix{n: n, a: make([]float64, n*n), rows: make([][]float64, n), order: make([]int, n), mixed: true}
	m.reset()
	return m
}

// reset puts the rows in order again.
func (m *matrix) reset() {
	if !m.mixed {
		return
	}
	m.mixed = false
	for i := range m.rows {
		m.rows[i] = m.a[i*m.n : (i+1)*m.n : (i+1)*m.n]
		m.order[i] = i
	}
}

func (m *matrix) clear() { clear(m.a); m.reset() }

func (m *matrix) copyFrom(o *matrix) { copy(m.a, o.a); m.reset() }

func (m *matrix) add(i, j int, v float64) { m.a[i*m.n+j] += v }

// conductance stamps g between the nodes of two rows.
func (m *matrix) conductance(i, j int, g float64) {
	n := m.n
	m.a[i*n+i] += g
	m.a[j*n+j] += g
	m.a[i*n+j] -= g
	m.a[j*n+i] -= g
}

// branch stamps a current unknown k that flows from a through the branch to b
// and whose equation begins with v(a) − v(b).
func (m *matrix) branch(a, b, k int) {
	m.add(a, k, 1)
	m.add(b, k, -1)
	m.add(k, a, 1)
	m.add(k, b, -1)
}

// factor replaces the matrix by its triangular factors, with partial
// pivoting. It returns 0, or the unknown for which no pivot was found.
func (m *matrix) factor() int {
	n, rows := m.n, m.rows
	for k := 1; k < n; k++ {
		p, best := k, math.Abs(rows[k][k])
		for i := k + 1; i < n; i++ {
			if v := math.Abs(rows[i][k]); v > best {
				p, best = i, v
			}
		}
		if !(best > 0) || math.IsInf(best, 1) {
			return k
		}
		if p != k {
			m.mixed = true
			rows[p], rows[k] = rows[k], rows[p]
			m.order[p], m.order[k] = m.order[k], m.order[p]
		}
		pivot := rows[k][:n]
		inverse := 1 / pivot[k]
		for i := k + 1; i < n; i++ {
			row := rows[i][:n]
			if row[k] == 0 { // most entries of a network are
				continue
			}
			f := row[k] * inverse
			row[k] = f
			for j := k + 1; j < n; j++ {
				row[j] -= f * pivot[j]
			}
		}
	}
	return 0
}

// solve writes the solution for the right side b into x (x[0] = 0).
func (m *matrix) solve(b, x []float64) {
	n := m.n
	x[0] = 0
	for i := 1; i < n; i++ {
		row := m.rows[i]
		sum := b[m.order[i]]
		for j := 1; j < i; j++ {
			sum -= row[j] * x[j]
		}
		x[i] = sum
	}
	for i := n - 1; i > 0; i-- {
		row := m.rows[i]
		sum := x[i]
		for j := i + 1; j < n; j++ {
			sum -= row[j] * x[j]
		}
		x[i] = sum / row[i]
	}
}

// solveRows solves for several right sides at once: row i of b and x, width long,
// holds unknown i of all of them. x takes the solutions (its row 0 is 0); it must
// not be b.
func (m *matrix) solveRows(b, x []float64, width int) {
	n := m.n
	clear(x[:width])
	at := func(i int) []float64 { return x[i*width : (i+1)*width] }
	for i := 1; i < n; i++ {
		row, sum := m.rows[i], at(i)
		copy(sum, b[m.order[i]*width:])
		for j := 1; j < i; j++ {
			take(sum, row[j], at(j))
		}
	}
	for i := n - 1; i > 0; i-- {
		row, sum := m.rows[i], at(i)
		for j := i + 1; j < n; j++ {
			take(sum, row[j], at(j))
		}
		for k := range sum {
			sum[k] /= row[i]
		}
	}
}

// take takes f times a row off another. Most entries of a network, and of its
// factors, are 0.
func take(from []float64, f float64, row []float64) {
	if f == 0 {
		return
	}
	row = row[:len(from)]
	for k := range from {
		from[k] -= f * row[k]
	}
}
