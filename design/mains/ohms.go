package mains

// Thresholds of the ohm check: each prong of the plug to chassis, unplugged,
// switch on. A resistance shows no capacitor.
type Thresholds struct {
	Clear   float64 // ohm, 5 MΩ: above it no resistive path
	Bleeder float64 // ohm, 1 MΩ: from here to Clear a bleeder or dirt
	Touch   float64 // ohm, E/0.5 mA: from here to Bleeder a leaky capacitor or the float link of series heaters; below it over 0.5 mA
	Low     float64 // ohm, 300 Ω: up to here the path is metal: a conductor, a cold heater string, a winding
	Zero    float64 // ohm, 2 Ω: up to here the prong itself is on the chassis (test leads and switch)
}

// OhmThresholds returns the thresholds for a mains voltage in V. Clear and
// Bleeder are published (the cold check asks for 1–5.2 MΩ or infinity), Touch is
// computed, Low and Zero are common practice.
func OhmThresholds(volts float64) Thresholds {
	return Thresholds{Clear: 5e6, Bleeder: 1e6, Touch: volts / 0.5e-3, Low: 300, Zero: 2}
}

// A Path is what an ohm check finds between the prongs and chassis.
type Path uint8

// The paths, harmless first.
const (
	NoPath           Path = iota // both above 5 MΩ: may be earthed after the insulation or the shunted test
	BleederPath                  // 1–5 MΩ: bleeder or surface leakage; find it
	LeakyPath                    // E/0.5 mA–1 MΩ: leaky capacitor, or the float link of a series-heater set; stop until found
	OverLimit                    // below that: more than 0.5 mA; fail
	TransformerFault             // low from both prongs alike: transformer or autotransformer; stop
	TiedToMains                  // near 0 from one prong: chassis on the mains, or a heater string; no earthed cord, no connection
)

// Judge says what two resistances in ohms, one from each prong to chassis, mean.
// The lower decides: with the switch on the primary joins the prongs, so that a
// path from one shows at the other with the winding's few ohms on top. A meter
// that shows open is any value above Clear.
func (t Thresholds) Judge(a, b float64) Path {
	least, most := min(a, b), max(a, b)
	switch {
	case least > t.Clear:
		return NoPath
	case least >= t.Bleeder:
		return BleederPath
	case least >= t.Touch:
		return LeakyPath
	case least > t.Low:
		return OverLimit
	case least > t.Zero && most <= t.Low:
		return TransformerFault
	default:
		return TiedToMains
	}
}

// An Insulation is what the insulation test asks, prongs joined to chassis, the
// old paper capacitors lifted first, their Y-class replacements left in.
type Insulation struct {
	Volts float64 // V DC of the tester
	Least float64 // ohm, below which the set is not connected
	Most  float64 // A, the current that is: Volts/Least
}

// InsulationTest returns the test at 500 V DC: 1 MΩ for an earthed set, 2 MΩ for
// a double-insulated one (published, taken second-hand). A metal chassis on a
// two-wire cord is judged by the higher figure.
func InsulationTest(c Cord) Insulation {
	const volts = 500
	least := 1e6
	if c == TwoWire {
		least = 2e6
	}
	return Insulation{Volts: volts, Least: least, Most: volts / least}
}

// EarthedMost is the highest reading in V rms from an earthed chassis to the
// outlet's earth that passes for sound (common practice, no source). A healthy
// earth reads millivolts; volts mean that the earth is open somewhere.
const EarthedMost = 1.0

// BondMost returns the highest resistance in ohms from chassis to the plug's
// earth pin: 0.1 Ω (published, taken second-hand) and the cord's own conductor,
// length in m, area in m², ρ·l/A with ρ = 1/58 µΩm at 20 °C (IEC 60028).
func BondMost(length, area float64) float64 {
	const resistivity = 1 / 58e6 // Ω·m
	return 0.1 + resistivity*length/area
}

// A DeadShort is what the shunt's resistor meets on a chassis tied to the mains.
type DeadShort struct {
	Amps  float64 // A rms, E/R
	Watts float64 // W, E²/R
}

// ShuntOnShort returns what 1.5 kΩ meets from a chassis that a wire ties to a
// mains of so many V rms: the reason why the ohm check comes first.
func ShuntOnShort(volts float64) DeadShort {
	return DeadShort{Amps: volts / ShuntOhms, Watts: volts * volts / ShuntOhms}
}
