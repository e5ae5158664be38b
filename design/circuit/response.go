package circuit

// response is what the linear elements of a part make of everything that
// drives them, for one way of taking a step:
//
//	x = R·w,   w = (u, e, σ)
//
// x are the unknowns, u the sources, e the currents of the devices, σ the
// histories of capacitors and coils, and each column of R is one solution of
// the linear equations. They are factored once for each length of step;
// Newton's method goes on between the devices alone, through the rows of
// their ports, e = f(v), v = C·w.
//
// A capacitor is a conductance with a history current, i = geq·v − σ, and a
// coil keeps its current as unknown, v − req·i = −σ:
//
//	Euler      geq = C/h,   σ = geq·v₀          req = L/h,   σ = req·i₀
//	trapezoid  geq = 2C/h,  σ = geq·v₀ + i₀     req = 2L/h,  σ = req·i₀ + v₀
//
// At rest there is no history.
//
// A junction between nodes that nothing else holds would leave the linear
// equations all but singular. So each device is seen beside a usual tangent,
// which stands in the matrix and is taken off its current again.
type response struct {
	how     scheme
	h, gmin float64
	width   int       // of w as far as it counts
	rows    []float64 // of R, one for each unknown
	ports   []float64 // of C, one for each port
	states  []float64 // one for each state: a capacitor's voltage, a coil's current
	store   shelf     // of the three
	fault   int       // unknown of the part for which no pivot was found, or 0
}

// The usual tangents: 1 mS of a junction and of a tube's grid, 0.1 mS of its
// screen.
const (
	usual       = 1e-3
	usualScreen = 1e-4
)

// mostResponses is how many a part keeps: the rungs of [march.rung] between
// the longest step and a hundred-thousandth of it.
const mostResponses = 64

// response finds the response of a part for a way of taking a step.
func (s *solver) response(p *part, how scheme, h float64) *response {
	if p.stale {
		p.stale, p.kept, p.next = false, 0, 0
		p.static.clear()
		s.stamp(p, p.static, s.local)
		s.stampUsual(p)
	}
	same := func(r *response) bool { return r.h == h && r.how == how && r.gmin == s.gmin }
	if p.kept > 0 && same(p.now) { // mostly
		return p.now
	}
	for _, r := range p.responses[:p.kept] {
		if same(r) {
			return r
		}
	}
	if p.next == mostResponses {
		p.next = 0
	}
	if p.next == len(p.responses) {
		p.responses = append(p.responses, &response{})
	}
	r := p.responses[p.next]
	p.next++
	p.kept = max(p.kept, p.next)
	r.how, r.h, r.gmin = how, h, s.gmin
	s.work(p, r)
	return r
}

// room makes room for the rows of a response.
func (p *part) room(r *response) {
	rows, states := len(p.unknowns)+p.ports(), 0
	r.width = p.sources() + p.devices()
	if r.how != atRest {
		r.width, states = r.width+p.states(), p.states()
	}
	if need := (rows + states) * r.width; cap(r.store) < need {
		r.store = make(shelf, need)
	}
	store := r.store[:(rows+states)*r.width]
	r.rows, r.ports, r.states = store.take(len(p.unknowns)*r.width), store.take(p.ports()*r.width), store.take(states*r.width)
}

// stamp adds what depends only on values and contacts to the equations of a
// part; at is the place of each unknown in the matrix.
func (s *solver) stamp(p *part, m *matrix, at []int) {
	c := s.c
	conductance := func(a, b Node, g float64) { m.conductance(at[a], at[b], g) }
	for _, i := range p.resistors {
		conductance(c.resistors[i].a, c.resistors[i].b, 1/c.resistors[i].ohms)
	}
	for _, i := range p.contacts {
		conductance(c.contacts[i].a, c.contacts[i].b, s.contactSiemens(i))
	}
	for _, i := range p.diodes {
		conductance(c.diodes[i].anode, c.diodes[i].cathode, leak)
	}
	for _, i := range p.transistors {
		conductance(c.transistors[i].base, c.transistors[i].emitter, leak)
		conductance(c.transistors[i].base, c.transistors[i].collector, leak)
	}
	for _, i := range p.tubes {
		conductance(c.tubes[i].plate, c.tubes[i].cathode, leak)
		conductance(c.tubes[i].screen, c.tubes[i].cathode, leak)
	}
	for _, i := range p.voltages {
		m.branch(at[c.voltages[i].plus], at[c.voltages[i].minus], at[s.lay.voltages+i])
	}
	for _, i := range p.inductors {
		m.branch(at[c.inductors[i].a], at[c.inductors[i].b], at[s.lay.inductors+i])
	}
}

// stampUsual adds the usual tangents of the devices.
func (s *solver) stampUsual(p *part) {
	c, m, at := s.c, p.static, s.local
	for _, i := range p.diodes {
		m.conductance(at[c.diodes[i].anode], at[c.diodes[i].cathode], usual)
	}
	for _, i := range p.transistors {
		q := &c.transistors[i]
		m.conductance(at[q.base], at[q.emitter], usual)
		m.conductance(at[q.base], at[q.collector], usual)
	}
	for _, i := range p.tubes {
		m.tube(&c.tubes[i], at, usual, usualScreen)
	}
}

// work works a response out.
func (s *solver) work(p *part, r *response) {
	c, at, m := s.c, s.local, p.lu
	n := len(p.unknowns)
	p.room(r)
	m.copyFrom(p.static)
	if r.how != atRest {
		factor := r.how.over(r.h)
		for _, i := range p.capacitors {
			k := &c.capacitors[i]
			m.conductance(at[k.a], at[k.b], k.farads*factor)
		}
		for _, i := range p.inductors {
			row := at[s.lay.inductors+i]
			m.add(row, row, -s.henries[i]*factor)
		}
	}
	if r.gmin > 0 {
		for i := 1; i < n && p.unknowns[i] < s.lay.voltages; i++ {
			m.add(i, i, r.gmin)
		}
	}
	if r.fault = m.factor(); r.fault != 0 {
		return
	}
	// A column of the right sides for each thing that drives the part.
	right, column := p.right[:n*r.width], 0
	clear(right)
	put := func(unknown int, v float64) { right[at[unknown]*r.width+column] += v }
	// flow is a current that leaves one node and enters another.
	flow := func(from, to Node) {
		put(int(from), -1)
		put(int(to), +1)
		column++
	}
	// push is a voltage within a branch.
	push := func(branch int, volts float64) {
		put(branch, volts)
		column++
	}
	for _, i := range p.voltages {
		push(s.lay.voltages+i, 1)
	}
	for _, i := range p.currents {
		flow(c.currents[i].from, c.currents[i].to)
	}
	for _, i := range p.diodes {
		flow(c.diodes[i].anode, c.diodes[i].cathode)
	}
	for _, i := range p.transistors {
		flow(c.transistors[i].base, c.transistors[i].emitter)
		flow(c.transistors[i].base, c.transistors[i].collector)
	}
	for _, i := range p.tubes {
		t := &c.tubes[i]
		share := t.model.share()
		put(int(t.plate), -share)
		put(int(t.screen), share-1)
		put(int(t.cathode), +1)
		column++
	}
	if r.how != atRest {
		for _, i := range p.capacitors {
			flow(c.capacitors[i].b, c.capacitors[i].a)
		}
		for _, i := range p.inductors {
			push(s.lay.inductors+i, -1)
		}
	}
	m.solveRows(right, r.rows, r.width)
	s.observe(p, r)
}

// observe makes the rows of ports and states from those of the unknowns.
func (s *solver) observe(p *part, r *response) {
	c, at, width := s.c, s.local, r.width
	row := func(n Node) []float64 { return r.rows[at[n]*width : (at[n]+1)*width] }
	into := r.ports
	between := func(a, b Node) {
		va, vb := row(a), row(b)
		for i := range width {
			into[i] = va[i] - vb[i]
		}
		into = into[width:]
	}
	for _, i := range p.diodes {
		between(c.diodes[i].anode, c.diodes[i].cathode)
	}
	for _, i := range p.transistors {
		q := &c.transistors[i]
		between(q.base, q.emitter)
		between(q.base, q.collector)
	}
	for _, i := range p.tubes {
		t := &c.tubes[i]
		between(t.grid, t.cathode)
		between(t.screen, t.cathode)
	}
	if r.how == atRest {
		return
	}
	into = r.states
	for _, i := range p.capacitors {
		between(c.capacitors[i].a, c.capacitors[i].b)
	}
	for _, i := range p.inductors {
		copy(into, row(Node(s.lay.inductors+i)))
		into = into[width:]
	}
}

// over is the factor of C and L in a step: 1/h or 2/h.
func (how scheme) over(h float64) float64 {
	if how == trapezoid {
		return 2 / h
	}
	return 1 / h
}

// assemble sets up one instant t, a step of length h after the accepted one:
// the responses, and what drives them but for the devices.
func (s *solver) assemble(how scheme, h, t float64) {
	c := s.c
	factor := how.over(h)
	for i := range s.parts {
		p := &s.parts[i]
		p.now = s.response(p, how, h)
		w := p.w
		for k, i := range p.voltages {
			w[k] = s.scale * c.voltages[i].source.At(t)
		}
		w = w[len(p.voltages):]
		for k, i := range p.currents {
			w[k] = s.scale * c.currents[i].source.At(t)
		}
		if how == atRest {
			continue
		}
		w = w[len(p.currents)+p.devices():]
		for k, i := range p.capacitors {
			g := c.capacitors[i].farads * factor
			s.geq[i] = g
			w[k] = g * s.capV[i]
			if how == trapezoid {
				w[k] += s.capI[i]
			}
		}
		w = w[len(p.capacitors):]
		for k, i := range p.inductors {
			r := s.henries[i] * factor
			s.req[i] = r
			w[k] = r * s.coilI[i]
			if how == trapezoid {
				w[k] += s.coilV[i]
			}
		}
	}
}

// dot is the product of a row with w.
func dot(row, w []float64) (sum float64) {
	w = w[:len(row)]
	for i, r := range row {
		sum += r * w[i]
	}
	return sum
}
