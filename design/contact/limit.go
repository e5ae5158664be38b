// Package contact is the plain logic of relay contacts: what they may break,
// what their insulation must stand, which load is too small for them, and
// which pole serves which point. Volts and amperes are plain numbers in SI
// units; nothing here is worded or judged.
package contact

import "math"

// Point is one published limit of breaking a resistive DC load.
type Point struct {
	Volts, Amps float64
}

// Limit is the DC that may be broken at a voltage, A, from published points in
// rising order of voltage. Between two points it follows the straight line on
// logarithmic axes,
//
//	I = I1·(V/V1)^(ln(I2/I1) / ln(V2/V1))
//
// as the curves of data sheets do within a few per cent; below the first point
// it is the first current, beyond the last it is 0, and it is 0 without any.
func Limit(points []Point, volts float64) float64 {
	if len(points) == 0 || volts > points[len(points)-1].Volts {
		return 0
	}
	if volts <= points[0].Volts {
		return points[0].Amps
	}
	n := 1
	for volts > points[n].Volts {
		n++
	}
	a, b := points[n-1], points[n]
	slope := math.Log(b.Amps/a.Amps) / math.Log(b.Volts/a.Volts)
	return a.Amps * math.Pow(volts/a.Volts, slope)
}

// Rating is what a data sheet says of a contact; 0 where it says nothing.
type Rating struct {
	Volts  float64 // most that may be broken
	Amps   float64 // most that may be broken
	Watts  float64 // most that may be broken
	Points []Point // DC limits, rising voltage
}

// At is the DC that may be broken at a voltage, A: the lowest of what the
// points, the current and the power allow, and 0 above the highest voltage.
// Where a point contradicts the sheet's own power rule, the lower of the two
// counts. known is false where the rating holds neither points nor a current.
func (r Rating) At(volts float64) (amps float64, known bool) {
	if len(r.Points) == 0 && r.Amps == 0 {
		return 0, false
	}
	volts = math.Abs(volts)
	if r.Volts > 0 && volts > r.Volts {
		return 0, true
	}
	amps = math.Inf(1)
	if len(r.Points) > 0 {
		amps = Limit(r.Points, volts)
	}
	if r.Amps > 0 {
		amps = min(amps, r.Amps)
	}
	if r.Watts > 0 && volts > 0 {
		amps = min(amps, r.Watts/volts)
	}
	return amps, true
}

// Margin is the current allowed over the current broken; ok is false where
// there is nothing to break.
func Margin(allowed, amps float64) (ratio float64, ok bool) {
	if amps = math.Abs(amps); amps == 0 {
		return 0, false
	}
	return allowed / amps, true
}

// MakePeak is the highest current, A, when a contact closes on a capacitor
// charged to volts, through the resistance (ohm) and inductance (H) of the
// loop: the series circuit's discharge
//
//	i(t) = V/(ωL)·e^(−αt)·sin ωt,  α = R/2L,  ω² = 1/LC − α²
//
// at its peak; sinh for sin where it is overdamped, and V/R without inductance.
// A loop with neither resistance nor inductance gives +Inf.
func MakePeak(volts, farads, ohms, henries float64) float64 {
	volts = math.Abs(volts)
	switch {
	case volts == 0 || farads == 0:
		return 0
	case henries == 0:
		return volts / ohms
	}
	alpha := ohms / (2 * henries)
	omega2 := 1/(henries*farads) - alpha*alpha
	omega := math.Sqrt(math.Abs(omega2))
	var at, swing float64 // when di/dt = 0, and the wave there
	switch {
	case omega < 1e-6*alpha: // critically damped: i = V/L·t·e^(−αt)
		return volts / (math.E * alpha * henries)
	case omega2 > 0:
		at = math.Atan2(omega, alpha) / omega
		swing = math.Sin(omega * at)
	default:
		at = math.Atanh(omega/alpha) / omega
		if math.IsInf(at, 1) { // so overdamped that the inductance does not show
			return volts / ohms
		}
		swing = math.Sinh(omega * at)
	}
	return volts / (omega * henries) * math.Exp(-alpha*at) * swing
}
