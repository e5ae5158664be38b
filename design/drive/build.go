package drive

import "mutewright/design/circuit"

// Keying is what a transient adds to the steady drive: when the line is worked
// and how the armatures answer.
type Keying struct {
	Prefix  string           // before the name of every node and element
	Phase   float64          // degrees of the winding's voltage at time 0
	Made    bool             // the line is grounded, or raised, before the first toggle
	Toggles []circuit.Toggle // Closed: grounded, or raised by a source
	Relays  []Moving         // as Drive.Coils
}

// Moving is the coil and armature of one relay in a transient.
type Moving struct {
	Ohms                         float64 // ohm at the coil's temperature; see Copper
	Open, Closed                 float64 // H with the armature at rest and operated
	Operate, Release             float64 // A at which the armature starts to move, rising and falling
	OperateTravel, ReleaseTravel float64 // s
	Operated                     bool    // at the start
}

// Built names what Build has added.
type Built struct {
	Supply    circuit.Node // reservoir or rail
	Line      circuit.Node // the key line
	Coils     []Terminals  // as Drive.Coils
	Armatures []string     // names for circuit.Switch, as Drive.Coils
}

// Terminals are the two ends of a coil and the name of its inductor.
type Terminals struct {
	High, Low circuit.Node
	Inductor  string
}

// Build adds the drive in its transient form to a circuit: supply, rectifier,
// reservoirs charged to supply (V, as Result.Supply gives it), coils with
// armatures, clamps and hold capacitors, buffer, and the key line as a switch.
func Build(c *circuit.Circuit, d Drive, supply float64, k Keying) (Built, error) { return Built{}, nil }

// Electrical is the part of the data sheet's times in which the current of a
// coil rises to its operate and falls to its release value.
type Electrical struct{ Operate, Release float64 } // s

// ElectricalTimes finds the electrical part of the operate and release time
// in the data sheet's own condition: rated voltage, 20 °C, the coil of
// inductance open while it rises and closed while it falls, the clamp as given.
func ElectricalTimes(c Coil, open, closed float64, clamp Clamp) (Electrical, error) {
	return Electrical{}, nil
}

// Travel is what the armature takes of a data-sheet time: the time less its
// electrical part, and not under a fifth of it.
//
//	travel = max(t − electrical, t/5)
func Travel(total, electrical float64) float64 { return max(total-electrical, total/5) }
