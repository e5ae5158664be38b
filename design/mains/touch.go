package mains

import "math"

// Limits of a voltage that a person may touch. Published, taken second-hand:
// IEC 62368-1 (ES1, and ES2 under a single fault); the caution is the strictest
// of IEC 60335-1 and IEC 60598-1.
const (
	TouchDC      = 60   // V DC, ES1
	TouchRMS     = 30   // V rms up to 1 kHz, ES1
	TouchPeak    = 42.4 // V peak of an alternating voltage up to 1 kHz, ES1
	TouchCaution = 42.4 // V DC, above which the stricter standards do not let it be touched
	FaultDC      = 120  // V DC, ES2: what a single fault may raise it to
)

// Touch returns the part of the ES1 limits that a direct voltage with an
// alternating one on it takes; over 1 it is not to be within reach. Both rules of
// IEC 62368-1 for mixed voltages hold, and the worse counts:
//
//	Udc/60 + Uac/30 ≤ 1   and   Udc/60 + Upk/42.4 ≤ 1
//
// dc in V, rms and peak of the alternating part in V, signs not counted.
func Touch(dc, rms, peak float64) float64 {
	return math.Abs(dc)/TouchDC + max(math.Abs(rms)/TouchRMS, math.Abs(peak)/TouchPeak)
}
