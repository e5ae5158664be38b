package plan

import (
	"slices"

	"mutewright/design/document"
	"mutewright/design/quantity"
)

// Receiver is the set that is muted.
type Receiver struct {
	Block
	Name     Text
	Ambient  Measure[quantity.Celsius] // air inside the cabinet; a range is cold .. warm, not doubt
	Chassis  Text                      // where added grounds go
	Mains    Mains
	Supplies document.Map[Supply]
	Standby  document.List[Standby] // state None: the set has none
}

// Fields binds the keys of receiver.
func (r *Receiver) Fields() []document.Field {
	return []document.Field{
		document.Text("name", &r.Name).Required(),
		document.Span("ambient", &r.Ambient),
		document.Text("chassis", &r.Chassis),
		document.Block("mains", &r.Mains).Required(),
		document.MapOf("supplies", &r.Supplies, document.Block[Supply]).AtMost(16),
		document.ListOf("standby", &r.Standby, document.Block[Standby]).Or(document.None).AtMost(16),
	}
}

// Isolation says what stands between the mains and the chassis.
type Isolation string

// The isolations. None: series heaters, chassis tied to a mains conductor.
const (
	Transformer Isolation = "transformer"
	NoIsolation Isolation = "none"
)

// Cord is the kind of mains cord.
type Cord string

// The cords.
const (
	TwoWire   Cord = "two-wire"
	ThreeWire Cord = "three-wire"
)

// Conductor is a mains conductor, or for a switch both.
type Conductor string

// The conductors.
const (
	Line    Conductor = "line"
	Neutral Conductor = "neutral"
	Both    Conductor = "both"
)

// Side is the side of the mains switch on which the line capacitors stand.
type Side string

// The sides of the switch, seen from the plug.
const (
	Before Side = "before"
	After  Side = "after"
)

// Class is the class of a capacitor from mains to chassis, IEC 60384-14.
type Class string

// The classes.
const (
	NoClass Class = "none"
	Y1      Class = "Y1"
	Y2      Class = "Y2"
	Y4      Class = "Y4"
)

// Mains is how the set meets the mains.
type Mains struct {
	Block
	Voltage        Measure[quantity.Volts] // rms
	Tolerance      Measure[quantity.Percent]
	Frequency      Measure[quantity.Hertz]
	Power          Measure[quantity.Watts]
	Isolation      Word[Isolation]
	Cord           Word[Cord]
	Fuse           MainsFuse // state None: there is none
	Switch         Switch
	LineCapacitors document.List[LineCapacitor] // state None: there are none
	Stray          Measure[quantity.Farads]     // windings to chassis, taken at line
}

// Fields binds the keys of receiver.mains.
func (m *Mains) Fields() []document.Field {
	return []document.Field{
		document.Span("voltage", &m.Voltage).Required().Positive(),
		document.Span("tolerance", &m.Tolerance).To(0.5),
		document.Span("frequency", &m.Frequency).Required().Positive(),
		document.Span("power", &m.Power).Positive(),
		document.Choice("isolation", &m.Isolation, Transformer, NoIsolation).Required(),
		document.Choice("cord", &m.Cord, TwoWire, ThreeWire).Required(),
		document.Block("fuse", &m.Fuse).Or(document.None),
		document.Block("switch", &m.Switch),
		document.ListOf("line_capacitors", &m.LineCapacitors, document.Block[LineCapacitor]).Or(document.None).AtMost(16),
		document.Span("stray", &m.Stray),
	}
}

// MainsFuse is the fuse in the mains lead of the set.
type MainsFuse struct {
	Block
	Value Measure[quantity.Amps]
	In    Word[Conductor]
}

// Fields binds the keys of receiver.mains.fuse.
func (f *MainsFuse) Fields() []document.Field {
	return []document.Field{
		document.Span("value", &f.Value).Positive(),
		document.Choice("in", &f.In, Line, Neutral),
	}
}

// Switch is the mains switch of the set.
type Switch struct {
	Block
	In         Word[Conductor]
	Capacitors Word[Side]
}

// Fields binds the keys of receiver.mains.switch.
func (s *Switch) Fields() []document.Field {
	return []document.Field{
		document.Choice("in", &s.In, Line, Neutral, Both),
		document.Choice("capacitors", &s.Capacitors, Before, After),
	}
}

// LineCapacitor joins a mains conductor to chassis.
type LineCapacitor struct {
	Block
	Value Measure[quantity.Farads]
	From  Word[Conductor]
	Class Word[Class]
}

// Fields binds the keys of receiver.mains.line_capacitors.
func (c *LineCapacitor) Fields() []document.Field {
	return []document.Field{
		document.Span("value", &c.Value).Positive(),
		document.Choice("from", &c.From, Line, Neutral),
		document.Choice("class", &c.Class, NoClass, Y1, Y2, Y4),
	}
}

// SupplyKind is the kind of a supply.
type SupplyKind string

// The kinds of supply.
const (
	Winding SupplyKind = "ac winding"
	Rail    SupplyKind = "dc rail"
)

// Grounding says what of a winding is on chassis.
type Grounding string

// The groundings.
const (
	OneSide   Grounding = "one side"
	CentreTap Grounding = "centre tap"
	HumPot    Grounding = "hum pot"
	Floating  Grounding = "floating"
)

// Supply is a winding or a rail of the set. Where its kind was left out, the
// slots of both kinds may be given.
type Supply struct {
	Block
	Kind       Word[SupplyKind]
	Voltage    Measure[quantity.Volts] // of a winding: rms, set warm, end to end; of a rail: on receive
	Resistance Measure[quantity.Ohms]  // what the added load sees; how a rail rises as stages are cut off
	At         Places

	// Of a winding.
	Crest    Measure[quantity.Ratio] // peak over rms
	Rated    Measure[quantity.Amps]
	Drawn    Measure[quantity.Amps] // by heaters and lamps
	Grounded Word[Grounding]
	Bias     Measure[quantity.Volts] // DC of the whole winding above chassis

	// Of a rail.
	Unloaded        Measure[quantity.Volts] // tubes cold or cut off altogether
	Capacitance     Measure[quantity.Farads]
	CapacitorRating Measure[quantity.Volts] // key rated
	Regulated       Flag
	Bleeder         Measure[quantity.Ohms] // state None: there is none
}

// Fields binds the keys of a supply.
func (s *Supply) Fields() []document.Field {
	return slices.Concat(
		[]document.Field{
			document.Choice("kind", &s.Kind, Winding, Rail),
			document.Span("resistance", &s.Resistance),
			document.Block("at", &s.At),
		},
		document.When(&s.Kind, Winding,
			document.Span("voltage", &s.Voltage).Positive(),
			document.Span("crest", &s.Crest).From(1),
			document.Span("rated", &s.Rated).Positive(),
			document.Span("drawn", &s.Drawn).From(0),
			document.Choice("grounded", &s.Grounded, OneSide, CentreTap, HumPot, Floating),
			document.Span("bias", &s.Bias),
		),
		document.When(&s.Kind, Rail,
			document.Span("voltage", &s.Voltage).NonZero(), // below zero is mended and told
			document.Span("unloaded", &s.Unloaded).NonZero(),
			document.Span("capacitance", &s.Capacitance),
			document.Span("rated", &s.CapacitorRating).Positive(),
			document.Flag("regulated", &s.Regulated),
			document.Span("bleeder", &s.Bleeder).Or(document.None).Positive(),
		),
	)
}

// Places are where a supply is reached, in words.
type Places struct {
	Block
	Live   Text
	Return Text
	Tap    Text
	Other  Text // the other end of a winding with a tap
}

// Fields binds the keys of a supply's at.
func (p *Places) Fields() []document.Field {
	return []document.Field{
		document.Text("live", &p.Live),
		document.Text("return", &p.Return),
		document.Text("tap", &p.Tap),
		document.Text("other", &p.Other),
	}
}

// Opens is what the set's own standby control interrupts.
type Opens string

// What a standby control may open.
const (
	OpensCathodeReturn Opens = "cathode return"
	OpensBPlus         Opens = "b plus"
	OpensCentreTap     Opens = "ht centre tap"
	OpensScreens       Opens = "screens"
	OpensOscillator    Opens = "oscillator"
)

// Left is what becomes of the set's own standby control.
type Left string

// What may become of it.
const (
	LeftInUse    Left = "in use"
	LeftStrapped Left = "strapped"
	LeftOpen     Left = "open"
	LeftRemoved  Left = "removed"
)

// Standby is a standby switch, or terminals, that the set already has.
type Standby struct {
	Block
	Name      Text
	Opens     Word[Opens]
	Return    Text                    // name of the return that it opens too
	Voltage   Measure[quantity.Volts] // on its open terminals
	Reachable Flag
	Left      Word[Left]
}

// Fields binds the keys of receiver.standby.
func (s *Standby) Fields() []document.Field {
	return []document.Field{
		document.Text("name", &s.Name),
		document.Choice("opens", &s.Opens, OpensCathodeReturn, OpensBPlus, OpensCentreTap, OpensScreens, OpensOscillator),
		document.Name("return", &s.Return),
		document.Span("voltage", &s.Voltage),
		document.Flag("reachable", &s.Reachable),
		document.Choice("left", &s.Left, LeftInUse, LeftStrapped, LeftOpen, LeftRemoved),
	}
}
