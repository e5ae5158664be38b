package circuit

// part is one piece of the network that nothing but chassis and armatures
// joins to the rest: a set of equations of its own. The lists hold indices
// into those of the circuit.
type part struct {
	unknowns    []int // of all; the first is chassis
	resistors   []int
	contacts    []int
	capacitors  []int
	inductors   []int
	voltages    []int
	currents    []int
	diodes      []int
	transistors []int
	tubes       []int

	static    *matrix // what depends only on values and contacts, and the usual tangents
	stale     bool    // one of them has changed
	lu        *matrix // factored for one response after another
	responses []*response
	kept      int       // responses that hold
	next      int       // to be worked out next
	now       *response // of the present step

	w     []float64 // sources, device currents, histories: see response
	v0, v []float64 // of the ports, with the devices drawing nothing and with them
	tan   []tangent // of the device currents
	tie   *matrix   // of the device currents to each other
	b, e  []float64 // its right side and solution, from 1
	right []float64 // sides of the linear equations, while a response is worked out
}

// sources, devices and states count the columns of a response.
func (p *part) sources() int { return len(p.voltages) + len(p.currents) }
func (p *part) devices() int { return len(p.diodes) + 2*len(p.transistors) + len(p.tubes) }
func (p *part) states() int  { return len(p.capacitors) + len(p.inductors) }

// ports is the number of voltages that the devices go by: that of a diode,
// base to emitter and base to collector, grid and screen to cathode.
func (p *part) ports() int { return len(p.diodes) + 2*len(p.transistors) + 2*len(p.tubes) }

// divide finds the parts of the network.
func (s *solver) divide() {
	c := s.c
	g := newGroups(s.n) // nodes, then branches
	all := func(nodes ...Node) {
		last := Chassis
		for _, n := range nodes {
			if n == Chassis {
				continue
			}
			if last != Chassis {
				g.join(last, n)
			}
			last = n
		}
	}
	for i := range c.resistors {
		all(c.resistors[i].a, c.resistors[i].b)
	}
	for i := range c.capacitors {
		all(c.capacitors[i].a, c.capacitors[i].b)
	}
	for i := range c.inductors {
		all(c.inductors[i].a, c.inductors[i].b, Node(s.lay.inductors+i))
	}
	for i := range c.voltages {
		all(c.voltages[i].plus, c.voltages[i].minus, Node(s.lay.voltages+i))
	}
	for i := range c.currents {
		all(c.currents[i].from, c.currents[i].to)
	}
	for i := range c.diodes {
		all(c.diodes[i].anode, c.diodes[i].cathode)
	}
	for i := range c.transistors {
		all(c.transistors[i].collector, c.transistors[i].base, c.transistors[i].emitter)
	}
	for i := range c.contacts {
		all(c.contacts[i].a, c.contacts[i].b)
	}
	for i := range c.tubes {
		all(c.tubes[i].plate, c.tubes[i].screen, c.tubes[i].grid, c.tubes[i].cathode)
	}
	store := make(intShelf, 4*s.n+len(c.resistors)+len(c.contacts)+len(c.capacitors)+len(c.inductors)+len(c.voltages)+len(c.currents)+
		len(c.diodes)+len(c.transistors)+len(c.tubes))
	s.of, s.local = store.take(s.n), store.take(s.n)
	s.of[0] = -1
	count := 0
	for k := 1; k < s.n; k++ {
		if root := g.root(Node(k)); root == k {
			s.of[k] = count
			count++
		} else {
			s.of[k] = s.of[root] // the root is the lowest
		}
	}
	s.parts = make([]part, count)
	sizes := make([]int, count)
	// share deals n things out to the parts in which they stand, after room
	// for one more at the front.
	share := func(n, front int, where func(i int) int, list func(p *part) *[]int) {
		clear(sizes)
		for i := range n {
			if at := where(i); at >= 0 {
				sizes[at]++
			}
		}
		for i := range s.parts {
			*list(&s.parts[i]) = store.take(front + sizes[i])[:front]
		}
		for i := range n {
			if at := where(i); at >= 0 {
				l := list(&s.parts[at])
				*l = append(*l, i)
			}
		}
	}
	share(s.n, 1, func(i int) int { return s.of[i] }, func(p *part) *[]int { return &p.unknowns })
	for i := range s.parts {
		for at, k := range s.parts[i].unknowns {
			s.local[k] = at
		}
	}
	at := s.partOf
	share(len(c.resistors), 0, func(i int) int { return at(c.resistors[i].a, c.resistors[i].b) }, func(p *part) *[]int { return &p.resistors })
	share(len(c.contacts), 0, func(i int) int { return at(c.contacts[i].a, c.contacts[i].b) }, func(p *part) *[]int { return &p.contacts })
	share(len(c.capacitors), 0, func(i int) int { return at(c.capacitors[i].a, c.capacitors[i].b) }, func(p *part) *[]int { return &p.capacitors })
	share(len(c.inductors), 0, func(i int) int { return s.of[s.lay.inductors+i] }, func(p *part) *[]int { return &p.inductors })
	share(len(c.voltages), 0, func(i int) int { return s.of[s.lay.voltages+i] }, func(p *part) *[]int { return &p.voltages })
	share(len(c.currents), 0, func(i int) int { return at(c.currents[i].from, c.currents[i].to) }, func(p *part) *[]int { return &p.currents })
	share(len(c.diodes), 0, func(i int) int { return at(c.diodes[i].anode, c.diodes[i].cathode) }, func(p *part) *[]int { return &p.diodes })
	share(len(c.transistors), 0, func(i int) int {
		q := &c.transistors[i]
		return at(q.collector, q.base, q.emitter)
	}, func(p *part) *[]int { return &p.transistors })
	share(len(c.tubes), 0, func(i int) int {
		t := &c.tubes[i]
		return at(t.plate, t.screen, t.grid, t.cathode)
	}, func(p *part) *[]int { return &p.tubes })
	for i := range s.parts {
		s.parts[i].equip()
	}
}

// partOf is the part in which something stands that joins these nodes, -1
// where all of them are chassis.
func (s *solver) partOf(nodes ...Node) int {
	for _, n := range nodes {
		if n != Chassis {
			return s.of[n]
		}
	}
	return -1
}

// changed tells the part of a node that a value in it is another.
func (s *solver) changed(nodes ...Node) {
	if at := s.partOf(nodes...); at >= 0 {
		s.parts[at].stale = true
	}
}

// intShelf is a store for many short lists.
type intShelf []int

// take cuts the next list off.
func (s *intShelf) take(n int) []int {
	v := (*s)[:n:n]
	*s = (*s)[n:]
	return v
}

// equip makes the working store of a part.
func (p *part) equip() {
	n, ports, devices := len(p.unknowns), p.ports(), p.devices()
	width := p.sources() + devices + p.states()
	store := make(shelf, width+2*ports+2*(devices+1)+n*width)
	p.w = store.take(width)
	p.v0, p.v = store.take(ports), store.take(ports)
	p.b, p.e = store.take(devices+1), store.take(devices+1)
	p.right = store.take(n * width)
	p.tan = make([]tangent, devices)
	for i := range p.tan {
		p.tan[i].port = i
	}
	junctions := devices - len(p.tubes)
	for i := range p.transistors {
		at := len(p.diodes) + 2*i
		p.tan[at+1].port = at
	}
	for i := range p.tubes {
		p.tan[junctions+i].port = junctions + 2*i
	}
	p.tie = newMatrix(devices + 1)
	p.static, p.lu = newMatrix(n), newMatrix(n)
}
