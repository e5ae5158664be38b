package antenna

import "math"

// LeadHenries returns the inductance in H of a round wire at radio frequency,
// length and diameter in m:
//
//	L = 2·l·(ln(2·l/r) − 1) nH, l and r in cm
//
// (E. B. Rosa, The self and mutual inductances of linear conductors, Bulletin of
// the Bureau of Standards 4, 1908; skin effect, so that no flux is inside the
// wire.) A wire shorter than the formula holds for, l below e·r/2, has none.
func LeadHenries(length, diameter float64) float64 {
	if length <= 0 || diameter <= 0 {
		return 0
	}
	const henriesPerMetre = 2e-7 // 2 nH/cm, µ0/2π
	return max(0, henriesPerMetre*length*(math.Log(4*length/diameter)-1))
}
