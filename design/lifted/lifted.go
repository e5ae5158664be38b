// Package lifted answers what happens when the chassis return of vacuum tubes
// is lifted: the volts that stand at the cut, on the cathodes, screens and
// rails, the current in the closed contact, how far the stages are silenced,
// which pulldown resistor serves, and how loud the click is.
//
// One Network holds one return: the lifted node, its contact and pulldown, and
// every point that hangs on it. All numbers are SI: volts, amperes, ohms,
// farads, henries, hertz, seconds, siemens. The lifted node is measured to
// chassis, as is every voltage unless its comment says otherwise.
package lifted

// A Network is one return with the points that share its lifted node.
type Network struct {
	Rails  []Rail  // supplies that the points and feeds name by index
	Points []Point // one to four

	Pulldown  float64   // ohm, lifted node to chassis; 0: none
	Contact   float64   // ohm of the closed contact; under 1 mΩ is taken as 1 mΩ
	Capacitor Capacitor // at the cut, lifted node to chassis
	Lead      float64   // H, wire from the cut to the contact; counts at signal frequency only

	Heater Heater
}

// A Rail is a DC supply. On receive it stands at Volts with the stages of the
// network drawing; it rises through Resistance as they are cut off, never above
// Unloaded. What other consumers take does not change. A regulated rail stays.
type Rail struct {
	Volts       float64 // V on receive, control at SetTo
	Unloaded    float64 // V with tubes cold or cut off altogether; 0: not known, no cap, cold at Volts
	Resistance  float64 // ohm by which it rises; 0: a stiff rail
	Capacitance float64 // F
	Regulated   bool
	Shed        float64 // A by which other returns, muted at the same time, relieve this rail; 0: none
}

// A Capacitor with a resistor in series; Farads 0: none.
type Capacitor struct {
	Farads float64
	Series float64 // ohm
}

// A Heater is the heater winding as the cathodes see it: Bias volts above
// chassis, and the peak of its alternating voltage to that level.
type Heater struct {
	Bias float64 // V
	Peak float64 // V
}

// A Point is one thing that hangs on the lifted node: Output, Gain or Measured.
type Point interface{ point() }

// BypassTo says where the far end of a cathode bypass capacitor stands.
type BypassTo uint8

// The two ends of a cathode bypass capacitor.
const (
	ToChassis BypassTo = iota
	ToReturn           // the lifted node
)

// An Output is an audio output stage whose cathode return is lifted.
//
// A pair is push-pull. With shared cathodes CathodeResistor and Bypass are the
// common ones; with separate cathodes each tube has its own of that value. The
// screen resistor is common to both.
type Output struct {
	Tube            Law
	Count           int     // tubes: 1 or 2
	Separate        bool    // cathodes of a pair
	Rail            int     // of plate and screen
	Grid            float64 // V, grid to chassis; fixed bias is negative
	Transformer     Transformer
	ScreenResistor  float64  // ohm; 0: screen at the rail
	ScreenBypass    float64  // F, screen to chassis, for transients; 0: none is stated
	CathodeResistor float64  // ohm; 0: cathode at the lifted node
	Bypass          float64  // F; 0: none
	BypassTo        BypassTo // of Bypass
	Path            float64  // ohm from the lifted side to chassis past the lift; 0: none
}

// A Transformer is the plate load; for a pair all figures are plate to plate.
type Transformer struct {
	Load       float64 // ohm, the loudspeaker as the plate sees it; 0: no loudspeaker
	Resistance float64 // ohm, DC, of the primary
	Inductance float64 // H, of the primary
	FullOutput float64 // W
}

// Wiring of a gain control.
type Wiring uint8

// The wirings of a gain control. The hot end of the track is the cathode bus
// (rheostat, antenna and cathode: wiper at the lifted node) or the bleeder's
// lower end (divider: wiper at the cathode bus). The far end is the other end
// of the track.
const (
	Rheostat Wiring = iota
	Divider
	AntennaAndCathode // far end on the antenna coil, which is chassis for DC
)

// FarEnd says where the far end of a gain control's track stands.
type FarEnd uint8

// The far end of the track.
const (
	FarLifted  FarEnd = iota // at the lifted node
	FarChassis               // left on chassis: a path past the lift
	FarFree                  // open
)

// A Control is a gain control. Its position is the resistance between cathode
// bus and wiper (rheostat) or between wiper and far end (divider): 0 is full
// gain, Value is least gain.
type Control struct {
	Value  float64 // ohm, whole track; 0: no control, cathode bus at the lifted node
	SetTo  float64 // ohm, position for depth, receive and readings
	Wiring Wiring
	Far    FarEnd
}

// A Feed is a resistor from a rail; a shared screen feed may have a second
// resistor to chassis and a capacitor.
type Feed struct {
	Rail      int
	Ohms      float64 // 0: none
	ToChassis float64 // ohm; 0: none
	Capacitor float64 // F, to chassis; 0: none is stated
}

// A Gain is a group of RF or IF stages whose common cathode bus returns to
// chassis through a gain control.
type Gain struct {
	Rail         int     // of plates, and of screens with a feed of their own
	Frequency    float64 // Hz at which bypasses are judged
	Control      Control
	Bleeder      Feed    // into the cathode bus, or the hot end of a divider
	BusCapacitor float64 // F, cathode bus to chassis; 0: none
	Path         float64 // ohm from the lifted side to chassis past the lift; 0: none
	Screens      Feed    // shared by the stages with SharedScreen
	Stages       []Stage // one to eight
}

// A Stage is one RF or IF tube.
type Stage struct {
	Tube            Law
	CathodeResistor float64 // ohm, cathode to bus; 0: at the bus
	Bypass          float64 // F, cathode to chassis; 0: none
	ScreenResistor  float64 // ohm, rail to screen; 0: at the rail
	ScreenBypass    float64 // F, screen to chassis, for transients; 0: none is stated
	SharedScreen    bool    // screen at the shared feed instead
}

// A Measured point is a line of which only two readings are known. It is judged
// as a contact and not modelled.
type Measured struct {
	Open        float64 // V to chassis, contact open
	Closed      float64 // A through the closed contact
	Capacitance float64 // F
}

func (Output) point()   {}
func (Gain) point()     {}
func (Measured) point() {}
