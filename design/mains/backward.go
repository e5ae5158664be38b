package mains

// A Reading is a voltage measured between chassis and earth on a known load.
type Reading struct {
	Volts    float64 // V rms
	Ohms     float64 // ohm: the meter's input with any resistor beside it
	Accuracy float64 // relative: 0.01 means that the truth lies in Volts ± 1 %
}

// A Bound is a value with the least and the most that the meters' accuracy leaves.
type Bound struct {
	Nominal, Low, High float64
}

// A Reason says why readings do not decide.
type Reason uint8

// The reasons. Decided is none.
const (
	Decided       Reason = iota
	NoReading            // nothing was measured
	OneLoad              // a single load that is no shunt: voltage and capacitance cannot be told apart
	AtMains              // the readings stand above NearMains of the mains: 2 nF, 0.2 µF and a short read alike
	Alike                // two loads read alike within the meters' accuracy: any higher capacitance does the same
	InProportion         // readings rise as their loads do: the source is a current, its voltage does not show
	Contradictory        // a lower load reads more, beyond the meters' accuracy: not the same state, or no capacitor
	AboveMains           // a reading exceeds the mains by more than its tolerance: wrong voltage, or another source
)

// A Finding is one result worked backward from readings.
type Finding struct {
	Bound
	Reason Reason // Decided, or why Bound holds nothing
	From   []int  // readings it came from, in the order given
}

// A Backward is what readings say of the source behind a chassis.
type Backward struct {
	Touch   Finding // A rms through 2 kΩ or less
	Volts   Finding // V rms, open circuit: E_th
	Farads  Finding // F, C_L + C_N with the stray
	Against []int   // readings that the pair behind Volts and Farads does not explain
}

// Infer works backward from readings taken in one state of plug and switch on a
// mains of so many V rms and Hz.
func Infer(volts, hertz float64, readings []Reading) (Backward, error) {
	return Backward{}, nil
}
