package circuit

import "fmt"

// groups is a union–find over nodes.
type groups []int

func newGroups(n int) groups {
	g := make(groups, n)
	for i := range g {
		g[i] = i
	}
	return g
}

func (g groups) root(n Node) int {
	i := int(n)
	for g[i] != i {
		g[i] = g[g[i]]
		i = g[i]
	}
	return i
}

// join unites two nodes and reports whether they were apart.
func (g groups) join(a, b Node) bool {
	i, j := g.root(a), g.root(b)
	if i == j {
		return false
	}
	if i < j { // chassis, the lowest, stays a root
		g[j] = i
	} else {
		g[i] = j
	}
	return true
}

// inspect finds what makes the equations impossible before they are tried:
// faulty elements, nodes without a path to chassis, loops of ideal voltages.
// At rest capacitors conduct nothing and inductors are shorts.
func (c *Circuit) inspect(atRest bool) *Error {
	fault := func(element, node string, err error) *Error {
		return &Error{Stage: StageCircuit, Element: element, Node: node, Err: err}
	}
	if len(c.faults) > 0 {
		return fault("", "", fmt.Errorf("%w: %w", ErrNetwork, c.faults[0]))
	}
	loops := newGroups(len(c.nodeNames))
	path := newGroups(len(c.nodeNames))
	for i := range c.voltages {
		v := &c.voltages[i]
		if !loops.join(v.plus, v.minus) {
			return fault(v.name, c.nodeNames[v.plus], ErrLoop)
		}
		path.join(v.plus, v.minus)
	}
	for i := range c.inductors {
		l := &c.inductors[i]
		if atRest && !loops.join(l.a, l.b) {
			return fault(l.name, c.nodeNames[l.a], ErrLoop)
		}
		path.join(l.a, l.b)
	}
	for i := range c.resistors {
		path.join(c.resistors[i].a, c.resistors[i].b)
	}
	for i := range c.diodes {
		path.join(c.diodes[i].anode, c.diodes[i].cathode)
	}
	for i := range c.contacts {
		path.join(c.contacts[i].a, c.contacts[i].b)
	}
	for i := range c.transistors {
		q := &c.transistors[i]
		path.join(q.base, q.emitter)
		path.join(q.base, q.collector)
	}
	for i := range c.tubes { // the grid draws no current
		path.join(c.tubes[i].plate, c.tubes[i].cathode)
		path.join(c.tubes[i].screen, c.tubes[i].cathode)
	}
	if !atRest {
		for i := range c.capacitors {
			path.join(c.capacitors[i].a, c.capacitors[i].b)
		}
	}
	for n := 1; n < len(c.nodeNames); n++ {
		if path.root(Node(n)) != 0 {
			return fault("", c.nodeNames[n], ErrFloating)
		}
	}
	return nil
}

// connect finds the coils of armatures and the armatures of switches.
func (c *Circuit) connect() *Error {
	fault := func(element string, format string, a ...any) *Error {
		return &Error{Stage: StageCircuit, Element: element, Err: fmt.Errorf("%w: "+format, append([]any{ErrNetwork}, a...)...)}
	}
	for i := range c.inductors {
		c.inductors[i].armature = -1
	}
	for i := range c.armatures {
		a := &c.armatures[i]
		h, ok := c.elements[a.spec.Coil]
		if !ok || h.kind != kindInductor {
			return fault(a.name, "its coil %q is not an inductor of this circuit", a.spec.Coil)
		}
		if c.inductors[h.index].armature >= 0 {
			return fault(a.name, "coil %s already moves another armature", a.spec.Coil)
		}
		a.coil = h.index
		c.inductors[h.index].armature = i
	}
	for i := range c.contacts {
		k := &c.contacts[i]
		k.armature = -1
		if k.spec.Armature == "" {
			continue
		}
		h, ok := c.elements[k.spec.Armature]
		if !ok || h.kind != kindArmature {
			return fault(k.name, "its armature %q is not in this circuit", k.spec.Armature)
		}
		k.armature = h.index
	}
	return nil
}
