package mains

// A Cord is what joins a set to its outlet.
type Cord uint8

// The cords. With a three-wire cord the touch current is judged as if its earth
// were lifted.
const (
	TwoWire Cord = iota
	ThreeWire
)

// String is the cord as plans name it.
func (c Cord) String() string { return [...]string{"two-wire", "three-wire"}[c] }

// A Class is how a touch current is judged.
type Class uint8

// The classes, mildest first.
const (
	Good Class = iota
	Caution
	Danger
)

// A Tier is one step of the touch-current limits.
type Tier struct {
	Most       float64 // A rms through 2 kΩ, the highest current that belongs to it
	Class      Class   // of a current above the tier below
	SoundEarth bool    // tolerable only while the earth is sound
	Standard   string  // that sets the limit
}

// Tiers returns the steps of a cord, lowest first. A current above the last is a
// danger. The four figures are those of IEC 62368-1, IEC 60950-1, IEC 60335-1
// and UL 101, taken second-hand; which standard sets which is from memory.
func Tiers(c Cord) []Tier {
	if c == TwoWire {
		return []Tier{
			{Most: 0.25e-3, Class: Good, Standard: "IEC 60950-1, IEC 60335-1 (sets without an earth)"},
			{Most: 0.50e-3, Class: Caution, Standard: "IEC 62368-1 (ES1), UL 101"},
		}
	}
	return []Tier{
		{Most: 0.50e-3, Class: Good, Standard: "IEC 62368-1 (ES1), UL 101"},
		{Most: 0.75e-3, Class: Caution, Standard: "IEC 60335-1, UL 101 (earth lifted)"},
		{Most: 3.50e-3, Class: Caution, SoundEarth: true, Standard: "IEC 60950-1 (earthed sets)"},
	}
}

// A Judgement says how a touch current stands against the tiers of a cord.
type Judgement struct {
	Class Class
	Tier  Tier // the tier it falls in; of a danger the last, which it exceeds
}

// Judge finds the tier of a touch current in A rms through 2 kΩ.
func Judge(c Cord, amps float64) Judgement {
	tiers := Tiers(c)
	for _, t := range tiers {
		if !above(amps, t.Most) {
			return Judgement{Class: t.Class, Tier: t}
		}
	}
	return Judgement{Class: Danger, Tier: tiers[len(tiers)-1]}
}
