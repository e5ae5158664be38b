package mains

import "errors"

// Loads with which a chassis is tested, in ohms and farads.
const (
	BodyOhms = 2000 // resistor for touch current at DC and sine (IEC 62368-1 by way of IEC 60990)

	ShuntOhms   = 1500    // the shunted test: 1.5 kΩ ∥ 0.15 µF, 0.75 V = 0.5 mA (UL 101)
	ShuntFarads = 0.15e-6 // F, the capacitor beside it

	DigitalOhms  = 10e6   // input of a digital volt meter
	OneMegOhms   = 1e6    // a digital volt meter with a 1 MΩ input, or a 1 MΩ load beside it
	AnalogueOhms = 1.25e6 // an analogue meter of 5 kΩ/V on its 250 V AC range (from memory)
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
	Reading      Worst   // V rms: |V| across the load, E·R/√(R²+X²) for one capacitor
	Undetermined bool    // the reading is above NearMains of E: it cannot be turned back into a current
}

// A Case is one state of plug and switch.
type Case struct {
	State    State
	Touch    float64   // A rms, |V|/2000 with 2 kΩ from chassis to earth
	Network  float64   // A rms into the network of IEC 60990 figure 4 (1.5 kΩ ∥ 0.22 µF, then 500 Ω)
	Weighted float64   // A rms, U/500 of that network, U across its 0.022 µF behind 10 kΩ
	Shunt    float64   // V rms on 1.5 kΩ ∥ 0.15 µF
	Earth    float64   // A rms in the earth wire, chassis earthed through Bond
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
	return Leak{}, errors.ErrUnsupported
}
