package circuit

import "math"

// scheme is how capacitors and coils enter the equations of one instant.
type scheme uint8

const (
	atRest    scheme = iota // capacitors open, coils short
	euler                   // backward Euler, one step of length h
	trapezoid               // trapezoidal rule, one step of length h
)

// tolerance is when an iteration has settled: every device draws at the new
// voltages the current that its tangent promised, to relative·|i| + amps.
// The rest of the equations is linear, so nothing else is left to settle;
// and a node that only leakage holds does not keep the iteration going.
type tolerance struct{ relative, amps float64 }

// Newton's method squares its error, so the next iterate is better still. At
// 10 MΩ 0.1 pA is a microvolt and 10 pA a tenth of a millivolt.
var (
	restTolerance = tolerance{1e-8, 1e-13}
	stepTolerance = tolerance{1e-5, 1e-11}
)

// solver is the working store for one circuit. Slot 0 of every vector of
// unknowns is chassis.
type solver struct {
	c   *Circuit
	lay layout
	n   int // unknowns with chassis

	armature []armatureState
	contact  []contactState
	closed   []bool    // contacts as they stand
	henries  []float64 // coils as they stand
	static   *matrix   // what depends only on values and contacts
	base     *matrix   // with capacitors, coils and g-min for one step
	lu       *matrix
	b0, b    []float64
	x        []float64 // iterate
	vj       []float64 // junction voltages of diodes, then be and bc of transistors
	gj, ij   []float64 // tangents of the diodes, i = gj·v + ij
	q        []transistorPoint
	v        []tubePoint
	capI     []float64 // currents of the capacitors at the last accepted instant
	coilV    []float64 // voltages of the coils there
	capV     []float64
	coilI    []float64
	geq      []float64 // companion conductances of the capacitors
	req      []float64 // companion resistances of the coils
	linear   bool
	scale    float64 // of the sources, in source stepping
	record   []float64
}

// prepare checks the circuit and returns its working store with the values
// loaded and switches and armatures as at the start.
func (c *Circuit) prepare(rest bool) (*solver, *Error) {
	if len(c.faults) > 0 {
		return nil, c.inspect(rest)
	}
	if c.work == nil {
		if err := c.connect(); err != nil {
			return nil, err
		}
		c.work = newSolver(c)
	}
	if err := c.inspect(rest); err != nil {
		return nil, err
	}
	s := c.work
	s.scale = 1
	s.start()
	clear(s.x)
	return s, nil
}

func newSolver(c *Circuit) *solver {
	lay := c.layout()
	n := lay.unknowns
	vectors := func(k int) []float64 { return make([]float64, k) }
	return &solver{
		c: c, lay: lay, n: n,
		armature: make([]armatureState, len(c.armatures)), contact: make([]contactState, len(c.contacts)),
		closed: make([]bool, len(c.contacts)), henries: vectors(len(c.inductors)),
		static: newMatrix(n), base: newMatrix(n), lu: newMatrix(n),
		b0: vectors(n), b: vectors(n), x: vectors(n),
		vj: vectors(len(c.diodes) + 2*len(c.transistors)),
		gj: vectors(len(c.diodes)), ij: vectors(len(c.diodes)),
		q: make([]transistorPoint, len(c.transistors)), v: make([]tubePoint, len(c.tubes)),
		capI: vectors(len(c.capacitors)), capV: vectors(len(c.capacitors)), geq: vectors(len(c.capacitors)),
		coilV: vectors(len(c.inductors)), coilI: vectors(len(c.inductors)), req: vectors(len(c.inductors)),
		linear: len(c.diodes)+len(c.transistors)+len(c.tubes) == 0,
		record: vectors(lay.width),
	}
}

// start puts switches and armatures where they stand at time 0.
func (s *solver) start() {
	for i := range s.c.inductors {
		s.henries[i] = s.c.inductors[i].henries
	}
	for i := range s.c.contacts {
		spec := &s.c.contacts[i].spec
		s.closed[i] = spec.Closed
		for _, t := range spec.Times {
			if t.At <= 0 {
				s.closed[i] = t.Closed
			}
		}
		s.contact[i] = contactState{changes: never}
	}
	for i := range s.c.armatures {
		s.armature[i] = armatureState{arrives: never}
		s.place(i, s.c.armatures[i].spec.Operated)
	}
}

// place puts an armature, its coil's inductance and its contacts into one of
// its two states, without history.
func (s *solver) place(i int, operated bool) {
	a := &s.c.armatures[i]
	s.armature[i].operated = operated
	s.henries[a.coil] = s.c.inductors[a.coil].henries
	if h := a.spec.henries(operated); h > 0 {
		s.henries[a.coil] = h
	}
	for k := range s.c.contacts {
		if s.c.contacts[k].armature == i {
			s.closed[k] = s.c.contacts[k].spec.Closed != operated
		}
	}
}

// stampStatic fills the part of the matrix that changes only with a contact.
func (s *solver) stampStatic() {
	c, m := s.c, s.static
	m.clear()
	for i := range c.resistors {
		m.conductance(c.resistors[i].a, c.resistors[i].b, 1/c.resistors[i].ohms)
	}
	for i := range c.contacts {
		m.conductance(c.contacts[i].a, c.contacts[i].b, s.contactSiemens(i))
	}
	for i := range c.diodes {
		m.conductance(c.diodes[i].anode, c.diodes[i].cathode, leak)
	}
	for i := range c.transistors {
		m.conductance(c.transistors[i].base, c.transistors[i].emitter, leak)
		m.conductance(c.transistors[i].base, c.transistors[i].collector, leak)
	}
	for i := range c.tubes {
		m.conductance(c.tubes[i].plate, c.tubes[i].cathode, leak)
		m.conductance(c.tubes[i].screen, c.tubes[i].cathode, leak)
	}
	for i := range c.voltages {
		m.branch(c.voltages[i].plus, c.voltages[i].minus, s.lay.voltages+i)
	}
	for i := range c.inductors {
		m.branch(c.inductors[i].a, c.inductors[i].b, s.lay.inductors+i)
	}
}

func (s *solver) contactSiemens(i int) float64 {
	if s.closed[i] {
		return 1 / s.c.contacts[i].spec.on()
	}
	return 1 / s.c.contacts[i].spec.off()
}

// assemble makes the linear part of the equations of one instant t, a step
// of length h after the accepted instant.
//
// A capacitor is a conductance with a history current, i = geq·v − hist:
//
//	Euler      geq = C/h,   hist = geq·v₀
//	trapezoid  geq = 2C/h,  hist = geq·v₀ + i₀
//
// A coil keeps its current as unknown, v − req·i = −hist:
//
//	Euler      req = L/h,   hist = req·i₀
//	trapezoid  req = 2L/h,  hist = req·i₀ + v₀
func (s *solver) assemble(how scheme, h, t float64) {
	c := s.c
	s.base.copyFrom(s.static)
	clear(s.b0)
	for i := range c.voltages {
		s.b0[s.lay.voltages+i] = s.scale * c.voltages[i].source.At(t)
	}
	for i := range c.currents {
		v := s.scale * c.currents[i].source.At(t)
		s.b0[c.currents[i].from] -= v
		s.b0[c.currents[i].to] += v
	}
	if how == atRest {
		return
	}
	factor := 1 / h
	if how == trapezoid {
		factor = 2 / h
	}
	for i := range c.capacitors {
		k := &c.capacitors[i]
		g := k.farads * factor
		s.geq[i] = g
		hist := g * s.capV[i]
		if how == trapezoid {
			hist += s.capI[i]
		}
		s.base.conductance(k.a, k.b, g)
		s.b0[k.a] += hist
		s.b0[k.b] -= hist
	}
	for i := range c.inductors {
		r := s.henries[i] * factor
		s.req[i] = r
		row := s.lay.inductors + i
		hist := r * s.coilI[i]
		if how == trapezoid {
			hist += s.coilV[i]
		}
		s.base.add(row, row, -r)
		s.b0[row] = -hist
	}
}

// tangent draws the tangent of diode i at its junction voltage. The node
// between RS and the junction is eliminated: i = id + gd·(v − RS·i − vj).
func (s *solver) tangent(i int) (id float64) {
	d := &s.c.diodes[i]
	id, gd := d.law.at(s.vj[i])
	inverse := 1 / (1 + gd*d.model.RS)
	s.gj[i] = gd * inverse
	s.ij[i] = (id - gd*s.vj[i]) * inverse
	return id
}

// tangents draws the tangents of all devices at the iterate.
func (s *solver) tangents() {
	c := s.c
	for i := range c.diodes {
		s.tangent(i)
	}
	for i := range c.transistors {
		k := len(c.diodes) + 2*i
		s.q[i] = c.transistors[i].at(s.vj[k], s.vj[k+1])
	}
	for i := range c.tubes {
		s.v[i] = c.tubes[i].at(s.x)
	}
}

// stampDevices adds the tangents to the equations.
func (s *solver) stampDevices() {
	c, m, b := s.c, s.lu, s.b
	for i := range c.diodes {
		d := &c.diodes[i]
		m.conductance(d.anode, d.cathode, s.gj[i])
		b[d.anode] -= s.ij[i]
		b[d.cathode] += s.ij[i]
	}
	for i := range c.transistors {
		q, t := &c.transistors[i], &s.q[i]
		m.transistor(q, t)
		ic, ib := t.line(0, 0)
		b[q.collector] -= q.sign * ic
		b[q.base] -= q.sign * ib
		b[q.emitter] += q.sign * (ic + ib)
	}
	for i := range c.tubes {
		t, v := &c.tubes[i], &s.v[i]
		m.tube(t, v.gm, v.gs)
		share, rest := t.model.share(), v.line(0, 0)
		b[t.plate] -= share * rest
		b[t.screen] -= (1 - share) * rest
		b[t.cathode] += rest
	}
}

// transistorPoint is a transistor at two junction voltages: collector and
// base current and their derivatives, all in npn sense.
type transistorPoint struct{ be, bc, ic, ib, cbe, cbc, bbe, bbc float64 }

func (q *transistor) at(vbe, vbc float64) transistorPoint {
	f, gf := q.junction.at(vbe)
	r, gr := q.junction.at(vbc)
	bf, br := q.model.BF, q.model.reverse()
	return transistorPoint{
		be: vbe, bc: vbc, ic: f - r - r/br, ib: f/bf + r/br,
		cbe: gf, cbc: -gr - gr/br, bbe: gf / bf, bbc: gr / br,
	}
}

// line is the tangent's collector and base current at other voltages.
func (t *transistorPoint) line(vbe, vbc float64) (ic, ib float64) {
	be, bc := vbe-t.be, vbc-t.bc
	return t.ic + t.cbe*be + t.cbc*bc, t.ib + t.bbe*be + t.bbc*bc
}

// tubePoint is a tube at two voltages against its cathode.
type tubePoint struct{ grid, screen, ik, gm, gs float64 }

func (t *tube) at(x []float64) tubePoint {
	p := tubePoint{grid: x[t.grid] - x[t.cathode], screen: x[t.screen] - x[t.cathode]}
	p.ik, p.gm, p.gs = t.model.Cathode(p.grid, p.screen)
	return p
}

// line is the tangent's cathode current at other voltages.
func (p *tubePoint) line(grid, screen float64) float64 {
	return p.ik + p.gm*(grid-p.grid) + p.gs*(screen-p.screen)
}

// transistor stamps the derivatives of the three terminal currents.
func (m *matrix) transistor(q *transistor, t *transistorPoint) {
	row := func(at Node, be, bc float64) {
		m.add(int(at), int(q.base), be+bc)
		m.add(int(at), int(q.emitter), -be)
		m.add(int(at), int(q.collector), -bc)
	}
	row(q.collector, t.cbe, t.cbc)
	row(q.base, t.bbe, t.bbc)
	row(q.emitter, -t.cbe-t.bbe, -t.cbc-t.bbc)
}

// tube stamps the derivatives of plate, screen and cathode current by grid
// and screen voltage against the cathode.
func (m *matrix) tube(t *tube, gm, gs float64) {
	row := func(at Node, part float64) {
		m.add(int(at), int(t.grid), part*gm)
		m.add(int(at), int(t.screen), part*gs)
		m.add(int(at), int(t.cathode), -part*(gm+gs))
	}
	share := t.model.share()
	row(t.plate, share)
	row(t.screen, 1-share)
	row(t.cathode, -1)
}

// newton iterates from s.x and s.vj until it settles. It returns 0, or the
// unknown that would not.
func (s *solver) newton(most int, tol tolerance) (culprit int, err error) {
	s.tangents()
	for range most {
		s.lu.copyFrom(s.base)
		copy(s.b, s.b0)
		s.stampDevices()
		if k := s.lu.factor(); k != 0 {
			return k, ErrSingular
		}
		s.lu.solve(s.b, s.x)
		for k, v := range s.x {
			if !(math.Abs(v) < 1e18) { // also NaN
				return k, ErrConvergence
			}
		}
		if culprit = s.follow(tol); culprit == 0 {
			return 0, nil
		}
	}
	return culprit, ErrConvergence
}

// follow moves the devices to the new iterate, junctions no further than
// their limit, and draws the new tangents. It returns 0 when every device
// agrees with its old tangent, or a node of the one that disagrees most.
func (s *solver) follow(tol tolerance) (culprit int) {
	c := s.c
	worst := 1.0
	miss := func(tangent, i, size float64, limited bool, at Node) {
		m := math.Abs(tangent-i) / (tol.relative*size + tol.amps)
		if limited {
			m += 2
		}
		if !(m <= worst) {
			worst, culprit = m, int(max(at, 1))
		}
	}
	for i := range c.diodes {
		d := &c.diodes[i]
		v := s.x[d.anode] - s.x[d.cathode]
		amps := s.gj[i]*v + s.ij[i]
		var limited bool
		s.vj[i], limited = d.law.limit(v-d.model.RS*amps, s.vj[i])
		id := s.tangent(i)
		miss(amps, id, math.Abs(id), limited, max(d.anode, d.cathode))
	}
	for i := range c.transistors {
		q := &c.transistors[i]
		k := len(c.diodes) + 2*i
		be, bc := q.sign*(s.x[q.base]-s.x[q.emitter]), q.sign*(s.x[q.base]-s.x[q.collector])
		ic, ib := s.q[i].line(be, bc)
		var limitedE, limitedC bool
		s.vj[k], limitedE = q.junction.limit(be, s.vj[k])
		s.vj[k+1], limitedC = q.junction.limit(bc, s.vj[k+1])
		s.q[i] = q.at(s.vj[k], s.vj[k+1])
		size := math.Abs(s.q[i].ic) + math.Abs(s.q[i].ib)
		miss(ic, s.q[i].ic, size, limitedE || limitedC, max(q.collector, q.base))
		miss(ib, s.q[i].ib, size, false, max(q.base, q.emitter))
	}
	for i := range c.tubes {
		t := &c.tubes[i]
		amps := s.v[i].line(s.x[t.grid]-s.x[t.cathode], s.x[t.screen]-s.x[t.cathode])
		s.v[i] = t.at(s.x)
		miss(amps, s.v[i].ik, s.v[i].ik, false, max(t.cathode, t.screen))
	}
	return culprit
}

// accept takes the iterate as the new instant: voltages and currents of
// capacitors and coils become history.
func (s *solver) accept(how scheme) {
	c := s.c
	for i := range c.capacitors {
		v := s.x[c.capacitors[i].a] - s.x[c.capacitors[i].b]
		switch how {
		case atRest:
			s.capI[i] = 0
		case euler:
			s.capI[i] = s.geq[i] * (v - s.capV[i])
		case trapezoid:
			s.capI[i] = s.geq[i]*(v-s.capV[i]) - s.capI[i]
		}
		s.capV[i] = v
	}
	for i := range c.inductors {
		s.coilI[i] = s.x[s.lay.inductors+i]
		s.coilV[i] = s.x[c.inductors[i].a] - s.x[c.inductors[i].b]
	}
}

// write fills s.record with the accepted instant t.
func (s *solver) write(t float64) {
	c, r, x := s.c, s.record, s.x
	copy(r, x)
	copy(r[s.lay.capacitors:], s.capI)
	for i := range c.diodes {
		v := x[c.diodes[i].anode] - x[c.diodes[i].cathode]
		r[s.lay.diodes+i] = (s.gj[i]+leak)*v + s.ij[i]
	}
	for i := range c.transistors {
		q := &c.transistors[i]
		be, bc := x[q.base]-x[q.emitter], x[q.base]-x[q.collector]
		ic, ib := s.q[i].line(q.sign*be, q.sign*bc)
		ic, ib = q.sign*ic-leak*bc, q.sign*ib+leak*(be+bc)
		at := s.lay.transistors + 3*i
		r[at], r[at+1], r[at+2] = ic, ib, -ic-ib
	}
	for i := range c.tubes {
		v := &c.tubes[i]
		ik := s.v[i].ik
		plate := ik*v.model.share() + leak*(x[v.plate]-x[v.cathode])
		screen := ik*(1-v.model.share()) + leak*(x[v.screen]-x[v.cathode])
		at := s.lay.tubes + 3*i
		r[at], r[at+1], r[at+2] = plate+screen, plate, screen
	}
	for i := range c.contacts {
		r[s.lay.contacts+i] = s.contactSiemens(i) * (x[c.contacts[i].a] - x[c.contacts[i].b])
	}
	for i := range c.resistors {
		k := &c.resistors[i]
		r[s.lay.resistors+i] = (x[k.a] - x[k.b]) / k.ohms
	}
	for i := range c.currents {
		r[s.lay.currents+i] = s.scale * c.currents[i].source.At(t)
	}
}

// blame makes an error of an unknown.
func (s *solver) blame(stage Stage, t float64, unknown int, err error) *Error {
	e := &Error{Stage: stage, Time: t, Err: err}
	switch {
	case unknown >= s.lay.inductors:
		e.Element = s.c.inductors[unknown-s.lay.inductors].name
	case unknown >= s.lay.voltages:
		e.Element = s.c.voltages[unknown-s.lay.voltages].name
	default:
		e.Node = s.c.nodeNames[unknown]
	}
	if e.Element != "" {
		h := s.c.elements[e.Element]
		if h.kind == kindInductor {
			e.Node = s.c.nodeNames[s.c.inductors[h.index].a]
		} else {
			e.Node = s.c.nodeNames[s.c.voltages[h.index].plus]
		}
	}
	return e
}
