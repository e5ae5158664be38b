package report

import (
	"io"
	"strings"

	"mutewright/design"
	"mutewright/design/answer"
	"mutewright/design/finding"
	"mutewright/design/fitting"
)

// isMains tells whether a quantity or a finding belongs to the question of the
// mains.
func isMains(name string) bool { return strings.HasPrefix(name, "mains.") }

// OnlyMains returns what a design says about the mains alone: its quantities,
// findings with their verdict, and readings.
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
	return m
}

// Mains writes the question of the mains: the design is one of [OnlyMains].
func Mains(w io.Writer, d *design.Design) error {
	var p page
	p.verdict(d)
	p.findings(d.Findings)
	p.numbers("Leakage, fuse and discharge", d.Quantities.All(), func(answer.Quantity) bool { return true })
	p.assumed(d.Assumed)
	p.steps(d.Fitting.Readings)
	p.blank()
	p.paragraph("", "", closing)
	return p.writeTo(w)
}

func (p *page) steps(list []fitting.Reading) {
	if len(list) == 0 {
		return
	}
	p.heading("Steps: ohms first, then the shunted reading")
	for _, r := range list {
		p.reading(r)
	}
}

// The mains alone as JSON.
type jsonMains struct {
	jsonHead
	jsonPlan
	Quantities map[string]jsonQuantity `json:"quantities"`
	Findings   []jsonFinding           `json:"findings"`
	Readings   []jsonReading           `json:"readings"`
}

// MainsJSON writes the same as [Mains] as one JSON object; its entries are
// those of [CheckJSON].
func MainsJSON(w io.Writer, program string, d *design.Design) error {
	var n numbers
	out := jsonMains{
		jsonHead:   jsonHead{version, program},
		jsonPlan:   identify(d),
		Quantities: n.quantities(d.Quantities.All()),
		Findings:   findingsJSON(d.Findings),
		Readings:   n.readings(d.Fitting.Readings),
	}
	if n.err != nil {
		return n.err
	}
	return writeJSON(w, out)
}
