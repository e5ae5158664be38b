package lifted

import (
	"fmt"
	"math"
)

// Quantity names a voltage that a rating limits.
type Quantity uint8

// The voltages that a rating limits, muted, worst over the travel of the
// control, tubes hot or cold.
const (
	NodeVolts          Quantity = iota // lifted node to chassis: contact, capacitor at the cut, touch
	BusVolts                           // cathode bus of a point: its capacitor
	BypassVolts                        // across a cathode bypass capacitor
	HeaterCathodeVolts                 // |cathode − heater bias| + heater peak
	ScreenVolts                        // screen to chassis: its capacitor
)

// A Limit is a rating that a muted voltage must keep.
type Limit struct {
	Of    Quantity
	Point int     // index, for all but NodeVolts
	Stage int     // index, for BypassVolts, HeaterCathodeVolts and ScreenVolts
	Volts float64 // V, largest magnitude allowed
}

// A Bound is one end of the window of the pulldown.
type Bound struct {
	Ohms  float64
	By    Reason
	Limit int // index of the limit, where By is Rating
}

// A Reason is what sets a bound.
type Reason uint8

// What sets a bound.
const (
	Nothing     Reason = iota // no resistance in reach holds; Ohms is 0
	Rating                    // a limit
	Ceiling                   // 100 kΩ: beyond it heater–cathode leakage and hum decide
	Floor                     // 10 Ω: the least looked at
	Depths                    // the depth wanted
	Dissipation               // the pulldown's own heat
)

// The range in which a pulldown is looked for, ohm. Heater–cathode leakage of
// some µA puts volts of hum on anything above 100 kΩ (common practice).
const (
	HighestPulldown = 100e3
	LowestPulldown  = 10.0
)

// resolution is how closely a bound is found, as a ratio: well inside the
// tolerance of any resistor.
const resolution = 1.0005

// volts picks the limited voltage from a state.
func (l Limit) volts(s State) float64 {
	switch l.Of {
	case BusVolts:
		return s.Points[l.Point].Bus
	case BypassVolts:
		return s.Points[l.Point].Stages[l.Stage].Bypass
	case HeaterCathodeVolts:
		return s.Points[l.Point].Stages[l.Stage].HeaterCathode
	case ScreenVolts:
		return s.Points[l.Point].Stages[l.Stage].Screen
	}
	return s.Node
}

// A window solves one network at many pulldowns.
type window struct{ *Opened }

func newWindow(n Network) (*window, error) {
	n.Pulldown = HighestPulldown
	r, err := Solve(n)
	if err != nil {
		return nil, err
	}
	return &window{new(Shop).Open(r)}, nil
}

// set puts another pulldown in place.
func (w *window) set(ohms float64) { w.r.net.Pulldown = ohms }

// highest is the worst state over the travel, hot or cold.
func (w *window) highest(ohms float64) (State, error) {
	w.set(ohms)
	hot, err := w.Muted()
	if err != nil {
		return State{}, err
	}
	cold, err := w.Cold()
	if err != nil {
		return State{}, err
	}
	return worse(hot.Highest, cold), nil
}

// Most finds the highest pulldown, up to 100 kΩ, at which every limit holds in
// this network. All voltages of the return rise with the pulldown.
func Most(n Network, limits []Limit) (Bound, error) {
	if err := n.checkLimits(limits); err != nil {
		return Bound{}, fmt.Errorf("pulldown: %w", err)
	}
	w, err := newWindow(n)
	if err != nil {
		return Bound{}, err
	}
	broken := -1 // the limit furthest exceeded at the least pulldown that breaks one
	holds := func(ohms float64) bool {
		var s State
		if s, err = w.highest(ohms); err != nil {
			return false
		}
		worst := 1 + 1e-9 // a limit met exactly holds
		hold := true
		for i, l := range limits {
			if over := math.Abs(l.volts(s)) / l.Volts; over > worst {
				worst, broken, hold = over, i, false
			}
		}
		return hold
	}
	ohms, found := least(func(ohms float64) bool { return !holds(ohms) && err == nil })
	if err != nil {
		return Bound{}, fmt.Errorf("highest pulldown: %w", err)
	}
	switch {
	case !found:
		return Bound{Ohms: HighestPulldown, By: Ceiling}, nil
	case ohms <= LowestPulldown:
		return Bound{By: Nothing, Limit: broken}, nil
	}
	return Bound{Ohms: ohms / resolution, By: Rating, Limit: broken}, nil
}

// least finds the lowest pulldown for which a test is true, when it is true
// from there up to the highest; it is LowestPulldown where the test is always
// true, and not found where it is false at the highest.
func least(test func(ohms float64) bool) (ohms float64, found bool) {
	if !test(HighestPulldown) {
		return 0, false
	}
	if test(LowestPulldown) {
		return LowestPulldown, true
	}
	low, high := LowestPulldown, HighestPulldown
	for high > low*resolution {
		if mid := math.Sqrt(low * high); test(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return high, true
}

// Least finds the lowest pulldown that reaches the depth wanted, dB, in this
// network and from which on, up to 100 kΩ, its own heat stays within watts.
func Least(n Network, depth, watts float64) (Bound, error) {
	w, err := newWindow(n)
	if err != nil {
		return Bound{}, err
	}
	deep, found := least(func(ohms float64) bool {
		w.set(ohms)
		var d Depth
		if err == nil {
			d, err = w.Depth()
		}
		return d.Total >= depth-1e-9
	})
	if err != nil {
		return Bound{}, fmt.Errorf("lowest pulldown: %w", err)
	}
	if !found {
		return Bound{By: Nothing}, nil
	}
	bound := Bound{Ohms: deep, By: Depths}
	if deep <= LowestPulldown {
		bound.By = Floor
	}
	heat := func(ohms float64) (watts float64) {
		w.set(ohms)
		var m Muted
		if err == nil {
			m, err = w.Muted()
		}
		return m.Power
	}
	// The heat rises with small resistances, which carry the whole current, and
	// falls with large ones: twelve steps to the decade find every excess that
	// lasts longer than one value of E12.
	const step = 1.2115276586 // 10^(1/12)
	for ohms := HighestPulldown; ohms > bound.Ohms && err == nil; ohms /= step {
		if heat(ohms) <= watts {
			continue
		}
		low, high := ohms, ohms*step
		for high > low*resolution && err == nil {
			if mid := math.Sqrt(low * high); heat(mid) > watts {
				low = mid
			} else {
				high = mid
			}
		}
		bound = Bound{Ohms: min(high, HighestPulldown), By: Dissipation}
		if heat(HighestPulldown) > watts {
			bound = Bound{By: Nothing}
		}
		break
	}
	if err != nil {
		return Bound{}, fmt.Errorf("lowest pulldown: %w", err)
	}
	return bound, nil
}

// checkLimits refuses limits that name nothing.
func (n *Network) checkLimits(limits []Limit) error {
	for i, l := range limits {
		if !(l.Volts > 0) || math.IsInf(l.Volts, 1) {
			return fmt.Errorf("limit %d: voltage must be above zero and finite, not %g", i+1, l.Volts)
		}
		if l.Of == NodeVolts {
			continue
		}
		if l.Point < 0 || l.Point >= len(n.Points) {
			return fmt.Errorf("limit %d names point %d of %d", i+1, l.Point+1, len(n.Points))
		}
		if l.Of == BusVolts {
			continue
		}
		stages := 0
		switch p := n.Points[l.Point].(type) {
		case Output:
			stages = 1
		case Gain:
			stages = len(p.Stages)
		}
		if l.Stage < 0 || l.Stage >= stages {
			return fmt.Errorf("limit %d names stage %d of %d", i+1, l.Stage+1, stages)
		}
	}
	return nil
}

// IEC 60063, the E12 and E24 series, two figures each.
var (
	e12 = []float64{10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82}
	e24 = []float64{10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91}
)

// UsualPulldown is the pulldown that is taken where it has room, ohm, and room
// the factor it must have on both sides. Common practice: about 10 kΩ serves a
// common return of output cathode and gain control.
const (
	UsualPulldown = 10e3
	room          = 1.5
)

// Choose picks the pulldown, ohm, from its window: 10 kΩ where a factor of 1.5
// is left on both sides, else the E12 value within the window nearest its
// geometric middle, else the E24 value. It is false for an empty window and for
// one below 10 Ω.
func Choose(least, most float64) (ohms float64, ok bool) {
	if !(least > 0 && most >= least) || math.IsInf(most, 1) {
		return 0, false
	}
	if least*room <= UsualPulldown && UsualPulldown <= most/room {
		return UsualPulldown, true
	}
	for _, series := range [][]float64{e12, e24} {
		if ohms, ok := nearest(series, least, most); ok {
			return ohms, true
		}
	}
	return 0, false
}

// nearest is the value of a series within a window nearest its geometric middle.
func nearest(series []float64, least, most float64) (ohms float64, ok bool) {
	middle, away := math.Log(least*most)/2, math.Inf(1)
	const slack = 1 + 1e-9 // a bound that is itself a value of the series counts
	for decade := 1.0; decade <= most; decade *= 10 {
		for _, step := range series {
			v := step * decade
			if d := math.Abs(math.Log(v) - middle); v >= least/slack && v <= most*slack && d < away {
				ohms, away, ok = v, d, true
			}
		}
	}
	return ohms, ok
}
