package mains

import (
	"fmt"
	"math/cmplx"
	"slices"

	"mutewright/design/circuit"
)

// Loads with which a chassis is tested.
const (
	BodyOhms = 2000 // ohm, for touch current at DC and sine (IEC 60990)

	ShuntOhms   = 1500    // ohm, the shunted test: 0.75 V = 0.5 mA (UL 101)
	ShuntFarads = 0.15e-6 // F, the capacitor across it

	DigitalOhms  = 10e6   // ohm, input of a digital volt meter
	OneMegOhms   = 1e6    // ohm, a meter with that input, or a resistor across a digital one
	AnalogueOhms = 1.25e6 // ohm, an analogue meter of 5 kΩ/V on its 250 V AC range (from memory)
)

// The network of IEC 60990 figure 4 for perception and reaction: the skin, the
// body, and a low-pass across the body. Published, taken second-hand.
const (
	skinOhms    = 1500
	skinFarads  = 0.22e-6
	bodyOhms    = 500
	passOhms    = 10e3
	passFarads  = 0.022e-6
	weightedPer = bodyOhms // I = U/500
)

// NearMains is the part of the mains voltage above which a reading on a
// high-impedance meter decides nothing: 2 nF, 0.2 µF and a dead short read alike.
const NearMains = 0.97

// A Worst is the highest value over the four states and the state that gave it;
// of states that are alike the first of [States].
type Worst struct {
	Value float64
	State State
}

// A Meter is the worst reading of one meter between chassis and earth.
type Meter struct {
	Ohms         float64 // ohm, its input resistance
	Reading      Worst   // V rms; E·R/√(R² + X²) with one capacitor
	Undetermined bool    // the reading is above NearMains of E: it cannot be turned back into a current
}

// A Case is one state of plug and switch. Every value is the magnitude of a
// phasor that the engine solved with that load between chassis and earth.
type Case struct {
	State    State
	Touch    float64   // A rms, |V|/2000 with 2 kΩ; 2πf·E·C while 2 kΩ is small against 1/(2πf·C)
	Network  float64   // A rms into the network of IEC 60990 figure 4: 1.5 kΩ ∥ 0.22 µF, then 500 Ω
	Weighted float64   // A rms, U/500 of that network, U across its 0.022 µF behind 10 kΩ
	Shunt    float64   // V rms on 1.5 kΩ ∥ 0.15 µF
	Earth    float64   // A rms in the earth wire, chassis earthed through Bond; 2πf·E·C
	Bonded   float64   // V rms from the earthed chassis to the outlet's earth: Earth·Bond
	Meters   []float64 // V rms on each meter, in the order asked
}

// A Leak is what comes from the mains to the chassis of a set.
type Leak struct {
	Cases    [4]Case // in the order of States
	Touch    Worst   // A rms through 2 kΩ
	Network  Worst   // A rms into the network of IEC 60990 figure 4
	Weighted Worst   // A rms, the same network's U/500
	Shunt    Worst   // V rms on the shunt
	Earth    Worst   // A rms in the earth wire
	Bonded   Worst   // V rms, earthed chassis to the outlet's earth
	Meters   []Meter // in the order asked
}

// Leakage solves the chassis of a set in the four states of plug and switch, with
// each load in turn between chassis and earth. The meters are input resistances
// in ohms. It returns an error for an input out of range or if the network
// cannot be solved.
func Leakage(s Source, meters ...float64) (Leak, error) {
	if err := s.check(); err != nil {
		return Leak{}, err
	}
	for i, ohms := range meters {
		if err := positive(fmt.Sprintf("resistance of meter %d", i+1), ohms); err != nil {
			return Leak{}, err
		}
	}
	var l Leak
	for i, state := range States() {
		c, err := s.leak(state, meters)
		if err != nil {
			return Leak{}, err
		}
		l.Cases[i] = c
	}
	l.Touch = l.worst(func(c Case) float64 { return c.Touch })
	l.Network = l.worst(func(c Case) float64 { return c.Network })
	l.Weighted = l.worst(func(c Case) float64 { return c.Weighted })
	l.Shunt = l.worst(func(c Case) float64 { return c.Shunt })
	l.Earth = l.worst(func(c Case) float64 { return c.Earth })
	l.Bonded = l.worst(func(c Case) float64 { return c.Bonded })
	for i, ohms := range meters {
		reading := l.worst(func(c Case) float64 { return c.Meters[i] })
		l.Meters = append(l.Meters, Meter{
			Ohms:         ohms,
			Reading:      reading,
			Undetermined: above(reading.Value, NearMains*s.Volts),
		})
	}
	return l, nil
}

// worst picks the state with the highest value.
func (l Leak) worst(value func(Case) float64) Worst {
	w := Worst{Value: value(l.Cases[0]), State: l.Cases[0].State}
	for _, c := range l.Cases[1:] {
		if above(value(c), w.Value) {
			w = Worst{Value: value(c), State: c.State}
		}
	}
	return w
}

// leak solves one state with every load.
func (s Source) leak(state State, meters []float64) (Case, error) {
	c := Case{State: state}
	var err error
	if c.Touch, err = s.touch(state); err != nil {
		return Case{}, err
	}
	if c.Shunt, err = s.volts(state, ShuntOhms, ShuntFarads); err != nil {
		return Case{}, err
	}
	for _, ohms := range meters {
		v, err := s.volts(state, ohms, 0)
		if err != nil {
			return Case{}, err
		}
		c.Meters = append(c.Meters, v)
	}
	if c.Network, c.Weighted, err = s.bodyNetwork(state); err != nil {
		return Case{}, err
	}
	if c.Earth, c.Bonded, err = s.earthed(state); err != nil {
		return Case{}, err
	}
	return c, nil
}

// touch returns the current through 2 kΩ in A rms.
func (s Source) touch(state State) (float64, error) {
	v, err := s.volts(state, BodyOhms, 0)
	return v / BodyOhms, err
}

// volts returns the voltage in V rms on a resistor, with a capacitor across it
// unless that is 0.
func (s Source) volts(state State, ohms, farads float64) (float64, error) {
	c, earth := s.network(state)
	c.Resistor("load", earth, circuit.Chassis, ohms)
	if farads > 0 {
		c.Capacitor("load capacitor", earth, circuit.Chassis, farads)
	}
	p, err := c.AC(nil, s.Hertz)
	if err != nil {
		return 0, fmt.Errorf("chassis on %g ohm: %w", ohms, err)
	}
	return cmplx.Abs(p.Volts(earth)), nil
}

// bodyNetwork returns the current in A rms into the network of IEC 60990 figure
// 4, and that which its output says.
func (s Source) bodyNetwork(state State) (through, weighted float64, err error) {
	c, earth := s.network(state)
	body, output := c.Node("body"), c.Node("output")
	c.Resistor("skin", earth, body, skinOhms)
	c.Capacitor("skin capacitor", earth, body, skinFarads)
	c.Resistor("body", body, circuit.Chassis, bodyOhms)
	c.Resistor("pass", body, output, passOhms)
	c.Capacitor("pass capacitor", output, circuit.Chassis, passFarads)
	p, err := c.AC(nil, s.Hertz)
	if err != nil {
		return 0, 0, fmt.Errorf("chassis on the network of IEC 60990: %w", err)
	}
	through = cmplx.Abs(p.Amps("skin") + p.Amps("skin capacitor"))
	return through, cmplx.Abs(p.Volts(output)) / weightedPer, nil
}

// earthed returns the current in the earth wire in A rms and the voltage in V
// rms that is left on the chassis.
func (s Source) earthed(state State) (amps, volts float64, err error) {
	c, earth := s.network(state)
	outlet := earth
	if s.Bond > 0 {
		outlet = c.Node("earth wire")
		c.Resistor("bond", earth, outlet, s.Bond)
	}
	c.Voltage("ammeter", outlet, circuit.Chassis, circuit.DC(0))
	p, err := c.AC(nil, s.Hertz)
	if err != nil {
		return 0, 0, fmt.Errorf("chassis earthed through %g ohm: %w", s.Bond, err)
	}
	return cmplx.Abs(p.Amps("ammeter")), cmplx.Abs(p.Volts(earth)), nil
}

// A pole is where a conductor of the set stands.
type pole uint8

const (
	hot pole = iota
	cold
	adrift // cut off at both ends: what it holds to chassis carries nothing
)

// poles returns where the set's line and neutral conductors stand, before and
// behind the switch. Behind an open switch the primary ties the two together:
// its ohms are nothing against the reactance of the capacitors.
func (s Source) poles(state State) (before, behind [2]pole) {
	before = [2]pole{Line: hot, Neutral: cold}
	if state.Reversed {
		before = [2]pole{Line: cold, Neutral: hot}
	}
	if !state.Off {
		return before, before
	}
	switch s.Switch {
	case Line:
		return before, [2]pole{before[Neutral], before[Neutral]}
	case Neutral:
		return before, [2]pole{before[Line], before[Line]}
	default:
		return before, [2]pole{adrift, adrift}
	}
}

// network returns the mains and all that joins it to chassis, which is the
// reference node; a load goes from the returned node, the earthed conductor and
// the earth itself, to chassis.
func (s Source) network(state State) (c *circuit.Circuit, earth circuit.Node) {
	c = circuit.New()
	live, earth := c.Node("hot conductor"), c.Node("earth")
	c.Voltage("mains", live, earth, circuit.DC(0).WithAC(s.Volts, 0))
	join := func(name string, p pole, farads float64) {
		switch {
		case farads == 0 || p == adrift:
		case p == hot:
			c.Capacitor(name, live, circuit.Chassis, farads)
		default:
			c.Capacitor(name, earth, circuit.Chassis, farads)
		}
	}
	before, behind := s.poles(state)
	at := behind
	if s.Before {
		at = before
	}
	for i, k := range s.Capacitors {
		join(fmt.Sprintf("capacitor %d", i+1), at[k.From], k.Farads)
	}
	join("stray", behind[Line], s.Stray)
	return c, earth
}

// with returns the source with one more capacitor.
func (s Source) with(k Capacitor) Source {
	s.Capacitors = append(slices.Clip(s.Capacitors), k)
	return s
}

// check reports the first input that is out of range.
func (s Source) check() error {
	if err := positive("mains voltage", s.Volts); err != nil {
		return err
	}
	if err := positive("mains frequency", s.Hertz); err != nil {
		return err
	}
	for i, k := range s.Capacitors {
		if err := atLeastZero(fmt.Sprintf("line capacitor %d", i+1), k.Farads); err != nil {
			return err
		}
		if k.From > Neutral {
			return fmt.Errorf("line capacitor %d comes from neither line nor neutral", i+1)
		}
	}
	if s.Switch > Both {
		return fmt.Errorf("the switch opens neither line nor neutral nor both")
	}
	if err := atLeastZero("stray capacitance", s.Stray); err != nil {
		return err
	}
	return atLeastZero("resistance of the earth bond", s.Bond)
}
