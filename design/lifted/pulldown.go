package lifted

// Quantity names a voltage that a rating limits.
type Quantity uint8

// The voltages that a rating limits, muted, worst over the travel.
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
	Point int     // for all but NodeVolts
	Stage int     // for BypassVolts, HeaterCathodeVolts, ScreenVolts
	Volts float64 // V, largest magnitude allowed
}

// A Bound is one end of the window of the pulldown.
type Bound struct {
	Ohms  float64
	Limit int // index of the limit that sets it; Ceiling, Depth, Dissipation or Nothing otherwise
}

// What sets a bound other than a limit.
const (
	Nothing     = -1 - iota // no resistance holds
	Ceiling                 // 100 kΩ: heater–cathode leakage and hum decide beyond
	ForDepth                // the depth wanted
	Dissipation             // the pulldown's own heat
	Floor                   // the least resistance looked at
)

// Most finds the highest pulldown, up to 100 kΩ, at which every limit holds.
func Most(n Network, limits []Limit) (Bound, error) { return Bound{}, errUnfinished }

// Least finds the lowest pulldown that reaches the depth wanted, dB, and from
// which up to 100 kΩ its own heat stays within watts.
func Least(n Network, depth, watts float64) (Bound, error) { return Bound{}, errUnfinished }

// Choose picks the pulldown from its window: 10 kΩ where a factor of 1.5 is
// left on both sides, else the E12 value within the window nearest its
// geometric middle, else E24 (IEC 60063). It is false for an empty window.
func Choose(least, most float64) (ohms float64, ok bool) { return 0, false }
