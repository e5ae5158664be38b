// Package known turns a plan into the numbers that the questions need: every
// value with its doubt and with where it came from. What the plan leaves out is
// taken from one table of usual values; what the catalogue knows is looked up.
//
// The numbers stand in one flat [Box]. The structs of [Facts] say what the set
// is and hold places in that box, so that the same facts can be asked about at
// any other point of it: the worst case, a sample and a threshold are the same
// questions with another x.
package known

import (
	"math"

	"mutewright/design/quantity"
)

// Origin says where a number came from.
type Origin uint8

// The origins.
const (
	Given     Origin = iota // the plan says so
	Assumed                 // the plan leaves it out or says unknown
	Looked                  // the catalogue says so
	Chosen                  // the program chose it
	Tolerance               // nobody says: the usual spread of parts, tubes and laws
)

var origins = [...]string{"plan", "assumed", "catalogue", "chosen", "usual spread"}

// String returns the word for reports: "plan", "assumed", "catalogue".
func (o Origin) String() string { return origins[o] }

// An Entry is one number of the box with its doubt. Low ≤ Nominal ≤ High.
type Entry struct {
	At                 string // key path in the plan
	Unit               quantity.Unit
	Nominal, Low, High float64 // SI base units
	Origin             Origin
	Because            string // why it was assumed, or the source of its figure
	Line               int    // of the plan's file, where it stands there; else 0
	Setting            int    // N of --set N, where that gives it; else 0
	Behind             ID     // the number that must stand at its high end for this one to act; 0: none
}

// Certain tells whether the entry has no doubt.
func (e Entry) Certain() bool { return e.Low == e.High }

// A Box is all the numbers of a plan.
type Box []Entry

// An ID is the place of a number in the box. The zero ID is no number at all,
// so that a struct says by itself what does not exist.
type ID int

// Exists tells whether there is such a number.
func (id ID) Exists() bool { return id != 0 }

// Of returns the number at a point of the box; 0 where it does not exist.
func (id ID) Of(x []float64) float64 {
	if id == 0 {
		return 0
	}
	return x[id-1]
}

// Index is the position in the box, for callers that keep lists of inputs.
func (id ID) Index() int { return int(id) - 1 }

// Add appends an entry and returns its place. Ends that rounding or a mistake
// has put on the wrong side of nominal are moved to it.
func (b *Box) Add(e Entry) ID {
	if math.IsNaN(e.Nominal) || math.IsInf(e.Nominal, 0) {
		panic("known: " + e.At + " is not a finite number")
	}
	e.Low, e.High = min(e.Low, e.Nominal), max(e.High, e.Nominal)
	*b = append(*b, e)
	return ID(len(*b))
}

// Nominal is the point at which every number is nominal.
func (b Box) Nominal() []float64 {
	x := make([]float64, len(b))
	for i, e := range b {
		x[i] = e.Nominal
	}
	return x
}

// Entry returns the entry at id, which must exist.
func (b Box) Entry(id ID) Entry { return b[id-1] }

// Fix replaces the number at id by a chosen one with its tolerance, relative.
func (b Box) Fix(id ID, value, tolerance float64, because string) {
	e := &b[id-1]
	e.Nominal, e.Low, e.High = value, value*(1-tolerance), value*(1+tolerance)
	e.Origin, e.Because = Chosen, because
}

// Credit says of a number that stands in the plan because the program put it
// there, with its relay, that it was chosen, and why.
func (b Box) Credit(at, because string) {
	for i := range b {
		if e := &b[i]; e.At == at && e.Origin == Given {
			e.Origin, e.Because = Chosen, because
		}
	}
}
