package antenna

import (
	"fmt"
	"math"
)

// A Doubt says whether a coupling can be taken from distance and frequency.
type Doubt uint8

// The doubts, least first.
const (
	FarField  Doubt = iota // λ/2 or farther: the formula is taken
	NearField              // nearer than λ/2: path-loss formulas fail either way, no better than −10 dB is taken
	MeasureIt              // nearer than λ/2 and beyond −10 dB: refused, measure it
)

// A Coupling is an estimate from distance and frequency.
type Coupling struct {
	Doubt      Doubt
	Decibels   float64 // dB, transmitter to antenna terminal; holds nothing with MeasureIt
	Formula    float64 // dB, 10·log(G²·(λ/(4π·d))²), taken or not
	Wavelength float64 // m, c/f
}

const (
	speedOfLight = 299792458 // m/s
	dipoleGain   = 1.64      // of a half-wave dipole over an isotropic radiator, 2.15 dB
	nearCoupling = -10.0     // dB, the best isolation that is believed nearer than λ/2
)

// Couple estimates the coupling in dB of two half-wave dipoles in free space that
// face each other (H. T. Friis, A note on a simple transmission formula, Proc. IRE
// 1946), distance in m, frequency in Hz. It returns an error for an input out of
// range.
func Couple(distance, hertz float64) (Coupling, error) {
	if err := checkAll([]input{{"distance", distance, true}, {"frequency", hertz, true}}); err != nil {
		return Coupling{}, fmt.Errorf("coupling: %w", err)
	}
	c := Coupling{Wavelength: speedOfLight / hertz}
	c.Formula = 2 * decibels(dipoleGain*c.Wavelength/(4*math.Pi*distance))
	switch {
	case distance >= c.Wavelength/2*(1-tolerance):
		c.Decibels = c.Formula
	case c.Formula <= nearCoupling:
		c.Doubt, c.Decibels = NearField, nearCoupling
	default:
		c.Doubt = MeasureIt
	}
	return c, nil
}
