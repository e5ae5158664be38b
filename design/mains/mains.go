// Package mains answers what stands between the mains and a set's chassis:
// the touch current and what meters read, the capacitor, fuse and earth-fault
// device that go with it, the ohm check before an earth is fitted, and how long
// the set stays charged after the plug is out.
//
// Numbers go in and come out in SI base units (V rms, A rms, ohm, F, Hz, W, s).
// The tiers and figures are those of the standards named beside them, taken
// second-hand; local codes and a qualified person decide.
package mains

import (
	"errors"
	"fmt"
	"math"
)

// A Conductor is one of the two mains conductors as the set names them. Which
// of them is hot depends on the way the plug stands in the outlet.
type Conductor uint8

// The conductors. Both is meant for a switch that opens the two together.
const (
	Line Conductor = iota
	Neutral
	Both
)

// A Capacitor joins a mains conductor to chassis.
type Capacitor struct {
	Farads float64   // F
	From   Conductor // Line or Neutral
}

// A Source is the mains as the chassis sees it: through capacitors.
type Source struct {
	Volts      float64     // V rms, line to the earthed conductor
	Hertz      float64     // Hz
	Capacitors []Capacitor // mains conductor to chassis
	Stray      float64     // F, windings to chassis, taken at line behind the switch
	Switch     Conductor   // the conductor that the set's switch opens
	Before     bool        // the capacitors stand before the switch, on the cord's side
	Bond       float64     // ohm, chassis to the outlet's earth when earthed; 0 for a perfect bond
}

// A State is a way in which a set can stand at the outlet.
type State struct {
	Reversed bool // the plug is turned: the set's line conductor is the earthed one
	Off      bool // the set's switch is open
}

// States returns the four states in the order in which they are tried.
func States() [4]State {
	return [4]State{{}, {Off: true}, {Reversed: true}, {Reversed: true, Off: true}}
}

// tolerance is the relative margin of every comparison with a limit, so that a
// value which stands on its limit does not fall over it by rounding.
const tolerance = 1e-9

// above reports whether a value lies over its limit by more than rounding.
func above(value, limit float64) bool { return value > limit*(1+tolerance) }

// errNotANumber is what every check of an input reports for NaN and infinity.
var errNotANumber = errors.New("not a finite number")

// positive returns an error that names the input unless value is above zero.
func positive(name string, value float64) error {
	if err := atLeastZero(name, value); err != nil {
		return err
	}
	if value == 0 {
		return fmt.Errorf("%s is 0; a value above 0 is needed", name)
	}
	return nil
}

// atLeastZero returns an error that names the input if value is below zero.
func atLeastZero(name string, value float64) error {
	if math.IsNaN(value) || math.IsInf(value, 0) {
		return fmt.Errorf("%s: %w", name, errNotANumber)
	}
	if value < 0 {
		return fmt.Errorf("%s is %g; it cannot be below 0", name, value)
	}
	return nil
}
