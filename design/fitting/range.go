package fitting

import (
	"strings"

	"mutewright/design/quantity"
)

// Ranges of usual hand-held meters of 2000 steps, in SI units (common practice).
var (
	voltRanges   = []float64{0.2, 2, 20, 200}
	ampereRanges = []float64{2e-3, 20e-3, 200e-3, 10}
	ohmRanges    = []float64{200, 2e3, 20e3, 200e3, 2e6, 20e6}
)

// analogueRange is the range, V, to which the resistance of the analogue meter
// belongs: 5 kΩ/V × 250 V (from memory).
const analogueRange = 250.0

// Expected is what a reading must show, in words: "5.7 V – 6.9 V", "at most 0.2 Ω",
// "5 MΩ or more".
func (r Reading) Expected() string {
	u := unitOf(r.Unit)
	low, high := format(r.Low, u), format(r.High, u)
	switch {
	case r.Over || r.High >= open && u == quantity.Resistance:
		return low + " or more"
	case low == high:
		return low
	case r.Low == 0:
		return "at most " + high
	}
	return low + " – " + high
}

// unitOf finds the unit of a reading by its symbol.
func unitOf(symbol string) quantity.Unit {
	for u := quantity.Proportion; u <= quantity.ThermalResistance; u++ {
		if u.Symbol() == symbol || u.Code() == symbol {
			return u
		}
	}
	return quantity.Proportion
}

// rangeOf is the range to which the meter of a reading is set: the lowest that
// shows its high end; of a scope the time of a division of which five show it.
// "" where the meter has but one.
func rangeOf(r *Reading) string {
	switch {
	case strings.Contains(r.Meter, "insulation"):
		return "" // it finds its own
	case strings.Contains(r.Meter, "analogue"):
		if r.High > analogueRange {
			return "" // on another range it is another meter
		}
		return format(analogueRange, quantity.Voltage)
	}
	high := r.High
	if high >= open {
		high = ohmRanges[len(ohmRanges)-1]
	}
	if r.Low < 0 {
		high = max(high, -r.Low)
	}
	pick := func(ranges []float64, u quantity.Unit) string {
		for _, v := range ranges {
			if high <= v {
				return format(v, u)
			}
		}
		return format(ranges[len(ranges)-1], u)
	}
	switch r.Unit {
	case quantity.Voltage.Code():
		if high > voltRanges[len(voltRanges)-1] {
			return "1000\u00a0V" // as it is marked, not 1 kV
		}
		return pick(voltRanges, quantity.Voltage)
	case quantity.Current.Code():
		return pick(ampereRanges, quantity.Current)
	case quantity.Resistance.Code():
		return pick(ohmRanges, quantity.Resistance)
	case quantity.Time.Code():
		for decade := 1e-6; decade < 10; decade *= 10 {
			for _, step := range []float64{1, 2, 5} {
				if high <= 5*decade*step {
					return format(decade*step, quantity.Time) + "/div"
				}
			}
		}
	}
	return ""
}
