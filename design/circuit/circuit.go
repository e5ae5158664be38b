// Package circuit solves small electrical networks: operating point, small
// signals at one frequency, transients and the periodic steady state of
// supplies, for networks of resistors, capacitors, inductors, sources,
// diodes, bipolar transistors, switches, relay armatures and pentodes.
//
// Units are SI base units throughout (V, A, Ω, F, H, s, Hz), angles of
// sources in degrees, junctions at 27 °C. A network is built with the methods
// of [Circuit] and then solved with [Circuit.OperatingPoint], [Circuit.AC],
// [Circuit.Transient] or [Circuit.Periodic]. A network that cannot be solved
// is an [*Error] that names stage, node or element, and time; there is never
// a number in its place.
//
// Method: modified nodal analysis; the linear part is factored once for each
// length of step (dense LU, partial pivoting) and Newton's method, with limited
// junctions, goes on between the devices alone; trapezoidal integration with
// local-error control.
// A circuit may be solved any number of times with identical results, and
// separate circuits may be solved at the same time. One circuit must not be
// used by two goroutines at once: it owns its working store.
package circuit

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Node is a point of the network. Nodes are made by [Circuit.Node].
type Node int

// Chassis is the reference node; all node voltages are against it.
const Chassis Node = 0

type kind uint8

const (
	kindResistor kind = iota
	kindCapacitor
	kindInductor
	kindVoltage
	kindCurrent
	kindDiode
	kindTransistor
	kindSwitch
	kindTube
	kindArmature
)

var kindNames = [...]string{"resistor", "capacitor", "inductor", "voltage source", "current source",
	"diode", "transistor", "switch", "tube", "armature"}

type handle struct {
	kind  kind
	index int
}

type resistor struct {
	name string
	a, b Node
	ohms float64
}

type capacitor struct {
	name   string
	a, b   Node
	farads float64
}

type inductor struct {
	name     string
	a, b     Node
	henries  float64
	armature int // index into armatures, or -1
}

type voltage struct {
	name        string
	plus, minus Node
	source      Source
}

type current struct {
	name     string
	from, to Node
	source   Source
}

type diode struct {
	name           string
	anode, cathode Node
	model          DiodeModel
	law            junction
}

type transistor struct {
	name                     string
	collector, base, emitter Node
	model                    TransistorModel
	sign                     float64 // +1 npn, -1 pnp
	junction                 junction
}

type contact struct {
	name     string
	a, b     Node
	spec     Switch
	armature int // index into armatures, or -1
}

type tube struct {
	name                         string
	plate, screen, grid, cathode Node
	model                        TubeModel
}

type armature struct {
	name string
	spec Armature
	coil int // index into inductors
}

// Circuit is a network under construction and, once built, under solution.
// The zero value is not usable; call [New].
type Circuit struct {
	nodeNames   []string
	nodes       map[string]Node
	elements    map[string]handle
	order       []string // element names as they were added
	resistors   []resistor
	capacitors  []capacitor
	inductors   []inductor
	voltages    []voltage
	currents    []current
	diodes      []diode
	transistors []transistor
	contacts    []contact
	tubes       []tube
	armatures   []armature
	faults      []error // what was wrong with the elements as they were added
	work        *solver // working store, remade after a change of topology
	joints      []Node  // of the elements, in the order in which they were added

	refilling, differs               bool // see Refill
	nextNode, nextElement, nextJoint int  // due next in a refill
}

// New returns an empty circuit that knows only [Chassis].
func New() *Circuit {
	return &Circuit{
		nodeNames: []string{"chassis"},
		nodes:     map[string]Node{"0": Chassis, "chassis": Chassis},
		elements:  map[string]handle{},
	}
}

// Node returns the node of that name, made at its first mention. "0" and
// "chassis" are [Chassis].
func (c *Circuit) Node(name string) Node {
	if c.refilling && c.nextNode < len(c.nodeNames) && c.nodeNames[c.nextNode] == name {
		c.nextNode++
		return Node(c.nextNode - 1)
	}
	if n, ok := c.nodes[name]; ok {
		return n
	}
	if c.refilling {
		c.differs = true
		return Chassis
	}
	n := Node(len(c.nodeNames))
	c.nodes[name] = n
	c.nodeNames = append(c.nodeNames, name)
	c.work = nil
	return n
}

// NodeName returns the name under which the node was made.
func (c *Circuit) NodeName(n Node) string { return c.nodeNames[n] }

// Nodes returns the number of nodes with chassis.
func (c *Circuit) Nodes() int { return len(c.nodeNames) }

// Elements returns the names of all elements in the order they were added.
func (c *Circuit) Elements() []string { return append([]string(nil), c.order...) }

// Resistor adds a resistance between a and b; it must be above zero.
// Its current counts from a to b.
func (c *Circuit) Resistor(name string, a, b Node, ohms float64) {
	c.positive(name, "resistance", ohms)
	put(c, &c.resistors, name, kindResistor, resistor{name, a, b, ohms}, a, b)
}

// Capacitor adds a capacitance between a and b; it must be above zero.
// Its current counts from a to b.
func (c *Circuit) Capacitor(name string, a, b Node, farads float64) {
	c.positive(name, "capacitance", farads)
	put(c, &c.capacitors, name, kindCapacitor, capacitor{name, a, b, farads}, a, b)
}

// Inductor adds an inductance between a and b; it must be above zero.
// Its current counts from a to b. An [Armature] may change its value.
func (c *Circuit) Inductor(name string, a, b Node, henries float64) {
	c.positive(name, "inductance", henries)
	put(c, &c.inductors, name, kindInductor, inductor{name, a, b, henries, -1}, a, b)
}

// Voltage adds a voltage source. Its current counts from plus through the
// source to minus: a source that delivers power has a negative current.
func (c *Circuit) Voltage(name string, plus, minus Node, s Source) {
	c.check(name, s.check())
	put(c, &c.voltages, name, kindVoltage, voltage{name, plus, minus, s}, plus, minus)
}

// Current adds a current source that drives its current from node from
// through the source to node to.
func (c *Circuit) Current(name string, from, to Node, s Source) {
	c.check(name, s.check())
	put(c, &c.currents, name, kindCurrent, current{name, from, to, s}, from, to)
}

// Diode adds a diode; its current counts from anode to cathode.
func (c *Circuit) Diode(name string, anode, cathode Node, m DiodeModel) {
	c.check(name, m.check())
	put(c, &c.diodes, name, kindDiode, diode{name, anode, cathode, m, newJunction(m.IS, m.emission(), m.BV, m.IBV)}, anode, cathode)
}

// Transistor adds a bipolar transistor. Currents count into the terminals;
// [Point.Amps] of the plain name is the collector current, "NAME.base" and
// "NAME.emitter" are the others.
func (c *Circuit) Transistor(name string, collector, base, emitter Node, m TransistorModel) {
	c.check(name, m.check())
	sign := 1.0
	if m.PNP {
		sign = -1
	}
	put(c, &c.transistors, name, kindTransistor, transistor{name, collector, base, emitter, m, sign, newJunction(m.IS, 1, 0, 0)}, collector, base, emitter)
}

// Switch adds a switch between a and b; its current counts from a to b.
func (c *Circuit) Switch(name string, a, b Node, s Switch) {
	c.check(name, s.check())
	put(c, &c.contacts, name, kindSwitch, contact{name, a, b, s, -1}, a, b)
}

// Tube adds a pentode or beam tube. Currents count into the terminals except
// at the cathode: [Point.Amps] of the plain name is the cathode current,
// counted out of the cathode; "NAME.plate" and "NAME.screen" are its parts.
func (c *Circuit) Tube(name string, plate, screen, grid, cathode Node, t TubeModel) {
	c.check(name, t.check())
	put(c, &c.tubes, name, kindTube, tube{name, plate, screen, grid, cathode, t}, plate, screen, grid, cathode)
}

// Armature adds the moving part of a relay: it watches the current of an
// inductor of this circuit, changes its inductance and works the switches
// that name it. Coil and contacts may be added before or after it.
func (c *Circuit) Armature(name string, a Armature) {
	c.check(name, a.check())
	put(c, &c.armatures, name, kindArmature, armature{name, a, -1})
}

// SetValue gives a resistor, capacitor or inductor another value, for the
// next solution. It panics when there is no such element.
func (c *Circuit) SetValue(name string, value float64) {
	h := c.mustFind(name)
	c.positive(name, kindNames[h.kind], value)
	switch h.kind {
	case kindResistor:
		c.resistors[h.index].ohms = value
	case kindCapacitor:
		c.capacitors[h.index].farads = value
	case kindInductor:
		c.inductors[h.index].henries = value
	default:
		panic(fmt.Sprintf("circuit: %s %s has no single value", kindNames[h.kind], name))
	}
}

// SetSource gives a voltage or current source another course, for the next
// solution. It panics when there is no such source.
func (c *Circuit) SetSource(name string, s Source) {
	h := c.mustFind(name)
	c.check(name, s.check())
	switch h.kind {
	case kindVoltage:
		c.voltages[h.index].source = s
	case kindCurrent:
		c.currents[h.index].source = s
	default:
		panic(fmt.Sprintf("circuit: %s %s is not a source", kindNames[h.kind], name))
	}
}

func (c *Circuit) mustFind(name string) handle {
	h, ok := c.elements[name]
	if !ok {
		panic(fmt.Sprintf("circuit: no element %q", name))
	}
	return h
}

// put adds an element to its list or, while the circuit is refilled, takes the
// place of the one that stands there.
func put[E any](c *Circuit, list *[]E, name string, k kind, element E, nodes ...Node) {
	if !c.refilling {
		c.add(name, handle{k, len(*list)}, nodes...)
		*list = append(*list, element)
		return
	}
	at, joint := c.nextElement, c.nextJoint
	if c.differs || at == len(c.order) || c.order[at] != name || !slices.Equal(c.joints[joint:min(joint+len(nodes), len(c.joints))], nodes) {
		c.differs = true
		return
	}
	h := c.elements[name]
	if h.kind != k {
		c.differs = true
		return
	}
	(*list)[h.index] = element
	c.nextElement, c.nextJoint = at+1, joint+len(nodes)
}

// Refill begins the same circuit once more: the calls that made it are repeated
// with other values, and its working store is used again. [Circuit.Refilled]
// tells whether they were the same calls; the circuit is of no use where they
// were not.
func (c *Circuit) Refill() {
	c.refilling, c.differs = len(c.faults) == 0, len(c.faults) > 0
	c.nextNode, c.nextElement, c.nextJoint = 1, 0, 0
}

// Refilled ends a refill. It reports whether the circuit is the same but for
// values.
func (c *Circuit) Refilled() bool {
	same := c.refilling && !c.differs && c.nextElement == len(c.order)
	c.refilling = false
	return same && (c.work == nil || c.connect() == nil)
}

// Fill fills a circuit that was filled like that before, see [Circuit.Refill], or a
// new one where there is none or it held something else.
func Fill(used *Circuit, fill func(*Circuit)) *Circuit {
	if used != nil {
		used.Refill()
		fill(used)
		if used.Refilled() {
			return used
		}
	}
	c := New()
	fill(c)
	return c
}

func (c *Circuit) add(name string, h handle, nodes ...Node) {
	c.work = nil
	for _, n := range nodes {
		if n < 0 || int(n) >= len(c.nodeNames) {
			panic(fmt.Sprintf("circuit: %s: node %d was not made by this circuit", name, n))
		}
	}
	c.joints = append(c.joints, nodes...)
	if name == "" {
		c.faults = append(c.faults, errors.New("an element has no name"))
		return
	}
	if _, taken := c.elements[name]; taken {
		c.faults = append(c.faults, fmt.Errorf("two elements are named %s", name))
		return
	}
	c.elements[name] = h
	c.order = append(c.order, name)
}

func (c *Circuit) check(name string, err error) {
	if err != nil {
		c.faults = append(c.faults, fmt.Errorf("%s: %w", name, err))
	}
}

func (c *Circuit) positive(name, what string, v float64) {
	c.check(name, positive(what, v))
}

// positive is the test of every value that must be above zero and finite.
func positive(what string, v float64) error {
	if !(v > 0) || math.IsInf(v, 1) {
		return fmt.Errorf("%s must be above zero and finite, not %g", what, v)
	}
	return nil
}

// notNegative is the test of every value that may be zero.
func notNegative(what string, v float64) error {
	if !(v >= 0) || math.IsInf(v, 1) {
		return fmt.Errorf("%s must be zero or more and finite, not %g", what, v)
	}
	return nil
}
