package report

import (
	"cmp"
	"fmt"
	"io"
	"strings"

	"mutewright/design"
	"mutewright/design/answer"
	"mutewright/design/finding"
	"mutewright/design/quantity"
)

// A pair is a quantity in two designs; nil where a design lacks it.
type pair struct {
	name string
	a, b *answer.Quantity
}

// unit is the unit of the pair: both designs measure a name in the same one.
func (p pair) unit() quantity.Unit {
	if p.a != nil {
		return p.a.Unit
	}
	return p.b.Unit
}

// side writes one side of a pair; a dash stands for what does not exist.
func side(q *answer.Quantity) string {
	if q == nil {
		return "–"
	}
	return span(*q)
}

// pairs puts the quantities of two designs side by side: in the order of the
// first, then those that only the second has.
func pairs(a, b *design.Design) []pair {
	var list []pair
	for _, q := range a.Quantities.All() {
		p := pair{name: q.Name, a: &q}
		if other, ok := b.Quantities.Get(q.Name); ok {
			p.b = &other
		}
		list = append(list, p)
	}
	for _, q := range b.Quantities.All() {
		if _, both := a.Quantities.Get(q.Name); !both {
			list = append(list, pair{name: q.Name, b: &q})
		}
	}
	return list
}

// A choice is what two designs chose for a key; "" where a design chose nothing.
type choice struct{ at, a, b string }

// choices puts what two designs chose side by side: in the order of the first, then
// what only the second chose.
func choices(a, b *design.Design) []choice {
	other := map[string]string{}
	for _, c := range b.Chosen {
		other[c.At] = c.Plain
	}
	var list []choice
	for _, c := range a.Chosen {
		list = append(list, choice{c.At, c.Plain, other[c.At]})
		delete(other, c.At)
	}
	for _, c := range b.Chosen {
		if _, only := other[c.At]; only {
			list = append(list, choice{c.At, "", c.Plain})
		}
	}
	return list
}

// choices writes what two designs chose, and marks where they differ.
func (p *page) choices(list []choice) {
	if len(list) == 0 {
		return
	}
	p.heading("Chosen (– where the plan gives the value, or needs none)")
	t := Table{Columns: []Column{{Head: "key"}, {Head: "A", Wraps: true}, {Head: "B", Wraps: true}, {}}}
	for _, c := range list {
		mark := ""
		if c.a != c.b {
			mark = "differs"
		}
		t.Rows = append(t.Rows, []string{c.at, cmp.Or(c.a, "–"), cmp.Or(c.b, "–"), mark})
	}
	p.table("  ", t)
}

// missing returns the findings of from that stand in against with neither
// their id and place nor their severity.
func missing(from, against []finding.Finding) []finding.Finding {
	type key struct {
		id, at   string
		severity finding.Severity
	}
	known := map[key]bool{}
	for _, f := range against {
		known[key{f.ID, f.At, f.Severity}] = true
	}
	var list []finding.Finding
	for _, f := range from {
		if !known[key{f.ID, f.At, f.Severity}] {
			list = append(list, f)
		}
	}
	return list
}

// Compare writes two designs side by side: verdicts, findings that came and
// went, what the program chose, and the quantities that print differently.
func Compare(w io.Writer, a, b *design.Design) error {
	var p page
	p.table("", Table{
		Columns: []Column{{}, {}, {Wraps: true}},
		Rows: [][]string{
			{"A", a.Verdict.String(), a.Title + " (" + about(a) + ")"},
			{"B", b.Verdict.String(), b.Title + " (" + about(b) + ")"},
		},
	})
	p.change("Only in A", missing(a.Findings, b.Findings))
	p.change("Only in B", missing(b.Findings, a.Findings))
	p.choices(choices(a, b))

	t := Table{Columns: []Column{{Head: "quantity"}, {Head: "A", Wraps: true}, {Head: "B", Wraps: true}}}
	same := 0
	for _, q := range pairs(a, b) {
		if side(q.a) == side(q.b) {
			same++
			continue
		}
		t.Rows = append(t.Rows, []string{q.name, side(q.a), side(q.b)})
	}
	if len(t.Rows) > 0 {
		p.heading("Quantities that differ")
		p.table("  ", t)
	}
	p.blank()
	p.paragraph("", "", fmt.Sprintf("%d quantities differ, %d are the same.", len(t.Rows), same))
	return p.writeTo(w)
}

func (p *page) change(head string, findings []finding.Finding) {
	p.heading("Findings " + strings.ToLower(head[:1]) + head[1:] + tally(findings))
	for _, f := range findings {
		p.finding(f)
	}
}

// CompareCSV writes every quantity of either design, one a row.
func CompareCSV(w io.Writer, a, b *design.Design) error {
	var n numbers
	t := Table{Columns: []Column{
		{Head: "quantity"}, {Head: "unit"},
		{Head: "a_nominal"}, {Head: "a_low"}, {Head: "a_high"},
		{Head: "b_nominal"}, {Head: "b_low"}, {Head: "b_high"},
	}}
	for _, q := range pairs(a, b) {
		row := append([]string{q.name, code(q.unit())}, n.cells(q.a)...)
		t.Rows = append(t.Rows, append(row, n.cells(q.b)...))
	}
	if n.err != nil {
		return n.err
	}
	return t.CSV(w)
}

func (n *numbers) cells(q *answer.Quantity) []string {
	if q == nil {
		return []string{"", "", ""}
	}
	return []string{n.text(q.Name, q.Nominal), n.text(q.Name, q.Low), n.text(q.Name, q.High)}
}

// The comparison as JSON.
type (
	jsonComparison struct {
		jsonHead
		A          jsonPlan              `json:"a"`
		B          jsonPlan              `json:"b"`
		Quantities map[string]jsonPair   `json:"quantities"`
		Chosen     map[string]jsonChoice `json:"chosen"`
		OnlyA      []jsonFinding         `json:"findings_only_a"`
		OnlyB      []jsonFinding         `json:"findings_only_b"`
	}
	jsonChoice struct {
		A string `json:"a,omitempty"`
		B string `json:"b,omitempty"`
	}
	jsonPair struct {
		A *jsonQuantity `json:"a,omitempty"`
		B *jsonQuantity `json:"b,omitempty"`
	}
)

// CompareJSON writes the same as [Compare], with all quantities, as one JSON
// object.
func CompareJSON(w io.Writer, program string, a, b *design.Design) error {
	var n numbers
	out := jsonComparison{
		jsonHead:   jsonHead{version, program},
		A:          identify(a),
		B:          identify(b),
		Quantities: map[string]jsonPair{},
		Chosen:     map[string]jsonChoice{},
		OnlyA:      findingsJSON(missing(a.Findings, b.Findings)),
		OnlyB:      findingsJSON(missing(b.Findings, a.Findings)),
	}
	for _, q := range pairs(a, b) {
		out.Quantities[q.name] = jsonPair{n.quantity(q.a), n.quantity(q.b)}
	}
	for _, c := range choices(a, b) {
		out.Chosen[c.at] = jsonChoice{c.a, c.b}
	}
	if n.err != nil {
		return n.err
	}
	return writeJSON(w, out)
}

func (n *numbers) quantity(q *answer.Quantity) *jsonQuantity {
	if q == nil {
		return nil
	}
	return &jsonQuantity{code(q.Unit), n.six(q.Name, q.Nominal), n.six(q.Name, q.Low), n.six(q.Name, q.High)}
}
