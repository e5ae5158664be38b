package drive

// Rectifier says what stands between supply and coil.
type Rectifier uint8

// The rectifiers. Doubler is the cascade of two capacitors and two diodes.
const (
	None Rectifier = iota
	HalfWave
	FullWave
	Bridge
	Doubler
)

// Grounding says how a supply stands to chassis.
type Grounding uint8

// The supplies that a drive may be asked to stand on.
const (
	OneSide           Grounding = iota // one end of the winding at chassis
	CentreTap                          // tap at chassis
	HumPot                             // wiper of a hum pot, or middle of a resistor pair, at chassis
	Floating                           // no tap
	FloatingTap                        // with a tap
	Biased                             // the whole winding stands above chassis
	RectifierFilament                  // feeds the filament of a rectifier tube, at B+
	DirectRail                         // a rail of the set
	KeyLine                            // the line itself feeds the coil
	groundings
)

// BiasDanger is the bias in V above which a biased winding is a danger and not
// only a failure.
const BiasDanger = 30.0

// Bar is the reason why a rectifier may not stand on a supply.
type Bar uint8

// The reasons.
const (
	Free             Bar = iota
	ShortsWinding        // one of its diodes would lie across the winding, or across half of it
	NoTap                // it needs a tap and there is none at chassis
	UnbalancesPot        // its current would return through the hum pot
	OnBias               // its minus at chassis would short the bias
	OnHighVoltage        // the winding stands at B+
	NeedsRectifier       // the coil is for direct current and the supply alternates
	NeedsNoRectifier     // the supply is direct already
)

// Remedy is a change of the set that would let a rectifier stand on a winding.
type Remedy uint8

// The remedies.
const (
	NoRemedy         Remedy = iota
	OtherRectifier          // one of Ruling.Fits
	GroundOneSide           // lift the wiper of the hum pot, ground one side
	OtherSupply             // nothing fits here
	WithoutRectifier        // connect it directly
)

// A Ruling is one field of the table of rectifiers and windings.
type Ruling struct {
	Bar    Bar         // Free where it may stand
	Fits   []Rectifier // what may stand on this supply, simplest first
	Remedy Remedy
}

// OK reports whether the rectifier may stand on the supply.
func (r Ruling) OK() bool { return r.Bar == Free }

// bars is the table "which rectifier may stand on which winding", minus at
// chassis; columns as the constants of Rectifier.
var bars = [groundings][Doubler + 1]Bar{
	OneSide:           {NeedsRectifier, Free, NoTap, ShortsWinding, Free},
	CentreTap:         {NeedsRectifier, Free, Free, ShortsWinding, Free},
	HumPot:            {NeedsRectifier, UnbalancesPot, UnbalancesPot, UnbalancesPot, UnbalancesPot},
	Floating:          {NeedsRectifier, Free, NoTap, Free, Free},
	FloatingTap:       {NeedsRectifier, Free, Free, Free, Free},
	Biased:            {OnBias, OnBias, OnBias, OnBias, OnBias},
	RectifierFilament: {OnHighVoltage, OnHighVoltage, OnHighVoltage, OnHighVoltage, OnHighVoltage},
	DirectRail:        {Free, NeedsNoRectifier, NeedsNoRectifier, NeedsNoRectifier, NeedsNoRectifier},
	KeyLine:           {Free, NeedsNoRectifier, NeedsNoRectifier, NeedsNoRectifier, NeedsNoRectifier},
}

// Legal says whether a rectifier may stand on a supply, why not, and what may.
func Legal(r Rectifier, on Grounding) Ruling {
	ruling := Ruling{Bar: bars[on][r]}
	for other, bar := range bars[on] {
		if bar == Free {
			ruling.Fits = append(ruling.Fits, Rectifier(other))
		}
	}
	switch {
	case ruling.OK():
	case on == HumPot:
		ruling.Remedy = GroundOneSide
	case len(ruling.Fits) == 0:
		ruling.Remedy = OtherSupply
	case ruling.Bar == NeedsNoRectifier:
		ruling.Remedy = WithoutRectifier
	default:
		ruling.Remedy = OtherRectifier
	}
	return ruling
}

// Share is the part of the winding's voltage and resistance that one charging
// path sees: a half where the tap is at chassis or used as one.
func Share(r Rectifier, on Grounding) float64 {
	if on == CentreTap || r == FullWave {
		return 0.5
	}
	return 1
}
