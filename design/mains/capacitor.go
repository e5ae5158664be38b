package mains

// Margins within which a capacitor must keep to its tier.
const (
	mainsMargin     = 1.10 // of the mains voltage: ±10 % (EN 50160, from memory)
	capacitorMargin = 1.20 // of the capacitance: the usual ±20 % of safety capacitors
)

// e6 is the series in which Y capacitors are made (IEC 60063).
var e6 = [...]float64{10, 15, 22, 33, 47, 68}

// LargestY returns the largest E6 value in F, 100 pF to 680 nF, that may join a
// conductor to chassis beside what s holds already, so that the touch current
// stays within limit (A rms) at mains +10 % and the new capacitor +20 %, in the
// worst state of plug and switch. It returns 0 if not even 100 pF fits, and an
// error for an input out of range.
func LargestY(s Source, from Conductor, limit float64) (float64, error) {
	if err := s.check(); err != nil {
		return 0, err
	}
	if err := positive("limit of the touch current", limit); err != nil {
		return 0, err
	}
	s.Volts *= mainsMargin
	largest := 0.0
	for _, decade := range [...]float64{1e11, 1e10, 1e9, 1e8} { // 100 pF, 1 nF, 10 nF, 100 nF
		for _, digits := range e6 {
			farads := digits / decade
			fits, err := s.with(Capacitor{Farads: farads * capacitorMargin, From: from}).within(limit)
			if err != nil || !fits {
				return largest, err
			}
			largest = farads
		}
	}
	return largest, nil
}

// within reports whether the touch current keeps to a limit in every state.
func (s Source) within(limit float64) (bool, error) {
	for _, state := range States() {
		amps, err := s.touch(state)
		if err != nil {
			return false, err
		}
		if above(amps, limit) {
			return false, nil
		}
	}
	return true, nil
}
