package contact

import (
	"fmt"
	"slices"
)

// Form is what a pole can do, by the letters of the trade.
type Form byte

// The forms.
const (
	A Form = 'A' // make
	B Form = 'B' // break
	C Form = 'C' // changeover
)

// Throw is the half of a pole that a point needs.
type Throw uint8

// The throws. Both is a true changeover: common, break and make all wired.
const (
	Break Throw = iota
	Make
	Both
)

// Gives tells whether a pole of this form has the throw.
func (f Form) Gives(t Throw) bool {
	switch f {
	case A:
		return t == Make
	case B:
		return t == Break
	case C:
		return true
	}
	return false
}

// Demand is one point's want of one pole. A point that needs several poles
// (two cathodes cut apart, two antenna legs) makes several demands of one name.
type Demand struct {
	Name  string // of the return or point, as in a relay's Serves
	Throw Throw
	Dry   bool // an antenna or audio point: comes after the returns
	Load  Load // volts when open, amperes when closed; for the caller's own use
}

// Relay is one relay of the plan.
type Relay struct {
	Form   Form
	Poles  int
	Serves []string // names of demands; empty: whatever comes
	Dry    bool     // its contacts are rated for a dry circuit
}

// Contact is a pole that serves a demand.
type Contact struct {
	Letter string // K1a, K1b, … K2a
	Relay  int    // index of the relay
	Pole   int    // from 0
	Throw  Throw
	Demand int // index of the demand
}

// Reason is why a demand got no pole.
type Reason uint8

// The reasons, the one that is hardest to mend last.
const (
	TooFewPoles Reason = iota // relays of the right form are full
	WrongForm                 // free poles are left, of another form
	NotServed                 // no relay's list of what it serves names the point
)

// Refusal is a demand that got no pole.
type Refusal struct {
	Demand int
	Reason Reason
}

// Assignment is who got which pole.
type Assignment struct {
	Contacts []Contact // in the order of their letters
	Refusals []Refusal // in the order of the demands
	Spare    []int     // poles left of each relay
}

// Assign gives every demand a pole of its own: first the returns in the order
// given, then the dry points in the order given. A demand goes to the first
// relay that may serve it, has the form and has a pole left; one that lists it
// by name comes before one that takes what comes, and after that a dry point
// looks for a dry contact first, and a return leaves those for last. Two points
// never share the two throws of a pole: the common would join them.
func Assign(demands []Demand, relays []Relay) Assignment {
	used := make([]int, len(relays))
	var result Assignment
	for _, d := range inOrder(demands) {
		demand := demands[d]
		candidates := rank(demand, relays)
		reason := NotServed
		given := false
		for _, r := range candidates {
			free, fits := used[r] < relays[r].Poles, relays[r].Form.Gives(demand.Throw)
			if free && fits {
				result.Contacts = append(result.Contacts, Contact{
					Letter: letter(r, used[r]), Relay: r, Pole: used[r], Throw: demand.Throw, Demand: d,
				})
				used[r]++
				given = true
				break
			}
			switch {
			case fits:
				reason = TooFewPoles
			case reason == NotServed:
				reason = WrongForm
			}
		}
		if !given {
			result.Refusals = append(result.Refusals, Refusal{Demand: d, Reason: reason})
		}
	}
	slices.SortFunc(result.Contacts, func(a, b Contact) int {
		if a.Relay != b.Relay {
			return a.Relay - b.Relay
		}
		return a.Pole - b.Pole
	})
	slices.SortFunc(result.Refusals, func(a, b Refusal) int { return a.Demand - b.Demand })
	for r, relay := range relays {
		result.Spare = append(result.Spare, max(relay.Poles-used[r], 0))
	}
	return result
}

// inOrder lists the returns, then the dry points.
func inOrder(demands []Demand) []int {
	var wet, dry []int
	for n, d := range demands {
		if d.Dry {
			dry = append(dry, n)
		} else {
			wet = append(wet, n)
		}
	}
	return append(wet, dry...)
}

// rank lists the relays that may serve a demand, the best first.
func rank(d Demand, relays []Relay) []int {
	var list []int
	class := make([]int, len(relays))
	for r, relay := range relays {
		named := slices.Contains(relay.Serves, d.Name)
		if !named && len(relay.Serves) > 0 {
			continue
		}
		if !named {
			class[r] += 2
		}
		if relay.Dry != d.Dry {
			class[r]++
		}
		list = append(list, r)
	}
	slices.SortStableFunc(list, func(a, b int) int { return class[a] - class[b] })
	return list
}

// letter names a pole as on the diagram: relay from 1, pole from a. No relay of
// the trade has more than 26 poles.
func letter(relay, pole int) string {
	return fmt.Sprintf("K%d%c", relay+1, 'a'+pole)
}
