package lifted

import (
	"strconv"

	"mutewright/design/circuit"
)

const (
	// meter is the resistance of a voltmeter on the lifted node, ohm.
	meter = 10e6
	// short stands for a resistance that a plan gives as zero but that moves
	// with a control, or for a contact better than any, ohm.
	short = 1e-3
	// open is the resistance of an open contact: far beyond any leakage that
	// matters here, ohm.
	open = 1e15
	// leakage keeps a node that hangs on nothing within the circuit, ohm; old
	// insulation is no better.
	leakage = 1e9
	// held is a capacitor that is a short at any signal frequency, F. It stands
	// for the bypass of a rail or screen, which a plan need not state.
	held = 1
)

// Nodes are the places of a network within a circuit.
type Nodes struct {
	Return circuit.Node // the lifted node
	Rails  []circuit.Node
	Points []PointNodes
}

// PointNodes are the nodes of one point; a Measured point has none.
type PointNodes struct {
	Bus     circuit.Node // cathode bus of a Gain, the lifted node of an Output
	Screens circuit.Node // shared screen feed; Chassis: none
	Stages  []StageNodes
}

// StageNodes are the nodes of one stage.
type StageNodes struct {
	Tube                   string // name of the element
	Cathode, Screen, Plate circuit.Node
}

// A supply is a rail as a circuit holds it: stiff where ohms is 0.
type supply struct {
	volts, ohms float64
}

// A form says in which guise a network is built.
type form struct {
	prefix   string
	supplies []supply
	cold     bool // without tubes
	doubted  bool // with the law of the muted solve
	moving   bool // for a transient: real rail and screen capacitors, transformer
	lead     bool // contact at the end of the lead
}

// builder adds a network to a circuit.
type builder struct {
	form
	c     *circuit.Circuit
	net   *Network
	nodes Nodes
}

func build(c *circuit.Circuit, n *Network, f form) Nodes {
	b := builder{form: f, c: c, net: n}
	b.nodes.Return = c.Node(f.prefix + "return")
	for i, r := range n.Rails {
		b.rail(i, r)
	}
	c.Resistor(f.prefix+"pulldown", b.nodes.Return, circuit.Chassis, n.pulldown())
	if k := n.Capacitor; k.Farads > 0 {
		at := b.through(f.prefix+"cut_series", b.nodes.Return, k.Series)
		c.Capacitor(f.prefix+"cut", at, circuit.Chassis, k.Farads)
	}
	b.nodes.Points = make([]PointNodes, len(n.Points))
	for i, p := range n.Points {
		at := f.prefix + "p" + strconv.Itoa(i+1)
		switch p := p.(type) {
		case Output:
			b.nodes.Points[i] = b.output(at, p)
		case Gain:
			b.nodes.Points[i] = b.gain(at, p)
		}
	}
	return b.nodes
}

// pulldown is what stands between the lifted node and chassis: where it is
// missing, the meter.
func (n *Network) pulldown() float64 {
	if n.Pulldown == 0 {
		return meter
	}
	return n.Pulldown
}

// through returns the node beyond a resistor; a resistor of 0 adds none.
func (b *builder) through(name string, from circuit.Node, ohms float64) circuit.Node {
	if ohms == 0 {
		return from
	}
	to := b.c.Node(name)
	b.c.Resistor(name, from, to, ohms)
	return to
}

// bypass adds a capacitor where there is one.
func (b *builder) bypass(name string, a, to circuit.Node, farads float64) {
	if farads > 0 && a != to {
		b.c.Capacitor(name, a, to, farads)
	}
}

// hold adds the capacitor of a screen or rail: the real one in a transient, a
// short for signals otherwise.
func (b *builder) hold(name string, a circuit.Node, farads float64) {
	if !b.moving {
		farads = held
	}
	b.bypass(name, a, circuit.Chassis, farads)
}

// rail adds a supply: a source behind its resistance as its Norton equal, which
// needs no further node.
func (b *builder) rail(i int, r Rail) {
	name := b.prefix + "rail" + strconv.Itoa(i+1)
	at := b.c.Node(name)
	b.nodes.Rails = append(b.nodes.Rails, at)
	s := b.supplies[i]
	if s.ohms == 0 {
		b.c.Voltage(name, at, circuit.Chassis, circuit.DC(s.volts))
		return
	}
	b.c.Current(name, circuit.Chassis, at, circuit.DC(s.volts/s.ohms))
	b.c.Resistor(name+"_source", at, circuit.Chassis, s.ohms)
	b.hold(name+"_reservoir", at, r.Capacitance)
}

// output adds an output stage. A pair is one tube of double current; with
// separate cathodes its two equal branches are one of half the resistance.
func (b *builder) output(at string, p Output) PointNodes {
	rail := b.nodes.Rails[p.Rail]
	branches := 1.0
	if p.Separate {
		branches = float64(p.Count)
	}
	n := StageNodes{Tube: at + "_tube", Plate: rail}
	n.Cathode = b.through(at+"_cathode", b.nodes.Return, p.CathodeResistor/branches)
	n.Screen = b.through(at+"_screen", rail, p.ScreenResistor)
	far := circuit.Chassis
	if p.BypassTo == ToReturn {
		far = b.nodes.Return
	}
	b.bypass(at+"_bypass", n.Cathode, far, p.Bypass*branches)
	if p.ScreenResistor > 0 {
		b.hold(at+"_screen_bypass", n.Screen, p.ScreenBypass)
	}
	b.path(at, p.Path)
	if b.moving {
		n.Plate = b.transformer(at, rail, p)
	}
	grid := circuit.Chassis
	if p.Grid != 0 {
		grid = b.c.Node(at + "_grid")
		b.c.Voltage(at+"_grid", grid, circuit.Chassis, circuit.DC(p.Grid))
	}
	b.tube(n, grid, p.Tube, p.Count)
	return PointNodes{Bus: b.nodes.Return, Stages: []StageNodes{n}}
}

// unbalance is the share by which the currents of the two tubes of a pair
// differ. It alone moves the core of their transformer. Common practice: pairs
// are matched within a tenth.
const unbalance = 0.1

// transformer adds the plate load: the winding's resistance, then its
// inductance with the reflected load across it.
//
// Of a pair, plate to plate 4 times the half winding's impedance, the two plates
// are one node that carries 2·I. The direct drop of each half, I·R/2, is that of
// R/4 at 2·I. The difference unbalance·I in one half meets Z/4; at 2·I the same
// volts need Z/4·unbalance/2.
func (b *builder) transformer(at string, rail circuit.Node, p Output) circuit.Node {
	t := p.Transformer
	winding, core := t.Resistance, 1.0
	if p.Count == 2 {
		winding, core = t.Resistance/4, unbalance/8
	}
	plate := b.through(at+"_winding", rail, winding)
	if t.Load > 0 && t.Inductance > 0 {
		top := plate
		plate = b.c.Node(at + "_plate")
		b.c.Inductor(at+"_primary", top, plate, t.Inductance*core)
		b.c.Resistor(at+"_load", top, plate, t.Load*core)
	}
	return plate
}

// path adds a path past the lift.
func (b *builder) path(at string, ohms float64) {
	if ohms > 0 {
		b.c.Resistor(at+"_path", b.nodes.Return, circuit.Chassis, ohms)
	}
}

func (b *builder) tube(n StageNodes, grid circuit.Node, law Law, count int) {
	if b.cold {
		return
	}
	if b.doubted {
		law = law.muted()
	}
	m := law.model()
	m.Count = float64(count)
	b.c.Tube(n.Tube, n.Plate, n.Screen, grid, n.Cathode, m)
}

// gain adds the stages on a gain control, which stands at SetTo.
func (b *builder) gain(at string, p Gain) PointNodes {
	rail := b.nodes.Rails[p.Rail]
	n := PointNodes{Bus: b.nodes.Return}
	hot := n.Bus
	if p.Control.Value > 0 {
		n.Bus = b.c.Node(at + "_bus")
		hot = b.control(at, n.Bus, p.Control)
	}
	if p.Bleeder.Ohms > 0 {
		b.c.Resistor(at+"_bleeder", b.nodes.Rails[p.Bleeder.Rail], hot, p.Bleeder.Ohms)
	}
	b.bypass(at+"_bus_capacitor", n.Bus, circuit.Chassis, p.BusCapacitor)
	b.path(at, p.Path)
	if p.shares() {
		n.Screens = b.through(at+"_screens", b.nodes.Rails[p.Screens.Rail], p.Screens.Ohms)
		if p.Screens.ToChassis > 0 {
			b.c.Resistor(at+"_screens_to_chassis", n.Screens, circuit.Chassis, p.Screens.ToChassis)
		}
		if p.Screens.Ohms > 0 {
			b.hold(at+"_screens_bypass", n.Screens, p.Screens.Capacitor)
		}
	}
	for i, s := range p.Stages {
		st := at + "s" + strconv.Itoa(i+1)
		k := StageNodes{Tube: st + "_tube", Plate: rail, Screen: n.Screens}
		k.Cathode = b.through(st+"_cathode", n.Bus, s.CathodeResistor)
		b.bypass(st+"_bypass", k.Cathode, circuit.Chassis, s.Bypass)
		if !s.SharedScreen {
			k.Screen = b.through(st+"_screen", rail, s.ScreenResistor)
			if s.ScreenResistor > 0 {
				b.hold(st+"_screen_bypass", k.Screen, s.ScreenBypass)
			}
		}
		b.tube(k, circuit.Chassis, s.Tube, 1)
		n.Stages = append(n.Stages, k)
	}
	return n
}

// shares reports whether a stage takes its screen from the shared feed.
func (p Gain) shares() bool {
	for _, s := range p.Stages {
		if s.SharedScreen {
			return true
		}
	}
	return false
}

// control adds the two parts of the track and returns its hot end.
func (b *builder) control(at string, bus circuit.Node, k Control) (hot circuit.Node) {
	near, rest := at+"_control", at+"_rest"
	lower, upper := k.parts(k.SetTo)
	far := b.nodes.Return
	if k.Far == FarChassis || k.Wiring == AntennaAndCathode {
		far = circuit.Chassis
	}
	if k.Wiring != Divider {
		b.c.Resistor(near, bus, b.nodes.Return, lower)
		if far == circuit.Chassis {
			b.c.Resistor(rest, b.nodes.Return, far, upper)
		}
		return bus
	}
	if k.Far == FarFree {
		far = b.c.Node(at + "_far")
		b.c.Resistor(at+"_leakage", far, circuit.Chassis, leakage)
	}
	b.c.Resistor(near, bus, far, lower)
	hot = b.c.Node(at + "_hot")
	b.c.Resistor(rest, hot, bus, upper)
	return hot
}

// parts splits the track at a position; neither part is less than short.
func (k Control) parts(position float64) (lower, upper float64) {
	return max(position, short), max(k.Value-position, short)
}
