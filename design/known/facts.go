package known

import (
	"slices"

	"mutewright/design/quantity"
)

// Facts is a plan with nothing left open: choices as words, numbers as places
// in the box.
type Facts struct {
	Box         Box
	Mains       Mains
	Supplies    []Supply
	Points      []Point
	Returns     []Return
	Standby     []Standby
	Relays      []Relay // the first one's supply, rectifier, buffer and fuse serve all of them
	Control     Control
	Transmitter Transmitter
	Wanted      ID // dB, least muting
	Ambient     ID // °C inside the cabinet; nominal 20, where the figures of coils are given
	Soaked      ID // 0: coils just keyed, at the ambient; 1: they have taken up their own heat

	AmbientLow, AmbientHigh float64 // °C, as the plan says

	Refused bool         // no connection of any kind may be made: series heaters
	Assumed []Assumption // words the plan left out; numbers say so in the box

	NominalOnly bool // no doubt and no transients are asked for

	Unused []Unused // keys that have no meaning where they stand
	Mended []Mended // values that cannot be as they are given
}

// An Assumption is a word that the plan left out.
type Assumption struct {
	At, Value, Because string
}

// Mains is the set's mains side.
type Mains struct {
	Voltage    ID // V rms, nominal
	Ratio      ID // actual over nominal voltage
	Frequency  ID // Hz
	Power      ID // W
	Stray      ID // F, windings to chassis
	TwoWire    bool
	Fused      bool
	Fuse       ID     // A
	FuseIn     string // line, neutral
	SwitchIn   string // line, neutral, both, unknown
	After      bool   // the capacitors stand after the switch; false without any
	Capacitors []LineCapacitor
}

// LineCapacitor joins a mains conductor to chassis.
type LineCapacitor struct {
	Value ID
	From  string // line, neutral
	Class string // none, Y1, Y2, Y4
}

// Supply is a winding or a rail of the set.
type Supply struct {
	Name string
	Rail bool // DC rail; else an AC winding

	Volts      ID // V rms of a winding; V on receive of a rail; at nominal mains
	Resistance ID // ohm

	// Of a winding.
	Crest    ID
	Rated    ID // A; does not exist where nothing is known
	Drawn    ID // A
	Bias     ID // V
	Grounded string

	// Of a rail.
	Unloaded    ID // V
	Capacitance ID // F
	CapRated    ID // V
	Bleeder     ID // ohm; does not exist: none
	Regulated   bool

	Live, Tap, Other string // words for the places
}

// PointKind is the kind of a muting point.
type PointKind uint8

// The kinds of muting point.
const (
	Output PointKind = iota
	Gain
	Antenna
	Audio
	Measured
)

// Tube is a type with its law's raw material.
type Tube struct {
	Name          string
	HeaterCathode ID // V peak permitted
	HeaterAmps    float64
	Remote        bool
	Converter     bool // a converter or an oscillator
	Points        []TubePoint
	Tail          []TubeTail
	Source        string
	Emission      ID // factor on the law's G
	Doubt         ID // divisor of µ in every state but receive
	DepthDoubt    ID // dB that the stage's depth may be off
}

// TubePoint is one published or measured operating point; SI units.
type TubePoint struct {
	Plate, Screen, Grid, PlateCurrent, ScreenCurrent, Gm float64
}

// TubeTail is one point of the remote tail: plate transconductance at a grid voltage.
type TubeTail struct {
	Screen, Grid, Gm float64
	OfCathode        bool // Gm is that of the cathode current
}

// Point is one muting point.
type Point struct {
	Name   string
	Kind   PointKind
	At     string // key path: "muting_points.output"
	Lift   string
	Supply int // index into Supplies

	// Output.
	Tube            Tube
	Count           int
	Separate        bool
	Grid            ID
	Load            ID // ohm, plate to plate
	Primary         ID // ohm DC
	Inductance      ID // H
	FullOutput      ID // W
	ScreenResistor  ID
	CathodeResistor ID
	Bypass          Bypass
	Path            ID // ohm past the lift; does not exist: none
	PathWhat        string

	// Gain.
	Frequency    ID
	Track        ID // ohm of the control
	SetTo        ID
	Wiring       string // rheostat, divider, antenna and cathode
	FarEnd       string // lifted, chassis, free
	Bleeder      Feed
	BusCapacitor Bypass
	Screens      Feed
	Stages       []Stage

	// Antenna.
	Impedance ID
	Legs      string // one, across, each
	Guard     string // short, changeover, open and short
	Lowest    ID
	Highest   ID
	Lead      ID
	Wire      ID
	Withstand ID

	// Audio.
	Source ID // ohm
	Into   ID // ohm, load

	// Measured.
	Open        ID
	Closed      ID
	Capacitance ID
}

// Bypass is a capacitor with its rating.
type Bypass struct {
	Value    ID // F; does not exist: none
	Rated    ID // V
	ToReturn bool
}

// Feed is a resistor from a supply.
type Feed struct {
	Supply    int
	Ohms      ID // does not exist: no feed
	ToChassis ID
	Capacitor Bypass
}

// Stage is one stage of a gain group.
type Stage struct {
	Role            string
	Tube            Tube
	CathodeResistor ID
	Bypass          ID // F; does not exist: none
	ScreenResistor  ID // ohm; does not exist with a shared feed
	Shared          bool
	Meter           bool
}

// Return is one lifted node.
type Return struct {
	Name           string
	Points         []int // indices into Points
	Pulldown       ID    // ohm; does not exist: none
	ChoosePulldown bool
	Lead           ID // m
	Capacitor      ID // F at the cut; does not exist: none
	CapacitorRated ID
	Series         ID // ohm in series with it
	ChooseCap      bool
	Reachable      bool
}

// Relay is one relay with its drive.
type Relay struct {
	Index  int    // 1 for K1
	At     string // key path: "relay" or "relay.1"
	Name   string // catalogue name, or "written out"
	Serves []string
	Choose bool
	Unlike []string // of a further relay: keys in which it differs from the first and may not

	OnReceive bool
	Supply    int // index into Supplies; -1: the key line
	Rectifier string
	Reservoir ID // does not exist: none, as on a rail
	Dropper   ID // does not exist: none
	Clamp     string
	Zener     ID
	Buffer    string
	Fuse      ID // A of the winding fuse; does not exist: none
	FuseOhms  ID
	Hold      ID // F; does not exist: none
	HoldOhms  ID

	Base        ID // ohm, base resistor of a buffer
	BaseEmitter ID // ohm

	ChooseRectifier, ChooseDropper, ChooseFuse bool

	Coil     Coil
	Contacts Contacts
	Pins     Pins
}

// Coil is the relay's coil.
type Coil struct {
	Rated      ID // V
	Ohms       ID // at 20 °C
	Operate    ID // share of Rated
	MustLet    ID // share of Rated at which all have let go
	LetsGo     ID // share of Rated at which some already let go
	Rise       ID // K/W
	Limit      ID // °C
	At23, At70 ID // share of Rated permitted; may not exist
	Open       ID // H, armature open
	Closed     ID // H
}

// Contacts is the relay's contact set.
type Contacts struct {
	Form        string // A, B, C
	Poles       int
	Latching    bool
	Volts       ID // rated
	Amps        ID
	Watts       ID
	Limits      []Limit // DC, ascending voltage
	LeastVolts  ID
	LeastAmps   ID
	Make        ID // A, peak
	Resistance  ID
	Capacitance ID
	Inductance  ID
	OpenVolts   ID // V rms one minute, open contact
	CoilVolts   ID
	PoleVolts   ID
	OperateTime ID // s, longest
	ReleaseTime ID
	Bounce      ID
}

// Limit is one published DC limit.
type Limit struct{ Volts, Amps float64 }

// Pins are the relay's pin numbers or marks, where they are known.
type Pins struct {
	Coil  []string
	Poles [][]string // common, break, make
}

// Control is the receiver's jack.
type Control struct {
	Jack      string
	MutesWhen string // grounded, opened, raised
}

// Transmitter is what keys the receiver.
type Transmitter struct {
	Name       string
	Power      ID
	Keying     string // contact, open collector, open drain, source
	LineVolts  ID     // rating
	LineAmps   ID
	Drop       ID
	Leakage    ID
	Level      ID
	IdleLow    bool
	KeyToRF    ID
	Tail       ID
	Coupling   ID // dB
	ByDistance bool
	Distance   ID // m
	AtHertz    ID
}

// Serving is the relay that names a return or a point among what it serves, nil
// where none does.
func (f *Facts) Serving(place string) *Relay {
	for i := range f.Relays {
		if slices.Contains(f.Relays[i].Serves, place) {
			return &f.Relays[i]
		}
	}
	return nil
}

// Apart is a copy in which numbers may be fixed and added without f.
func (f *Facts) Apart() *Facts {
	g := *f
	g.Box, g.Returns, g.Relays = slices.Clone(f.Box), slices.Clone(f.Returns), slices.Clone(f.Relays)
	return &g
}

// Narrow takes the doubt out of the box where only the nominal is asked for.
func (f *Facts) Narrow() {
	if !f.NominalOnly {
		return
	}
	for i := range f.Box {
		f.Box[i].Low, f.Box[i].High = f.Box[i].Nominal, f.Box[i].Nominal
	}
}

// Number formats the nominal value at id.
func (f *Facts) Number(id ID) string {
	e := f.Box.Entry(id)
	return quantity.Format(e.Nominal, e.Unit)
}
