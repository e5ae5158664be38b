package report

import (
	"strings"

	"mutewright/design"
	"mutewright/design/finding"
)

// isMains tells whether a quantity or a finding belongs to the question of the
// mains.
func isMains(name string) bool { return strings.HasPrefix(name, "mains.") }

// OnlyMains keeps of a sample what [design.Mains] would say of it.
func OnlyMains(d *design.Design) *design.Design {
	m := &design.Design{Title: d.Title, Fingerprint: d.Fingerprint, Head: d.Head, Refused: d.Refused}
	for _, q := range d.Quantities.All() {
		if isMains(q.Name) {
			m.Quantities.Add(q)
		}
	}
	for _, f := range d.Findings {
		if isMains(f.ID) {
			m.Findings = append(m.Findings, f)
		}
	}
	m.Verdict = finding.Verdict(m.Findings)
	for _, a := range d.Assumed {
		if strings.HasPrefix(a.At, "receiver.mains.") {
			m.Assumed = append(m.Assumed, a)
		}
	}
	for _, r := range d.Fitting.Readings {
		if r.State == "mains" {
			m.Fitting.Readings = append(m.Fitting.Readings, r)
		}
	}
	m.Fitting.Mains = d.Fitting.Mains
	return m
}
