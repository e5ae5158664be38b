package antenna

import (
	"fmt"
	"math"
	"math/cmplx"

	"mutewright/design/circuit"
)

// A ladder is the network from the antenna through the guard to the input:
//
//	emf ── Z ── terminal ──[series contact]── input ── Z load ── chassis
//	                                            └──[short]── chassis or other leg
//
// once for one leg, twice with half the emf and Z for a balanced input. A short
// has no series contact: terminal and input are one.
type ladder struct {
	net   *circuit.Circuit
	legs  []leg
	emf   float64                      // V rms of the whole antenna, 2·√(P·Z0)
	apart bool                         // the legs are driven against each other
	known map[float64]*circuit.Phasors // solutions by frequency, as it is driven now
}

// A leg is one side of the ladder.
type leg struct {
	source          string
	terminal, input circuit.Node
}

// shortContact is the element in which the current of a short is read.
const shortContact = "short of leg 1"

// ladder builds the network, with the guard on or released.
func (g Guard) ladder(on bool) *ladder {
	l := &ladder{
		net:   circuit.New(),
		emf:   2 * math.Sqrt(g.arriving()*g.Impedance),
		apart: g.Legs != One,
	}
	count := 1
	if g.Legs != One {
		count = 2
	}
	ohms := g.Impedance / float64(count)
	for n := 1; n <= count; n++ {
		name := func(part string) string { return fmt.Sprintf("%s of leg %d", part, n) }
		node := func(part string) circuit.Node { return l.net.Node(name(part)) }
		lg := leg{source: name("emf"), terminal: node("terminal"), input: node("terminal")}
		l.net.Voltage(lg.source, node("antenna"), circuit.Chassis, circuit.DC(0))
		l.net.Resistor(name("antenna impedance"), node("antenna"), lg.terminal, ohms)
		if g.Kind != Short {
			lg.input = node("input")
			g.contact(l.net, name("series contact"), lg.terminal, lg.input, !on)
		}
		l.net.Resistor(name("load"), lg.input, circuit.Chassis, ohms)
		l.legs = append(l.legs, lg)
	}
	if g.Legs == Across {
		g.contact(l.net, shortContact, l.legs[0].input, l.legs[1].input, on)
	} else {
		for n, lg := range l.legs {
			g.contact(l.net, fmt.Sprintf("short of leg %d", n+1), lg.input, circuit.Chassis, on)
		}
	}
	l.drive()
	return l
}

// contact joins two nodes by a contact and its lead.
func (g Guard) contact(net *circuit.Circuit, name string, a, b circuit.Node, closed bool) {
	g.Contact.join(net, name, a, b, g.henries(), closed)
}

// join puts a contact in series with an inductance, in which its own is included,
// between two nodes. An open contact without capacitance joins nothing.
func (k Contact) join(net *circuit.Circuit, name string, a, b circuit.Node, henries float64, closed bool) {
	if !closed && k.Farads == 0 {
		return
	}
	if henries > 0 {
		middle := net.Node(name + ", middle")
		net.Inductor(name+", lead", middle, b, henries)
		b = middle
	}
	if closed {
		net.Resistor(name, a, b, k.Ohms)
	} else {
		net.Capacitor(name, a, b, k.Farads)
	}
}

// alike drives both legs of a balanced ladder alike: the common mode.
func (l *ladder) alike() {
	l.apart = false
	l.drive()
}

// drive sets the emf of the legs.
func (l *ladder) drive() {
	l.known = map[float64]*circuit.Phasors{}
	each := l.emf / float64(len(l.legs))
	for i, lg := range l.legs {
		phase := 0.0
		if l.apart && i == 1 {
			phase = 180
		}
		l.net.SetSource(lg.source, circuit.DC(0).WithAC(each, phase))
	}
}

// solve solves the ladder at one frequency, once.
func (l *ladder) solve(hertz float64) (*circuit.Phasors, error) {
	if p, ok := l.known[hertz]; ok {
		return p, nil
	}
	p, err := l.net.AC(nil, hertz)
	if err != nil {
		return nil, fmt.Errorf("antenna guard at %g Hz: %w", hertz, err)
	}
	l.known[hertz] = p
	return p, nil
}

// loss returns the insertion loss in dB. Without a guard half the emf of a leg
// stands on the half of the load that is its own.
func (l *ladder) loss(hertz float64) (float64, error) {
	p, err := l.solve(hertz)
	if err != nil {
		return 0, err
	}
	var v complex128
	for i, lg := range l.legs {
		if l.apart && i == 1 {
			v -= p.Volts(lg.input)
		} else {
			v += p.Volts(lg.input)
		}
	}
	return 20 * math.Log10(l.emf/2/cmplx.Abs(v)), nil
}

// contactAmps returns the current in A rms through the closed contact of a short.
func (l *ladder) contactAmps(hertz float64) (float64, error) {
	p, err := l.solve(hertz)
	if err != nil {
		return 0, err
	}
	return cmplx.Abs(p.Amps(shortContact)), nil
}

// openVolts returns the voltage in V rms across an open series contact and its
// lead.
func (l *ladder) openVolts(hertz float64) (float64, error) {
	p, err := l.solve(hertz)
	if err != nil {
		return 0, err
	}
	return cmplx.Abs(p.Volts(l.legs[0].terminal) - p.Volts(l.legs[0].input)), nil
}
