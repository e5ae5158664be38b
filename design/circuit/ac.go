package circuit

import (
	"fmt"
	"math"
)

// Phasors is a small-signal solution at one frequency: amplitudes and phases
// as complex numbers, in the measure of the sources' phasors.
type Phasors struct {
	lay    layout
	record []complex128
}

// Volts returns the phasor of a node's voltage.
func (p *Phasors) Volts(n Node) complex128 { return p.record[n] }

// Amps returns the phasor of a current, named as for [Point.Amps].
func (p *Phasors) Amps(element string) complex128 { return p.record[p.lay.slot(element)] }

// AC solves the network at one frequency (Hz) for small signals around an
// operating point, driven by the phasors of the sources. A network without
// diodes, transistors and tubes needs no operating point (nil); its switches
// and coils then stand as at time 0.
func (c *Circuit) AC(at *Point, hz float64) (*Phasors, error) {
	a, err := c.smallSignals(at, hz)
	if err != nil {
		return nil, err
	}
	for i := range c.voltages {
		a.b[a.s.lay.voltages+i] = c.voltages[i].source.ac
	}
	for i := range c.currents {
		v := c.currents[i].source.ac
		a.b[c.currents[i].from] -= v
		a.b[c.currents[i].to] += v
	}
	if err := a.solve(); err != nil {
		return nil, err
	}
	return a.phasors(), nil
}

// Impedance returns the small-signal impedance (Ω) between two nodes at a
// frequency (Hz), with the phasors of all sources at zero.
func (c *Circuit) Impedance(at *Point, a, b Node, hz float64) (complex128, error) {
	s, err := c.smallSignals(at, hz)
	if err != nil {
		return 0, err
	}
	return s.impedance(a, b)
}

// Impedances are those of [Circuit.Impedance] between each of the nodes and chassis.
func (c *Circuit) Impedances(at *Point, nodes []Node, hz float64) ([]complex128, error) {
	s, err := c.smallSignals(at, hz)
	if err != nil {
		return nil, err
	}
	list := make([]complex128, len(nodes))
	for i, n := range nodes {
		if list[i], err = s.impedance(n, Chassis); err != nil {
			return nil, err
		}
	}
	return list, nil
}

// impedance is that between two nodes: what 1 A, sent through, makes between them.
func (a *smallSignal) impedance(from, to Node) (complex128, error) {
	clear(a.b)
	a.b[from] += 1
	a.b[to] -= 1
	if err := a.solve(); err != nil {
		return 0, err
	}
	return a.x[from] - a.x[to], nil
}

// smallSignal is the complex system of one frequency.
type smallSignal struct {
	s     *solver
	omega float64
	real  *matrix        // without capacitors and coils
	place []int          // each unknown at its own
	rows  [][]complex128 // its triangular factors, once it is factored
	order []int          // row of the right side that belongs to each pivot
	b, x  []complex128   // right side and solution
	gj    []float64      // diodes: conductance with RS
	q     []transistorPoint
	gm    [][2]float64 // tubes: by grid, by screen
}

func (c *Circuit) smallSignals(at *Point, hz float64) (*smallSignal, error) {
	if !(hz > 0) || math.IsInf(hz, 1) {
		return nil, &Error{Stage: StageAC, Err: fmt.Errorf("%w: frequency %g Hz", ErrNetwork, hz)}
	}
	s, err := c.prepare(false)
	if err != nil {
		return nil, err
	}
	switch {
	case at == nil && !s.linear:
		return nil, &Error{Stage: StageAC, Err: fmt.Errorf("%w: diodes, transistors and tubes need an operating point", ErrNetwork)}
	case at != nil && (at.circuit != c || len(at.record) != s.lay.width):
		return nil, &Error{Stage: StageAC, Err: fmt.Errorf("%w: the operating point belongs to another circuit", ErrNetwork)}
	case at != nil:
		for i, operated := range at.operated {
			s.place(i, operated)
		}
		copy(s.closed, at.closed)
	}
	a := s.signal
	if a == nil {
		a = newSmallSignal(s)
		s.signal = a
	}
	a.omega = 2 * math.Pi * hz
	clear(a.b)
	a.stamp(at)
	return a, a.factor()
}

func newSmallSignal(s *solver) *smallSignal {
	a := &smallSignal{
		s: s, real: newMatrix(s.n), place: make([]int, s.n), order: make([]int, s.n), rows: make([][]complex128, s.n),
		gj: make([]float64, len(s.c.diodes)), q: make([]transistorPoint, len(s.c.transistors)), gm: make([][2]float64, len(s.c.tubes)),
	}
	store := make([]complex128, s.n*(s.n+2))
	a.b, a.x, store = store[:s.n], store[s.n:2*s.n], store[2*s.n:]
	for i := range a.rows {
		a.place[i] = i
		a.rows[i] = store[i*s.n : (i+1)*s.n]
	}
	return a
}

// stamp fills the matrix: a capacitor is jωC, a coil jωL, a device its
// derivatives at the operating point.
func (a *smallSignal) stamp(at *Point) {
	s, c, m := a.s, a.s.c, a.real
	m.clear()
	for i := range s.parts {
		s.stamp(&s.parts[i], m, a.place)
	}
	for i := range c.diodes {
		d := &c.diodes[i]
		_, g := d.law.at(at.vj[i])
		g /= 1 + g*d.model.RS
		a.gj[i] = g
		m.conductance(int(d.anode), int(d.cathode), g)
	}
	for i := range c.transistors {
		q := &c.transistors[i]
		k := len(c.diodes) + 2*i
		p := q.at(at.vj[k], at.vj[k+1])
		a.q[i] = p
		m.transistor(q, &p)
	}
	for i := range c.tubes {
		t := &c.tubes[i]
		_, gm, gs := t.model.Cathode(at.record[t.grid]-at.record[t.cathode], at.record[t.screen]-at.record[t.cathode])
		a.gm[i] = [2]float64{gm, gs}
		m.tube(t, a.place, gm, gs)
	}
	for i := range a.rows {
		for j := range a.rows[i] {
			a.rows[i][j] = complex(m.a[i*s.n+j], 0)
		}
	}
	for i := range c.capacitors {
		k := &c.capacitors[i]
		y := complex(0, a.omega*k.farads)
		a.rows[k.a][k.a] += y
		a.rows[k.b][k.b] += y
		a.rows[k.a][k.b] -= y
		a.rows[k.b][k.a] -= y
	}
	for i := range c.inductors {
		row := s.lay.inductors + i
		a.rows[row][row] -= complex(0, a.omega*s.henries[i])
	}
}

// size is the sum of real and imaginary part, which is within √2 of the magnitude.
func size(z complex128) float64 { return math.Abs(real(z)) + math.Abs(imag(z)) }

// factor replaces the matrix by its triangular factors, with partial pivoting.
func (a *smallSignal) factor() error {
	n, rows := a.s.n, a.rows
	for i := range a.order {
		a.order[i] = i
	}
	for k := 1; k < n; k++ {
		p, best := k, size(rows[k][k])
		for i := k + 1; i < n; i++ {
			if v := size(rows[i][k]); v > best {
				p, best = i, v
			}
		}
		if !(best > 0) || math.IsInf(best, 1) {
			return a.s.blame(StageAC, 0, k, ErrSingular)
		}
		rows[p], rows[k] = rows[k], rows[p]
		a.order[p], a.order[k] = a.order[k], a.order[p]
		pivot := rows[k][:n]
		inverse := 1 / pivot[k]
		for i := k + 1; i < n; i++ {
			row := rows[i][:n]
			if row[k] == 0 {
				continue
			}
			f := row[k] * inverse
			row[k] = f
			for j := k + 1; j < n; j++ {
				row[j] -= f * pivot[j]
			}
		}
	}
	return nil
}

// solve solves for the right side b.
func (a *smallSignal) solve() error {
	n, rows := a.s.n, a.rows
	for i := 1; i < n; i++ {
		sum := a.b[a.order[i]]
		for j, f := range rows[i][1:i] {
			if f != 0 { // few are not
				sum -= f * a.x[1+j]
			}
		}
		a.x[i] = sum
	}
	for i := n - 1; i > 0; i-- {
		sum := a.x[i]
		for j := i + 1; j < n; j++ {
			sum -= rows[i][j] * a.x[j]
		}
		a.x[i] = sum / rows[i][i]
		if !(size(a.x[i]) < 1e18) {
			return a.s.blame(StageAC, 0, i, ErrSingular)
		}
	}
	return nil
}

// phasors works out the currents of everything from the unknowns.
func (a *smallSignal) phasors() *Phasors {
	s, c, x := a.s, a.s.c, a.x
	r := make([]complex128, s.lay.width)
	copy(r, x)
	real := func(g float64) complex128 { return complex(g, 0) }
	for i := range c.capacitors {
		k := &c.capacitors[i]
		r[s.lay.capacitors+i] = complex(0, a.omega*k.farads) * (x[k.a] - x[k.b])
	}
	for i := range c.diodes {
		r[s.lay.diodes+i] = real(a.gj[i]+leak) * (x[c.diodes[i].anode] - x[c.diodes[i].cathode])
	}
	for i := range c.transistors {
		q, p := &c.transistors[i], a.q[i]
		be, bc := x[q.base]-x[q.emitter], x[q.base]-x[q.collector]
		ic := real(p.cbe)*be + real(p.cbc-leak)*bc
		ib := real(p.bbe+leak)*be + real(p.bbc+leak)*bc
		at := s.lay.transistors + 3*i
		r[at], r[at+1], r[at+2] = ic, ib, -ic-ib
	}
	for i := range c.tubes {
		t := &c.tubes[i]
		ik := real(a.gm[i][0])*(x[t.grid]-x[t.cathode]) + real(a.gm[i][1])*(x[t.screen]-x[t.cathode])
		plate := ik*real(t.model.share()) + leak*(x[t.plate]-x[t.cathode])
		screen := ik*real(1-t.model.share()) + leak*(x[t.screen]-x[t.cathode])
		at := s.lay.tubes + 3*i
		r[at], r[at+1], r[at+2] = plate+screen, plate, screen
	}
	for i := range c.contacts {
		r[s.lay.contacts+i] = real(s.contactSiemens(i)) * (x[c.contacts[i].a] - x[c.contacts[i].b])
	}
	for i := range c.resistors {
		r[s.lay.resistors+i] = (x[c.resistors[i].a] - x[c.resistors[i].b]) / real(c.resistors[i].ohms)
	}
	for i := range c.currents {
		r[s.lay.currents+i] = c.currents[i].source.ac
	}
	return &Phasors{lay: s.lay, record: r}
}
