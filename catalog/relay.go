package catalog

import (
	"fmt"

	"mutewright/design/document"
	"mutewright/design/quantity"
)

// A Relay is what is known of a relay: an entry of the catalogue, or one
// written out in a plan, which has Coil, Contacts, Insulation and Times only.
type Relay struct {
	Entry
	Coil       Coil
	Contacts   Contacts
	Insulation Insulation
	Times      Times

	SameAs   document.Value[string]
	What     document.Value[string]
	Class    document.Value[RelayClass]
	Latching document.Value[bool] // keeps its place without current: never chosen
	Sources  Sources
}

// RelayClass is the family that decides what is assumed of a coil where its
// sheet says nothing: inductance, heat, limit.
type RelayClass string

// The families.
const (
	SignalClass RelayClass = "signal"
	ReedClass   RelayClass = "reed"
	PowerClass  RelayClass = "power"
	PlugInClass RelayClass = "plug-in"
)

// Coil is the coil, figures at 20 °C unless they say otherwise.
type Coil struct {
	document.Source
	Voltage         document.Measure[quantity.Volts]
	Resistance      document.Measure[quantity.Ohms]
	Operate         document.Measure[quantity.Percent] // of Voltage, at which every coil within tolerance pulls in
	Release         document.Measure[quantity.Percent] // from all must have let go to some already have; a true range
	TemperatureRise document.Measure[quantity.KelvinPerWatt]
	Limit           document.Measure[quantity.Celsius]
	Most            Most
	Inductance      Inductance
}

// Fields binds the keys of a coil.
func (c *Coil) Fields() []document.Field {
	return []document.Field{
		document.Span("voltage", &c.Voltage).Positive(),
		document.Span("resistance", &c.Resistance).Positive(),
		document.Span("operate", &c.Operate).Positive().To(1),
		document.Span("release", &c.Release).Positive().To(1),
		document.Span("temperature_rise", &c.TemperatureRise).Positive(),
		document.Span("limit", &c.Limit).From(23),
		document.Block("most", &c.Most),
		document.Block("inductance", &c.Inductance),
	}
}

// Most is the highest permitted coil voltage at two temperatures of the air,
// as a share of the coil's voltage.
type Most struct {
	document.Source
	At23, At70 document.Measure[quantity.Percent]
}

// Fields binds the keys of the permitted coil voltage.
func (m *Most) Fields() []document.Field {
	return []document.Field{
		document.Span("at_23", &m.At23).From(1),
		document.Span("at_70", &m.At70).From(0.5),
	}
}

// Inductance is that of the coil with the armature off and on.
type Inductance struct {
	document.Source
	Open, Closed document.Measure[quantity.Henries]
}

// Fields binds the keys of an inductance.
func (i *Inductance) Fields() []document.Field {
	return []document.Field{
		document.Span("open", &i.Open).Positive(),
		document.Span("closed", &i.Closed).Positive(),
	}
}

// Form is what a pole can do, by the letters of the trade.
type Form string

// The forms: make, break, changeover.
const (
	FormA Form = "A"
	FormB Form = "B"
	FormC Form = "C"
)

// VoltsAmps is a voltage and the current that goes with it.
type VoltsAmps = document.Two[quantity.Volts, quantity.Amps]

// Contacts are the contacts, all poles alike.
type Contacts struct {
	document.Source
	Form        document.Value[Form]
	Poles       document.Value[int]
	Rated       Rated
	DCLimits    document.List[document.Value[VoltsAmps]] // resistive, rising voltage
	Least       document.Value[VoltsAmps]                // least load; 0 A where the sheet gives volts only
	Make        document.Measure[quantity.Amps]          // peak at closing
	Resistance  document.Measure[quantity.Ohms]
	Capacitance document.Measure[quantity.Farads]
	Inductance  document.Measure[quantity.Henries]
}

// Fields binds the keys of contacts.
func (c *Contacts) Fields() []document.Field {
	return []document.Field{
		document.Choice("form", &c.Form, FormA, FormB, FormC),
		document.Count("poles", &c.Poles).From(1).To(12),
		document.Block("rated", &c.Rated),
		document.ListOf("dc_limits", &c.DCLimits, document.Pair[quantity.Volts, quantity.Amps]).AtMost(mostRows),
		document.Pair("least", &c.Least),
		document.Span("make", &c.Make).Positive(),
		document.Span("resistance", &c.Resistance).Positive(),
		document.Span("capacitance", &c.Capacitance).From(0),
		document.Span("inductance", &c.Inductance).From(0),
	}
}

// Rated is the most that a contact may break.
type Rated struct {
	document.Source
	Voltage document.Measure[quantity.Volts]
	Current document.Measure[quantity.Amps]
	Power   document.Measure[quantity.Watts]
}

// Fields binds the keys of a contact rating.
func (r *Rated) Fields() []document.Field {
	return []document.Field{
		document.Span("voltage", &r.Voltage).Positive(),
		document.Span("current", &r.Current).Positive(),
		document.Span("power", &r.Power).Positive(),
	}
}

// Insulation is what the relay stands for one minute, V rms.
type Insulation struct {
	document.Source
	OpenContact, CoilToContact, BetweenPoles document.Measure[quantity.Volts]
}

// Fields binds the keys of the insulation.
func (i *Insulation) Fields() []document.Field {
	return []document.Field{
		document.Span("open_contact", &i.OpenContact).Positive(),
		document.Span("coil_to_contact", &i.CoilToContact).Positive(),
		document.Span("between_poles", &i.BetweenPoles).Positive(),
	}
}

// Times are the longest of the data sheet, at rated voltage without a clamp.
type Times struct {
	document.Source
	Operate, Release, Bounce document.Measure[quantity.Seconds]
}

// Fields binds the keys of the times.
func (t *Times) Fields() []document.Field {
	return []document.Field{
		document.Span("operate", &t.Operate).Positive(),
		document.Span("release", &t.Release).Positive(),
		document.Span("bounce", &t.Bounce).From(0),
	}
}

// Fields binds the keys of a relay written out in a plan.
func (r *Relay) Fields() []document.Field {
	return []document.Field{
		document.Block("coil", &r.Coil),
		document.Block("contacts", &r.Contacts),
		document.Block("insulation", &r.Insulation),
		document.Block("times", &r.Times),
	}
}

// Check reports what the single values of a relay that was read do not show:
// limits out of order, an armature that closing does not help. A plan that
// holds a relay written out calls it after reading.
func (r *Relay) Check(d *document.Document) {
	limits := r.Contacts.DCLimits.Items
	for i, point := range limits {
		switch {
		case !point.Given():
		case point.Is.First <= 0 || point.Is.Second <= 0:
			d.Report(point.Source, "a limit of nothing", "wanted a voltage and a current, such as 30 V 2 A")
		case i > 0 && limits[i-1].Given() && point.Is.First <= limits[i-1].Is.First:
			d.Report(point.Source, fmt.Sprintf("%v does not follow %v", point.Is.First, limits[i-1].Is.First),
				"list the limits by rising voltage")
		}
	}
	if in := r.Coil.Inductance; in.Open.Given() && in.Closed.Given() && in.Closed.Is.Nominal < in.Open.Is.Nominal {
		d.Report(in.Closed.Source, "less than with the armature open", "closing the gap raises the inductance: are they exchanged?")
	}
}

// relayEntry is a relay as the catalogue writes it.
type relayEntry struct{ Relay }

// Fields binds the keys of an entry.
func (r *relayEntry) Fields() []document.Field {
	return append([]document.Field{
		document.Text("same_as", &r.SameAs),
		document.Text("what", &r.What),
		document.Choice("class", &r.Class, SignalClass, ReedClass, PowerClass, PlugInClass),
		document.Flag("latching", &r.Latching),
		r.Sources.field(),
	}, r.Relay.Fields()...)
}

// inherit takes from the base of same_as what the entry leaves out, figure by
// figure; only contact limits go together, because half of two sheets is
// neither.
func (r *Relay) inherit(base *Relay) {
	inherit(&r.What, base.What)
	inherit(&r.Class, base.Class)
	inherit(&r.Latching, base.Latching)

	inherit(&r.Coil.Voltage, base.Coil.Voltage)
	inherit(&r.Coil.Resistance, base.Coil.Resistance)
	inherit(&r.Coil.Operate, base.Coil.Operate)
	inherit(&r.Coil.Release, base.Coil.Release)
	inherit(&r.Coil.TemperatureRise, base.Coil.TemperatureRise)
	inherit(&r.Coil.Limit, base.Coil.Limit)
	inherit(&r.Coil.Most, base.Coil.Most)
	if r.Coil.Voltage.Is == base.Coil.Voltage.Is { // another coil has another inductance
		inherit(&r.Coil.Inductance, base.Coil.Inductance)
	}

	if !r.Contacts.Rated.Given() && !r.Contacts.DCLimits.Given() {
		r.Contacts.Rated, r.Contacts.DCLimits = base.Contacts.Rated, base.Contacts.DCLimits
	}
	inherit(&r.Contacts.Form, base.Contacts.Form)
	inherit(&r.Contacts.Poles, base.Contacts.Poles)
	inherit(&r.Contacts.Least, base.Contacts.Least)
	inherit(&r.Contacts.Make, base.Contacts.Make)
	inherit(&r.Contacts.Resistance, base.Contacts.Resistance)
	inherit(&r.Contacts.Capacitance, base.Contacts.Capacitance)
	inherit(&r.Contacts.Inductance, base.Contacts.Inductance)

	inherit(&r.Insulation.OpenContact, base.Insulation.OpenContact)
	inherit(&r.Insulation.CoilToContact, base.Insulation.CoilToContact)
	inherit(&r.Insulation.BetweenPoles, base.Insulation.BetweenPoles)

	inherit(&r.Times.Operate, base.Times.Operate)
	inherit(&r.Times.Release, base.Times.Release)
	inherit(&r.Times.Bounce, base.Times.Bounce)

	for _, block := range []struct{ own, base *document.Source }{
		{&r.Coil.Source, &base.Coil.Source},
		{&r.Contacts.Source, &base.Contacts.Source},
		{&r.Insulation.Source, &base.Insulation.Source},
		{&r.Times.Source, &base.Times.Source},
	} {
		inherit(block.own, *block.base)
	}
	r.Sources.inherit(base.Sources)
}
