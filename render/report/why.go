package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"mutewright/design"
	"mutewright/design/answer"
	"mutewright/design/finding"
	"mutewright/design/quantity"
)

// An UnknownName is the error of asking why about something that the design
// does not hold.
type UnknownName struct {
	Name string
	Near []string // names like it, the best first
}

func (e *UnknownName) Error() string {
	text := fmt.Sprintf("%q is no quantity, finding or chosen value of this plan", e.Name)
	if len(e.Near) > 0 {
		text += "; nearest: " + strings.Join(e.Near, ", ")
	}
	return text
}

// An explanation is everything a design knows under one name.
type explanation struct {
	quantity *answer.Quantity
	findings []finding.Finding
	chosen   []design.Chosen
	assumed  []design.Assumed
}

// explain finds what a name stands for: a quantity, a finding's id, or the key
// path of a value that was chosen or assumed.
func explain(d *design.Design, name string) (explanation, error) {
	var e explanation
	if q, ok := d.Quantities.Get(name); ok {
		e.quantity = &q
	}
	names := d.Quantities.Names()
	for _, f := range d.Findings {
		names = append(names, f.ID)
		if f.ID == name {
			e.findings = append(e.findings, f)
		}
	}
	for _, c := range d.Chosen {
		names = append(names, c.At)
		if c.At == name {
			e.chosen = append(e.chosen, c)
		}
	}
	for _, a := range d.Assumed {
		names = append(names, a.At)
		if a.At == name {
			e.assumed = append(e.assumed, a)
		}
	}
	if e.quantity == nil && e.findings == nil && e.chosen == nil && e.assumed == nil {
		slices.Sort(names)
		return e, &UnknownName{name, Nearest(name, slices.Compact(names), 3)}
	}
	return e, nil
}

// Why writes how a quantity, a finding, a chosen or an assumed value came
// about. The error is an [UnknownName] where the design holds no such name.
func Why(w io.Writer, d *design.Design, name string) error {
	e, err := explain(d, name)
	if err != nil {
		return err
	}
	var p page
	if e.quantity != nil {
		p.working(*e.quantity)
	}
	for _, f := range e.findings {
		p.section()
		p.finding(f)
		p.hangsOn(d, f)
	}
	for _, c := range e.chosen {
		p.section()
		p.paragraph("", "", c.At+" = "+c.Value+" (chosen)")
		p.paragraph("  ", "  ", c.Why)
	}
	for _, a := range e.assumed {
		p.section()
		p.paragraph("", "", a.At+" = "+a.Value+" (assumed)")
		p.paragraph("  ", "  ", a.Why)
	}
	return p.writeTo(w)
}

// section parts two blocks of a page by a blank line.
func (p *page) section() {
	if p.b.Len() > 0 {
		p.blank()
	}
}

func (p *page) working(q answer.Quantity) {
	p.paragraph("", "    ", q.Name+" = "+span(q))
	if t, ok := lookUp(q.Name); ok {
		p.paragraph("  ", "  ", t.words)
	}
	if q.Working.Formula != "" {
		p.heading("How")
		p.paragraph("  ", "  ", q.Working.Formula)
	}
	if q.Working.Source != "" {
		p.paragraph("  Source: ", "          ", q.Working.Source)
	}
	p.inputs(q.Working.Inputs)
	p.doubts(q)
}

func (p *page) inputs(list []answer.Input) {
	if len(list) == 0 {
		return
	}
	t := Table{Columns: []Column{{}, {Right: true}, {}, {Wraps: true, Below: true}}}
	for _, in := range list {
		t.Rows = append(t.Rows, []string{in.At, in.Value, in.Origin, in.Because})
	}
	p.heading("From")
	p.table("  ", t)
}

// doubts lists the uncertain inputs, the one that moves the result most first,
// and how far it moves it.
func (p *page) doubts(q answer.Quantity) {
	if len(q.Working.Doubts) == 0 {
		return
	}
	t := Table{Columns: []Column{{Head: "input", Wraps: true}, {Head: "at its low end", Right: true}, {Head: "at its high end", Right: true}}}
	for _, d := range ranked(q.Working.Doubts) {
		t.Rows = append(t.Rows, []string{d.At, quantity.Format(d.Low, q.Unit), quantity.Format(d.High, q.Unit)})
	}
	p.heading("Its doubt, most first: the result with one input at its ends and all else nominal")
	p.table("  ", t)
}

func ranked(doubts []answer.Effect) []answer.Effect {
	doubts = slices.Clone(doubts)
	slices.SortStableFunc(doubts, func(a, b answer.Effect) int {
		swing := func(e answer.Effect) float64 { return math.Abs(e.High - e.Low) }
		switch {
		case swing(a) > swing(b):
			return -1
		case swing(a) < swing(b):
			return 1
		}
		return 0
	})
	return doubts
}

// hangsOn lists the quantities that the key path of a finding goes into, and
// what to measure before it is settled.
func (p *page) hangsOn(d *design.Design, f finding.Finding) {
	t := Table{Columns: []Column{{}, {Wraps: true}}}
	for _, q := range d.Quantities.All() {
		if slices.ContainsFunc(q.Working.Inputs, func(in answer.Input) bool { return in.At == f.At }) {
			t.Rows = append(t.Rows, []string{q.Name, span(q)})
		}
	}
	if len(t.Rows) > 0 {
		p.heading("What " + f.At + " goes into")
		p.table("  ", t)
	}
	var first []design.Measure
	for _, m := range d.Measure {
		if m.Decides == f.ID {
			first = append(first, m)
		}
	}
	p.measureFirst(first)
}

// The working as JSON.
type (
	jsonWhy struct {
		jsonHead
		Name     string        `json:"name"`
		Quantity *jsonWorking  `json:"quantity,omitempty"`
		Findings []jsonFinding `json:"findings,omitempty"`
		Chosen   []jsonAssumed `json:"chosen,omitempty"`
		Assumed  []jsonAssumed `json:"assumed,omitempty"`
	}
	jsonWorking struct {
		jsonQuantity
		Formula string       `json:"formula"`
		Source  string       `json:"source"`
		Inputs  []jsonInput  `json:"inputs"`
		Doubts  []jsonEffect `json:"doubts"`
	}
	jsonInput struct {
		At     string `json:"at"`
		Value  string `json:"value"`
		Origin string `json:"origin"`
		Why    string `json:"why"`
	}
	jsonEffect struct {
		At   string  `json:"at"`
		Low  float64 `json:"low"`
		High float64 `json:"high"`
	}
)

// WhyJSON writes the same as [Why] as one JSON object.
func WhyJSON(w io.Writer, program string, d *design.Design, name string) error {
	e, err := explain(d, name)
	if err != nil {
		return err
	}
	var n numbers
	out := jsonWhy{jsonHead: jsonHead{version, program}, Name: name}
	if q := e.quantity; q != nil {
		out.Quantity = n.working(*q)
	}
	if e.findings != nil {
		out.Findings = findingsJSON(e.findings)
	}
	for _, c := range e.chosen {
		out.Chosen = append(out.Chosen, jsonAssumed{c.At, c.Plain, "", plain(c.Why)})
	}
	for _, a := range e.assumed {
		out.Assumed = append(out.Assumed, jsonAssumed{a.At, a.Plain, a.Range, plain(a.Why)})
	}
	if n.err != nil {
		return n.err
	}
	return writeJSON(w, out)
}

func (n *numbers) working(q answer.Quantity) *jsonWorking {
	k := &jsonWorking{
		jsonQuantity: *n.quantity(&q),
		Formula:      plain(q.Working.Formula),
		Source:       plain(q.Working.Source),
		Inputs:       []jsonInput{},
		Doubts:       []jsonEffect{},
	}
	for _, in := range q.Working.Inputs {
		k.Inputs = append(k.Inputs, jsonInput{in.At, coded(in.Value), in.Origin, plain(in.Because)})
	}
	for _, e := range ranked(q.Working.Doubts) {
		k.Doubts = append(k.Doubts, jsonEffect{e.At, n.six(e.At, e.Low), n.six(e.At, e.High)})
	}
	return k
}
