package mains

// A FuseList is a family of fuses whose ratings mean the same. The two families
// are not interchangeable: a UL fuse opens at 135 % of its rating, an IEC one
// still holds 150 %.
type FuseList struct {
	Standard string
	Carries  float64   // multiple of its rating: UL opens by it, IEC holds it
	Opens    bool      // whether Carries is where it opens
	Ratings  []float64 // A, rising
}

// FusesIEC returns the R10 ratings of IEC 60127, published, taken second-hand.
func FusesIEC() FuseList {
	return FuseList{
		Standard: "IEC 60127",
		Carries:  1.50,
		Ratings: []float64{0.100, 0.125, 0.160, 0.200, 0.250, 0.315, 0.400, 0.500, 0.630, 0.800,
			1, 1.25, 1.6, 2, 2.5, 3.15, 4, 5, 6.3},
	}
}

// FusesNorthAmerican returns the ratings of UL 248-14, from memory.
func FusesNorthAmerican() FuseList {
	return FuseList{
		Standard: "UL 248-14",
		Carries:  1.35,
		Opens:    true,
		Ratings: []float64{1. / 8, 3. / 16, 1. / 4, 3. / 8, 1. / 2, 3. / 4,
			1, 1.25, 1.5, 2, 2.5, 3, 4, 5},
	}
}

// Multiples of the primary current between which a time-lag fuse is chosen
// (practice: 125–200 %), and the ceilings of NEC 450.3(B), published, taken
// second-hand.
const (
	fuseWanted = 1.50 // from here up the smallest preferred value
	fuseLeast  = 1.25 // if there is none, the largest from here to fuseWanted

	ceilingSmall = 3.00 // of a primary current below ceilingStep
	ceilingLarge = 1.67 // of ceilingStep and more
	ceilingStep  = 2.0  // A
)

// FuseCeiling returns the highest rating in A that may protect a primary of the
// given current in A: 300 % below 2 A, 167 % from 2 A (NEC 450.3(B)).
func FuseCeiling(amps float64) float64 {
	if above(ceilingStep, amps) {
		return ceilingSmall * amps
	}
	return ceilingLarge * amps
}

// A FuseFit is how a rating stands to a primary current.
type FuseFit uint8

// The fits.
const (
	FuseServes FuseFit = iota
	FuseSmall          // under 125 % of the current: it tires and opens at switching on
	FuseLarge          // over the ceiling: the transformer burns first
)

// JudgeFuse says how a fuse of a rating in A suits a primary current in A.
func JudgeFuse(rating, amps float64) FuseFit {
	switch {
	case above(rating, FuseCeiling(amps)):
		return FuseLarge
	case above(fuseLeast*amps, rating):
		return FuseSmall
	default:
		return FuseServes
	}
}

// ChooseFuse returns the rating in A for a primary current in A, time-lag: the
// smallest of the list from 1.5·I up to the ceiling; if none the largest from
// 1.25·I to 1.5·I. It reports false if the list holds neither.
func ChooseFuse(amps float64, list FuseList) (rating float64, ok bool) {
	ceiling := FuseCeiling(amps)
	for _, r := range list.Ratings {
		switch {
		case above(r, ceiling):
			return rating, ok
		case !above(fuseWanted*amps, r):
			return r, true
		case !above(fuseLeast*amps, r):
			rating, ok = r, true
		}
	}
	return rating, ok
}
