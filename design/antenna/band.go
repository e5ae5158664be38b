package antenna

import (
	"fmt"
	"math"
)

// A band is the range of frequencies in which the worst is looked for.
type band struct{ lowest, highest float64 } // Hz

// step is the ratio of neighbouring trial frequencies: narrower than any
// resonance that the antenna's own impedance damps.
const step = 1.1

// most returns the highest value in the band: trial frequencies a step apart,
// then a golden section between the neighbours of the best.
func (b band) most(value func(hertz float64) (float64, error)) (Worst, error) {
	steps := int(math.Ceil(math.Log(b.highest/b.lowest) / math.Log(step)))
	at := func(i int) float64 {
		if i >= steps {
			return b.highest
		}
		return b.lowest * math.Pow(b.highest/b.lowest, float64(max(0, i))/float64(steps))
	}
	best, index := Worst{Value: math.Inf(-1)}, 0
	try := func(hertz float64) (float64, bool, error) {
		v, err := value(hertz)
		better := v > best.Value+tolerance*math.Abs(v)
		if better {
			best = Worst{Value: v, Hertz: hertz}
		}
		return v, better, err
	}
	for i := range steps + 1 {
		_, better, err := try(at(i))
		if err != nil {
			return Worst{}, err
		}
		if better {
			index = i
		}
	}
	low, high := math.Log(at(index-1)), math.Log(at(index+1))
	for high-low > narrow {
		left, right := high-(high-low)*golden, low+(high-low)*golden
		l, _, err := try(math.Exp(left))
		if err != nil {
			return Worst{}, err
		}
		r, _, err := try(math.Exp(right))
		if err != nil {
			return Worst{}, err
		}
		if l > r {
			high = right
		} else {
			low = left
		}
	}
	return best, nil
}

const (
	golden    = 0.6180339887498949 // (√5 − 1)/2
	narrow    = 1e-3               // relative width of the interval at which the search ends
	tolerance = 1e-9               // relative gain that counts: of equal values the lower frequency stands
)

// least returns the lowest value in the band.
func (b band) least(value func(hertz float64) (float64, error)) (Worst, error) {
	w, err := b.most(func(hertz float64) (float64, error) {
		v, err := value(hertz)
		return -v, err
	})
	return Worst{Value: -w.Value, Hertz: w.Hertz}, err
}

// inputs lists the ends of the band.
func (b band) inputs() []input {
	return []input{{"lowest frequency", b.lowest, true}, {"highest frequency", b.highest, true}}
}

// check reports a band that ends before it begins.
func (b band) check() error {
	if b.highest < b.lowest {
		return fmt.Errorf("highest frequency %g Hz lies below the lowest, %g Hz", b.highest, b.lowest)
	}
	return nil
}
