package cli

import (
	"fmt"
	"strconv"

	"mutewright/catalog"
	"mutewright/design/quantity"
	"mutewright/render/report"
)

// A lister collects the figures of one entry.
type lister struct {
	entry  report.Entry
	origin func(figure string) catalog.Origin
}

// figure adds a figure with its origin.
func (l *lister) figure(name, value string) {
	from := l.origin(name)
	l.entry.Figures = append(l.entry.Figures, report.Figure{
		Name: name, Value: value, Mark: string(from.Mark), Source: from.Source,
	})
}

// word adds a figure that is a word or a count.
func (l *lister) word(name string, given bool, value any) {
	if given {
		l.figure(name, fmt.Sprint(value))
	}
}

// sort adds a word by which the catalogue sorts its entries: it has no source.
func (l *lister) sort(name string, given bool, value any) {
	if given {
		l.entry.Figures = append(l.entry.Figures, report.Figure{Name: name, Value: fmt.Sprint(value)})
	}
}

// span adds a figure, in the notation of plans, with what is not known about it.
func span[Q quantity.Quantity](l *lister, name string, given bool, s quantity.Span[Q]) {
	if !given {
		return
	}
	u := s.Nominal.Unit()
	text := quantity.Plain(float64(s.Nominal), u)
	switch s.Kind {
	case quantity.PlusMinus:
		text += " ± " + quantity.Plain(s.Tolerance, quantity.Percentage)
	case quantity.Range:
		text = quantity.Plain(float64(s.Low), u) + " .. " + quantity.Plain(float64(s.High), u)
	}
	l.figure(name, text)
}

// pair adds a voltage and the current that goes with it.
func (l *lister) pair(name string, given bool, p catalog.VoltsAmps) {
	if given {
		l.figure(name, quantity.Plain(float64(p.First), quantity.Voltage)+" "+quantity.Plain(float64(p.Second), quantity.Current))
	}
}

// rows names the figures of one row of a list and lends them the row's source.
func (l *lister) rows(list string, i int, from catalog.Cited, add func(l *lister, row string)) {
	whole := l.origin
	if from.From.Given() {
		l.origin = func(string) catalog.Origin { return from.Origin() }
	}
	add(l, list+"."+strconv.Itoa(i+1)+".")
	l.origin = whole
}

func tubeEntry(t *catalog.Tube) report.Entry {
	l := &lister{entry: report.Entry{Kind: "tube", Name: t.Name.Is, What: t.What.Is}, origin: t.Sources.Origin}
	for _, also := range t.Also.Items {
		l.entry.Also = append(l.entry.Also, also.Is)
	}
	l.sort("use", t.Use.Given(), t.Use.Is)
	span(l, "heater.voltage", t.Heater.Voltage.Given(), t.Heater.Voltage.Is)
	span(l, "heater.current", t.Heater.Current.Given(), t.Heater.Current.Is)
	span(l, "heater_cathode", t.HeaterCathode.Given(), t.HeaterCathode.Is)
	span(l, "heater_cathode_dc", t.HeaterCathodeDC.Given(), t.HeaterCathodeDC.Is)
	for i, p := range t.Points.Items {
		l.rows("points", i, p.Cited, func(l *lister, row string) {
			span(l, row+"plate", p.Plate.Given(), p.Plate.Is)
			span(l, row+"screen", p.Screen.Given(), p.Screen.Is)
			span(l, row+"grid", p.Grid.Given(), p.Grid.Is)
			span(l, row+"plate_current", p.PlateCurrent.Given(), p.PlateCurrent.Is)
			span(l, row+"screen_current", p.ScreenCurrent.Given(), p.ScreenCurrent.Is)
			span(l, row+"gm", p.Gm.Given(), p.Gm.Is)
			span(l, row+"plate_resistance", p.PlateResistance.Given(), p.PlateResistance.Is)
		})
	}
	for i, r := range t.Remote.Items {
		l.rows("remote", i, r.Cited, func(l *lister, row string) {
			span(l, row+"screen", r.Screen.Given(), r.Screen.Is)
			span(l, row+"grid", r.Grid.Given(), r.Grid.Is)
			span(l, row+"gm", r.Gm.Given(), r.Gm.Is)
		})
	}
	for i, r := range t.Ratings.Items {
		l.rows("ratings", i, r.Cited, func(l *lister, row string) {
			span(l, row+"plate", r.Plate.Given(), r.Plate.Is)
			span(l, row+"screen", r.Screen.Given(), r.Screen.Is)
			span(l, row+"plate_power", r.PlatePower.Given(), r.PlatePower.Is)
			span(l, row+"screen_power", r.ScreenPower.Given(), r.ScreenPower.Is)
		})
	}
	l.word("base.code", t.Base.Code.Given(), t.Base.Code.Is)
	l.word("base.cathode", t.Base.Cathode.Given(), t.Base.Cathode.Is)
	l.word("base.heater", t.Base.Heater.Given(), t.Base.Heater.Is)
	l.word("base.grid", t.Base.Grid.Given(), t.Base.Grid.Is)
	l.word("base.plate", t.Base.Plate.Given(), t.Base.Plate.Is)
	l.word("base.screen", t.Base.Screen.Given(), t.Base.Screen.Is)
	return l.entry
}

func relayEntry(r *catalog.Relay) report.Entry {
	l := &lister{entry: report.Entry{Kind: "relay", Name: r.Name, What: r.What.Is}, origin: r.Sources.Origin}
	l.sort("class", r.Class.Given(), r.Class.Is)
	l.sort("latching", r.Latching.Given(), r.Latching.Is)

	coil := r.Coil
	span(l, "coil.voltage", coil.Voltage.Given(), coil.Voltage.Is)
	span(l, "coil.resistance", coil.Resistance.Given(), coil.Resistance.Is)
	span(l, "coil.operate", coil.Operate.Given(), coil.Operate.Is)
	span(l, "coil.release", coil.Release.Given(), coil.Release.Is)
	span(l, "coil.temperature_rise", coil.TemperatureRise.Given(), coil.TemperatureRise.Is)
	span(l, "coil.limit", coil.Limit.Given(), coil.Limit.Is)
	span(l, "coil.most.at_23", coil.Most.At23.Given(), coil.Most.At23.Is)
	span(l, "coil.most.at_70", coil.Most.At70.Given(), coil.Most.At70.Is)
	span(l, "coil.inductance.open", coil.Inductance.Open.Given(), coil.Inductance.Open.Is)
	span(l, "coil.inductance.closed", coil.Inductance.Closed.Given(), coil.Inductance.Closed.Is)

	contacts := r.Contacts
	l.word("contacts.form", contacts.Form.Given(), contacts.Form.Is)
	l.word("contacts.poles", contacts.Poles.Given(), contacts.Poles.Is)
	span(l, "contacts.rated.voltage", contacts.Rated.Voltage.Given(), contacts.Rated.Voltage.Is)
	span(l, "contacts.rated.current", contacts.Rated.Current.Given(), contacts.Rated.Current.Is)
	span(l, "contacts.rated.power", contacts.Rated.Power.Given(), contacts.Rated.Power.Is)
	for i, limit := range contacts.DCLimits.Items {
		l.pair("contacts.dc_limits."+strconv.Itoa(i+1), limit.Given(), limit.Is)
	}
	l.pair("contacts.least", contacts.Least.Given(), contacts.Least.Is)
	span(l, "contacts.make", contacts.Make.Given(), contacts.Make.Is)
	span(l, "contacts.resistance", contacts.Resistance.Given(), contacts.Resistance.Is)
	span(l, "contacts.capacitance", contacts.Capacitance.Given(), contacts.Capacitance.Is)
	span(l, "contacts.inductance", contacts.Inductance.Given(), contacts.Inductance.Is)

	span(l, "insulation.open_contact", r.Insulation.OpenContact.Given(), r.Insulation.OpenContact.Is)
	span(l, "insulation.coil_to_contact", r.Insulation.CoilToContact.Given(), r.Insulation.CoilToContact.Is)
	span(l, "insulation.between_poles", r.Insulation.BetweenPoles.Given(), r.Insulation.BetweenPoles.Is)

	span(l, "times.operate", r.Times.Operate.Given(), r.Times.Operate.Is)
	span(l, "times.release", r.Times.Release.Given(), r.Times.Release.Is)
	span(l, "times.bounce", r.Times.Bounce.Given(), r.Times.Bounce.Is)
	return l.entry
}
