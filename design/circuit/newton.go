package circuit

import "math"

// tangent is the current of a device, beside its usual tangent, as a line in
// the voltages of its ports: a·v[port] + b·v[port+1] + rest.
type tangent struct {
	port       int
	a, b, rest float64
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
		t := &c.tubes[i]
		grid, screen := s.x[t.grid]-s.x[t.cathode], s.x[t.screen]-s.x[t.cathode]
		if p := &s.v[i]; !t.near(p, grid, screen) {
			*p = t.at(grid, screen)
		}
	}
}

// nearBend is how near a tube must stand to its tangent for the tangent to be drawn
// no more, as a share of the volts over which its law bends: the current is off by
// half the square of that, less than a millionth. In the course of time that is the
// law itself; at rest the new voltages are held against the law before they count.
const nearBend = 1e-3

// near tells whether a tube at these voltages is that near to a tangent; false where
// there is none yet.
func (t *tube) near(p *tubePoint, grid, screen float64) bool {
	pull := 1 / t.model.MuA
	if t.model.S > 0 {
		pull = max(pull, 1/t.model.MuB)
	}
	return math.Abs(grid-p.grid)+math.Abs(screen-p.screen)*pull < nearBend*t.model.bend(p.screen)
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

func (t *tube) at(grid, screen float64) tubePoint {
	p := tubePoint{grid: grid, screen: screen}
	p.ik, p.gm, p.gs = t.model.Cathode(grid, screen)
	return p
}

// line is the tangent's cathode current at other voltages.
func (p *tubePoint) line(grid, screen float64) float64 {
	return p.ik + p.gm*(grid-p.grid) + p.gs*(screen-p.screen)
}

// bind writes the tangents of a part's devices as the lines of their ports.
// A transistor is two currents, from base to emitter and from base to
// collector, −Ie and −Ic.
func (s *solver) bind(p *part) {
	lines := p.tan
	for k, i := range p.diodes {
		lines[k].a, lines[k].rest = s.gj[i]-usual, s.ij[i]
	}
	lines = lines[len(p.diodes):]
	for _, i := range p.transistors {
		t, sign := &s.q[i], s.c.transistors[i].sign
		ic, ib := t.line(0, 0)
		e, c := &lines[0], &lines[1]
		e.a, e.b, e.rest = t.bbe+t.cbe-usual, t.bbc+t.cbc, sign*(ic+ib)
		c.a, c.b, c.rest = -t.cbe, -t.cbc-usual, -sign*ic
		lines = lines[2:]
	}
	for k, i := range p.tubes {
		t := &s.v[i]
		lines[k].a, lines[k].b, lines[k].rest = t.gm-usual, t.gs-usualScreen, t.line(0, 0)
	}
}

// newton iterates from s.x and s.vj until every part settles. It returns 0,
// or the unknown that would not.
func (s *solver) newton(most int, tol tolerance) (culprit int, err error) {
	s.tangents()
	for i := range s.parts {
		if culprit, err = s.iterate(&s.parts[i], most, tol); err != nil {
			return culprit, err
		}
	}
	return 0, nil
}

// iterate is Newton's method in one part. The unknowns follow at its end.
func (s *solver) iterate(p *part, most int, tol tolerance) (culprit int, err error) {
	r, devices, before := p.now, len(p.tan), p.sources()
	if r.fault != 0 {
		return p.unknowns[r.fault], ErrSingular
	}
	w, after := p.w[:r.width], before+devices
	if devices > 0 {
		row := r.ports
		for k := range p.v0 {
			p.v0[k] = dot(row[:before], w) + dot(row[after:r.width], w[after:])
			row = row[r.width:]
		}
		for range most {
			if !s.step(p) {
				return s.portNode(p, 0), ErrSingular
			}
			if k := p.stray(); k >= 0 {
				return s.portNode(p, k), ErrConvergence
			}
			if culprit = s.follow(p, tol); culprit == 0 {
				break
			}
		}
		if culprit != 0 {
			return culprit, ErrConvergence
		}
	}
	row := r.rows[r.width:]
	for _, at := range p.unknowns[1:] {
		v := dot(row[:r.width], w)
		if !(math.Abs(v) < 1e18) { // also NaN
			return at, ErrConvergence
		}
		s.x[at] = v
		row = row[r.width:]
	}
	return 0, nil
}

// step solves the devices' lines together with the ports:
//
//	(1 − T·Ce)·e = T·v0 + rest,   v = v0 + Ce·e
//
// T holds the slopes of the lines. It reports whether there is a solution.
func (s *solver) step(p *part) bool {
	s.bind(p)
	r, m, devices, before := p.now, p.tie, len(p.tan), p.sources()
	m.reset()
	for i := range p.tan {
		t := &p.tan[i]
		first := r.ports[t.port*r.width+before:]
		row := m.rows[i+1][1:]
		if i < len(p.diodes) {
			for j := range devices {
				row[j] = -t.a * first[j]
			}
			p.b[i+1] = t.a*p.v0[t.port] + t.rest
		} else {
			second := first[r.width:]
			for j := range devices {
				row[j] = -t.a*first[j] - t.b*second[j]
			}
			p.b[i+1] = t.a*p.v0[t.port] + t.b*p.v0[t.port+1] + t.rest
		}
		row[i]++
	}
	if m.factor() != 0 {
		return false
	}
	m.solve(p.b, p.e)
	copy(p.w[before:], p.e[1:])
	row := r.ports[before:]
	for k := range p.v {
		p.v[k] = p.v0[k] + dot(row[:devices], p.e[1:])
		row = row[min(r.width, len(row)):]
	}
	return true
}

// stray returns a port at a voltage that is no number or beyond sense, or -1.
func (p *part) stray() int {
	for k, v := range p.v {
		if !(math.Abs(v) < 1e18) {
			return k
		}
	}
	return -1
}

// portNode is a node of a port, to be blamed.
func (s *solver) portNode(p *part, port int) int {
	c := s.c
	if port < len(p.diodes) {
		d := &c.diodes[p.diodes[port]]
		return int(max(d.anode, d.cathode, 1))
	}
	port -= len(p.diodes)
	if port < 2*len(p.transistors) {
		q := &c.transistors[p.transistors[port/2]]
		return int(max(q.base, q.collector, 1))
	}
	t := &c.tubes[p.tubes[port/2-len(p.transistors)]]
	return int(max(t.cathode, t.screen, 1))
}

// follow moves the devices of a part to its ports' new voltages, junctions no
// further than their limit, and draws the new tangents. It returns 0 when every
// device agrees with its old tangent, or a node of the one that disagrees most.
func (s *solver) follow(p *part, tol tolerance) (culprit int) {
	c, v := s.c, p.v
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
	for k, i := range p.diodes {
		d := &c.diodes[i]
		amps := s.gj[i]*v[k] + s.ij[i]
		var limited bool
		s.vj[i], limited = d.law.limit(v[k]-d.model.RS*amps, s.vj[i])
		id := s.tangent(i)
		miss(amps, id, math.Abs(id), limited, max(d.anode, d.cathode))
	}
	v = v[len(p.diodes):]
	for _, i := range p.transistors {
		q := &c.transistors[i]
		k := len(c.diodes) + 2*i
		be, bc := q.sign*v[0], q.sign*v[1]
		v = v[2:]
		ic, ib := s.q[i].line(be, bc)
		var limitedE, limitedC bool
		s.vj[k], limitedE = q.junction.limit(be, s.vj[k])
		s.vj[k+1], limitedC = q.junction.limit(bc, s.vj[k+1])
		s.q[i] = q.at(s.vj[k], s.vj[k+1])
		size := math.Abs(s.q[i].ic) + math.Abs(s.q[i].ib)
		miss(ic, s.q[i].ic, size, limitedE || limitedC, max(q.collector, q.base))
		miss(ib, s.q[i].ib, size, false, max(q.base, q.emitter))
	}
	for _, i := range p.tubes {
		t := &c.tubes[i]
		if tol.lines && t.near(&s.v[i], v[0], v[1]) {
			v = v[2:]
			continue
		}
		amps := s.v[i].line(v[0], v[1])
		s.v[i] = t.at(v[0], v[1])
		v = v[2:]
		miss(amps, s.v[i].ik, s.v[i].ik, false, max(t.cathode, t.screen))
	}
	return culprit
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
// and screen voltage against the cathode; at is the place of each node.
func (m *matrix) tube(t *tube, at []int, gm, gs float64) {
	row := func(of Node, part float64) {
		m.add(at[of], at[t.grid], part*gm)
		m.add(at[of], at[t.screen], part*gs)
		m.add(at[of], at[t.cathode], -part*(gm+gs))
	}
	share := t.model.share()
	row(t.plate, share)
	row(t.screen, 1-share)
	row(t.cathode, -1)
}
