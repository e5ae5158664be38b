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

// A course is a value over frequency in Hz.
type course func(hertz float64) (float64, error)

// frequencies returns the trial frequencies, rising, both ends among them.
func (b band) frequencies() []float64 {
	steps := int(math.Ceil(math.Log(b.highest/b.lowest) / math.Log(step)))
	list := []float64{b.lowest}
	for i := 1; i < steps; i++ {
		list = append(list, b.lowest*math.Pow(b.highest/b.lowest, float64(i)/float64(steps)))
	}
	if steps > 0 {
		list = append(list, b.highest)
	}
	return list
}

// most returns the highest value in the band: of trial frequencies a step apart,
// and then between the neighbours of the best. Of equal values that at the lowest
// frequency stands.
func (b band) most(value course) (Worst, error) {
	trials := b.frequencies()
	best, index := Worst{Value: math.Inf(-1)}, 0
	for i, hertz := range trials {
		v, err := value(hertz)
		if err != nil {
			return Worst{}, err
		}
		if v > best.Value+tolerance*math.Abs(v) {
			best, index = Worst{Value: v, Hertz: hertz}, i
		}
	}
	if len(trials) == 1 {
		return best, nil
	}
	summit, err := value.summit(trials[max(0, index-1)], trials[min(len(trials)-1, index+1)])
	if err != nil {
		return Worst{}, err
	}
	if summit.Value > best.Value+tolerance*math.Abs(summit.Value) {
		best = summit
	}
	return best, nil
}

// summit returns the highest value between two frequencies that enclose a single
// one, by golden section in the logarithm of frequency: one of two trial points
// of an interval is one of the next.
func (value course) summit(lowest, highest float64) (Worst, error) {
	low, high := math.Log(lowest), math.Log(highest)
	at := func(x float64) (Worst, error) {
		v, err := value(math.Exp(x))
		return Worst{Value: v, Hertz: math.Exp(x)}, err
	}
	left, err := at(high - (high-low)*golden)
	if err != nil {
		return Worst{}, err
	}
	right, err := at(low + (high-low)*golden)
	if err != nil {
		return Worst{}, err
	}
	for high-low > narrow {
		if left.Value > right.Value {
			high, right = math.Log(right.Hertz), left
			left, err = at(high - (high-low)*golden)
		} else {
			low, left = math.Log(left.Hertz), right
			right, err = at(low + (high-low)*golden)
		}
		if err != nil {
			return Worst{}, err
		}
	}
	if left.Value > right.Value {
		return left, nil
	}
	return right, nil
}

const (
	golden    = 0.6180339887498949 // (√5 − 1)/2
	narrow    = 1e-3               // relative width of the interval at which the search ends
	tolerance = 1e-9               // relative gain that counts
)

// least returns the lowest value in the band.
func (b band) least(value course) (Worst, error) {
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
