package contact

import "math"

// Insulation is what a data sheet says the relay stands, V rms for one minute;
// 0 where it says nothing.
type Insulation struct {
	OpenContact, CoilToContact, BetweenPoles float64
}

// Place is where insulation stands.
type Place uint8

// The places of Insulation, in its order.
const (
	OpenContact Place = iota
	CoilToContact
	BetweenPoles
)

// Requirement compares what one place stands with what it should stand, all in
// V DC.
type Requirement struct {
	Place    Place
	Known    bool    // the sheet gives a figure
	Strength float64 // √2 × the rms figure: its peak
	Least    float64 // below this the insulation does not do
	Advised  float64 // below this it does with little in hand
}

// Requirements lists what a relay's insulation should stand in a set whose
// highest rail is rail (unloaded, V DC) and whose lifted node may rise to
// unguarded (V DC, pulldown missing): across an open contact twice the higher
// of the two; from coil to contact and between poles twice the rail, and 1000 V
// more for comfort, which is the usual margin of a test voltage over twice the
// working voltage (common practice).
func Requirements(have Insulation, unguarded, rail float64) []Requirement {
	open := 2 * max(math.Abs(unguarded), math.Abs(rail))
	through := 2 * math.Abs(rail)
	list := []Requirement{
		{Place: OpenContact, Strength: have.OpenContact, Least: open, Advised: open},
		{Place: CoilToContact, Strength: have.CoilToContact, Least: through, Advised: through + 1000},
		{Place: BetweenPoles, Strength: have.BetweenPoles, Least: through, Advised: through + 1000},
	}
	for n := range list {
		list[n].Known = list[n].Strength > 0
		list[n].Strength *= math.Sqrt2
	}
	return list
}
