package catalog

import (
	"mutewright/design/document"
	"mutewright/design/quantity"
)

// Diode is a diode's ratings and law, I = IS·(e^(U/(N·Ut)) − 1) behind RS.
type Diode struct {
	Entry
	What    document.Value[string]
	Reverse document.Value[quantity.Volts] // repetitive peak
	Current document.Value[quantity.Amps]  // mean
	IS      document.Value[quantity.Amps]  // 27 °C
	N       document.Value[quantity.Ratio]
	RS      document.Value[quantity.Ohms]
	Cited
}

// Fields binds the keys of a diode.
func (d *Diode) Fields() []document.Field {
	return []document.Field{
		document.Text("what", &d.What),
		document.Exact("reverse", &d.Reverse).Positive().Required(),
		document.Exact("current", &d.Current).Positive().Required(),
		document.Exact("is", &d.IS).Positive().Required(),
		document.Exact("n", &d.N).From(0.5).To(4).Required(),
		document.Exact("rs", &d.RS).From(0),
		d.Cited.field(),
	}
}

// Zener is a family of zener diodes in the E24 values from Lowest to Highest.
type Zener struct {
	Entry
	What            document.Value[string]
	Power           document.Value[quantity.Watts]
	Lowest, Highest document.Value[quantity.Volts]
	Tolerance       document.Value[quantity.Percent]
	Cited
}

// Fields binds the keys of a family of zener diodes.
func (z *Zener) Fields() []document.Field {
	return []document.Field{
		document.Text("what", &z.What),
		document.Exact("power", &z.Power).Positive().Required(),
		document.Exact("lowest", &z.Lowest).Positive().Required(),
		document.Exact("highest", &z.Highest).Positive().Required(),
		document.Exact("tolerance", &z.Tolerance).From(0),
		z.Cited.field(),
	}
}

// Voltages lists the values of the family, V, rising.
func (z *Zener) Voltages() []float64 {
	return E24.Between(float64(z.Lowest.Is), float64(z.Highest.Is))
}

// Polarity is npn or pnp.
type Polarity string

// The polarities.
const (
	NPN Polarity = "npn"
	PNP Polarity = "pnp"
)

// Transistor is a class of bipolar transistors.
type Transistor struct {
	Entry
	What        document.Value[string]
	Polarity    document.Value[Polarity]
	IS          document.Value[quantity.Amps] // 27 °C
	Gain        document.Measure[quantity.Ratio]
	ReverseGain document.Value[quantity.Ratio]
	Voltage     document.Value[quantity.Volts] // collector to emitter, base open
	Current     document.Value[quantity.Amps]
	Power       document.Value[quantity.Watts]
	Leakage     document.Value[quantity.Amps] // collector to base at 100 °C
	Cited
}

// Fields binds the keys of a transistor.
func (t *Transistor) Fields() []document.Field {
	return []document.Field{
		document.Text("what", &t.What),
		document.Choice("polarity", &t.Polarity, NPN, PNP).Required(),
		document.Exact("is", &t.IS).Positive().Required(),
		document.Span("gain", &t.Gain).Positive().Required(),
		document.Exact("reverse_gain", &t.ReverseGain).Positive(),
		document.Exact("voltage", &t.Voltage).Positive().Required(),
		document.Exact("current", &t.Current).Positive().Required(),
		document.Exact("power", &t.Power).Positive(),
		document.Exact("leakage", &t.Leakage).From(0),
		t.Cited.field(),
	}
}

// Resistor is a size of resistor: its power, and the voltage that its body
// stands whatever the power says.
type Resistor struct {
	document.Source
	Power   document.Value[quantity.Watts]
	Voltage document.Value[quantity.Volts]
	Cited
}

// Fields binds the keys of a size of resistor.
func (r *Resistor) Fields() []document.Field {
	return []document.Field{
		document.Exact("power", &r.Power).Positive().Required(),
		document.Exact("voltage", &r.Voltage).Positive().Required(),
		r.Cited.field(),
	}
}

// Capacitor is a kind of capacitor in the E6 values from Lowest to Highest.
type Capacitor struct {
	Entry
	What            document.Value[string]
	Lowest, Highest document.Value[quantity.Farads]
	Voltages        document.List[document.Value[quantity.Volts]] // rated, rising
	Below, Above    document.Value[quantity.Percent]              // tolerance
	Cited
}

// Fields binds the keys of a kind of capacitor.
func (c *Capacitor) Fields() []document.Field {
	return []document.Field{
		document.Text("what", &c.What),
		document.Exact("lowest", &c.Lowest).Positive().Required(),
		document.Exact("highest", &c.Highest).Positive().Required(),
		document.ListOf("voltages", &c.Voltages, document.Exact[quantity.Volts]).AtMost(mostRows).Required(),
		document.Exact("below", &c.Below).From(0).To(1),
		document.Exact("above", &c.Above).From(0),
		c.Cited.field(),
	}
}

// Values lists the capacitances of the kind, F, rising.
func (c *Capacitor) Values() []float64 {
	return E6.Between(float64(c.Lowest.Is), float64(c.Highest.Is))
}

// Voltage returns the lowest rated voltage of the kind that is at least volts,
// V; false where none is.
func (c *Capacitor) Voltage(volts float64) (float64, bool) {
	for _, v := range c.Voltages.Items {
		if float64(v.Is) >= volts*(1-sameValue) {
			return float64(v.Is), true
		}
	}
	return 0, false
}

// Fuses is a list of fuse ratings with the resistance of each when cold. The
// same figure of two lists is not the same fuse: one says what it holds, the
// other at what it opens.
type Fuses struct {
	Entry
	Standard     document.Value[string]
	Letter       document.Value[string]
	Holds, Opens document.Value[quantity.Percent] // of the rating; one of the two
	Ratings      document.List[document.Value[AmpsOhms]]
	Sources      Sources
}

// AmpsOhms is a fuse's rating and its resistance when cold.
type AmpsOhms = document.Two[quantity.Amps, quantity.Ohms]

// Fields binds the keys of a list of fuses.
func (f *Fuses) Fields() []document.Field {
	return []document.Field{
		document.Text("standard", &f.Standard).Required(),
		document.Text("letter", &f.Letter),
		document.Exact("holds", &f.Holds).Positive(),
		document.Exact("opens", &f.Opens).Positive(),
		document.ListOf("ratings", &f.Ratings, document.Pair[quantity.Amps, quantity.Ohms]).AtMost(2 * mostRows).Required(),
		f.Sources.field(),
	}
}

// AtLeast returns the smallest rating of at least amps, A, and its resistance,
// ohm; false where the list ends below.
func (f *Fuses) AtLeast(amps float64) (rating, ohms float64, ok bool) {
	for _, r := range f.Ratings.Items {
		if float64(r.Is.First) >= amps*(1-sameValue) {
			return float64(r.Is.First), float64(r.Is.Second), true
		}
	}
	return 0, 0, false
}

// Resistance is that of a cold fuse of any rating of the list's kind, ohm:
// between and beyond the ratings by the straight line through the nearest two
// on logarithmic axes.
func (f *Fuses) Resistance(amps float64) float64 {
	items := f.Ratings.Items
	n := 1
	for n < len(items)-1 && amps > float64(items[n].Is.First) {
		n++
	}
	a, b := items[n-1].Is, items[n].Is
	return onLogLine(amps, float64(a.First), float64(a.Second), float64(b.First), float64(b.Second))
}

// Wire is a size of hook-up wire.
type Wire struct {
	document.Source
	Size       document.Value[quantity.SquareMetres]
	Gauge      document.Value[int]                           // AWG
	Current    document.Value[quantity.Amps]                 // single, in the open inside a warm chassis
	Insulation document.List[document.Value[quantity.Volts]] // that it is made with, rising
	Cited
}

// Fields binds the keys of a size of wire.
func (w *Wire) Fields() []document.Field {
	return []document.Field{
		document.Exact("size", &w.Size).Positive().Required(),
		document.Count("gauge", &w.Gauge),
		document.Exact("current", &w.Current).Positive().Required(),
		document.ListOf("insulation", &w.Insulation, document.Exact[quantity.Volts]).AtMost(mostRows).Required(),
		w.Cited.field(),
	}
}

// Insulated returns the lowest insulation the wire is made with that is at
// least volts, V; false where none is.
func (w *Wire) Insulated(volts float64) (float64, bool) {
	for _, v := range w.Insulation.Items {
		if float64(v.Is) >= volts*(1-sameValue) {
			return float64(v.Is), true
		}
	}
	return 0, false
}

// Colour is a colour code of IEC 60757: its letters and its name.
type Colour struct {
	Letters, Name string
}
