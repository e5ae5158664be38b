package contact

import "math"

// Load is the least that a contact wants to switch, or what it is given.
type Load struct {
	Volts, Amps float64
}

// Dry circuits are contact category 0 of IEC 61810-1: at most 30 mV and 10 mA
// (from memory). A film on the contact is not broken through there.
const (
	dryVolts = 30e-3
	dryAmps  = 10e-3
)

// DryRated tells whether a contact whose least load this is serves a dry
// circuit. Where no least load is known (0) it is not rated for one.
func (l Load) DryRated() bool {
	return l != Load{} && l.Volts <= dryVolts && l.Amps <= dryAmps
}

// Over is by how much a load exceeds the least: the smaller of the ratios of
// volts and amperes, under 1 where the contact may not make through its film.
// A least of 0 asks for nothing; where it asks for nothing at all, ok is false.
func (l Load) Over(least Load) (ratio float64, ok bool) {
	ratio = math.Inf(1)
	if least.Volts > 0 {
		ratio = math.Abs(l.Volts) / least.Volts
	}
	if least.Amps > 0 {
		ratio = min(ratio, math.Abs(l.Amps)/least.Amps)
	}
	if math.IsInf(ratio, 1) {
		return 0, false
	}
	return ratio, true
}

// A gold cladding survives up to these (relay data sheets, second-hand).
const (
	goldVolts = 30
	goldAmps  = 50e-3
)

// KeepsGold tells whether a contact that switches this load is still good for
// a dry circuit afterwards: more than 50 mA or 30 V wears the gold off.
func (l Load) KeepsGold() bool {
	return math.Abs(l.Volts) <= goldVolts && math.Abs(l.Amps) <= goldAmps
}
