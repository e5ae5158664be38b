package mains

import (
	"fmt"
	"math"
)

// A Rail is a charged supply after the plug is out.
type Rail struct {
	Volts   float64 // V DC, the highest it may hold
	Farads  float64 // F, all capacitors on it
	Bleeder float64 // ohm, 0 for none
	Tool    float64 // ohm of the discharge tool, 0 for none (1–10 kΩ of 5 W or more)
	Meter   float64 // ohm of the meter left on it, 0 for none
}

// A Drain is one way in which a rail empties: t = R·C·ln(V0/V).
type Drain struct {
	Present bool    // there is such a way; else the rest is 0 and means nothing
	Ohms    float64 // ohm, all that is across the rail
	To60    float64 // s to 60 V DC (touch limit, IEC 62368-1 ES1)
	To30    float64 // s to 30 V DC (comfortable)
	To10    float64 // s to 10 V DC
	Watts   float64 // W in the part that does it, at first: V0²/R of that part
}

// A Discharge is how a rail empties: by its bleeder alone, with the tool beside
// it, with a meter beside it. With a meter and no bleeder it takes minutes.
type Discharge struct {
	Bleeder Drain
	Tool    Drain
	Meter   Drain
	Joules  float64 // J stored: C·V²/2
}

// Discharging returns the ways in which a rail empties. It returns an error for
// an input out of range. After any of them: short, wait, measure again, for the
// dielectric gives back part of its charge.
func Discharging(r Rail) (Discharge, error) {
	for _, in := range []struct {
		name  string
		value float64
	}{
		{"volts", r.Volts}, {"farads", r.Farads}, {"bleeder", r.Bleeder}, {"tool", r.Tool}, {"meter", r.Meter},
	} {
		if err := atLeastZero(in.name, in.value); err != nil {
			return Discharge{}, fmt.Errorf("discharge: %w", err)
		}
	}
	return Discharge{
		Bleeder: r.through(r.Bleeder, 0),
		Tool:    r.through(r.Tool, r.Bleeder),
		Meter:   r.through(r.Meter, r.Bleeder),
		Joules:  r.Farads * r.Volts * r.Volts / 2,
	}, nil
}

// through returns the discharge through a part and what stands beside it.
func (r Rail) through(part, beside float64) Drain {
	if part == 0 {
		return Drain{}
	}
	ohms := part
	if beside > 0 {
		ohms = part * beside / (part + beside)
	}
	return Drain{
		Present: true,
		Ohms:    ohms,
		To60:    r.seconds(ohms, 60),
		To30:    r.seconds(ohms, 30),
		To10:    r.seconds(ohms, 10),
		Watts:   r.Volts * r.Volts / part,
	}
}

// seconds returns t = R·C·ln(V0/V), 0 for a rail that is below V already.
func (r Rail) seconds(ohms, volts float64) float64 {
	if r.Volts <= volts {
		return 0
	}
	return ohms * r.Farads * math.Log(r.Volts/volts)
}
