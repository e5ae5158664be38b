package antenna

// A Doubt says whether a coupling can be taken from distance and frequency.
type Doubt uint8

// The doubts, least first.
const (
	FarField  Doubt = iota // λ/2 or farther: the formula is taken
	NearField              // nearer than λ/2: path-loss formulas fail either way; −10 dB is taken
	MeasureIt              // nearer than λ/2 and beyond −10 dB: refused; measure it
)

// A Coupling is an estimate from distance and frequency.
type Coupling struct {
	Decibels   float64 // dB, transmitter to antenna terminal; of MeasureIt it holds nothing
	Doubt      Doubt
	Formula    float64 // dB, 10·log(G²·(λ/(4π·d))²), taken or not
	Wavelength float64 // m, c/f
}

// Couple estimates the coupling of two half-wave dipoles in free space, distance
// in m, frequency in Hz.
func Couple(distance, hertz float64) (Coupling, error) { return Coupling{}, nil }
