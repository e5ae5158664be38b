package drive

// Enough is the margin from which a drive needs no help: under 1.1 it is a
// caution, under 1 a failure.
const Enough = 1.1

// A Dropping is the outcome of choosing a dropper.
type Dropping struct {
	Ohms    float64 // 0: none is needed, or none of the values serves better
	Operate float64 // low end of the operate margin over all corners and coils
	Ceiling float64 // low end of the ceiling margin
}

// Serves reports whether both margins hold.
func (d Dropping) Serves() bool { return d.Operate >= 1 && d.Ceiling >= 1 }

// ChooseDropper picks the resistor in series with the coils. corners gives the
// corners of the drive with that much in series; values are the preferred
// values to choose from, ascending. Without a dropper when the low end of the
// ceiling margin is then 1.1 or more; else the value with the highest smaller
// of the two low ends.
func ChooseDropper(corners func(ohms float64) []Drive, values []float64) (Dropping, error) {
	return Dropping{}, nil
}

// A Fuse is one row of a list of fuses.
type Fuse struct {
	Amps float64 // rated current
	Cold float64 // ohm, cold resistance
}

// A Fusing is the outcome of choosing the fuse in the lead from the winding.
type Fusing struct {
	Fuse    Fuse
	Current float64 // A rms of the drive with that fuse, the highest of the corners
	Fits    bool    // a fuse of at least 2 × Current within the wire exists
}

// ChooseFuse picks the smallest fuse of at least twice the winding current,
// taken with the fuse's own cold resistance, that still protects the wire.
// corners gives the corners of the drive with that cold resistance; fuses
// ascend; wire is the current in A that the lead may carry.
func ChooseFuse(corners func(cold float64) []Drive, fuses []Fuse, wire float64) (Fusing, error) {
	return Fusing{}, nil
}

// Ripple is the part of the operated voltage that a well-chosen reservoir
// leaves as ripple, peak to peak, at most (common practice, no source).
const Ripple = 0.1

// A Reserving is the outcome of choosing the reservoirs.
type Reserving struct {
	Farads float64 // each
	Ripple float64 // part of the operated voltage, peak to peak, the highest of the corners
	Fits   bool    // Ripple is at most 0.1
}

// ChooseReservoir picks the smallest of the values, ascending, that leaves no
// more ripple than a tenth of the voltage in any corner, or else the largest.
func ChooseReservoir(corners func(farads float64) []Drive, values []float64) (Reserving, error) {
	return Reserving{}, nil
}

// ForcedGain is the collector over base current at which a switching
// transistor is well in saturation.
const ForcedGain = 20.0

// A Basing is the outcome of choosing a buffer's resistors.
type Basing struct {
	Base, BaseEmitter float64 // ohm
	Gain              float64 // forced gain, the highest of the corners
	Off               float64 // V from base to emitter while released, the highest of the corners
}

// Serves reports whether the transistor saturates and lets go.
func (b Basing) Serves() bool { return b.Gain <= ForcedGain*(1+1e-6) && b.Off <= MostOff*(1+1e-6) }

// ChooseBuffer picks base and base–emitter resistor from values, ascending: of
// the second the largest up to 10 kohm at which the line's leakage leaves no
// more than 0.3 V, of the first the largest for a forced gain of 20 in every corner.
func ChooseBuffer(corners func(base, baseEmitter float64) []Drive, values []float64) (Basing, error) {
	return Basing{}, nil
}
