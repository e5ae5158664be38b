package plan

import (
	"slices"

	"mutewright/catalog"
	"mutewright/design/document"
	"mutewright/design/quantity"
)

// PointKind is the kind of a muting point.
type PointKind string

// The kinds of muting point.
const (
	OutputCathode PointKind = "output cathode"
	RFGain        PointKind = "rf gain"
	Antenna       PointKind = "antenna"
	AudioShort    PointKind = "audio short" // a dry contact to chassis
	Measured      PointKind = "measured"    // judged as a contact, not modelled
)

// Lifted tells whether a point of this kind is a chassis return that is cut,
// and so can belong to a return.
func (k PointKind) Lifted() bool { return k == OutputCathode || k == RFGain || k == Measured }

// Point is one place where the set is muted or guarded. Of the slots below
// Lift only those of its kind mean anything.
type Point struct {
	Block
	Kind Word[PointKind]
	Lift Text // the place in words, printed on the sheet

	Output   Output
	Gain     Gain
	Antenna  AntennaInput
	Audio    Audio
	Measured Contact
}

// Fields binds the keys of a muting point.
func (p *Point) Fields() []document.Field {
	return slices.Concat(
		[]document.Field{
			document.Choice("kind", &p.Kind, OutputCathode, RFGain, Antenna, AudioShort, Measured).Required(),
			document.Text("lift", &p.Lift).Required(),
		},
		document.When(&p.Kind, OutputCathode, p.Output.fields()...),
		document.When(&p.Kind, RFGain, p.Gain.fields()...),
		document.When(&p.Kind, Antenna, p.Antenna.fields()...),
		document.When(&p.Kind, AudioShort, p.Audio.fields()...),
		document.When(&p.Kind, Measured, p.Measured.fields()...),
	)
}

// Cathodes says whether the cathodes of a pair are one cut or two.
type Cathodes string

// The ways to bring out cathodes.
const (
	SharedCathodes   Cathodes = "shared"
	SeparateCathodes Cathodes = "separate"
)

// Output is an audio output stage whose cathode return is lifted.
type Output struct {
	Tube            document.Reference[catalog.Tube]
	Count           Count // 2: a push-pull pair
	Cathodes        Word[Cathodes]
	Supply          Text                    // name of a supply
	Grid            Measure[quantity.Volts] // DC from grid to chassis
	Transformer     OutputTransformer
	ScreenResistor  Measure[quantity.Ohms]
	CathodeResistor Measure[quantity.Ohms]
	Bypass          CathodeBypass // state None: there is none
	AlsoToChassis   Path          // state None: there is none
}

func (o *Output) fields() []document.Field {
	return []document.Field{
		document.NameOrBlock("tube", &o.Tube),
		document.Count("count", &o.Count).From(1).To(2),
		document.Choice("cathodes", &o.Cathodes, SharedCathodes, SeparateCathodes),
		document.Name("supply", &o.Supply),
		document.Span("grid", &o.Grid),
		document.Block("transformer", &o.Transformer),
		document.Span("screen_resistor", &o.ScreenResistor),
		document.Span("cathode_resistor", &o.CathodeResistor),
		document.Block("bypass", &o.Bypass).Or(document.None),
		document.Block("also_to_chassis", &o.AlsoToChassis).Or(document.None),
	}
}

// OutputTransformer is the load of an output stage, plate to plate for a pair.
type OutputTransformer struct {
	Block
	Load       Measure[quantity.Ohms]
	Resistance Measure[quantity.Ohms]
	Inductance Measure[quantity.Henries]
	FullOutput Measure[quantity.Watts]
}

// Fields binds the keys of an output stage's transformer.
func (t *OutputTransformer) Fields() []document.Field {
	return []document.Field{
		document.Span("load", &t.Load).Positive(),
		document.Span("resistance", &t.Resistance),
		document.Span("inductance", &t.Inductance).Positive(),
		document.Span("full_output", &t.FullOutput).Positive(),
	}
}

// ReturnedTo says where the low end of a cathode bypass capacitor goes.
type ReturnedTo string

// The ends of a bypass.
const (
	ToChassis ReturnedTo = "chassis"
	ToReturn  ReturnedTo = "return" // the lifted node
)

// CathodeBypass is the capacitor across an output stage's cathode resistor.
type CathodeBypass struct {
	Block
	Value      Measure[quantity.Farads]
	Rated      Measure[quantity.Volts]
	ReturnedTo Word[ReturnedTo]
}

// Fields binds the keys of an output stage's bypass.
func (b *CathodeBypass) Fields() []document.Field {
	return []document.Field{
		document.Span("value", &b.Value).Positive(),
		document.Span("rated", &b.Rated).Positive(),
		document.Choice("returned_to", &b.ReturnedTo, ToChassis, ToReturn),
	}
}

// Path is a path to chassis past the lift.
type Path struct {
	Block
	Value Measure[quantity.Ohms]
	What  Text
}

// Fields binds the keys of also_to_chassis.
func (p *Path) Fields() []document.Field {
	return []document.Field{
		document.Span("value", &p.Value),
		document.Text("what", &p.What),
	}
}

// Gain is a group of stages whose cathodes share a gain control.
type Gain struct {
	Supply        Text                    // name of a supply
	Frequency     Measure[quantity.Hertz] // at which bypasses are judged
	Control       GainControl
	Bleeder       Bleeder    // into the cathode bus; state None: there is none
	BusCapacitor  Capacitor  // state None: there is none
	AlsoToChassis Path       // state None: there is none
	Screens       ScreenFeed // of stages without their own; state None: there is none
	Stages        document.List[Stage]
}

func (g *Gain) fields() []document.Field {
	return []document.Field{
		document.Name("supply", &g.Supply),
		document.Span("frequency", &g.Frequency).Positive(),
		document.Block("control", &g.Control),
		document.Block("bleeder", &g.Bleeder).Or(document.None),
		document.Block("bus_capacitor", &g.BusCapacitor).Or(document.None),
		document.Block("also_to_chassis", &g.AlsoToChassis).Or(document.None),
		document.Block("screens", &g.Screens).Or(document.None),
		document.ListOf("stages", &g.Stages, document.Block[Stage]).AtMost(8),
	}
}

// Wiring says how a gain control is wired.
type Wiring string

// The wirings.
const (
	Rheostat          Wiring = "rheostat"
	Divider           Wiring = "divider"
	AntennaAndCathode Wiring = "antenna and cathode"
)

// FarEnd says where the far end of a gain control's track goes.
type FarEnd string

// The far ends.
const (
	FarLifted  FarEnd = "lifted"
	FarChassis FarEnd = "chassis"
	FarFree    FarEnd = "free"
)

// GainControl is the RF gain control.
type GainControl struct {
	Block
	Value  Measure[quantity.Ohms]
	SetTo  Measure[quantity.Ohms]
	Wiring Word[Wiring]
	FarEnd Word[FarEnd]
}

// Fields binds the keys of a gain control.
func (c *GainControl) Fields() []document.Field {
	return []document.Field{
		document.Span("value", &c.Value).Positive(),
		document.Span("set_to", &c.SetTo),
		document.Choice("wiring", &c.Wiring, Rheostat, Divider, AntennaAndCathode),
		document.Choice("far_end", &c.FarEnd, FarLifted, FarChassis, FarFree),
	}
}

// Bleeder is a resistor from a supply into the cathode bus.
type Bleeder struct {
	Block
	Supply Text // name of a supply
	Value  Measure[quantity.Ohms]
}

// Fields binds the keys of a gain group's bleeder.
func (b *Bleeder) Fields() []document.Field {
	return []document.Field{
		document.Name("supply", &b.Supply),
		document.Span("value", &b.Value).Positive(),
	}
}

// Capacitor is a capacitor to chassis with its rating.
type Capacitor struct {
	Block
	Value Measure[quantity.Farads]
	Rated Measure[quantity.Volts]
}

// Fields binds the keys of a capacitor.
func (c *Capacitor) Fields() []document.Field {
	return []document.Field{
		document.Span("value", &c.Value).Positive(),
		document.Span("rated", &c.Rated).Positive(),
	}
}

// ScreenFeed is the feed shared by the screens of stages without their own.
type ScreenFeed struct {
	Block
	Supply    Text // name of a supply
	Resistor  Measure[quantity.Ohms]
	ToChassis Measure[quantity.Ohms] // state None: there is none
	Capacitor Capacitor              // state None: there is none
}

// Fields binds the keys of a gain group's screens.
func (s *ScreenFeed) Fields() []document.Field {
	return []document.Field{
		document.Name("supply", &s.Supply),
		document.Span("resistor", &s.Resistor),
		document.Span("to_chassis", &s.ToChassis).Or(document.None).Positive(),
		document.Block("capacitor", &s.Capacitor).Or(document.None),
	}
}

// Stage is one stage of a gain group.
type Stage struct {
	Block
	Tube            document.Reference[catalog.Tube]
	Role            Text
	CathodeResistor Measure[quantity.Ohms]
	Bypass          Measure[quantity.Farads] // cathode to chassis; state None: there is none
	ScreenResistor  Measure[quantity.Ohms]
	Meter           Flag // a tuning meter stands in its cathode or plate lead
}

// Fields binds the keys of a stage.
func (s *Stage) Fields() []document.Field {
	return []document.Field{
		document.NameOrBlock("tube", &s.Tube),
		document.Text("role", &s.Role),
		document.Span("cathode_resistor", &s.CathodeResistor),
		document.Span("bypass", &s.Bypass).Or(document.None).Positive(),
		document.Span("screen_resistor", &s.ScreenResistor),
		document.Flag("meter", &s.Meter),
	}
}

// Legs says which legs of the antenna input are guarded.
type Legs string

// The legs.
const (
	OneLeg     Legs = "one"
	AcrossLegs Legs = "across" // balanced, shorted leg to leg
	EachLeg    Legs = "each"   // both legs to chassis
)

// Guard is how the antenna input is guarded.
type Guard string

// The guards.
const (
	Short        Guard = "short"
	Changeover   Guard = "changeover" // input moved from antenna to chassis
	OpenAndShort Guard = "open and short"
)

// AntennaInput is an antenna input and its guard.
type AntennaInput struct {
	Impedance Measure[quantity.Ohms]
	Legs      Word[Legs]
	Guard     Word[Guard]
	Lowest    Measure[quantity.Hertz]
	Highest   Measure[quantity.Hertz]
	Lead      Measure[quantity.Metres] // whole conductor: terminal, contact, chassis
	Wire      Measure[quantity.Metres] // diameter
	Withstand Measure[quantity.Watts]  // what the input may take
}

func (a *AntennaInput) fields() []document.Field {
	return []document.Field{
		document.Span("impedance", &a.Impedance).Positive(),
		document.Choice("legs", &a.Legs, OneLeg, AcrossLegs, EachLeg),
		document.Choice("guard", &a.Guard, Short, Changeover, OpenAndShort),
		document.Span("lowest", &a.Lowest).Positive(),
		document.Span("highest", &a.Highest).Positive(),
		document.Span("lead", &a.Lead),
		document.Span("wire", &a.Wire).Positive(),
		document.Span("withstand", &a.Withstand).Positive(),
	}
}

// Audio is a point of the audio path that a dry contact shorts to chassis.
type Audio struct {
	Source Measure[quantity.Ohms]
	Load   Measure[quantity.Ohms]
}

func (a *Audio) fields() []document.Field {
	return []document.Field{
		document.Span("source", &a.Source),
		document.Span("load", &a.Load).Positive(),
	}
}

// Contact is a point of which only measurements are known.
type Contact struct {
	Open        Measure[quantity.Volts] // across the open contact
	Closed      Measure[quantity.Amps]  // through the closed one
	Capacitance Measure[quantity.Farads]
}

func (c *Contact) fields() []document.Field {
	return []document.Field{
		document.Span("open", &c.Open),
		document.Span("closed", &c.Closed),
		document.Span("capacitance", &c.Capacitance),
	}
}
