package antenna

import (
	"errors"
	"fmt"
)

// Remedies are what would guard an input, each tried by solving the guard with
// other numbers.
type Remedies struct {
	LeadServes       bool    // with a short enough lead Residual stays within Withstand; else the contact alone lets too much through
	LongestLead      float64 // m, whole lead at which Residual meets Withstand, MostLead at most; 0 unless LeadServes
	ChangeoverKnown  bool    // the contact's capacitance is above 0, so that its loss as changeover can be solved
	ChangeoverLoss   Worst   // dB, Loss with the same contact and lead as changeover, or as open and short
	ChangeoverServes bool    // that keeps Residual within Withstand
	MoreIsolation    float64 // dB by which Coupling has to be better for the guard as it is: Needed − Loss, not below 0
}

// MostLead is the longest lead in m that is looked for: no wire inside a set is
// longer, and any lead that guards at this length may pass for unlimited.
const MostLead = 2.0

// Remedy tries what would keep the residual power within Withstand. It returns an
// error if Withstand is not known, for an input out of range, or if a network
// cannot be solved.
func Remedy(g Guard) (Remedies, error) {
	if err := g.check(); err != nil {
		return Remedies{}, fmt.Errorf("antenna guard: %w", err)
	}
	if g.Withstand == 0 {
		return Remedies{}, errors.New("antenna guard: what the input withstands is not known")
	}
	var r Remedies
	loss, err := g.leastLoss()
	if err != nil {
		return Remedies{}, err
	}
	needed := g.needed()
	r.MoreIsolation = max(0, needed-loss.Value)
	if r.LongestLead, r.LeadServes, err = g.longestLead(needed); err != nil {
		return Remedies{}, err
	}
	if r.ChangeoverKnown = g.Contact.Farads > 0; r.ChangeoverKnown {
		g.Kind = Changeover
		if r.ChangeoverLoss, err = g.leastLoss(); err != nil {
			return Remedies{}, err
		}
		r.ChangeoverServes = r.ChangeoverLoss.Value >= needed-withinDecibels
	}
	return r, nil
}

const (
	withinDecibels = 1e-6 // dB, by which a loss may miss what is needed by rounding
	withinMetres   = 1e-5 // m, to which the longest lead is found
)

// leastLoss returns the least insertion loss in dB over the band.
func (g Guard) leastLoss() (Worst, error) { return g.band().least(g.ladder(true).loss) }

// longestLead returns the longest lead in m whose loss is still what is needed,
// by halving: the loss falls as the lead grows.
func (g Guard) longestLead(needed float64) (lead float64, serves bool, err error) {
	enough := func(lead float64) (bool, error) {
		g.Lead = lead
		loss, err := g.leastLoss()
		return loss.Value >= needed-withinDecibels, err
	}
	if serves, err = enough(0); err != nil || !serves {
		return 0, false, err
	}
	if whole, err := enough(MostLead); err != nil || whole {
		return MostLead, true, err
	}
	low, high := 0.0, MostLead
	for high-low > withinMetres {
		middle := (low + high) / 2
		ok, err := enough(middle)
		if err != nil {
			return 0, false, err
		}
		if ok {
			low = middle
		} else {
			high = middle
		}
	}
	return low, true, nil
}
