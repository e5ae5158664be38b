package plot

import "math"

// An Axis is one side of a chart.
type Axis struct {
	Label    string               // "pulldown"
	Format   func(float64) string // of a tick, with its unit: "10 kΩ"
	From, To float64
	Log      bool // From and To are above 0
}

// place is where a value stands between the axis's ends, 0 … 1 and beyond.
func (a Axis) place(v float64) float64 {
	if a.Log {
		return math.Log(v/a.From) / math.Log(a.To/a.From)
	}
	return (v - a.From) / (a.To - a.From)
}

// ticks are the values that are labelled: on a linear axis multiples of 1, 2 or
// 5 times a power of ten, so that at most so many stand on it; on a logarithmic
// one the powers of ten with 2 and 5 in between where there is room.
func (a Axis) ticks(most int) []float64 {
	if a.Log {
		return a.logTicks(most)
	}
	span := a.To - a.From
	step := math.Pow(10, math.Floor(math.Log10(span/float64(most))))
	for _, f := range []float64{1, 2, 5, 10} {
		if span/(step*f) <= float64(most) {
			step *= f
			break
		}
	}
	var list []float64
	const hair = 1e-9
	for n := math.Ceil(a.From/step - hair); n*step <= a.To+hair*span; n++ {
		list = append(list, n*step)
	}
	return list
}

func (a Axis) logTicks(most int) []float64 {
	const hair = 1 + 1e-9
	for _, parts := range [][]float64{{1, 2, 5}, {1, 3}, {1}} {
		var list []float64
		for e := math.Floor(math.Log10(a.From)); e <= math.Ceil(math.Log10(a.To)); e++ {
			for _, p := range parts {
				// Division keeps negative powers of ten exact to the last digit.
				v := p * math.Pow(10, e)
				if v*hair >= a.From && v <= a.To*hair {
					list = append(list, v)
				}
			}
		}
		if len(list) <= most {
			return list
		}
	}
	return nil
}

// Nice widens a range of values to ends at which ticks stand: from 0 where
// nothing is negative, with a twentieth of air above.
func Nice(low, high float64) (from, to float64) {
	from, to = min(0, low), max(0, high)
	if to == from {
		to = from + 1
	}
	span := (to - from) * 1.05
	step := math.Pow(10, math.Floor(math.Log10(span/5)))
	for _, f := range []float64{1, 2, 5, 10} {
		if span/(step*f) <= 6 {
			step *= f
			break
		}
	}
	return math.Floor(from/step) * step, math.Ceil((to+0.05*(to-from))/step) * step
}
