package report

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode/utf16"

	"mutewright/design"
	"mutewright/design/answer"
	"mutewright/design/finding"
	"mutewright/design/fitting"
	"mutewright/design/quantity"
)

// version is the number of the result format.
const version = 1

// The result as JSON; the fields stand in the order of the contract. Lists are
// never null.
type (
	jsonHead struct {
		Result  int    `json:"result"`
		Program string `json:"program"`
	}
	jsonPlan struct {
		Title   string `json:"title"`
		SHA256  string `json:"plan_sha256"`
		Verdict string `json:"verdict"`
	}
	jsonResult struct {
		jsonHead
		jsonPlan
		Quantities   map[string]jsonQuantity `json:"quantities"` // encoding/json sorts the names
		Findings     []jsonFinding           `json:"findings"`
		Chosen       map[string]string       `json:"chosen"`
		Assumed      []jsonAssumed           `json:"assumed"`
		MeasureFirst []jsonMeasure           `json:"measure_first"`
		Parts        []jsonPart              `json:"parts"`
		Wires        []jsonWire              `json:"wires"`
		Readings     []jsonReading           `json:"readings"`
	}
	jsonQuantity struct {
		Unit    string  `json:"unit"`
		Nominal float64 `json:"nominal"`
		Low     float64 `json:"low"`
		High    float64 `json:"high"`
	}
	jsonFinding struct {
		ID       string `json:"id"`
		Severity string `json:"severity"`
		At       string `json:"at"`
		Says     string `json:"says"`
		Do       string `json:"do"`
		Source   string `json:"source"`
	}
	jsonAssumed struct {
		At    string `json:"at"`
		Value string `json:"value"`
		Range string `json:"range,omitempty"` // of what was assumed
		Why   string `json:"why"`
	}
	jsonMeasure struct {
		At      string `json:"at"`
		Decides string `json:"decides"`
		Safe    string `json:"safe"`
	}
	jsonPart struct {
		Ref    string `json:"ref"`
		What   string `json:"what"`
		Value  string `json:"value"`
		Rating string `json:"rating"`
		Why    string `json:"why"`
	}
	jsonWire struct {
		ID         string  `json:"id"`
		From       string  `json:"from"`
		To         string  `json:"to"`
		Colour     string  `json:"colour"`
		Size       string  `json:"size"`
		Insulation float64 `json:"insulation"`
		Carries    string  `json:"carries"`
	}
	jsonReading struct {
		ID      string   `json:"id"`
		State   string   `json:"state"`
		Between []string `json:"between"`
		Meter   string   `json:"meter"`
		Control string   `json:"control,omitempty"` // beyond the contract's example: which end of the control
		Unit    string   `json:"unit"`
		Low     float64  `json:"low"`
		High    float64  `json:"high"`
		Why     string   `json:"why"`
	}
)

// CheckJSON writes the whole result as one JSON object. Program is its
// "program" entry.
func CheckJSON(w io.Writer, program string, d *design.Design) error {
	var n numbers
	r := jsonResult{
		jsonHead:     jsonHead{version, program},
		jsonPlan:     identify(d),
		Quantities:   n.quantities(d.Quantities.All()),
		Findings:     findingsJSON(d.Findings),
		Chosen:       map[string]string{},
		Assumed:      []jsonAssumed{},
		MeasureFirst: []jsonMeasure{},
		Parts:        []jsonPart{},
		Wires:        []jsonWire{},
		Readings:     n.readings(d.Fitting.Readings),
	}
	for _, c := range d.Chosen {
		r.Chosen[c.At] = c.Plain
	}
	for _, a := range d.Assumed {
		r.Assumed = append(r.Assumed, jsonAssumed{a.At, a.Plain, a.Range, plain(a.Why)})
	}
	for _, m := range d.Measure {
		r.MeasureFirst = append(r.MeasureFirst, jsonMeasure{m.At, m.Decides, plain(m.Safe)})
	}
	for _, e := range d.Fitting.Parts {
		r.Parts = append(r.Parts, jsonPart{e.Ref, e.What, coded(e.Value), coded(e.Rating), plain(e.Why)})
	}
	for _, f := range d.Fitting.Wires {
		r.Wires = append(r.Wires, n.wire(f))
	}
	if n.err != nil {
		return n.err
	}
	return writeJSON(w, r)
}

func identify(d *design.Design) jsonPlan {
	return jsonPlan{plain(d.Title), d.Fingerprint, d.Verdict.String()}
}

func findingsJSON(findings []finding.Finding) []jsonFinding {
	list := []jsonFinding{}
	for _, f := range findings {
		list = append(list, jsonFinding{f.ID, f.Severity.String(), f.At, plain(f.Says), plain(f.Do), plain(f.Source)})
	}
	return list
}

// writeJSON writes one indented object. Harmful characters can only stand
// inside its strings; there they become \u escapes.
func writeJSON(w io.Writer, v any) error {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	err := e.Encode(v)
	if err == nil {
		_, err = io.WriteString(w, escape(b.String()))
	}
	if err != nil {
		return fmt.Errorf("write the result as JSON: %w", err)
	}
	return nil
}

func escape(text string) string {
	var b strings.Builder
	for _, r := range text {
		if r == '\n' || !harmful(r) {
			b.WriteRune(r)
			continue
		}
		for _, half := range utf16.AppendRune(nil, r) {
			fmt.Fprintf(&b, `\u%04x`, half)
		}
	}
	return b.String()
}

// numbers turns results into numbers of six significant digits and keeps the
// first that is none.
type numbers struct{ err error }

func (n *numbers) six(name string, v float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		if n.err == nil {
			n.err = fmt.Errorf("%s has no value: %v", name, v)
		}
		return 0
	}
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'e', 5, 64), 64)
	if v == 0 {
		return 0 // not −0
	}
	return v
}

func (n *numbers) quantities(all []answer.Quantity) map[string]jsonQuantity {
	m := make(map[string]jsonQuantity, len(all))
	for _, q := range all {
		m[q.Name] = *n.quantity(&q)
	}
	return m
}

func (n *numbers) readings(list []fitting.Reading) []jsonReading {
	out := []jsonReading{}
	for _, r := range list {
		between := []string{}
		for _, place := range r.Between {
			between = append(between, plain(place))
		}
		out = append(out, jsonReading{r.ID, r.State, between, coded(r.Meter), plain(r.Control), coded(r.Unit), n.six(r.ID, r.Low), n.six(r.ID, r.High), plain(r.Why)})
	}
	return out
}

func (n *numbers) wire(f fitting.Wire) jsonWire {
	id := "W" + strconv.Itoa(f.Number)
	return jsonWire{id, words(f.From), words(f.To), f.Colour, plain(f.Size), n.six(id, f.Insulation), f.Carries}
}

// words are a joint's words in the wire table.
func words(j *fitting.Joint) string {
	if j == nil {
		return ""
	}
	if j.Words != "" {
		return plain(j.Words)
	}
	return plain(j.ID)
}

// code is a unit's name in results: a share is a number like any other.
func code(u quantity.Unit) string {
	if u == quantity.Percentage {
		u = quantity.Proportion
	}
	return u.Code()
}

// plain replaces no-break spaces, which only serve the breaking of lines.
func plain(s string) string { return strings.ReplaceAll(s, noBreak, " ") }

// coded is a value as people see it with the unit names of results: "10 kΩ"
// becomes "10 kohm".
func coded(s string) string { return strings.ReplaceAll(plain(s), "Ω", "ohm") }
