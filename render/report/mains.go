package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"mutewright/design"
	"mutewright/design/answer"
	"mutewright/design/fitting"
)

// Mains writes the question of the mains: the design is one of [design.Mains].
func Mains(w io.Writer, d *design.Design) error {
	var p page
	p.verdict(d)
	p.findings(d.Findings)
	p.numbers("Leakage, fuse and discharge", figures(d.Quantities.All()), func(answer.Quantity) bool { return true })
	p.assumed(d.Assumed)
	p.measureFirst(d.Measure)
	n := p.steps("Before anything is connected", 0, d.Fitting.Mains.Before)
	p.steps("Before the key cable goes on", n, d.Fitting.Mains.After)
	p.blank()
	p.paragraph("", "", closing)
	return p.writeTo(w)
}

// figures leaves out what a meter reads in one state of plug and switch: that
// stands among the steps.
func figures(all []answer.Quantity) []answer.Quantity {
	return slices.DeleteFunc(slices.Clone(all), func(q answer.Quantity) bool { return strings.Count(q.Name, ".") > 1 })
}

// steps writes steps, numbered on from n, and returns the number of the last.
func (p *page) steps(head string, n int, list []fitting.Step) int {
	if len(list) == 0 {
		return n
	}
	p.heading(head)
	for _, s := range list {
		n++
		p.blank()
		p.paragraph(fmt.Sprintf("%3d  ", n), "     ", s.Title)
		for _, do := range s.Do {
			p.paragraph("     - ", "       ", do)
		}
		p.decisions(s.Decide)
		p.blanks(s.Readings)
	}
	return n
}

func (p *page) decisions(list []fitting.Decision) {
	if len(list) == 0 {
		return
	}
	t := Table{Columns: []Column{{Head: "reads"}, {Head: "means", Wraps: true}, {Head: "do", Wraps: true}}}
	for _, d := range list {
		t.Rows = append(t.Rows, []string{d.Reads, d.Means, d.Do})
	}
	p.table("     ", t)
}

// blanks writes readings with room to write down what was read, then why, each
// reason once. Readings at one place stand together under its name.
func (p *page) blanks(list []fitting.Reading) {
	var reasons []string
	of := map[string][]string{}
	for _, r := range list {
		if of[r.Why] == nil {
			reasons = append(reasons, r.Why)
		}
		of[r.Why] = append(of[r.Why], r.ID)
	}
	for len(list) > 0 {
		n := 1
		for n < len(list) && slices.Equal(list[n].Between, list[0].Between) {
			n++
		}
		p.place(list[:n])
		list = list[n:]
	}
	for _, why := range reasons {
		p.paragraph("     "+strings.Join(of[why], ", ")+": ", "       ", why)
	}
}

// place writes the readings at one place.
func (p *page) place(list []fitting.Reading) {
	p.paragraph("     ", "       ", strings.Join(list[0].Between, " to "))
	t := Table{Columns: []Column{{}, {Wraps: true}, {}, {}}}
	for _, r := range list {
		t.Rows = append(t.Rows, []string{r.ID, r.Meter, "expect " + r.Expected(), "read ________"})
	}
	p.table("       ", t)
}

// The mains alone as JSON.
type jsonMains struct {
	jsonHead
	jsonPlan
	Quantities map[string]jsonQuantity `json:"quantities"`
	Findings   []jsonFinding           `json:"findings"`
	Before     []jsonStep              `json:"before"`
	After      []jsonStep              `json:"after"`
	Readings   []jsonReading           `json:"readings"`
}

// A step of the mains test; its readings are named.
type jsonStep struct {
	Title    string         `json:"title"`
	Do       []string       `json:"do"`
	Decide   []jsonDecision `json:"decide"`
	Readings []string       `json:"readings"`
}

type jsonDecision struct {
	Reads string `json:"reads"`
	Means string `json:"means"`
	Do    string `json:"do"`
}

func stepsJSON(steps []fitting.Step) []jsonStep {
	list := []jsonStep{}
	for _, s := range steps {
		j := jsonStep{Title: plain(s.Title), Do: []string{}, Decide: []jsonDecision{}, Readings: []string{}}
		for _, do := range s.Do {
			j.Do = append(j.Do, plain(do))
		}
		for _, d := range s.Decide {
			j.Decide = append(j.Decide, jsonDecision{plain(d.Reads), plain(d.Means), plain(d.Do)})
		}
		for _, r := range s.Readings {
			j.Readings = append(j.Readings, r.ID)
		}
		list = append(list, j)
	}
	return list
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
		Before:     stepsJSON(d.Fitting.Mains.Before),
		After:      stepsJSON(d.Fitting.Mains.After),
		Readings:   n.readings(d.Fitting.Readings),
	}
	if n.err != nil {
		return n.err
	}
	return writeJSON(w, out)
}
