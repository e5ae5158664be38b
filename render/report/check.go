package report

import (
	"fmt"
	"io"
	"strings"

	"mutewright/design"
	"mutewright/design/answer"
	"mutewright/design/finding"
	"mutewright/design/fitting"
)

// What ends every report that someone may work by.
const (
	closing = "Worked out from the plan, not from the set: measure before you rely on a number. " + caution
	caution = "The usual cautions for live chassis apply. Local codes and a person licensed for such work decide; " +
		"this report certifies nothing."
)

// Check writes the report of a design: the verdict in the first line, then
// findings worst first, the numbers that decide, what was chosen and assumed,
// what to measure first, and the readings.
func Check(w io.Writer, d *design.Design) error {
	var p page
	p.verdict(d)
	p.findings(d.Findings)
	p.numbers("The numbers that decide", d.Quantities.All(), func(q answer.Quantity) bool {
		t, _ := lookUp(q.Name)
		return t.decisive
	})
	p.chosen(d.Chosen)
	p.assumed(d.Assumed)
	p.measureFirst(d.Measure)
	p.readings(d.Fitting.Readings)
	p.blank()
	p.paragraph("", "", closing)
	return p.writeTo(w)
}

func (p *page) verdict(d *design.Design) {
	word := strings.ToUpper(d.Verdict.String())
	p.mark(0, len(word), severityColours[d.Verdict])
	first := word + ": "
	p.paragraph(first, strings.Repeat(" ", len(first)), d.Title)
	p.paragraph("", "", about(d))
	if d.Refused {
		p.paragraph("", "", "No interface may be built on this set: no sheet and no diagram is written.")
	}
}

// about says which set and which plan file a report is about.
func about(d *design.Design) string {
	text := "plan " + short(d.Fingerprint)
	if d.Head.Set != "" {
		text = d.Head.Set + ", " + text
	}
	if d.Head.DrawnBy != "" {
		text += ", drawn by " + d.Head.DrawnBy
	}
	if d.Head.Date != "" {
		text += ", " + d.Head.Date
	}
	return text
}

// short is what people compare of a fingerprint.
func short(fingerprint string) string { return fingerprint[:min(12, len(fingerprint))] }

func (p *page) findings(findings []finding.Finding) {
	p.heading("Findings" + tally(findings))
	for _, f := range findings {
		p.finding(f)
	}
}

// tally counts findings by severity, worst first: ": 1 danger, 2 caution".
func tally(findings []finding.Finding) string {
	if len(findings) == 0 {
		return ": none"
	}
	var counts [finding.Danger + 1]int
	for _, f := range findings {
		counts[f.Severity]++
	}
	var parts []string
	for s := finding.Danger; s >= finding.Note; s-- {
		if counts[s] > 0 {
			parts = append(parts, count(counts[s], s.String()))
		}
	}
	return ": " + strings.Join(parts, ", ")
}

// count writes a number of things: "1 fail", "3 cautions".
func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func (p *page) finding(f finding.Finding) {
	p.mark(2, len(f.Severity.String()), severityColours[f.Severity])
	p.paragraph(fmt.Sprintf("  %-8s ", f.Severity), "           ", f.ID+" at "+f.At)
	const in = "           "
	p.paragraph(in, in, f.Says)
	if f.Do != "" {
		p.paragraph(in+"Do: ", in+"    ", f.Do)
	}
	if f.Source != "" {
		p.paragraph(in+"Source: ", in+"        ", f.Source)
	}
	p.gloss(in, f.Says+"\n"+f.Do)
}

// numbers writes the wanted quantities as a table, low, nominal and high.
func (p *page) numbers(head string, all []answer.Quantity, wanted func(answer.Quantity) bool) {
	t := Table{Columns: []Column{
		{Head: "quantity"}, {Head: "low", Right: true}, {Head: "nominal", Right: true}, {Head: "high", Right: true}, {Wraps: true, Below: true},
	}}
	for _, q := range all {
		if !wanted(q) {
			continue
		}
		words, _ := lookUp(q.Name)
		low, nominal, high := q.Text(q.Low), q.Text(q.Nominal), q.Text(q.High)
		if low == high {
			low, high = "", "" // nothing about it is uncertain
		}
		t.Rows = append(t.Rows, []string{q.Name, low, nominal, high, words.words})
	}
	if len(t.Rows) == 0 {
		return
	}
	p.heading(head)
	p.table("  ", t)
	p.glossRows(t)
	if rest := len(all) - len(t.Rows); rest > 0 {
		p.paragraph("  ", "  ", fmt.Sprintf("(%d more with --format csv; how one came about: mutewright why PLAN QUANTITY)", rest))
	}
}

// glossRows explains the words of the trade in the last column of a table, under it.
func (p *page) glossRows(t Table) {
	for _, row := range t.Rows {
		p.gloss("  ", row[len(row)-1])
	}
}

func (p *page) chosen(list []design.Chosen) {
	if len(list) == 0 {
		return
	}
	t := reasons()
	for _, c := range list {
		t.Rows = append(t.Rows, []string{c.At, c.Value, c.Why})
	}
	p.heading("Chosen")
	p.table("  ", t)
}

func (p *page) assumed(list []design.Assumed) {
	if len(list) == 0 {
		return
	}
	t := reasons()
	for _, a := range list {
		t.Rows = append(t.Rows, []string{a.At, a.Value, a.Why})
	}
	p.heading("Assumed, because the plan leaves it out")
	p.table("  ", t)
}

// reasons is a table of key path, value and reason.
func reasons() Table { return Table{Columns: []Column{{}, {}, {Wraps: true, Below: true}}} }

func (p *page) measureFirst(list []design.Measure) {
	if len(list) == 0 {
		return
	}
	t := reasons()
	for _, m := range list {
		t.Rows = append(t.Rows, []string{m.Decides, m.At, m.Safe + of(m) + but(m)})
	}
	p.heading("Measure these first: a finding hangs on each, and is not there when it reads so")
	p.table("  ", t)
}

// of says which of the things that a finding judges a measurement decides.
func of(m design.Measure) string {
	if m.Of == "" {
		return ""
	}
	return " (" + m.Of + ")"
}

// but says that another line asks for the contrary.
func but(m design.Measure) string {
	if m.Contrary == "" {
		return ""
	}
	return "; no reading settles " + m.Contrary + " too"
}

func (p *page) readings(list []fitting.Reading) {
	if len(list) == 0 {
		return
	}
	p.heading("Readings, in the order of the work")
	var last fitting.Reading
	for _, r := range list {
		if r.State != last.State {
			p.paragraph("  ", "  ", r.State)
		}
		const in = "         "
		p.paragraph(fmt.Sprintf("    %-4s ", r.ID), in, where(r))
		if r.Why != "" && r.Why != last.Why { // a reason just given is not given again
			p.paragraph(in, in, r.Why)
		}
		last = r
	}
}

// where says between what a reading is taken, on which meter, with the control
// where, and what is expected.
func where(r fitting.Reading) string {
	var places []string
	for _, place := range r.Between {
		if place != "" {
			places = append(places, strings.TrimSpace(place))
		}
	}
	what := []string{strings.Join(places, " to "), r.Meter}
	if r.Control != "" {
		what = append(what, r.Control)
	}
	return strings.Join(append(what, r.Expected()), "; ")
}
