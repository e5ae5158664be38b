// Package finding holds what the program has to say about a plan: findings
// are data, collected and sorted, never printed where they arise.
package finding

import (
	"cmp"
	"slices"
	"strings"
)

// Severity orders findings from a remark to a danger to life.
type Severity uint8

// The severities, mildest first. Good is the verdict of a plan whose findings
// are all notes, and of one without findings.
const (
	Good Severity = iota
	Note
	Caution
	Fail
	Danger
)

var severityNames = [...]string{"good", "note", "caution", "fail", "danger"}

// String returns the word used in reports and in JSON.
func (s Severity) String() string { return severityNames[s] }

// A Finding is one thing the reader of a plan must know.
type Finding struct {
	ID       string   // "return.heater_cathode": what it is about; never reused
	Severity Severity // on the bad end of low … high
	Title    string   // what kind of thing it is, in a few words: "Two-wire cord"
	At       string   // key path of what to change in the plan
	Says     string   // one sentence with its numbers
	Do       string   // one sentence that says what to do
	Source   string   // standard with year, "common practice", "computed", "from memory"
}

// Sort puts findings in the order in which they are reported: worst first,
// then by id, then by key path.
func Sort(findings []Finding) {
	slices.SortStableFunc(findings, func(a, b Finding) int {
		return cmp.Or(
			cmp.Compare(b.Severity, a.Severity),
			strings.Compare(a.ID, b.ID),
			strings.Compare(a.At, b.At),
		)
	})
}

// Verdict is the worst severity among findings; a plan with nothing worse
// than notes is good.
func Verdict(findings []Finding) Severity {
	worst := Good
	for _, f := range findings {
		worst = max(worst, f.Severity)
	}
	if worst == Note {
		return Good
	}
	return worst
}
