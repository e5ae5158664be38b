// Package design works out a muting interface from a plan: it fills in what
// the plan leaves out, chooses what the plan leaves to it, asks the questions,
// judges the answers and fits parts, wires and readings.
package design

import (
	"mutewright/design/answer"
	"mutewright/design/finding"
	"mutewright/design/fitting"
	"mutewright/design/known"
)

// A Design is everything the program has to say about one plan.
type Design struct {
	Title       string
	Fingerprint string // SHA-256 of the plan file, hex
	Head        Head
	Refused     bool // no interface may be built: no sheet, no diagram

	Quantities answer.Set
	Findings   []finding.Finding // sorted, worst first
	Verdict    finding.Severity
	Chosen     []Chosen
	Assumed    []Assumed
	Measure    []Measure
	Fitting    fitting.Fitting
	Places     []Place // where voltage stands, highest first
	Limits     []Limit // what the results are held against

	// What the plots are worked out from.
	facts   *known.Facts
	answers *answer.Answers
}

// Head is what the title block of the sheet says.
type Head struct {
	Set, DrawnBy, Date, Transmitter, Chassis string

	MutesWhen string // the key line: "grounded", "opened", "raised"
	OnReceive bool   // the relay is energised on receive
	Discharge Discharge
}

// Discharge is the tool with which rails are emptied.
type Discharge struct{ Ohms, Watts float64 }

// Chosen is one value that the plan left to the program.
type Chosen struct {
	At    string // "relay.dropper"
	Value string // "100 Ω"
	Plain string // as the plan would write it: "100 ohm"
	Why   string
}

// Assumed is one value that the plan left out.
type Assumed struct {
	At    string
	Value string // "5 kΩ (3 kΩ … 8 kΩ)"
	Plain string // "5 kohm"
	Range string // "3 kohm .. 8 kohm"; "": no doubt
	Why   string
}

// Measure is one value to measure before the work, because a verdict hangs on it.
type Measure struct {
	At       string
	Decides  string // the id of the finding
	Of       string // the result that the finding judges, in words: "ht, muted, on its capacitors"
	Safe     string // "below 430 ohm"
	Contrary string // the id of a finding for which another line asks for a reading that this one rules out; "" where none does
}
