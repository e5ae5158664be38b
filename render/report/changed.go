package report

import (
	"fmt"
	"io"

	"mutewright/design"
	"mutewright/design/finding"
)

// changedSGR is how a line of what changed stands out on a terminal: bold. Its words
// say the same.
const changedSGR = "1"

// Changed writes what the later of two designs of a plan says otherwise: the
// verdict, findings that came and went, values that were chosen, and every quantity
// that prints differently, as "was 14.2 V, now 12.9 V".
func Changed(w io.Writer, before, now *design.Design) error {
	var p page
	p.heading("Changed since the last time")
	if before.Verdict != now.Verdict {
		p.changed("verdict", before.Verdict.String(), now.Verdict.String())
	}
	for _, list := range []struct {
		word     string
		findings []finding.Finding
	}{{"gone", missing(before.Findings, now.Findings)}, {"new", missing(now.Findings, before.Findings)}} {
		for _, f := range list.findings {
			p.paragraph("  ", "    ", list.word+": "+f.Severity.String()+" "+f.ID+" at "+f.At)
		}
	}
	was := map[string]string{}
	for _, c := range before.Chosen {
		was[c.At] = c.Value
	}
	for _, c := range now.Chosen {
		if old, ok := was[c.At]; ok && old != c.Value {
			p.changed(c.At, old, c.Value)
		}
	}
	same := 0
	for _, q := range pairs(before, now) {
		old, new := side(q.a), side(q.b)
		if old == new {
			same++
			continue
		}
		p.changed(q.name, old, new)
	}
	p.paragraph("  ", "  ", fmt.Sprintf("%d quantities are the same.", same))
	return p.writeTo(w)
}

// changed writes one thing that is otherwise than it was.
func (p *page) changed(name, was, now string) {
	p.mark(2, len(Harmless(name)), changedSGR)
	p.paragraph("  ", "      ", name+": was "+noBreakSpaces(was)+", now "+noBreakSpaces(now))
}
