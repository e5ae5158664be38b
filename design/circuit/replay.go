package circuit

// Builder is what a circuit is built with; [Circuit] is one.
type Builder interface {
	Node(name string) Node
	Resistor(name string, a, b Node, ohms float64)
	Capacitor(name string, a, b Node, farads float64)
	Inductor(name string, a, b Node, henries float64)
	Voltage(name string, plus, minus Node, s Source)
	Current(name string, from, to Node, s Source)
	Diode(name string, anode, cathode Node, m DiodeModel)
	Transistor(name string, collector, base, emitter Node, m TransistorModel)
	Switch(name string, a, b Node, s Switch)
	Tube(name string, plate, screen, grid, cathode Node, t TubeModel)
	Armature(name string, a Armature)
}

var _ Builder = (*Circuit)(nil)

// Replay builds the circuit once more with another builder: first the nodes,
// then the elements, each in the order in which they were added.
func (c *Circuit) Replay(b Builder) {
	at := make([]Node, len(c.nodeNames))
	for n := 1; n < len(at); n++ {
		at[n] = b.Node(c.nodeNames[n])
	}
	for _, name := range c.order {
		h := c.elements[name]
		switch h.kind {
		case kindResistor:
			e := c.resistors[h.index]
			b.Resistor(name, at[e.a], at[e.b], e.ohms)
		case kindCapacitor:
			e := c.capacitors[h.index]
			b.Capacitor(name, at[e.a], at[e.b], e.farads)
		case kindInductor:
			e := c.inductors[h.index]
			b.Inductor(name, at[e.a], at[e.b], e.henries)
		case kindVoltage:
			e := c.voltages[h.index]
			b.Voltage(name, at[e.plus], at[e.minus], e.source)
		case kindCurrent:
			e := c.currents[h.index]
			b.Current(name, at[e.from], at[e.to], e.source)
		case kindDiode:
			e := c.diodes[h.index]
			b.Diode(name, at[e.anode], at[e.cathode], e.model)
		case kindTransistor:
			e := c.transistors[h.index]
			b.Transistor(name, at[e.collector], at[e.base], at[e.emitter], e.model)
		case kindSwitch:
			e := c.contacts[h.index]
			b.Switch(name, at[e.a], at[e.b], e.spec)
		case kindTube:
			e := c.tubes[h.index]
			b.Tube(name, at[e.plate], at[e.screen], at[e.grid], at[e.cathode], e.model)
		case kindArmature:
			b.Armature(name, c.armatures[h.index].spec)
		}
	}
}
