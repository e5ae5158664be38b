package report

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"mutewright/design/answer"
	"mutewright/design/finding"
	"mutewright/design/mains"
	"mutewright/design/quantity"
	"mutewright/design/rule"
)

// A Backward is what readings between chassis and earth say of a set's mains
// side, with the readings they came from.
type Backward struct {
	Volts, Hertz float64 // of the mains, V rms and Hz
	Cord         mains.Cord
	Readings     []mains.Reading
	Inferred     mains.Backward
}

// Verdict judges the high end of the touch current by the limits of the cord.
// Readings that do not decide are a caution: nothing is known to be good.
func (b Backward) Verdict() finding.Severity {
	if b.Inferred.Touch.Reason != mains.Decided {
		return finding.Caution
	}
	return b.judge(b.Cord)
}

func (b Backward) judge(c mains.Cord) finding.Severity {
	switch mains.Judge(c, b.Inferred.Touch.High).Class {
	case mains.Good:
		return finding.Good
	case mains.Caution:
		return finding.Caution
	}
	return finding.Danger
}

// An inferred is one result of readings under its name.
type inferred struct {
	name, words string
	unit        quantity.Unit
	is          mains.Inference
}

func (b Backward) results() []inferred {
	return []inferred{
		{"mains.touch_current", "touch current", quantity.Current, b.Inferred.Touch},
		{"mains.source.voltage", "voltage behind it, open", quantity.Voltage, b.Inferred.Volts},
		{"mains.source.capacitance", "capacitance to the mains", quantity.Capacitance, b.Inferred.Farads},
	}
}

// Quantities returns what the readings decide.
func (b Backward) Quantities() []answer.Quantity {
	var list []answer.Quantity
	for _, r := range b.results() {
		if r.is.Reason == mains.Decided {
			list = append(list, answer.Quantity{Name: r.name, Unit: r.unit, Nominal: r.is.Nominal, Low: r.is.Low, High: r.is.High})
		}
	}
	return list
}

// undecided says why readings leave a result open.
func undecided(r mains.Reason, line float64) string {
	switch r {
	case mains.OneLoad:
		return "one load cannot tell voltage and capacitance apart: read again on another load, 1.5 kΩ for the touch current"
	case mains.AtMains:
		return "a reading near the mains voltage decides nothing: 2 nF, 0.2 µF and a dead short read alike. Ohm check, then read on 1.5 kΩ"
	case mains.Alike:
		return "two loads read alike within the meter's accuracy: read on a much lower load, 1.5 kΩ"
	case mains.InProportion:
		return "readings rise as their loads do: read on a higher load as well"
	case mains.Contradictory:
		return "a lower load reads more than a higher one, or a higher one more than in proportion: plug and switch did not stand alike, or the path is no capacitor. Ohm check"
	case mains.AboveMains:
		return "a reading exceeds " + quantity.Format(line, quantity.Voltage) + " with its tolerance: wrong mains voltage, or another source. Stop until it is found"
	}
	return "nothing was measured: put a known load between chassis and earth and read again"
}

// Text writes what the readings say, by which limits, and the ohm check that
// comes before any of it.
func (b Backward) Text(w io.Writer) error {
	var p page
	p.mark(0, len(b.Verdict().String()), severityColours[b.Verdict()])
	p.paragraph("", "  ", fmt.Sprintf("%s: readings on a mains of %s, %s; %s cord", strings.ToUpper(b.Verdict().String()),
		quantity.Format(b.Volts, quantity.Voltage), quantity.Format(b.Hertz, quantity.Frequency), b.Cord))

	p.heading("From the readings")
	t := Table{Columns: []Column{{}, {Wraps: true}}}
	for _, r := range b.results() {
		t.Rows = append(t.Rows, []string{r.words, b.value(r)})
	}
	p.table("  ", t)
	for _, i := range b.Inferred.Against {
		p.paragraph("  ", "  ", fmt.Sprintf("Reading %d does not fit the others: plug or switch stood otherwise, or the path is no capacitor.", i+1))
	}
	if b.Inferred.Touch.Reason == mains.Decided {
		p.limits(b)
	}
	p.heading("Readings, chassis to earth, one state of plug and switch")
	for i, r := range b.Readings {
		p.paragraph("  ", "  ", fmt.Sprintf("%d  %s ± %s on %s", i+1, quantity.Format(r.Volts, quantity.Voltage),
			quantity.Format(r.Accuracy, quantity.Percentage), quantity.Format(r.Ohms, quantity.Resistance)))
	}
	p.ohmCheck(b)
	p.blank()
	p.paragraph("", "", "Repeat in all four states: plug both ways, switch on and off. The worst counts.")
	p.paragraph("", "", caution)
	return p.writeTo(w)
}

func (b Backward) value(r inferred) string {
	if r.is.Reason != mains.Decided {
		return "undetermined: " + undecided(r.is.Reason, b.Volts)
	}
	var from []string
	for _, n := range slices.Sorted(slices.Values(r.is.From)) {
		from = append(from, strconv.Itoa(n+1))
	}
	q := answer.Quantity{Unit: r.unit, Nominal: r.is.Nominal, Low: r.is.Low, High: r.is.High}
	return span(q) + ", from reading " + strings.Join(from, " and ")
}

// limits holds the touch current against the steps of both cords.
func (p *page) limits(b Backward) {
	p.heading("Limits of the touch current")
	for _, c := range []mains.Cord{mains.TwoWire, mains.ThreeWire} {
		j := mains.Judge(c, b.Inferred.Touch.High)
		p.paragraph(fmt.Sprintf("  %-7s  ", b.judge(c)), strings.Repeat(" ", 11), fmt.Sprintf("%s (%s)", rule.TouchWords(c, j), j.Tier.Standard))
	}
}

// ohmCheck lists what resistance from each prong to chassis means. It comes
// first: a resistor of 1.5 kΩ on a dead short takes 10 to 35 W.
func (p *page) ohmCheck(b Backward) {
	o := mains.OhmThresholds(b.Volts)
	ohms := func(v float64) string { return quantity.Format(v, quantity.Resistance) }
	p.heading("Ohm check before any load: unplugged, switch on, each prong to chassis")
	p.table("  ", Table{Columns: []Column{{}, {Wraps: true}}, Rows: [][]string{
		{"both above " + ohms(o.Clear), "no resistive path; capacitors do not show"},
		{ohms(o.Bleeder) + " … " + ohms(o.Clear), "a bleeder or surface leakage: find it"},
		{ohms(o.Touch) + " … " + ohms(o.Bleeder), "a leaky capacitor, or the float link of series heaters: stop until it is found"},
		{"below " + ohms(o.Touch), "more than 0.5 mA: stop"},
		{"near 0 from one prong", "chassis tied to the mains, or a heater string: no connection of any kind without an isolation transformer"},
		{"low from both", "transformer or autotransformer fault: stop"},
	}})
}

// The readings and what they say as JSON.
type (
	jsonBackward struct {
		jsonHead
		Verdict      string                  `json:"verdict"`
		Voltage      float64                 `json:"voltage"`
		Frequency    float64                 `json:"frequency"`
		Cord         string                  `json:"cord"`
		Readings     []jsonLoad              `json:"readings"`
		Quantities   map[string]jsonQuantity `json:"quantities"`
		Undetermined []jsonUndetermined      `json:"undetermined"`
	}
	jsonLoad struct {
		Volts    float64 `json:"volts"`
		Ohms     float64 `json:"ohms"`
		Accuracy float64 `json:"accuracy"`
	}
	jsonUndetermined struct {
		Name string `json:"name"`
		Why  string `json:"why"`
	}
)

// JSON writes the same as [Backward.Text] as one JSON object.
func (b Backward) JSON(w io.Writer, program string) error {
	var n numbers
	out := jsonBackward{
		jsonHead:     jsonHead{version, program},
		Verdict:      b.Verdict().String(),
		Voltage:      n.six("voltage", b.Volts),
		Frequency:    n.six("frequency", b.Hertz),
		Cord:         b.Cord.String(),
		Readings:     []jsonLoad{},
		Quantities:   n.quantities(b.Quantities()),
		Undetermined: []jsonUndetermined{},
	}
	for _, r := range b.Readings {
		out.Readings = append(out.Readings, jsonLoad{n.six("reading", r.Volts), n.six("reading", r.Ohms), n.six("reading", r.Accuracy)})
	}
	for _, r := range b.results() {
		if r.is.Reason != mains.Decided {
			out.Undetermined = append(out.Undetermined, jsonUndetermined{r.name, plain(undecided(r.is.Reason, b.Volts))})
		}
	}
	if n.err != nil {
		return n.err
	}
	return writeJSON(w, out)
}
