// Package drive answers what feeds a relay's coil: which rectifier may stand
// on which winding, which coil circuit goes with which key line, and what the
// chosen drive puts on the coil, on its winding, on its parts and on the line.
//
// Plain SI numbers go in (V, A, ohm, F, H, W, Hz; temperatures in °C, spans of
// time in s) and come out. A [Drive] is one corner: ranges and tolerances are
// the business of the caller, who solves other corners with other numbers.
// Everything electrical is solved by package circuit.
package drive

import "mutewright/design/circuit"

// A Drive is one relay drive with all its values: a supply, a rectifier and
// its reservoirs, one or more coils in parallel, a buffer or none, and the key
// line. The minus of the rectifier is at chassis.
type Drive struct {
	Winding   Winding   // the supply of every Rectifier but None
	Rail      Rail      // the supply of Rectifier None
	Rectifier Rectifier // stands on the winding as its Grounding demands; see Legal

	Diode     circuit.DiodeModel // of each rectifier diode; zero: Rectifying
	Reservoir float64            // F, each; a doubler has two. On a rail 0 means none
	Fuse      float64            // ohm, cold resistance of the fuse in the lead from winding or rail; 0: none

	Coils  []Coil // one for each relay, in parallel
	Hookup Hookup // where coils, buffer and line stand; see Fits
	Buffer Buffer // used where the hook-up has a transistor
	Line   Line

	Warmth Warmth // the temperature at which the coils are taken
}

// A Winding is a heater winding as an added load sees it, end to end.
type Winding struct {
	Volts     float64   // V rms, with the heaters on and the drive not yet added
	Crest     float64   // peak over rms, 1 … √2; loaded transformers are flat-topped
	Ohms      float64   // what the added load sees
	Hertz     float64   // mains frequency
	Grounding Grounding // how it stands to chassis
	Drawn     float64   // A rms, by heaters and lamps, taken as a resistance
	Rated     float64   // A rms; 0: unknown
}

// A Rail is a supply of direct voltage: a rail of the set, or a key line that
// feeds the coil.
type Rail struct {
	Volts float64 // V, without the drive's load; negative is refused
	Ohms  float64 // ohm, its rise as the load is taken off
}

// A Coil is one relay's coil with the parts that belong to it alone.
type Coil struct {
	Ohms    float64 // ohm at 20 °C, with its tolerance in this corner
	Rated   float64 // V, its rated voltage
	Operate float64 // part of Rated at which every coil within tolerance pulls in at 20 °C
	Release float64 // part of Rated at which every such coil has let go at 20 °C; 0: unknown

	Ambient            float64 // °C, air around it
	Rise               float64 // K/W, of its own heat
	Limit              float64 // °C, highest permitted temperature of the coil
	MostAt23, MostAt70 float64 // parts of Rated permitted in air of 23 and of 70 °C; 0: not given

	Henries float64 // H, armature closed; in the steady state it only smooths the current

	Dropper float64 // ohm in series on the supply's side; 0: none
	Clamp   Clamp
	Hold    Hold
}

// A Clamp is what stands across a coil to take its current at let-go.
type Clamp struct {
	Kind  ClampKind
	Zener float64            // V; with DiodeAndZener
	Diode circuit.DiodeModel // zero: Rectifying
}

// ClampKind says which clamp.
type ClampKind uint8

// The clamps. A coil without one fails any line or buffer.
const (
	NoClamp ClampKind = iota
	DiodeClamp
	DiodeAndZener
)

// Hold is a capacitor with a series resistor across the coil that keeps it
// energised through the transmitter's tail.
type Hold struct {
	Farads float64 // F; 0: none
	Ohms   float64 // ohm, in series with it
}

// A Buffer is the transistor between a key line and the coils.
type Buffer struct {
	Transistor  circuit.TransistorModel // zero: Switching; its polarity is the hook-up's business
	Base        float64                 // ohm, from the base to the line, or to the supply where the line shorts the base
	BaseEmitter float64                 // ohm; 0: none
}

// A Line is the transmitter's key line.
type Line struct {
	Drop    float64 // V left on it while it is grounded
	Leakage float64 // A through it while it is open
	Level   float64 // V while it is raised; sources only
	Source  bool    // it gives a voltage when it keys, instead of grounding
	IdleLow bool    // a source that grounds the line when it does not key
}

// Warmth says at which temperature the coils are taken.
type Warmth uint8

const (
	Settled  Warmth = iota // in the ambient, with the coil's own heat
	Fresh                  // at the ambient, just keyed
	AtTwenty               // at 20 °C whatever the ambient: the nominal case
)

// Rectifying is a 1 A rectifier diode of the 1N4007 class at 27 °C: 0.555 V at
// 1 mA, 0.774 V at 100 mA, 0.912 V at 1 A.
var Rectifying = circuit.DiodeModel{IS: 7.02767e-9, N: 1.80803, RS: 0.0341512}

// Switching is a small switching transistor: 0.72 V from base to emitter at
// 10 mA, a current gain of 100 (common practice, no source).
var Switching = circuit.TransistorModel{IS: 1e-14, BF: 100, BR: 4}

// A Result is what a drive does. Every value is of the steady state.
type Result struct {
	Supply  SupplyResult
	Coils   []CoilResult // as Drive.Coils
	Winding WindingResult
	Diode   DiodeResult
	Line    LineResult
	Buffer  BufferResult
	Inrush  float64 // A into the hold capacitors of all coils, empty, as line or transistor closes; 0 without any

	steady *steady // for Near; nil on a rail
}

// SupplyResult is the voltage of the reservoir, or of the rail where there is none.
type SupplyResult struct {
	Released float64 // V, mean with every coil released, into a 10 Mohm meter and the line's leakage
	Operated float64 // V, mean with every coil operated
	Ripple   float64 // V peak to peak, operated
}

// CoilResult is one coil, operated.
type CoilResult struct {
	Volts   float64 // V, mean over the coil
	Least   float64 // V, lowest instant
	Amps    float64 // A, mean
	Watts   float64 // W, mean
	Celsius float64 // °C of the coil
	Ohms    float64 // ohm at that temperature: R20·(234.5+T)/254.5

	Operate   float64 // margin: Least / (operate·rated·R(T)/R20)
	Ceiling   float64 // margin: permitted / Volts
	Permitted float64 // V: lower of √((limit−ambient)/rise · R(limit)) and the straight line of most
	Dropper   float64 // W in the dropper

	Residual float64 // V that the open line's leakage leaves on the released coil
	release  float64
}

// Release is the margin of letting go: must-release voltage over what the open
// line's leakage leaves on the coil. It is not ok where nothing is left on the
// coil or the release voltage is not known.
func (c CoilResult) Release() (margin float64, ok bool) { return c.release, c.release > 0 }

// Lead is the current in the lead from winding or rail, A rms, coils operated.
func (r Result) Lead() float64 {
	if r.Winding.Current > 0 {
		return r.Winding.Current
	}
	amps := r.Buffer.Base
	for _, c := range r.Coils {
		amps += c.Amps
	}
	return amps
}

// WindingResult is the load on the winding, zero on a rail.
type WindingResult struct {
	Current float64 // A rms of the drive's own current; of one half where a tap is used
	Total   float64 // A rms of the summed waveforms of heaters and drive
	Load    float64 // Total / rated; 0 where the rating is not known
}

// DiodeResult is the worst rectifier diode, zero on a rail.
type DiodeResult struct {
	Peak    float64 // A, repetitive, operated
	Reverse float64 // V, the higher of released and operated
}

// LineResult is what the drive puts on the key line.
type LineResult struct {
	Open    float64 // V on it when the transmitter lets it float
	Closed  float64 // A in it when it is grounded or raised, with its own drop
	Kick    float64 // V, highest at let-go: supply + clamp; only where Clamped
	Clamped bool    // no coil kicks the line without a clamp
}

// BufferResult is the transistor, zero without one.
type BufferResult struct {
	Base    float64 // A into the base, operated
	Gain    float64 // forced: collector over base current; all of the transistor's own where the base is starved
	Off     float64 // V from base to emitter, released; at most 0.3 V
	Volts   float64 // V, highest from collector to emitter: supply + clamp
	Clamped bool    // no coil kicks the transistor without a clamp
}
