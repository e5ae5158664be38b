package spread

import (
	"fmt"
	"math"
)

// Crossing is where an output meets a limit along one input.
type Crossing struct {
	Value float64 // of the input, in its own unit
	Above bool    // the output exceeds the limit for larger values of the input; else for smaller ones
}

// thresholdSteps halvings leave a millionth of the range.
const thresholdSteps = 20

// Threshold looks along one input of p, from its low to its high end, for the
// value at which an output crosses the limit; the other inputs stand where the
// point at has them (nil: nominal). ok is false where the output does not
// cross, or does not exist on the way. Of two crossings on the two sides of
// nominal the one below is found.
func Threshold(p Problem, input, output int, limit float64, at []float64) (c Crossing, ok bool, err error) {
	if err := p.check(); err != nil {
		return Crossing{}, false, err
	}
	if input < 0 || input >= len(p.Inputs) || output < 0 || output >= p.Outputs {
		return Crossing{}, false, fmt.Errorf("spread: no input %d or no output %d", input, output)
	}
	if at == nil {
		at = Nominal(p.Inputs)
	}
	if len(at) != len(p.Inputs) {
		return Crossing{}, false, fmt.Errorf("spread: a point of %d values for %d inputs", len(at), len(p.Inputs))
	}
	out := make([]float64, p.Outputs)
	above := func(v float64) (yes, exists bool) {
		if err != nil {
			return false, false
		}
		if e := p.Eval(with(at, input, v), out); e != nil {
			err = fmt.Errorf("spread: %w", e)
			return false, false
		}
		return out[output] > limit, !math.IsNaN(out[output])
	}
	in := p.Inputs[input]
	for _, span := range [][2]float64{{in.Low, in.Nominal}, {in.Nominal, in.High}} {
		a, b := span[0], span[1]
		aboveA, existsA := above(a)
		aboveB, existsB := above(b)
		if err != nil {
			return Crossing{}, false, err
		}
		if !existsA || !existsB || aboveA == aboveB {
			continue
		}
		for range thresholdSteps {
			middle := a + (b-a)/2
			is, exists := above(middle)
			if err != nil || !exists {
				return Crossing{}, false, err
			}
			if is == aboveA {
				a = middle
			} else {
				b = middle
			}
		}
		return Crossing{Value: a + (b-a)/2, Above: aboveB}, true, nil
	}
	return Crossing{}, false, nil
}
