package catalog

import (
	"mutewright/design/document"
	"mutewright/design/quantity"
)

// A Tube is what is known of a type: an entry of the catalogue, or one written
// out in a plan, which has Name, HeaterCathode, Points and Remote only.
type Tube struct {
	document.Source
	Name          document.Value[string]
	HeaterCathode document.Measure[quantity.Volts] // peak, either polarity
	Points        document.List[TubePoint]
	Remote        document.List[TubeRemote]

	SameAs          document.Value[string]
	Also            document.List[document.Value[string]] // the type's other names
	Use             document.Value[TubeUse]
	What            document.Value[string]
	Note            document.Value[string]
	Heater          Heater
	HeaterCathodeDC document.Measure[quantity.Volts] // DC with the heater positive
	Ratings         document.List[TubeRating]
	Base            Base
	Mu              document.List[Mu]
	Cutoff          document.List[Cutoff]
	Conversion      document.List[Conversion] // of a converter, in place of Points
	Oscillator      Oscillator                // of a converter
	Sources         Sources
}

// TubeUse is what a type is made for.
type TubeUse string

// The uses.
const (
	Output       TubeUse = "output"
	RemoteCutoff TubeUse = "remote"
	SharpCutoff  TubeUse = "sharp"
	Converter    TubeUse = "converter"
	SeriesString TubeUse = "series-string" // an output tube of sets with series heaters: no isolation
)

// TubePoint is a published or measured operating point; grid to cathode.
type TubePoint struct {
	document.Source
	Plate, Screen, Grid         document.Measure[quantity.Volts]
	PlateCurrent, ScreenCurrent document.Measure[quantity.Amps]
	Gm                          document.Measure[quantity.Siemens] // of the plate
	PlateResistance             document.Measure[quantity.Ohms]
	CathodeResistor             document.Measure[quantity.Ohms]
	Note                        document.Value[string]
	Aside                       document.Value[string] // why the law is not fitted to it
	Cited
}

// Fields binds the keys of a point.
func (p *TubePoint) Fields() []document.Field {
	return []document.Field{
		document.Span("plate", &p.Plate).Positive(),
		document.Span("screen", &p.Screen).Positive().Required(),
		document.Span("grid", &p.Grid).To(0).Required(),
		document.Span("plate_current", &p.PlateCurrent).Positive().Required(),
		document.Span("screen_current", &p.ScreenCurrent).From(0),
		document.Span("gm", &p.Gm).Positive().Required(),
		document.Span("plate_resistance", &p.PlateResistance).Positive(),
		document.Span("cathode_resistor", &p.CathodeResistor).Positive(),
		document.Text("note", &p.Note),
		document.Text("aside", &p.Aside),
		p.Cited.field(),
	}
}

// Electrode says whose transconductance a figure is.
type Electrode string

// The electrodes.
const (
	OfPlate   Electrode = "plate"
	OfCathode Electrode = "cathode"
)

// TubeRemote is the grid voltage at which the transconductance of a remote
// cut-off tube has fallen to Gm.
type TubeRemote struct {
	document.Source
	Plate, Screen, Grid document.Measure[quantity.Volts]
	Gm                  document.Measure[quantity.Siemens]
	Of                  document.Value[Electrode] // the plate where left out
	Aside               document.Value[string]    // why the law is not fitted to it
	Cited
}

// Fields binds the keys of a remote row.
func (r *TubeRemote) Fields() []document.Field {
	return []document.Field{
		document.Span("plate", &r.Plate).Positive(),
		document.Span("screen", &r.Screen).Positive().Required(),
		document.Span("grid", &r.Grid).To(0).Required(),
		document.Span("gm", &r.Gm).Positive().Required(),
		document.Choice("of", &r.Of, OfPlate, OfCathode),
		document.Text("aside", &r.Aside),
		r.Cited.field(),
	}
}

// Heater is the heater, set warm.
type Heater struct {
	document.Source
	Voltage document.Measure[quantity.Volts]
	Current document.Measure[quantity.Amps]
}

// Fields binds the keys of a heater.
func (h *Heater) Fields() []document.Field {
	return []document.Field{
		document.Span("voltage", &h.Voltage).Positive().Required(),
		document.Span("current", &h.Current).Positive().Required(),
	}
}

// TubeRating is a set of limits of one rating system.
type TubeRating struct {
	document.Source
	Plate, Screen           document.Measure[quantity.Volts]
	PlatePower, ScreenPower document.Measure[quantity.Watts]
	CathodeCurrent          document.Measure[quantity.Amps]
	System                  document.Value[string]
	Cited
}

// Fields binds the keys of a rating.
func (r *TubeRating) Fields() []document.Field {
	return []document.Field{
		document.Span("plate", &r.Plate).Positive(),
		document.Span("screen", &r.Screen).Positive(),
		document.Span("plate_power", &r.PlatePower).Positive(),
		document.Span("screen_power", &r.ScreenPower).Positive(),
		document.Span("cathode_current", &r.CathodeCurrent).Positive(),
		document.Text("system", &r.System),
		r.Cited.field(),
	}
}

// Base names the pins, seen from below; several pins of one electrode are
// parted by commas.
type Base struct {
	document.Source
	Code, Style                                 document.Value[string]
	Cathode, Heater, Grid, Plate, Screen, Other document.Value[string]
}

// Fields binds the keys of a base.
func (b *Base) Fields() []document.Field {
	return []document.Field{
		document.Text("code", &b.Code),
		document.Text("style", &b.Style),
		document.Text("cathode", &b.Cathode),
		document.Text("heater", &b.Heater),
		document.Text("grid", &b.Grid),
		document.Text("plate", &b.Plate),
		document.Text("screen", &b.Screen),
		document.Text("other", &b.Other),
	}
}

// TubeKind says in which connection a figure holds.
type TubeKind string

// The connections.
const (
	TriodeConnection TubeKind = "triode connection"
	GridToScreen     TubeKind = "grid to screen" // µ of the screen at constant plate voltage
	PentodeCutoff    TubeKind = "pentode"
)

// Mu is a published amplification factor.
type Mu struct {
	document.Source
	Kind  document.Value[TubeKind]
	Value document.Measure[quantity.Ratio]
	Cited
}

// Fields binds the keys of a µ.
func (m *Mu) Fields() []document.Field {
	return []document.Field{
		document.Choice("kind", &m.Kind, TriodeConnection, GridToScreen).Required(),
		document.Span("value", &m.Value).Positive().Required(),
		m.Cited.field(),
	}
}

// Cutoff is the grid voltage at which little plate current is left.
type Cutoff struct {
	document.Source
	Plate, Screen, Grid document.Measure[quantity.Volts]
	PlateCurrent        document.Measure[quantity.Amps]
	Kind                document.Value[TubeKind]
	Cited
}

// Fields binds the keys of a cut-off point.
func (c *Cutoff) Fields() []document.Field {
	return []document.Field{
		document.Span("grid", &c.Grid).To(0).Required(),
		document.Span("plate", &c.Plate).Positive().Required(),
		document.Span("screen", &c.Screen).Positive().Required(),
		document.Span("plate_current", &c.PlateCurrent).Positive().Required(),
		document.Choice("kind", &c.Kind, TriodeConnection, PentodeCutoff).Required(),
		c.Cited.field(),
	}
}

// Conversion is a row of a converter's sheet: a full one, or the signal-grid
// voltage at which the conversion transconductance has fallen to Gm.
type Conversion struct {
	document.Source
	Plate, Screens, SignalGrid                                      document.Measure[quantity.Volts]
	OscillatorLeak, PlateResistance                                 document.Measure[quantity.Ohms]
	PlateCurrent, ScreensCurrent, OscillatorCurrent, CathodeCurrent document.Measure[quantity.Amps]
	Gm                                                              document.Measure[quantity.Siemens]
	Cited
}

// Fields binds the keys of a conversion row.
func (c *Conversion) Fields() []document.Field {
	return []document.Field{
		document.Span("plate", &c.Plate).Positive(),
		document.Span("screens", &c.Screens).Positive(),
		document.Span("signal_grid", &c.SignalGrid).To(0).Required(),
		document.Span("oscillator_leak", &c.OscillatorLeak).Positive(),
		document.Span("plate_current", &c.PlateCurrent).Positive(),
		document.Span("screens_current", &c.ScreensCurrent).Positive(),
		document.Span("oscillator_current", &c.OscillatorCurrent).Positive(),
		document.Span("cathode_current", &c.CathodeCurrent).Positive(),
		document.Span("gm", &c.Gm).Positive().Required(),
		document.Span("plate_resistance", &c.PlateResistance).Positive(),
		c.Cited.field(),
	}
}

// Oscillator is the oscillator part of a converter, not oscillating.
type Oscillator struct {
	document.Source
	Voltage, Grid  document.Measure[quantity.Volts]
	CathodeCurrent document.Measure[quantity.Amps]
	Gm             document.Measure[quantity.Siemens]
	Mu             document.Measure[quantity.Ratio]
	Note           document.Value[string]
	Cited
}

// Fields binds the keys of an oscillator part.
func (o *Oscillator) Fields() []document.Field {
	return []document.Field{
		document.Span("voltage", &o.Voltage).Positive(),
		document.Span("grid", &o.Grid).To(0),
		document.Span("cathode_current", &o.CathodeCurrent).Positive(),
		document.Span("gm", &o.Gm).Positive(),
		document.Span("mu", &o.Mu).Positive(),
		document.Text("note", &o.Note),
		o.Cited.field(),
	}
}

// Fitted returns the points and the remote rows to which the law is fitted: those
// that do not stand aside. Where all points would, all count.
func (t *Tube) Fitted() (points []TubePoint, remote []TubeRemote) {
	for _, p := range t.Points.Items {
		if !p.Aside.Given() {
			points = append(points, p)
		}
	}
	if len(points) == 0 {
		points = t.Points.Items
	}
	for _, r := range t.Remote.Items {
		if !r.Aside.Given() {
			remote = append(remote, r)
		}
	}
	return points, remote
}

// Fields binds the keys of a tube written out in a plan.
func (t *Tube) Fields() []document.Field {
	return []document.Field{
		document.Text("name", &t.Name),
		document.Span("heater_cathode", &t.HeaterCathode).Positive(),
		document.ListOf("points", &t.Points, document.Block[TubePoint]).AtMost(mostRows),
		document.ListOf("remote", &t.Remote, document.Block[TubeRemote]).AtMost(mostRows),
	}
}

// mostRows bounds the rows of one tube; no manual gives more than half of it.
const mostRows = 32

// tubeEntry is a tube as the catalogue writes it.
type tubeEntry struct{ Tube }

// Fields binds the keys of an entry: those of a tube without its name, and
// what only a catalogue says.
func (t *tubeEntry) Fields() []document.Field {
	return append([]document.Field{
		document.Text("same_as", &t.SameAs),
		document.ListOf("also", &t.Also, document.Text).AtMost(mostRows),
		document.Choice("use", &t.Use, Output, RemoteCutoff, SharpCutoff, Converter, SeriesString),
		document.Text("what", &t.What),
		document.Text("note", &t.Note),
		document.Block("heater", &t.Heater),
		document.Span("heater_cathode_dc", &t.HeaterCathodeDC).Positive(),
		document.ListOf("ratings", &t.Ratings, document.Block[TubeRating]).AtMost(mostRows),
		document.Block("base", &t.Base),
		document.ListOf("mu", &t.Mu, document.Block[Mu]).AtMost(mostRows),
		document.ListOf("cutoff", &t.Cutoff, document.Block[Cutoff]).AtMost(mostRows),
		document.ListOf("conversion", &t.Conversion, document.Block[Conversion]).AtMost(mostRows),
		document.Block("oscillator", &t.Oscillator),
		t.Sources.field(),
	}, t.Tube.Fields()[1:]...)
}

// inherit takes from the base of same_as what the entry leaves out. Names are
// its own, and so is a note.
func (t *Tube) inherit(base *Tube) {
	if !t.HeaterCathode.Given() { // the DC limit belongs to the peak one
		t.HeaterCathode = base.HeaterCathode
		inherit(&t.HeaterCathodeDC, base.HeaterCathodeDC)
	}
	inherit(&t.Points, base.Points)
	inherit(&t.Remote, base.Remote)
	inherit(&t.Use, base.Use)
	inherit(&t.What, base.What)
	inherit(&t.Heater, base.Heater)
	inherit(&t.Ratings, base.Ratings)
	inherit(&t.Base, base.Base)
	inherit(&t.Mu, base.Mu)
	inherit(&t.Cutoff, base.Cutoff)
	inherit(&t.Conversion, base.Conversion)
	inherit(&t.Oscillator, base.Oscillator)
	t.Sources.inherit(base.Sources)
}

// inherit fills a slot that was left out.
func inherit[T interface{ Given() bool }](slot *T, base T) {
	if !(*slot).Given() {
		*slot = base
	}
}
