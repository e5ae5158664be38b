package circuit

import (
	"fmt"
	"math"
)

// sensitivity carries the derivatives of everything by the start state
// (capacitor voltages, then coil currents) along a march: the state
// transition matrix, one column a start state.
type sensitivity struct {
	s                        *solver
	states                   int
	w                        []float64   // histories of one part
	capV, capI, coilI, coilV [][]float64 // [element][state]
}

func newSensitivity(s *solver) *sensitivity {
	states := len(s.capV) + len(s.coilI)
	table := func(rows int) [][]float64 {
		t := make([][]float64, rows)
		for i := range t {
			t[i] = make([]float64, states)
		}
		return t
	}
	return &sensitivity{s: s, states: states, w: make([]float64, states),
		capV: table(len(s.capV)), capI: table(len(s.capV)), coilI: table(len(s.coilI)), coilV: table(len(s.coilI))}
}

// reset puts it at the start of a period, where the state is its own
// derivative.
func (d *sensitivity) reset() {
	for i := range d.capV {
		clear(d.capV[i])
		clear(d.capI[i])
		d.capV[i][i] = 1
	}
	for i := range d.coilI {
		clear(d.coilI[i])
		clear(d.coilV[i])
		d.coilI[i][len(d.capV)+i] = 1
	}
}

// step differentiates the equations of the step just solved: responses and
// tangents are those of the step, and only the histories depend on the start.
func (d *sensitivity) step(how scheme) {
	s := d.s
	for i := range s.parts {
		p := &s.parts[i]
		for _, j := range p.capacitors {
			d.column(p, how, j)
		}
		for _, j := range p.inductors {
			d.column(p, how, len(d.capV)+j)
		}
	}
}

// column differentiates the states of a part by start state j, one of them.
func (d *sensitivity) column(p *part, how scheme, j int) {
	s, r := d.s, p.now
	before, devices := p.sources(), len(p.tan)
	after := before + devices
	w := d.w[:p.states()]
	for k, i := range p.capacitors {
		w[k] = s.geq[i] * d.capV[i][j]
		if how == trapezoid {
			w[k] += d.capI[i][j]
		}
	}
	for k, i := range p.inductors {
		k += len(p.capacitors)
		w[k] = s.req[i] * d.coilI[i][j]
		if how == trapezoid {
			w[k] += d.coilV[i][j]
		}
	}
	for k := range devices {
		t := &p.tan[k]
		at := t.port * r.width
		p.b[k+1] = t.a * dot(r.ports[at+after:at+r.width], w)
		if k >= len(p.diodes) {
			at += r.width
			p.b[k+1] += t.b * dot(r.ports[at+after:at+r.width], w)
		}
	}
	if devices > 0 {
		p.tie.solve(p.b, p.e)
	}
	row := r.states
	next := func() float64 {
		v := dot(row[before:after], p.e[1:]) + dot(row[after:r.width], w)
		row = row[r.width:]
		return v
	}
	for k, i := range p.capacitors {
		v := next()
		d.capV[i][j], d.capI[i][j] = v, s.geq[i]*v-w[k]
	}
	for k, i := range p.inductors {
		amps := next()
		d.coilI[i][j], d.coilV[i][j] = amps, s.req[i]*amps-w[len(p.capacitors)+k]
	}
}

// shooting finds the start state that a period returns to.
type shooting struct {
	m      *march
	d      *sensitivity
	period float64
	start  []float64 // state at time 0
	end    []float64 // state one period later
	size   []float64 // what each state is measured against
	low    []float64 // extremes of each state over the last period
	high   []float64
	grid   []gridStep
	frozen bool      // the grid has been run again and stays as it is
	x, vj  []float64 // guess for the unknowns at time 0
	t      *Trace    // of the last cycle on instants given; what it stands in, before there is one
}

// Periodic solves one period (s) of the periodic steady state, from time 0.
// Every source must repeat within the period. Switches stand as at time 0;
// armatures are held where their coil currents keep them.
//
// The start state is found by Newton's method on the difference a period
// makes to it (shooting), with the state transition matrix integrated along.
// Far from the solution the step is that of backward Euler over M periods,
// (1/M + 1 − Φ)·δ = end − start, and M grows as the difference shrinks; that
// keeps a reservoir with hardly any load on its way up instead of shooting
// over. Near the solution the instants are kept, so that the difference is a
// smooth function of the start.
func (c *Circuit) Periodic(period float64, o TransientOptions) (*Trace, error) {
	s, err := c.prepare(false)
	if err != nil {
		return nil, err
	}
	fault := func(element string, err error) error {
		return &Error{Stage: StagePeriodic, Element: element, Err: err}
	}
	if !(period > together) || math.IsInf(period, 1) || !(o.RelTol >= 0) || !(o.MaxStep >= 0) {
		return nil, fault("", fmt.Errorf("%w: period %g s", ErrNetwork, period))
	}
	for _, name := range c.order {
		if p := c.sourceOf(name).repeats(); p > 0 {
			if n := period / p; n < 0.5 || math.Abs(n-math.Round(n)) > 1e-6 {
				return nil, fault(name, fmt.Errorf("%w: it does not repeat within %g s", ErrNetwork, period))
			}
		}
	}
	if err := s.beginPeriodic(o); err != nil {
		return nil, err
	}
	for range 2*len(c.armatures) + 1 {
		p := newShooting(s, o, period)
		if err := p.solve(o.Start != nil); err != nil {
			return nil, err
		}
		trace, err := p.trace()
		if err != nil {
			return nil, err
		}
		if !s.moveArmatures(trace) {
			return trace, nil
		}
	}
	return nil, fault(c.armatures[0].name, fmt.Errorf("%w: a relay that works its own coil has no steady state", ErrConvergence))
}

func (c *Circuit) sourceOf(name string) Source {
	switch h := c.elements[name]; h.kind {
	case kindVoltage:
		return c.voltages[h.index].source
	case kindCurrent:
		return c.currents[h.index].source
	}
	return Source{}
}

// beginPeriodic puts a first guess into the solver: the state given, else the
// operating point where there is one, else everything empty.
func (s *solver) beginPeriodic(o TransientOptions) *Error {
	if o.Start != nil {
		if !s.restore(o.Start) {
			return &Error{Stage: StagePeriodic, Err: fmt.Errorf("%w: the state to start from belongs to another circuit", ErrNetwork)}
		}
		s.start() // its armatures are only a guess too
		return nil
	}
	s.empty()
	if !o.Cold && s.c.inspect(true) == nil {
		if err := s.restAt(0, o.Options); err != nil {
			s.empty()
		}
	}
	return nil
}

// moveArmatures moves the armatures that a steady state would move, and reports
// whether it moved one.
func (s *solver) moveArmatures(t *Trace) bool {
	moved := false
	for i := range s.c.armatures {
		a := &s.c.armatures[i]
		least, most := never, 0.0
		for _, v := range t.Amps(s.c.inductors[a.coil].name) {
			least, most = min(least, math.Abs(v)), max(most, math.Abs(v))
		}
		if now := s.armature[i].operated; !now && most >= a.spec.Operate || now && least <= a.spec.Release {
			s.place(i, !now)
			moved = true
		}
	}
	return moved
}

func newShooting(s *solver, o TransientOptions, period float64) *shooting {
	m := newMarch(s, StagePeriodic, o, period)
	m.held = true
	states := len(s.capV) + len(s.coilI)
	p := &shooting{m: m, d: newSensitivity(s), period: period, t: o.Over,
		start: make([]float64, states), end: make([]float64, states), size: make([]float64, states),
		low: make([]float64, states), high: make([]float64, states)}
	copy(p.start, s.capV)
	copy(p.start[len(s.capV):], s.coilI)
	p.x = append(p.x, s.x...)
	p.vj = append(p.vj, s.vj...)
	return p
}

// load puts a start state into the solver.
func (p *shooting) load(state []float64) {
	s := p.m.s
	copy(s.capV, state)
	copy(s.coilI, state[len(s.capV):])
	copy(s.x, p.x)
	copy(s.vj, p.vj)
	m := p.m
	m.t, m.known, m.rates, m.damp = 0, 0, 0, false
	if m.seen[0] > 0 { // the inrush of earlier periods is no measure
		copy(m.size, m.seen)
		m.largest = 0
		for _, v := range m.size[1:s.lay.voltages] {
			m.largest = max(m.largest, v)
		}
	}
	clear(m.seen)
	m.seen[0] = 1
}

// cycle runs one period from p.start into p.end, on new instants or on those
// of the last such run; then it is kept as a trace.
func (p *shooting) cycle(newGrid, sensitive bool) *Error {
	m := p.m
	begin := func() {
		p.load(p.start)
		m.sens = nil
		if sensitive {
			p.d.reset()
			m.sens = p.d
		}
	}
	begin()
	m.trace = nil
	if !newGrid {
		m.grid, m.trace = nil, p.kept()
		if newGrid = !p.again(); newGrid {
			begin()
			m.trace = p.kept()
		}
	}
	if newGrid {
		p.grid = p.grid[:0]
		m.grid = &p.grid
		if err := m.run(p.period); err != nil {
			return err
		}
	}
	p.frozen = !newGrid
	copy(p.end, m.s.capV)
	copy(p.end[len(m.s.capV):], m.s.coilI)
	return nil
}

// kept is the trace to be written, with room for the period.
func (p *shooting) kept() *Trace {
	p.t = p.m.s.over(p.t, len(p.grid)+1)
	return p.t
}

// again runs the steps of the last period once more. The first time after
// they were chosen it may turn one into backward Euler where a trapezoid
// rings.
func (p *shooting) again() bool {
	m := p.m
	for i, g := range p.grid {
		if g.corner {
			if m.settle() != nil {
				return false
			}
			continue
		}
		lands := i+1 == len(p.grid) || p.grid[i+1].corner
		if m.damp && !p.frozen {
			p.grid[i].how = euler
		}
		how := p.grid[i].how
		if _, err := m.solve(how, g.h, lands); err != nil {
			return false
		}
		m.s.rates(how, m.newRate)
		m.take(how, g.h, false)
	}
	return true
}

// difference is the largest change that a period made to the state, over the
// state's size.
func (p *shooting) difference() float64 {
	worst := 0.0
	for i := range p.start {
		p.size[i] = max(p.size[i], math.Abs(p.start[i]), math.Abs(p.end[i]))
		worst = max(worst, math.Abs(p.end[i]-p.start[i])/p.measure(i))
	}
	return worst
}

// measure is the size of a state, with a floor of a millivolt or a tenth of
// a milliampere, and of a thousandth of the largest of its kind.
func (p *shooting) measure(i int) float64 {
	caps := len(p.m.s.capV)
	floor := 1e-4
	if i < caps {
		floor = 1e-3
	}
	for k := range p.size {
		if (k < caps) == (i < caps) {
			floor = max(floor, 1e-3*p.size[k])
		}
	}
	return max(p.size[i], floor)
}

// solve finds p.start, from next to it where near.
func (p *shooting) solve(near bool) *Error {
	const (
		warm  = 2    // periods run as they are, from nowhere
		most  = 100  // periods in all
		few   = 25   // from a start that is said to be near
		whole = 0.02 // full correction below which it is taken in full
		keep  = 2e-3 // full correction below which the instants are kept
		done  = 2e-6 // full correction that ends the search
	)
	// A reservoir with hardly any load keeps its charge for days, and what a
	// period changes of it is lost in what Newton's method leaves over. The
	// full correction is that remainder times the periods which the charge
	// would last: where it stays above done, no round brings it nearer.
	const (
		same   = 1e-4  // the correction that a larger remainder may feign
		noise  = 1e-7  // that remainder
		feign  = 0.02  // the correction that a remainder may feign
		rest   = 2e-10 // it: a thousandth of the charge in a day at 60 Hz
		rounds = 4     // after which it has been seen to do so
	)
	quiet := 0
	found := func(full, difference float64) bool {
		if full < same && difference < noise || full < feign && difference < rest {
			quiet++
		}
		return full < done || quiet >= rounds ||
			full >= feign && difference < rest // it lasts a hundred million periods, 19 days: it stands
	}
	m := 1e12
	limit := few
	if !near {
		m, limit = 4, most
		for range warm {
			if err := p.cycle(true, false); err != nil {
				return err
			}
			p.difference()
			copy(p.start, p.end)
			p.keepGuess()
		}
	}
	if len(p.start) == 0 {
		return p.cycle(true, false)
	}
	states := len(p.start)
	store := make(shelf, 4*states)
	delta, from, to, chosen := store.take(states), store.take(states), store.take(states), store.take(states)
	if err := p.cycle(true, true); err != nil {
		return err
	}
	copy(chosen, p.start) // where the instants were
	before := p.difference()
	for range limit {
		full, ok := p.correction(math.Inf(1), delta)
		if (ok || before < rest) && found(full, before) {
			moved := 0.0
			for i, v := range p.start {
				moved = max(moved, math.Abs(v-chosen[i])/p.measure(i))
			}
			if moved < keep {
				return nil
			}
			// The instants were chosen too far off: a kink may have moved
			// between two of them.
			copy(chosen, p.start)
			if err := p.cycle(true, true); err != nil {
				return err
			}
			before = p.difference()
			full, ok = p.correction(math.Inf(1), delta)
			if (ok || before < rest) && found(full, before) {
				return nil
			}
		}
		if !ok || full > whole || m == 1 {
			p.correction(m, delta)
		}
		copy(from, p.start)
		copy(to, p.end)
		for i := range p.start {
			p.start[i] += delta[i]
		}
		fresh := !ok || full > keep
		if fresh {
			copy(chosen, p.start)
		}
		err := p.cycle(fresh, true)
		now := math.Inf(1)
		if err == nil {
			now = p.difference()
		}
		if now > 1.5*before && now > 1e-9 && m > 1 {
			// Too far: take the periods as they come for a while.
			copy(p.start, from)
			copy(p.end, to)
			m = max(1, min(m, 1e4)/16)
			copy(chosen, p.start)
			if err := p.cycle(true, true); err != nil {
				return err
			}
			continue
		}
		if err != nil {
			return err
		}
		p.keepGuess()
		m = min(m*8, 1e12)
		before = now
	}
	return p.m.s.blame(StagePeriodic, p.period, p.worstUnknown(), ErrConvergence)
}

// keepGuess keeps the unknowns at the end of a period as the guess for its
// start.
func (p *shooting) keepGuess() {
	copy(p.x, p.m.s.x)
	copy(p.vj, p.m.s.vj)
}

// worstUnknown names a node at the state that differs most.
func (p *shooting) worstUnknown() int {
	s := p.m.s
	worst, at := -1.0, 1
	for i := range p.start {
		if d := math.Abs(p.end[i]-p.start[i]) / p.measure(i); d > worst {
			worst = d
			if i < len(s.capV) {
				k := &s.c.capacitors[i]
				at = int(max(k.a, k.b))
			} else {
				at = s.lay.inductors + i - len(s.capV)
			}
		}
	}
	return at
}

// correction solves (1/M + 1 − Φ)·δ = end − start and returns the largest
// correction over the state's size.
func (p *shooting) correction(m float64, delta []float64) (worst float64, ok bool) {
	n := len(p.start)
	a := newMatrix(n + 1)
	b, x := make([]float64, n+1), make([]float64, n+1)
	for i := range n {
		row := p.d.row(i)
		for j := range n {
			a.add(i+1, j+1, -row[j])
		}
		a.add(i+1, i+1, 1+1/m)
		b[i+1] = p.end[i] - p.start[i]
	}
	if a.factor() != 0 {
		for i := range n {
			delta[i] = p.end[i] - p.start[i] // a period as it comes
		}
		return 0, false
	}
	a.solve(b, x)
	for i := range n {
		delta[i] = x[i+1]
		worst = max(worst, math.Abs(delta[i])/p.measure(i))
	}
	return worst, true
}

// row returns the derivatives of state i at the end by the start state.
func (d *sensitivity) row(i int) []float64 {
	if i < len(d.capV) {
		return d.capV[i]
	}
	return d.coilI[i-len(d.capV)]
}

// trace is the solved period. Where the last cycle ran on instants given it
// has been kept; else it is run once more.
func (p *shooting) trace() (*Trace, *Error) {
	if p.m.trace == nil {
		if err := p.cycle(false, false); err != nil {
			return nil, err
		}
	}
	t := p.m.trace
	t.end = p.m.state()
	t.end.time = 0
	return t, nil
}
