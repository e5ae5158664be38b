package drive

import "math"

// extrapolated is the temperature in °C, turned positive, at which copper
// extrapolates to no resistance: IEC 60028 (1925).
const extrapolated = 234.5

// Copper is the resistance of a copper winding at a temperature in °C over
// that at 20 °C, after IEC 60028:
//
//	R(T)/R20 = (234.5 + T) / 254.5
func Copper(celsius float64) float64 { return (extrapolated + celsius) / (extrapolated + 20) }

// Celsius is the temperature in °C of a copper winding whose resistance is
// that ratio of its resistance at 20 °C: the inverse of [Copper].
func Celsius(ratio float64) float64 { return ratio*(extrapolated+20) - extrapolated }

// molten is a temperature in °C at which there is no coil left: fed by what
// is nearly a constant current, one that is too hot heats itself without end.
const molten = 1000

// warm is the resistance in ohm of the coil behind a voltage with an inner
// resistance, at the temperature that its own power then gives it:
//
//	V = E·R/(R + r),   T = ambient + K·V²/R,   R = R20·(234.5 + T)/254.5
//
// With rising R the power falls wherever R > r, and elsewhere it rises slowly
// for every coil that survives; it stops when R is known to a millionth.
func (c Coil) warm(w Warmth, volts, inner float64) float64 {
	switch w {
	case AtTwenty:
		return c.Ohms
	case Fresh:
		return c.Ohms * Copper(c.Ambient)
	}
	ohms := c.Ohms * Copper(c.Ambient)
	for range 200 {
		amps := volts / (ohms + inner)
		next := c.Ohms * Copper(min(c.Ambient+c.Rise*amps*amps*ohms, molten))
		if math.Abs(next-ohms) <= 1e-6*ohms {
			return next
		}
		ohms = (ohms + next) / 2 // halved: a coil that runs very hot would swing
	}
	return ohms
}

// permitted is the highest voltage in V that the coil may carry for good in
// its ambient: that which takes it to its limit,
//
//	V² / R(limit) = (limit − ambient) / rise,
//
// or, where that is lower, the data sheet's highest voltage on the straight
// line through its two temperatures. Below 23 °C that line is not followed
// upwards.
func (c Coil) permitted() float64 {
	volts := math.Sqrt(max(0, c.Limit-c.Ambient) / c.Rise * c.Ohms * Copper(c.Limit))
	if c.MostAt23 > 0 && c.MostAt70 > 0 {
		const low, high = 23, 70 // °C
		most := c.MostAt23 + (c.MostAt70-c.MostAt23)*(max(c.Ambient, low)-low)/(high-low)
		volts = min(volts, max(0, most)*c.Rated)
	}
	return volts
}
