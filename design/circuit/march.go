package circuit

import (
	"math"
	"slices"
	"sort"
)

const (
	// settling is the length (s) of the backward Euler step that carries the
	// network over a corner or a switching: short against every time
	// constant of these networks, long enough that C/h and L/h leave digits.
	settling = 1e-10
	// together is the time (s) within which corners and switchings count as
	// one.
	together = 2 * settling
	// shortest is the step (s) below which no kink needs to be resolved.
	shortest = 1e-8
	// hopeless is the step (s) at which Newton's method is given up.
	hopeless = 1e-13
	// smoothness is how far an unknown may miss its quadratic extrapolation,
	// over its largest magnitude: it sees to it that straight lines between
	// the instants of a trace are the waveform.
	smoothness = 5e-3
)

// gridStep is one accepted step, so that a period can be run again on the
// same instants.
type gridStep struct {
	how    scheme
	h      float64
	corner bool // extrapolation starts anew before this step
}

// march carries a solver through time.
type march struct {
	s       *solver
	stage   Stage
	t       float64
	maxStep float64
	rungs   []float64 // steps of [march.rung]
	down    int       // the one taken last
	relTol  float64
	held    bool // armatures and switches stay as they are

	past    [3][]float64 // unknowns and junctions at the last instants, newest first
	when    [3]float64
	known   int       // how many of past are since the last corner
	ahead   []float64 // unknowns as extrapolated to the step's end
	size    []float64 // largest magnitude of each unknown so far
	seen    []float64 // the same since the start of this period; [0] once there was one
	largest float64   // of the sizes of nodes
	rate    []float64 // dv/dt of capacitors, di/dt of coils at the last instant
	rate1   []float64 // and at the one before
	newRate []float64
	stepped float64   // length of the step between those
	rates   int       // how many of rate, rate1 are since the last corner
	span    []float64 // what each state's local error is measured against; nil: its size
	damp    bool      // the next step is backward Euler, to damp a ringing trapezoid

	trace *Trace       // takes the instants, or nil
	grid  *[]gridStep  // takes the steps, or nil
	sens  *sensitivity // follows the start state, or nil
}

func newMarch(s *solver, stage Stage, o TransientOptions, duration float64) *march {
	states := len(s.c.capacitors) + len(s.c.inductors)
	m := &march{s: s, stage: stage, maxStep: o.MaxStep, relTol: o.RelTol,
		ahead: make([]float64, s.n), size: make([]float64, s.n), seen: make([]float64, s.n), rate: make([]float64, states), rate1: make([]float64, states), newRate: make([]float64, states)}
	for i := range m.past {
		m.past[i] = make([]float64, s.n+len(s.vj))
	}
	if m.relTol == 0 {
		m.relTol = 2e-5
	}
	if m.maxStep == 0 {
		m.maxStep = duration / 50
		for _, src := range s.c.sources() {
			if p := src.repeats(); p > 0 {
				m.maxStep = min(m.maxStep, p/50)
			}
		}
	}
	return m
}

// run marches until a time. The solver stands at m.t with a consistent or an
// inconsistent set of unknowns; the first step settles it.
func (m *march) run(until float64) *Error {
	if err := m.settle(); err != nil {
		return err
	}
	h, again := 0.0, false
	for until-m.t > together {
		if m.due() {
			m.happen()
			if err := m.settle(); err != nil {
				return err
			}
			h = 0
			continue
		}
		if h == 0 { // after a corner: the error control lets it grow fast
			h = m.maxStep / 30
		}
		next := min(m.nextBreak(), until)
		left := next - m.t
		h = m.rung(h)
		// A step that was refused may not be stretched to the corner again.
		lands := h >= left || !again && h >= left-shortest
		if lands {
			h = left
		} else if h > left/2 {
			h = left / 2 // no sliver before the corner
		}
		how := trapezoid
		if m.damp || h <= shortest {
			how = euler
		}
		ratio, culprit, err := m.try(how, h, lands)
		if err != nil {
			if h /= 4; h < hopeless {
				return m.s.blame(m.stage, m.t, culprit, err)
			}
			again = true
			continue
		}
		factor := 0.9 / math.Cbrt(ratio)
		if ratio > 1 && h > shortest {
			h, again = max(h*max(0.15, min(0.8, factor)), shortest), true
			continue
		}
		again = false
		if retake := m.watch(h); retake > 0 {
			h = retake
			continue
		}
		m.take(how, h, false)
		if ratio > 1 { // something shorter than the shortest step: no trapezoid over it
			m.damp = true
		}
		if lands && until-m.t > together {
			m.happen()
			if err := m.settle(); err != nil {
				return err
			}
			h = 0
			continue
		}
		h = max(h*min(2.5, max(0.5, factor)), 4*shortest)
	}
	return nil
}

// rung is the step at or below h on a ladder down from the longest step, four
// rungs an octave: of a step that has been taken before the responses are known.
func (m *march) rung(h float64) float64 {
	if h >= m.maxStep {
		return m.maxStep
	}
	const rounding = 1 + 1e-7
	for m.down > 0 && m.rungs[m.down-1] <= h*rounding {
		m.down--
	}
	for ; ; m.down++ {
		if m.down == len(m.rungs) {
			m.rungs = append(m.rungs, m.maxStep*math.Exp2(-float64(m.down)/4))
		}
		if m.rungs[m.down] <= h*rounding {
			return m.rungs[m.down]
		}
	}
}

// settle carries the network over a corner by one very short step of
// backward Euler and forgets what was before.
func (m *march) settle() *Error {
	s := m.s
	s.assemble(euler, settling, m.t+settling)
	if _, err := s.newton(100, stepTolerance); err != nil { // far from what was: begin afresh
		clear(s.x)
		s.guessJunctions()
		if culprit, err := s.newton(300, stepTolerance); err != nil {
			return s.blame(m.stage, m.t, culprit, err)
		}
	}
	s.rates(euler, m.newRate)
	m.take(euler, settling, true)
	return nil
}

// try solves one step from the extrapolation of the last instants and
// returns how the larger of the local error and the miss of the
// extrapolation compares with what is allowed.
func (m *march) try(how scheme, h float64, lands bool) (ratio float64, culprit int, err error) {
	if culprit, err = m.solve(how, h, lands); err != nil {
		return 0, culprit, err
	}
	return m.judge(how, h), 0, nil
}

// solve solves one step of length h. A source that jumps where the step
// lands has not jumped yet.
func (m *march) solve(how scheme, h float64, lands bool) (culprit int, err error) {
	m.predict(h)
	at := m.t + h
	if lands {
		at -= settling / 2
	}
	m.s.assemble(how, h, at)
	return m.s.newton(25, stepTolerance)
}

// predict extrapolates the unknowns and the junction voltages to m.t + h
// through the last instants, by Lagrange's formula.
func (m *march) predict(h float64) {
	s := m.s
	w := m.weights(m.t + h)
	p0, p1, p2, ahead := m.past[0][:s.n], m.past[1][:s.n], m.past[2][:s.n], m.ahead[:s.n]
	for k := range ahead {
		ahead[k] = w[0]*p0[k] + w[1]*p1[k] + w[2]*p2[k]
	}
	copy(s.x, ahead)
	for k := range s.vj {
		at := s.n + k
		v := w[0]*m.past[0][at] + w[1]*m.past[1][at] + w[2]*m.past[2][at]
		s.vj[k], _ = s.law(k).limit(v, m.past[0][at])
	}
}

// weights are those of the last instants in the extrapolation to a time.
func (m *march) weights(t float64) [3]float64 {
	t0, t1, t2 := m.when[0], m.when[1], m.when[2]
	switch m.known {
	case 1:
		return [3]float64{1, 0, 0}
	case 2:
		f := (t - t0) / (t0 - t1)
		return [3]float64{1 + f, -f, 0}
	}
	return [3]float64{
		(t - t1) * (t - t2) / ((t0 - t1) * (t0 - t2)),
		(t - t0) * (t - t2) / ((t1 - t0) * (t1 - t2)),
		(t - t0) * (t - t1) / ((t2 - t0) * (t2 - t1)),
	}
}

// law returns the law of junction k of the solver's list.
func (s *solver) law(k int) *junction {
	if k < len(s.c.diodes) {
		return &s.c.diodes[k].law
	}
	return &s.c.transistors[(k-len(s.c.diodes))/2].junction
}

// judge measures a solved step. The local error of the trapezoidal rule is
//
//	h³/12·v‴ ≈ h³/6·[(f₁−f₀)/h − (f₀−f₋₁)/h₋₁]/(h + h₋₁),  f = dv/dt,
//
// and that of backward Euler h/2·(f₁−f₀); right after a corner, where there
// is no f₋₁, the latter stands for the former with a seventh of its weight.
func (m *march) judge(how scheme, h float64) (ratio float64) {
	s := m.s
	// over raises the ratio to miss/allowed where that is more; a division is dear.
	over := func(miss, allowed float64) {
		if !(miss <= ratio*allowed) {
			ratio = miss / allowed
		}
	}
	x, size, ahead := s.x[:s.n], m.size[:s.n], m.ahead[:s.n]
	largest := m.largest
	for _, v := range x[1:s.lay.voltages] {
		if v = math.Abs(v); v > largest {
			largest = v
		}
	}
	floor := 1e-3*largest + 1e-9
	s.rates(how, m.newRate)
	for i, f := range m.newRate {
		e := 0.07 * h * math.Abs(f-m.rate[i])
		if how == euler {
			e = h / 4 * math.Abs(f-m.rate1[i]) // m.rate rings
		} else if m.rates == 2 {
			e = h * h * h / 6 * math.Abs((f-m.rate[i])/h-(m.rate[i]-m.rate1[i])/m.stepped) / (h + m.stepped)
		}
		over(e, m.relTol*m.spanOf(i, floor))
	}
	if m.known < 3 {
		return ratio
	}
	for n := 1; n < len(x); n++ {
		against := size[n]
		if v := math.Abs(x[n]); v > against {
			against = v
		}
		if n >= s.lay.voltages {
			against += 1e-6 // A; below, the last digit of a large capacitor's voltage makes noise
		} else if against < floor {
			against = floor
		}
		over(math.Abs(x[n]-ahead[n]), smoothness*against)
	}
	return ratio
}

// spanOf is the size of state i: volts of a capacitor, amperes of a coil.
func (m *march) spanOf(i int, floor float64) float64 {
	if m.span != nil && m.span[i] > 0 {
		return m.span[i]
	}
	c := m.s.c
	if i < len(c.capacitors) {
		return max(m.size[c.capacitors[i].a], m.size[c.capacitors[i].b], floor, 1e-6)
	}
	// A coil's current works a relay, and a threshold on its flat top has to
	// be right within a fraction of a microsecond. No relay works on less than
	// 0.1 mA: a coil that carries nothing yet is not followed any closer.
	return 0.1 * (m.size[m.s.lay.inductors+i-len(c.capacitors)] + 1e-4)
}

// rates writes dv/dt of each capacitor and di/dt of each coil at the iterate.
func (s *solver) rates(how scheme, out []float64) {
	for i := range s.c.capacitors {
		k := &s.c.capacitors[i]
		amps := s.geq[i] * (s.x[k.a] - s.x[k.b] - s.capV[i])
		if how == trapezoid {
			amps -= s.capI[i]
		}
		out[i] = amps / k.farads
	}
	for i := range s.c.inductors {
		l := &s.c.inductors[i]
		out[len(s.c.capacitors)+i] = (s.x[l.a] - s.x[l.b]) / s.henries[i]
	}
}

// take accepts the step just solved, whose rates are in m.newRate.
func (m *march) take(how scheme, h float64, corner bool) {
	s := m.s
	m.damp = false
	if corner {
		m.known, m.rates = 0, 0
	} else if m.rates == 2 && how == trapezoid {
		m.damp = m.rings(h)
	}
	m.rate, m.rate1, m.newRate = m.newRate, m.rate, m.rate1
	m.rates = min(m.rates+1, 2)
	m.stepped = h
	if m.sens != nil {
		m.sens.step(how)
	}
	s.accept(how)
	m.t += h
	m.remember()
	if m.grid != nil {
		*m.grid = append(*m.grid, gridStep{how, h, corner})
	}
	if m.trace != nil {
		at := m.t
		if len(m.trace.times) == 0 {
			at -= h // the first instant is the start itself
		}
		s.write(m.t)
		m.trace.times = append(m.trace.times, at)
		m.trace.data = append(m.trace.data, s.record...)
	}
}

// remember puts the accepted instant in front of the past.
func (m *march) remember() {
	s := m.s
	last := m.past[2]
	m.past[2], m.past[1], m.past[0] = m.past[1], m.past[0], last
	m.when[2], m.when[1], m.when[0] = m.when[1], m.when[0], m.t
	copy(last, s.x)
	copy(last[s.n:], s.vj)
	m.known = min(m.known+1, 3)
	x, size, seen := s.x[:s.n], m.size[:s.n], m.seen[:s.n]
	for n := 1; n < len(x); n++ {
		v := math.Abs(x[n])
		if v > size[n] {
			size[n] = v
		}
		if v > seen[n] {
			seen[n] = v
		}
		if n < s.lay.voltages && size[n] > m.largest {
			m.largest = size[n]
		}
	}
}

// rings reports a trapezoid that swings about the solution from step to step.
// It does so where a time constant is much shorter than the step, as when a
// diode closes a loop of capacitors: there the current after the step is
// twice the mean less the current before, for ever. One step of backward
// Euler ends it.
func (m *march) rings(h float64) bool {
	for i, f := range m.newRate {
		now, before := f-m.rate[i], m.rate[i]-m.rate1[i]
		if now*before < 0 && math.Abs(now+before) < 0.5*math.Abs(now) &&
			math.Abs(now) > 0.1*max(math.Abs(f), math.Abs(m.rate[i])) && h*math.Abs(now) > 1e-3*m.relTol*m.spanOf(i, 0) {
			return true
		}
	}
	return false
}

// nextBreak is the time of the next corner of a source or switching.
func (m *march) nextBreak() float64 {
	c := m.s.c
	at := never
	for i := range c.voltages {
		at = min(at, c.voltages[i].source.next(m.t+together))
	}
	for i := range c.currents {
		at = min(at, c.currents[i].source.next(m.t+together))
	}
	if m.held {
		return at
	}
	for i := range c.contacts {
		at = min(at, m.s.contact[i].changes)
		for _, t := range c.contacts[i].spec.Times {
			if t.At > m.t+together {
				at = min(at, t.At)
				break
			}
		}
	}
	for i := range c.armatures {
		at = min(at, m.s.armature[i].arrives)
	}
	return at
}

// due reports a switching that falls on the present instant.
func (m *march) due() bool {
	if m.held {
		return false
	}
	for i := range m.s.armature {
		if m.s.armature[i].arrives <= m.t+together {
			return true
		}
	}
	for k := range m.s.contact {
		if m.s.contact[k].changes <= m.t+together {
			return true
		}
	}
	return false
}

// happen works armatures and switches that are due now.
func (m *march) happen() {
	s, c := m.s, m.s.c
	if m.held {
		return
	}
	for i := range c.armatures {
		a := &s.armature[i]
		if a.arrives > m.t+together {
			continue
		}
		a.arrives = never
		a.operated = !a.operated
		spec := &c.armatures[i].spec
		what := Released
		if a.operated {
			what = Operated
		}
		m.note(m.t, c.armatures[i].name, what)
		coil := c.armatures[i].coil
		if l := spec.henries(a.operated); l > 0 {
			s.coilI[coil] *= s.henries[coil] / l // flux linkage L·i is kept
			s.henries[coil] = l
			s.changed(Node(s.lay.inductors + coil))
		}
		for k := range c.contacts {
			if c.contacts[k].armature != i {
				continue
			}
			to := c.contacts[k].spec.Closed != a.operated
			delay := c.contacts[k].spec.OpenDelay
			if to {
				delay = c.contacts[k].spec.CloseDelay
			}
			s.contact[k] = contactState{changes: m.t + delay, to: to}
		}
	}
	for k := range c.contacts {
		if s.contact[k].changes <= m.t+together {
			to := s.contact[k].to
			s.contact[k].changes = never
			m.work(k, to)
		}
		for _, t := range c.contacts[k].spec.Times {
			if math.Abs(t.At-m.t) <= together {
				m.work(k, t.Closed)
			}
		}
	}
}

// work opens or closes a contact.
func (m *march) work(k int, closed bool) {
	s := m.s
	if s.closed[k] == closed {
		return
	}
	s.closed[k] = closed
	s.changed(s.c.contacts[k].a, s.c.contacts[k].b)
	what := Opens
	if closed {
		what = Closes
	}
	m.note(m.t, s.c.contacts[k].name, what)
}

func (m *march) note(t float64, element string, what Happening) {
	if m.trace != nil {
		m.trace.events = append(m.trace.events, Event{t, element, what})
	}
}

// watch looks for coil currents that reached a threshold of their armature
// within the solved step of length h. It sets the arrival, and returns the
// length of the step that ends at the arrival where that falls into this one.
func (m *march) watch(h float64) (retake float64) {
	if m.held {
		return 0
	}
	s, c := m.s, m.s.c
	for i := range c.armatures {
		a, spec := &s.armature[i], &c.armatures[i].spec
		if a.arrives < never {
			continue
		}
		coil := c.armatures[i].coil
		l := &c.inductors[coil]
		i0, i1 := s.coilI[coil], s.x[s.lay.inductors+coil]
		d0, d1 := s.coilV[coil]/s.henries[coil], (s.x[l.a]-s.x[l.b])/s.henries[coil]
		if i1 < 0 || i1 == 0 && i0 < 0 {
			i0, i1, d0, d1 = -i0, -i1, -d0, -d1
		}
		threshold, travel, what, up := spec.Operate, spec.OperateTravel, StartsOperating, true
		if a.operated {
			threshold, travel, what, up = spec.Release, spec.ReleaseTravel, StartsReleasing, false
		}
		past := func(i float64) bool { return up && i >= threshold || !up && i <= threshold }
		if !past(i1) || up != (d1 > 0) {
			continue
		}
		start := m.t
		if !past(i0) {
			start += h * crossing(i0-threshold, i1-threshold, h*d0, h*d1)
		}
		a.arrives = start + travel
		m.note(start, c.armatures[i].name, what)
		if a.arrives < m.t+h-settling {
			if early := max(a.arrives-m.t, settling); retake == 0 || early < retake {
				retake = early
			}
		}
	}
	return retake
}

// crossing finds the zero in 0..1 of the cubic with values a, b and slopes
// p, q at the ends (Hermite), by bisection to a thousandth of a nanosecond of
// a millisecond step.
func crossing(a, b, p, q float64) float64 {
	low, high := 0.0, 1.0
	for range 40 {
		u := (low + high) / 2
		v := a*(1+2*u)*(1-u)*(1-u) + p*u*(1-u)*(1-u) + b*u*u*(3-2*u) + q*u*u*(u-1)
		if (v < 0) == (a < 0) {
			low = u
		} else {
			high = u
		}
	}
	return high
}

// state copies what the circuit remembers at the present instant.
func (m *march) state() State {
	s := m.s
	st := State{elements: s.c.order, time: m.t, caps: s.capV, coils: s.coilI, henries: s.henries, unknowns: s.x, junctions: s.vj,
		closed: s.closed, armatures: s.armature, contacts: s.contact}
	return st.clone()
}

// restore puts a state into the solver. Switches worked by time stand as
// their table says for that time.
func (s *solver) restore(st *State) bool {
	if !slices.Equal(st.elements, s.c.order) || len(st.caps) != len(s.capV) || len(st.coils) != len(s.coilI) || len(st.unknowns) != s.n ||
		len(st.junctions) != len(s.vj) || len(st.armatures) != len(s.armature) || len(st.contacts) != len(s.contact) {
		return false
	}
	copy(s.capV, st.caps)
	copy(s.coilI, st.coils)
	copy(s.x, st.unknowns)
	copy(s.vj, st.junctions)
	for i := range s.armature {
		s.place(i, st.armatures[i].operated)
		s.armature[i] = st.armatures[i]
	}
	for k := range s.c.contacts {
		s.contact[k] = st.contacts[k]
		spec := &s.c.contacts[k].spec
		if spec.Armature != "" {
			s.closed[k] = st.closed[k]
			continue
		}
		s.closed[k] = spec.Closed
		for _, t := range spec.Times {
			if t.At <= st.time+together {
				s.closed[k] = t.Closed
			}
		}
	}
	for i := range s.parts {
		s.parts[i].stale = true
	}
	return true
}

func sortEvents(e []Event) {
	sort.SliceStable(e, func(i, j int) bool { return e[i].Time < e[j].Time })
}
