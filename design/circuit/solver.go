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
type tolerance struct {
	relative, amps float64
	lines          bool // a tube near its tangent draws what the tangent says
}

// Newton's method squares its error, so the next iterate is better still. At
// 10 MΩ 0.1 pA is a microvolt and 10 pA a tenth of a millivolt.
var (
	restTolerance = tolerance{relative: 1e-8, amps: 1e-13}
	stepTolerance = tolerance{relative: 1e-5, amps: 1e-11, lines: true}
)

// solver is the working store for one circuit. Slot 0 of every vector of
// unknowns is chassis.
type solver struct {
	c   *Circuit
	lay layout
	n   int // unknowns with chassis

	parts    []part
	of       []int // the part of each unknown, -1 of chassis
	local    []int // the place of each unknown within its part
	armature []armatureState
	contact  []contactState
	closed   []bool    // contacts as they stand
	henries  []float64 // coils as they stand
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
	gmin     float64 // S from every node to chassis, in g-min stepping
	record   []float64
	sound    [2]bool // inspected: in motion, at rest
	signal   *smallSignal
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
	s := c.work
	if which := standing(rest); !s.sound[which] {
		if err := c.inspect(rest); err != nil {
			return nil, err
		}
		s.sound[which] = true
	}
	s.scale, s.gmin = 1, 0
	for i := range s.parts {
		s.parts[i].stale = true // a value may have changed
	}
	for i := range s.v {
		s.v[i].grid = math.NaN() // no tangent yet
	}
	s.start()
	clear(s.x)
	return s, nil
}

// standing is the place of an inspection in solver.sound.
func standing(rest bool) int {
	if rest {
		return 1
	}
	return 0
}

func newSolver(c *Circuit) *solver {
	lay := c.layout()
	n := lay.unknowns
	diodes, transistors, tubes := len(c.diodes), len(c.transistors), len(c.tubes)
	caps, coils := len(c.capacitors), len(c.inductors)
	store := make(shelf, n+2*diodes+transistors*2+diodes+3*caps+4*coils+lay.width)
	s := &solver{
		c: c, lay: lay, n: n,
		armature: make([]armatureState, len(c.armatures)), contact: make([]contactState, len(c.contacts)),
		closed: make([]bool, len(c.contacts)), henries: store.take(coils),
		x:  store.take(n),
		vj: store.take(diodes + 2*transistors),
		gj: store.take(diodes), ij: store.take(diodes),
		q: make([]transistorPoint, transistors), v: make([]tubePoint, tubes),
		capI: store.take(caps), capV: store.take(caps), geq: store.take(caps),
		coilV: store.take(coils), coilI: store.take(coils), req: store.take(coils),
		linear: diodes+transistors+tubes == 0,
		record: store.take(lay.width),
	}
	s.divide()
	return s
}

// shelf is a store for many short vectors.
type shelf []float64

// take cuts the next vector off.
func (s *shelf) take(n int) []float64 {
	v := (*s)[:n:n]
	*s = (*s)[n:]
	return v
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
	s.changed(Node(s.lay.inductors + a.coil))
	for k := range s.c.contacts {
		if at := &s.c.contacts[k]; at.armature == i {
			s.closed[k] = at.spec.Closed != operated
			s.changed(at.a, at.b)
		}
	}
}

func (s *solver) contactSiemens(i int) float64 {
	if s.closed[i] {
		return 1 / s.c.contacts[i].spec.on()
	}
	return 1 / s.c.contacts[i].spec.off()
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
		ik := s.v[i].line(x[v.grid]-x[v.cathode], x[v.screen]-x[v.cathode])
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
