// Package quantity holds the kinds of value a plan is made of: one float64
// type each, in SI units without prefix (temperatures in °C, levels in dB,
// shares as a fraction of one), and one table of units that drives reading
// and printing for all of them.
//
// What is read is the notation of the plan format: a number and a unit
// ("6.3 V", "10kΩ", "-30 dB"), resistances and capacitances also in the letter
// code of IEC 60062:2016 ("4k7", "270R", "2u2"), and a [Span] of values where
// something is not known ("250 V ± 10 %", "220 V .. 270 V").
package quantity

// A Quantity is a number that knows its unit.
type Quantity interface {
	~float64
	Unit() Unit
}

// The quantities. Each is a plain number of its SI unit.
type (
	Ratio         float64 // a number, such as a crest factor; a percentage is read too
	Percent       float64 // a share of one: 10 % is 0.1
	Volts         float64
	Amps          float64
	Ohms          float64
	Farads        float64
	Henries       float64
	Watts         float64
	Seconds       float64
	Hertz         float64
	Celsius       float64
	Decibels      float64
	Metres        float64
	SquareMetres  float64
	Siemens       float64 // written mA/V; µS and µmho are read too
	KelvinPerWatt float64
)

// Unit returns [Proportion].
func (Ratio) Unit() Unit { return Proportion }

// Unit returns [Percentage].
func (Percent) Unit() Unit { return Percentage }

// Unit returns [Voltage].
func (Volts) Unit() Unit { return Voltage }

// Unit returns [Current].
func (Amps) Unit() Unit { return Current }

// Unit returns [Resistance].
func (Ohms) Unit() Unit { return Resistance }

// Unit returns [Capacitance].
func (Farads) Unit() Unit { return Capacitance }

// Unit returns [Inductance].
func (Henries) Unit() Unit { return Inductance }

// Unit returns [Power].
func (Watts) Unit() Unit { return Power }

// Unit returns [Time].
func (Seconds) Unit() Unit { return Time }

// Unit returns [Frequency].
func (Hertz) Unit() Unit { return Frequency }

// Unit returns [Temperature].
func (Celsius) Unit() Unit { return Temperature }

// Unit returns [Level].
func (Decibels) Unit() Unit { return Level }

// Unit returns [Length].
func (Metres) Unit() Unit { return Length }

// Unit returns [Area].
func (SquareMetres) Unit() Unit { return Area }

// Unit returns [Transconductance].
func (Siemens) Unit() Unit { return Transconductance }

// Unit returns [ThermalResistance].
func (KelvinPerWatt) Unit() Unit { return ThermalResistance }

func (v Ratio) String() string         { return text(v) }
func (v Percent) String() string       { return text(v) }
func (v Volts) String() string         { return text(v) }
func (v Amps) String() string          { return text(v) }
func (v Ohms) String() string          { return text(v) }
func (v Farads) String() string        { return text(v) }
func (v Henries) String() string       { return text(v) }
func (v Watts) String() string         { return text(v) }
func (v Seconds) String() string       { return text(v) }
func (v Hertz) String() string         { return text(v) }
func (v Celsius) String() string       { return text(v) }
func (v Decibels) String() string      { return text(v) }
func (v Metres) String() string        { return text(v) }
func (v SquareMetres) String() string  { return text(v) }
func (v Siemens) String() string       { return text(v) }
func (v KelvinPerWatt) String() string { return text(v) }

func text[Q Quantity](v Q) string { return Format(float64(v), v.Unit()) }
