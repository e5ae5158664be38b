package quantity

import (
	"math"
	"strings"
)

// Unit is one row of the table of units: what is measured, its symbol, the
// spellings that are read, the prefixes that go with it, and where it ends.
type Unit uint8

// The units, named after what is measured with them.
const (
	Proportion        Unit = iota // a number; a percentage is read too
	Percentage                    // a share of one, written and printed in per cent
	Voltage                       // volt
	Current                       // ampere
	Resistance                    // ohm
	Capacitance                   // farad
	Inductance                    // henry
	Power                         // watt
	Time                          // second
	Frequency                     // hertz
	Temperature                   // degree Celsius
	Level                         // decibel
	Length                        // metre
	Area                          // square metre
	Transconductance              // siemens, written as ampere per volt
	ThermalResistance             // kelvin per watt
	units                         // how many there are
)

// A spelling is a way to write a unit, and the power of ten it stands for.
type spelling struct {
	text string
	tens int
}

// A row says how a unit is read and printed.
type row struct {
	name      string     // what is measured, with its article: "a voltage"
	symbol    string     // as printed
	code      string     // SI name in ASCII where that is usual: JSON, CSV, plans
	example   string     // a value as the plan format writes it
	tens      int        // power of ten in which a bare value is printed: -2 for per cent
	bare      bool       // a number without unit is read
	spellings []spelling // longest first where one ends in another
	reads     string     // prefixes that are read
	prints    string     // prefixes that are printed, smallest first; a space is none
	squared   bool       // the prefix is squared with the unit
	letters   string     // multipliers of the letter code of IEC 60062
	low, high float64    // where the unit ends, in SI
}

var (
	percent = spelling{"%", -2}
	per100  = spelling{"percent", -2}
)

// Ranges are wide on purpose: they stop slips of six orders of magnitude and
// what cannot be (a negative resistance, less than absolute zero). Whether a
// value is usual where it stands is not the unit's business.
var table = [units]row{
	Proportion: {name: "a number", symbol: "", code: "1", example: "1.4", bare: true,
		spellings: []spelling{percent, per100}, prints: " ", low: 0, high: 1e9},
	Percentage: {name: "a percentage", symbol: "%", code: "%", example: "10 %", tens: -2,
		spellings: []spelling{percent, per100}, prints: " ", low: 0, high: 1e4},
	Voltage: {name: "a voltage", symbol: "V", code: "V", example: "6.3 V",
		spellings: words("V", "volts", "volt"), reads: "pnµmkM", prints: "µm k", low: -1e6, high: 1e6},
	Current: {name: "a current", symbol: "A", code: "A", example: "500 mA",
		spellings: words("A", "amperes", "ampere", "amps", "amp"), reads: "fpnµmk", prints: "pnµm ", low: -1e6, high: 1e6},
	Resistance: {name: "a resistance", symbol: "Ω", code: "ohm", example: "10 kohm",
		spellings: words("Ω", "ohms", "ohm", "Ohms", "Ohm"), reads: "µmkMGT", prints: "µm kMGT", letters: "RkKMGT", low: 0, high: 1e15},
	Capacitance: {name: "a capacitance", symbol: "F", code: "F", example: "22 uF",
		spellings: words("F", "farads", "farad"), reads: "fpnµm", prints: "pnµ", letters: "pnµmF", low: 0, high: 1e3},
	Inductance: {name: "an inductance", symbol: "H", code: "H", example: "10 H",
		spellings: words("H", "henries", "henrys", "henry"), reads: "pnµmk", prints: "pnµm k", low: 0, high: 1e6},
	Power: {name: "a power", symbol: "W", code: "W", example: "4.5 W",
		spellings: words("W", "watts", "watt"), reads: "fpnµmkM", prints: "pnµm kM", low: 0, high: 1e9},
	Time: {name: "a time", symbol: "s", code: "s", example: "15 ms",
		spellings: words("s", "seconds", "second"), reads: "pnµm", prints: "nµm ", low: 0, high: 1e9},
	Frequency: {name: "a frequency", symbol: "Hz", code: "Hz", example: "455 kHz",
		spellings: words("Hz", "hertz"), reads: "mkMG", prints: "m kMG", low: 0, high: 1e12},
	Temperature: {name: "a temperature", symbol: "°C", code: "°C", example: "20 °C",
		spellings: words("°C", "℃", "degC", "deg C", "C"), prints: " ", low: -273.15, high: 1e4},
	Level: {name: "a level", symbol: "dB", code: "dB", example: "-30 dB",
		spellings: words("dB"), prints: " ", low: -1e4, high: 1e4},
	Length: {name: "a length", symbol: "m", code: "m", example: "25 mm",
		spellings: words("m", "metres", "metre", "meters", "meter"), reads: "nµmck", prints: "m k", low: 0, high: 1e8},
	Area: {name: "an area", symbol: "m²", code: "m²", example: "0.5 mm²",
		spellings: words("m²", "m^2", "m2"), reads: "µmc", prints: "m ", squared: true, low: 0, high: 1e6},
	Transconductance: {name: "a transconductance", symbol: "A/V", code: "S", example: "4.1 mA/V",
		spellings: words("A/V", "S", "siemens", "mhos", "mho"), reads: "pnµm", prints: "pnµm ", low: 0, high: 1e6},
	ThermalResistance: {name: "a thermal resistance", symbol: "K/W", code: "K/W", example: "150 K/W",
		spellings: words("K/W", "°C/W", "℃/W", "degC/W", "C/W"), reads: "m", prints: "m ", low: 0, high: 1e6},
}

func words(texts ...string) []spelling {
	s := make([]spelling, len(texts))
	for i, t := range texts {
		s[i] = spelling{text: t}
	}
	return s
}

// prefixes of the SI and the powers of ten they stand for; a space is none.
var prefixes = map[rune]int{
	'f': -15, 'p': -12, 'n': -9, 'µ': -6, 'm': -3, 'c': -2, ' ': 0, 'k': 3, 'M': 6, 'G': 9, 'T': 12,
}

// Name says with its article what is measured: "a voltage".
func (u Unit) Name() string { return table[u].name }

// Symbol returns the symbol as printed: "V", "Ω", "°C"; "" for a number.
func (u Unit) Symbol() string { return table[u].symbol }

// Code returns the name used in results and plans: "V", "ohm", "°C"; "1" for
// a number.
func (u Unit) Code() string { return table[u].code }

// Example returns a value in this unit as the plan format writes it.
func (u Unit) Example() string { return table[u].example }

// Range returns the lowest and the highest value the unit can have, in SI.
func (u Unit) Range() (low, high float64) { return table[u].low, table[u].high }

// Contains tells whether v, in SI, is finite and a value the unit can have.
func (u Unit) Contains(v float64) bool {
	return !math.IsNaN(v) && v >= table[u].low && v <= table[u].high
}

// String returns what is measured, without its article: "voltage".
func (u Unit) String() string {
	_, name, _ := strings.Cut(table[u].name, " ")
	return name
}
