package drive

import (
	"fmt"

	"mutewright/design/circuit"
)

// network puts a drive into a circuit, piece by piece. The steady state and
// the transient form differ in the line and in what stands around the coils;
// supply, rectifier and transistor are the same.
type network struct {
	*circuit.Circuit
	d       Drive
	prefix  string
	plus    circuit.Node   // reservoir or rail
	line    circuit.Node   // key line
	top     circuit.Node   // where the droppers of all coils meet
	bottom  circuit.Node   // where the low ends of all coils meet
	base    circuit.Node   // of the transistor
	emitter circuit.Node   // of the transistor
	hot     []circuit.Node // ends of the winding before its resistance, one for each charging path
	cold    circuit.Node   // what the first of them is counted from
	diodes  []junction
}

type junction struct {
	name           string
	anode, cathode circuit.Node
}

// newSupply begins a network that has no coils.
func newSupply(c *circuit.Circuit, d Drive, prefix string) *network {
	n := &network{Circuit: c, d: d, prefix: prefix}
	n.plus = n.node("plus")
	return n
}

// newNetwork begins a network with coils and line as the hook-up has them.
func newNetwork(c *circuit.Circuit, d Drive, prefix string) *network {
	n := newSupply(c, d, prefix)
	if d.Hookup != LineFeedsCoil {
		n.line = n.node("line")
	}
	n.top, n.bottom = n.plus, circuit.Chassis
	switch d.Hookup {
	case CoilOnLine:
		n.bottom = n.line
	case LineFeedsCoil:
		n.line = n.plus
	case LinePullsBase:
		n.emitter, n.base, n.top = n.plus, n.node("base"), n.node("collector")
	case LineShortsBase:
		n.emitter, n.base, n.bottom = circuit.Chassis, n.line, n.node("collector")
	case LineFeedsBase:
		n.emitter, n.base, n.bottom = circuit.Chassis, n.node("base"), n.node("collector")
	}
	return n
}

func (n *network) name(format string, args ...any) string {
	return n.prefix + fmt.Sprintf(format, args...)
}

func (n *network) node(name string) circuit.Node { return n.Node(n.prefix + name) }

// wire is the resistance of a joint in ohm, for a resistance given as zero.
const wire = 1e-3

// series puts a resistance between two nodes, never none at all.
func (n *network) series(name string, a, b circuit.Node, ohms float64) {
	n.Resistor(n.name("%s", name), a, b, max(ohms, wire))
}

// behind puts a constant voltage behind a resistance, or behind none, between
// a node and chassis.
func (n *network) behind(name string, at circuit.Node, volts, ohms float64) {
	if ohms == 0 {
		n.Voltage(n.name("%s", name), at, circuit.Chassis, circuit.DC(volts))
		return
	}
	feed := n.node(name)
	n.Voltage(n.name("%s", name), feed, circuit.Chassis, circuit.DC(volts))
	n.series(name+".ohms", feed, at, ohms)
}

// rectify adds the supply: the winding through fuse and diodes, or the rail,
// up to the node plus. reserve adds each reservoir.
func (n *network) rectify(phase float64, reserve func(number int, plus, minus circuit.Node)) {
	w := n.d.Winding
	share := Share(n.d.Rectifier, w.Grounding)
	path := w.Ohms*share + n.d.Fuse
	source := func(name string, plus, minus circuit.Node, phase float64) {
		n.Voltage(n.name("%s", name), plus, minus, circuit.ClippedSine(w.Volts*share, w.Crest, w.Hertz, phase))
		n.hot = append(n.hot, plus)
	}
	diode := func(anode, cathode circuit.Node) {
		j := junction{n.name("diode%d", len(n.diodes)+1), anode, cathode}
		n.Diode(j.name, anode, cathode, orElse(n.d.Diode, Rectifying))
		n.diodes = append(n.diodes, j)
	}
	if n.d.Rectifier == None {
		if n.d.Hookup != LineFeedsCoil { // there the line is the supply
			n.behind("rail", n.plus, n.d.Rail.Volts, n.d.Rail.Ohms+n.d.Fuse)
		}
		if n.d.Reservoir > 0 {
			reserve(1, n.plus, circuit.Chassis)
		}
		return
	}
	a := n.node("a")
	switch n.d.Rectifier {
	case HalfWave:
		source("winding", n.node("hot"), circuit.Chassis, phase)
		n.series("winding.ohms", n.node("hot"), a, path)
		diode(a, n.plus)
	case FullWave:
		source("winding", n.node("hot"), circuit.Chassis, phase)
		source("other", n.node("other"), circuit.Chassis, phase+180)
		n.series("winding.ohms", n.node("hot"), a, path)
		n.series("other.ohms", n.node("other"), n.node("b"), path)
		diode(a, n.plus)
		diode(n.node("b"), n.plus)
	case Bridge:
		b := n.node("b")
		n.cold = b
		n.Resistor(n.name("insulation"), b, circuit.Chassis, insulation)
		source("winding", n.node("hot"), b, phase)
		n.series("winding.ohms", n.node("hot"), a, path)
		diode(a, n.plus)
		diode(b, n.plus)
		diode(circuit.Chassis, a)
		diode(circuit.Chassis, b)
	case Doubler:
		mid := n.node("mid")
		source("winding", n.node("hot"), circuit.Chassis, phase)
		n.series("winding.ohms", n.node("hot"), a, path)
		reserve(2, mid, a)
		diode(circuit.Chassis, mid)
		diode(mid, n.plus)
	}
	reserve(1, n.plus, circuit.Chassis)
}

// insulation is the resistance in ohm of a floating winding to chassis. While
// all four diodes of a bridge block nothing else holds the winding; it adds
// less than 0.1 µA to the load.
const insulation = 100e6

// transistor adds the buffer, where the hook-up has one.
func (n *network) transistor() {
	b := n.d.Buffer
	model := orElse(b.Transistor, Switching)
	switch n.d.Hookup {
	case LinePullsBase:
		model.PNP = true
		n.Transistor(n.name("buffer"), n.top, n.base, n.emitter, model)
		n.series("base", n.base, n.line, b.Base)
	case LineShortsBase:
		n.Transistor(n.name("buffer"), n.bottom, n.base, n.emitter, model)
		n.series("base", n.plus, n.base, b.Base)
	case LineFeedsBase:
		n.Transistor(n.name("buffer"), n.bottom, n.base, n.emitter, model)
		n.series("base", n.base, n.line, b.Base)
	default:
		return
	}
	if b.BaseEmitter > 0 {
		n.Resistor(n.name("base-emitter"), n.base, n.emitter, b.BaseEmitter)
	}
}

// coil adds one coil with its dropper and hold capacitor, and returns its
// ends. henries 0 leaves the inductance out.
func (n *network) coil(i int, ohms, henries float64) Terminals {
	c := n.d.Coils[i]
	t := Terminals{High: n.top, Low: n.bottom, Inductor: n.name("coil%d.henries", i+1)}
	if c.Dropper > 0 {
		t.High = n.node(fmt.Sprintf("high%d", i+1))
		n.Resistor(n.name("dropper%d", i+1), n.top, t.High, c.Dropper)
	}
	if henries > 0 {
		mid := n.node(fmt.Sprintf("coil%d", i+1))
		n.Resistor(n.name("coil%d", i+1), t.High, mid, ohms)
		n.Inductor(t.Inductor, mid, t.Low, henries)
	} else {
		n.Resistor(n.name("coil%d", i+1), t.High, t.Low, ohms)
	}
	return t
}

// iron adds what the eddy currents in a solid core do to a coil: a resistance
// across its inductance, far above that of the copper. It changes nothing at
// the frequency of the ripple, and takes the coil's last current when a
// transistor lets go of it.
func (n *network) iron(i int, t Terminals) {
	const overCopper = 50
	if c := n.d.Coils[i]; c.Henries > 0 {
		n.Resistor(n.name("iron%d", i+1), n.node(fmt.Sprintf("coil%d", i+1)), t.Low, overCopper*c.Ohms)
	}
}

// hold adds the capacitor across a coil, where there is one.
func (n *network) hold(i int, t Terminals) {
	h := n.d.Coils[i].Hold
	if h.Farads <= 0 {
		return
	}
	mid := n.node(fmt.Sprintf("hold%d", i+1))
	n.series(fmt.Sprintf("hold%d.ohms", i+1), t.High, mid, h.Ohms)
	n.Capacitor(n.name("hold%d", i+1), mid, t.Low, h.Farads)
}

// clamp adds what takes the coil's current at let-go, from its low to its
// high end. A coil without a clamp makes its own spark.
func (n *network) clamp(i int, t Terminals) {
	c := n.d.Coils[i].Clamp
	zener := c.Zener
	switch c.Kind {
	case DiodeClamp:
		n.Diode(n.name("clamp%d", i+1), t.Low, t.High, orElse(c.Diode, Rectifying))
		return
	case NoClamp:
		zener = Spark
	}
	mid := n.node(fmt.Sprintf("clamp%d", i+1))
	n.Diode(n.name("clamp%d", i+1), t.Low, mid, orElse(c.Diode, Rectifying))
	n.Diode(n.name("zener%d", i+1), t.High, mid, breakdown(zener))
}

// Spark is the voltage in V at which an unclamped coil of the 12 V class
// breaks down somewhere: 1000 … 1500 V is published for automotive relays.
const Spark = 1250.0

// breakdown is a zener diode, nominal at 5 mA as data sheets of small zeners
// have it (common practice, no source).
func breakdown(volts float64) circuit.DiodeModel {
	return circuit.DiodeModel{IS: 1e-14, N: 1, BV: volts, IBV: 5e-3}
}

// orElse is the value, or the usual one in the place of a zero value.
func orElse[T comparable](value, usual T) T {
	var zero T
	if value == zero {
		return usual
	}
	return value
}
