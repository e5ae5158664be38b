package drive

import (
	"errors"
	"fmt"

	"mutewright/design/circuit"
)

// Keying is what a transient adds to the steady drive: when the line is worked
// and how the armatures answer.
type Keying struct {
	Prefix  string           // before the name of every node and element
	Phase   float64          // degrees of the winding's voltage at time 0
	Made    bool             // the line is grounded, or raised by a source, before the first toggle
	Toggles []circuit.Toggle // Closed: grounded, or raised by a source
	Relays  []Moving         // as Drive.Coils
}

// Moving is the coil and armature of one relay in a transient.
type Moving struct {
	Ohms                         float64 // ohm at the coil's temperature; see Copper
	Open, Closed                 float64 // H with the armature at rest and operated
	Operate, Release             float64 // A at which the armature starts to move, rising and falling; Operate 0: it is held at rest
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

// charged is how long in s the reservoirs are held at their first voltage: too
// short to matter, long enough to be an event of its own.
const charged = 1e-6

// Build adds the drive in its transient form to a circuit: supply, rectifier,
// reservoirs that begin at a voltage of supply (V, as [SupplyResult] gives it
// for the state at the start; a doubler's coupling capacitor at half of it),
// coils with armatures, clamps and hold capacitors, buffer, and the key line
// as a switch. The drive's own Warmth and Henries do not count.
func Build(c *circuit.Circuit, d Drive, supply float64, k Keying) (Built, error) {
	if err := d.check(); err != nil {
		return Built{}, err
	}
	if len(k.Relays) != len(d.Coils) {
		return Built{}, fmt.Errorf("%d coils need as many armatures, not %d", len(d.Coils), len(k.Relays))
	}
	n := newNetwork(c, d, k.Prefix)
	n.rectify(k.Phase, func(number int, plus, minus circuit.Node) {
		n.Capacitor(n.name("reservoir%d", number), plus, minus, d.Reservoir)
		volts := supply / float64(number) // the second is the coupling capacitor
		if d.Rectifier != None {
			n.charge(number, plus, minus, volts)
		}
	})
	n.transistor()
	built := Built{Supply: n.plus, Line: n.line}
	for i, m := range k.Relays {
		t := n.coil(i, m.Ohms, m.Open)
		n.hold(i, t)
		n.clamp(i, t)
		name := n.name("armature%d", i+1)
		built.Coils = append(built.Coils, t)
		built.Armatures = append(built.Armatures, name)
		if m.Operate == 0 {
			continue
		}
		c.Armature(name, circuit.Armature{
			Coil: t.Inductor, Operate: m.Operate, Release: m.Release,
			OperateTravel: m.OperateTravel, ReleaseTravel: m.ReleaseTravel,
			Open: m.Open, Closed: m.Closed, Operated: m.Operated,
		})
	}
	n.key(k)
	return built, nil
}

// charge holds a reservoir at a voltage until just after the start.
func (n *network) charge(number int, plus, minus circuit.Node, volts float64) {
	held := n.node(fmt.Sprintf("charge%d", number))
	n.Voltage(n.name("charge%d", number), held, minus, circuit.DC(volts))
	n.Switch(n.name("charged%d", number), held, plus, circuit.Switch{
		Closed: true, Times: []circuit.Toggle{{At: charged}},
	})
}

// open is the resistance in ohm of an open key: what really leaks through it
// is the line's Leakage, and 1 Gohm adds less than 20 nA to that. Without any
// ngspice creeps along while the last of a coil's current dies away.
const open = 1e9

// key adds the transmitter's key: a contact to chassis with the line's drop,
// or a source that raises the line and either lets go of it or grounds it.
// What leaks through the open key leaks all the time.
func (n *network) key(k Keying) {
	l := n.d.Line
	n.leak()
	made := circuit.Switch{Closed: k.Made, Times: k.Toggles, Off: open}
	key := n.node("key")
	if !l.Source {
		n.Switch(n.name("key"), n.line, key, made)
		n.Voltage(n.name("drop"), key, circuit.Chassis, circuit.DC(l.Drop))
		return
	}
	level := n.node("level")
	n.Voltage(n.name("level"), level, circuit.Chassis, circuit.DC(l.Level))
	n.series("level.ohms", level, key, n.d.Rail.Ohms)
	n.Switch(n.name("key"), key, n.line, made)
	if !l.IdleLow {
		return
	}
	idle := circuit.Switch{Closed: !k.Made, Off: open}
	for _, t := range k.Toggles {
		idle.Times = append(idle.Times, circuit.Toggle{At: t.At, Closed: !t.Closed})
	}
	low := n.node("low")
	n.Switch(n.name("idle"), n.line, low, idle)
	n.Voltage(n.name("drop"), low, circuit.Chassis, circuit.DC(l.Drop))
}

// Electrical is the part of a data sheet's times in which the current of a
// coil rises to its operate and falls to its release value.
type Electrical struct{ Operate, Release float64 } // s

// ElectricalTimes finds the electrical part of the operate and release time
// in the data sheet's own condition: rated voltage, 20 °C, a coil of
// inductance open (H) while it rises and closed (H) while it falls, a clamp
// or none across it.
func ElectricalTimes(c Coil, open, closed float64, clamp Clamp) (Electrical, error) {
	if !(open > 0 && closed > 0) {
		return Electrical{}, errors.New("a coil's inductances must be above zero")
	}
	if !(c.Release > 0 && c.Release < c.Operate && c.Operate < 1) {
		return Electrical{}, errors.New("a coil's release must be below its operate, and that below its rated voltage")
	}
	c.Clamp, c.Dropper, c.Hold = clamp, 0, Hold{}
	d := Drive{Rail: Rail{Volts: c.Rated}, Coils: []Coil{c}}
	// Fifteen time constants bring the current to within 10⁻⁶ of its end.
	apart := 15 * (open + closed) / c.Ohms
	off := charged + apart
	ckt := circuit.New()
	built, err := Build(ckt, d, c.Rated, Keying{
		Toggles: []circuit.Toggle{{At: charged, Closed: true}, {At: off}},
		Relays: []Moving{{
			Ohms: c.Ohms, Open: open, Closed: closed,
			Operate: c.Operate * c.Rated / c.Ohms, Release: c.Release * c.Rated / c.Ohms,
		}},
	})
	if err != nil {
		return Electrical{}, err
	}
	trace, err := ckt.Transient(off+apart, circuit.TransientOptions{})
	if err != nil {
		return Electrical{}, fmt.Errorf("coil on its rated voltage: %w", err)
	}
	operate, moves := trace.Event(built.Armatures[0], circuit.StartsOperating, 0)
	release, falls := trace.Event(built.Armatures[0], circuit.StartsReleasing, off)
	if !moves || !falls {
		return Electrical{}, errors.New("the armature does not move on its rated voltage")
	}
	return Electrical{Operate: operate - charged, Release: release - off}, nil
}

// Travel is what the armature takes of a data-sheet time: the time less its
// electrical part, and not under a fifth of it.
//
//	travel = max(t − electrical, t/5)
func Travel(total, electrical float64) float64 { return max(total-electrical, total/5) }
