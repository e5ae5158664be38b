package mains

import "math"

// A Device is an earth-fault breaker: it looks at the current in the earth wire.
type Device struct {
	Name     string
	Standard string
	Holds    float64 // A rms, up to which it must not trip
	Trips    float64 // A rms, from which it must trip
}

// Devices returns the earth-fault breakers found in houses, most sensitive
// first. The figures are published, taken second-hand.
func Devices() []Device {
	return []Device{
		{Name: "GFCI class A", Standard: "UL 943", Holds: 4e-3, Trips: 6e-3},
		{Name: "RCD 30 mA", Standard: "IEC 61008", Holds: 15e-3, Trips: 30e-3},
	}
}

// A Trip is what a device does at a current.
type Trip uint8

// The outcomes. Between its two figures a device may do either.
const (
	Holds Trip = iota
	MayTrip
	MustTrip
)

// At returns what the device does at a current in the earth wire, A rms. Other
// appliances on the same device add theirs.
func (d Device) At(amps float64) Trip {
	switch {
	case !above(amps, d.Holds):
		return Holds
	case above(d.Trips, amps):
		return MayTrip
	default:
		return MustTrip
	}
}

// EarthFarads returns the capacitance in F from the hot conductor to an earthed
// chassis that carries a current in A: C = I/(2πf·E).
func EarthFarads(amps, volts, hertz float64) float64 {
	return amps / (2 * math.Pi * hertz * volts)
}
