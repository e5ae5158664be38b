package mains

import "errors"

// Margins within which a capacitor must keep to its tier.
const (
	mainsMargin     = 1.10 // mains voltage, EN 50160
	capacitorMargin = 1.20 // capacitance, the usual ±20 % of safety capacitors
)

// LargestY returns the largest E6 value in F, 100 pF to 470 nF, that may join a
// conductor to chassis beside what s holds already, so that the touch current
// stays within limit (A rms) at mains +10 % and the new capacitor +20 %, in the
// worst state of plug and switch. It returns 0 if not even 100 pF fits.
func LargestY(s Source, from Conductor, limit float64) (float64, error) {
	return 0, errors.ErrUnsupported
}
