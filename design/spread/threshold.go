package spread

import (
	"fmt"
	"math"
)

// A Way is a straight line through the box, from where an output is on the wrong
// side of a limit to where it may be on the right one.
type Way struct {
	From, To []float64
	Value    float64 // the output at From
}

// at is the point after a part of the way.
func (w Way) at(part float64) []float64 {
	x := make([]float64, len(w.From))
	for i, from := range w.From {
		x[i] = from
		if w.To[i] != from { // else rounding would move it
			x[i] = from + part*(w.To[i]-from)
		}
	}
	return x
}

// near is how closely a threshold is looked for, as a part of the way: nobody
// reads a meter closer.
const near = 2e-3

// Threshold looks along a way for the place from which on an output keeps a
// limit: the part of the way from 0 to 1, at most 0.2 % beyond the place itself.
// least says that the output must reach the limit; else it may not exceed it. ok
// is false where it does not keep it at the end of the way either, or does not
// exist there.
//
// The place is found by false position with the value of an end that stays
// halved (the Illinois method, Dowell and Jarratt 1971): between two ends of
// doubt outputs are all but straight.
func Threshold(p Problem, output int, limit float64, least bool, w Way) (part float64, ok bool, err error) {
	if err := p.check(); err != nil {
		return 0, false, err
	}
	if output < 0 || output >= p.Outputs {
		return 0, false, fmt.Errorf("spread: no output %d", output)
	}
	if len(w.From) != len(p.Inputs) || len(w.To) != len(p.Inputs) {
		return 0, false, fmt.Errorf("spread: a way of %d and %d values for %d inputs", len(w.From), len(w.To), len(p.Inputs))
	}
	out := make([]float64, p.Outputs)
	spare := func(v float64) float64 { // not below 0: the limit is kept
		if least {
			return v - limit
		}
		return limit - v
	}
	try := func(part float64) (float64, error) {
		if err := p.One(w.at(part), output, out); err != nil {
			return 0, fmt.Errorf("spread: %w", err)
		}
		return spare(out[output]), nil
	}
	bad, good := 0.0, 1.0
	under := spare(w.Value)
	over, err := try(good)
	if err != nil || !(under < 0 && over >= 0) {
		return 0, false, err
	}
	const step = near * (1 - 1e-6)
	for last := 0.0; good-bad > near; {
		part := bad - (good-bad)*under/(over-under) + step/2
		if good-part < step {
			part = good - step // close from the other side as well
		}
		v, err := try(part)
		switch {
		case err != nil || math.IsNaN(v):
			return 0, false, err
		case v >= 0:
			good, over = part, v
			if last > 0 {
				under /= 2
			}
		default:
			bad, under = part, v
			if last < 0 {
				over /= 2
			}
		}
		last = v
	}
	return good, true, nil
}
