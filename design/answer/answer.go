// Package answer asks the six questions of the physics rooms about known
// facts and keeps what they answer: every result with its low, nominal and
// high value, its unit and its working.
package answer

import (
	"slices"
	"strings"

	"mutewright/design/quantity"
)

// A Quantity is one result. Low ≤ Nominal ≤ High always; they are equal where
// nothing is uncertain.
type Quantity struct {
	Name               string // "drive.coil.voltage"
	Unit               quantity.Unit
	Nominal, Low, High float64 // SI base units
	Most               float64 // where it is counted no further; 0: nowhere
	Working            Working

	asked *asked // how to ask again; nil where it was not found over the box, or by itself decides nothing
	came  *asked // how it came about; nil where it was not found over the box
}

// Working says how a result came about.
type Working struct {
	Formula string   // "coil voltage × R(T) / R(20 °C) …"
	Source  string   // standard, handbook or "computed by the circuit solver"
	Inputs  []Input  // what went in, at nominal
	Doubts  []Effect // the inputs that carry the doubt, most first
	Steps   []Step   // what was found on the way, where that stands already; see [Answers.Account]
	LowBy   string   // the corner that set the low end, where it has a name; else ""
	HighBy  string   // the same of the high end
}

// A Step is one value on the way to a result.
type Step struct {
	Name               string // of a quantity, or what it is in words
	Unit               quantity.Unit
	Nominal, Low, High float64 // Low is its value where the result is lowest; NaN where it does not exist
	Most               float64 // where it is counted no further; 0: nowhere
}

// An Input is one number that went into a result.
type Input struct {
	At      string // key path in the plan, or catalogue entry
	Value   string // formatted with its unit
	Origin  string // "plan", "assumed", "catalogue", "chosen"
	Because string // why it was assumed, or its source
	Line    int    // of the plan's file; 0 where it does not stand there
	Setting int    // N of --set N; 0 where none gives it
}

// An Effect is how far one uncertain input moves a result.
type Effect struct {
	At        string
	Low, High float64 // the result with this input at its low and high end, all else nominal
}

// A Set is the results of one design in the order in which they were asked.
type Set struct {
	list   []Quantity
	byName map[string]int
}

// Add appends q; a name stands once, so a second one is a mistake of ours.
func (s *Set) Add(q Quantity) {
	if s.byName == nil {
		s.byName = map[string]int{}
	}
	if _, twice := s.byName[q.Name]; twice {
		panic("answer: " + q.Name + " answered twice")
	}
	s.byName[q.Name] = len(s.list)
	s.list = append(s.list, q)
}

// Get returns the quantity of that name; ok is false where it does not exist.
func (s *Set) Get(name string) (q Quantity, ok bool) {
	i, ok := s.byName[name]
	if !ok {
		return Quantity{}, false
	}
	return s.list[i], true
}

// All returns the quantities in the order in which they were asked.
func (s *Set) All() []Quantity { return s.list }

// Names returns the names of all quantities, sorted.
func (s *Set) Names() []string {
	names := make([]string, len(s.list))
	for i, q := range s.list {
		names[i] = q.Name
	}
	slices.SortFunc(names, strings.Compare)
	return names
}
