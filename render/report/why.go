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
	Why  string   // why this plan does not have it; "" where it is no name at all
}

func (e *UnknownName) Error() string {
	if e.Why != "" {
		return fmt.Sprintf("%q is not worked out for this plan: %s", e.Name, e.Why)
	}
	text := fmt.Sprintf("%q is no quantity, finding or chosen value of this plan", e.Name)
	if len(e.Near) > 0 {
		text += "; nearest: " + strings.Join(e.Near, ", ")
	}
	return text
}

// unasked says why a quantity that plans can have is missing from this one.
func unasked(d *design.Design, name string) string {
	if _, exists := lookUp(name); !exists {
		return ""
	}
	return d.Unasked(name)
}

// explain finds what a name stands for. The error is an [UnknownName] where the
// design holds no such name.
func explain(d *design.Design, name string) (design.Explanation, error) {
	e, err := d.Explain(name)
	if err == nil && !e.Found() {
		err = &UnknownName{name, Nearest(name, d.Names(), 3), unasked(d, name)}
	}
	return e, err
}

// Why writes how a quantity, a finding, a chosen or an assumed value came
// about. Where a finding bears the name of its quantity, what was found stands
// before the working. The error is an [UnknownName] where the design holds no such name.
func Why(w io.Writer, d *design.Design, name string) error {
	e, err := explain(d, name)
	if err != nil {
		return err
	}
	var p page
	for _, f := range e.Findings {
		p.section()
		p.finding(f.Finding)
		if e.Quantity == nil {
			p.reasons(f)
		} else {
			p.measureFirst(f.Measure)
		}
	}
	if e.Quantity != nil {
		p.section()
		p.working(e.Quantity)
	}
	for _, c := range e.Chosen {
		p.section()
		p.paragraph("", "", c.At+" = "+c.Value+" (chosen)")
		p.paragraph("  ", "  ", c.Why)
	}
	for _, a := range e.Assumed {
		p.section()
		p.paragraph("", "", a.At+" = "+a.Value+" (assumed)")
		p.paragraph("  ", "  ", a.Why)
	}
	return p.writeTo(w)
}

// WhyNames lists everything that [Why] can be asked about in a design.
func WhyNames(w io.Writer, d *design.Design) error {
	var p page
	p.verdict(d)
	if len(d.Findings) > 0 {
		p.heading("Findings")
		t := Table{Columns: []Column{{}, {Wraps: true}}}
		for _, f := range d.Findings {
			t.Rows = append(t.Rows, []string{f.ID, f.Severity.String() + ": " + f.Title})
		}
		p.table("  ", t)
	}
	p.heading("Quantities")
	t := Table{Columns: []Column{{}, {}, {Wraps: true, Below: true}}}
	for _, q := range d.Quantities.All() {
		words, _ := lookUp(q.Name)
		t.Rows = append(t.Rows, []string{q.Name, span(q), words.words})
	}
	p.table("  ", t)
	if len(d.Chosen)+len(d.Assumed) > 0 {
		p.heading("Values that were chosen or assumed")
		t := Table{Columns: []Column{{}, {}, {}}}
		for _, c := range d.Chosen {
			t.Rows = append(t.Rows, []string{c.At, c.Value, "chosen"})
		}
		for _, a := range d.Assumed {
			t.Rows = append(t.Rows, []string{a.At, a.Value, "assumed"})
		}
		p.table("  ", t)
	}
	p.blank()
	p.paragraph("", "", "How one of these came about: mutewright why PLAN NAME")
	return p.writeTo(w)
}

// WhyNamesJSON writes the names of [WhyNames] as one JSON object.
func WhyNamesJSON(w io.Writer, program string, d *design.Design) error {
	return writeJSON(w, struct {
		jsonHead
		Names []string `json:"names"`
	}{jsonHead{version, program}, d.Names()})
}

// section parts two blocks of a page by a blank line.
func (p *page) section() {
	if p.b.Len() > 0 {
		p.blank()
	}
}

// working writes how a result came about: its limit, its formula, the values on the
// way, the corners of its ends, what moves it, and what went in.
func (p *page) working(x *design.Explained) {
	q := x.Quantity
	p.paragraph("", "    ", q.Name+" = "+span(q))
	if t, ok := lookUp(q.Name); ok {
		p.paragraph("  ", "  ", t.words)
		p.gloss("  ", t.words)
	}
	p.heldAgainst(x.Limits)
	if q.Working.Formula != "" {
		p.heading("How")
		p.paragraph("  ", "  ", q.Working.Formula)
	}
	if q.Working.Source != "" {
		p.paragraph("  Source: ", "          ", q.Working.Source)
	}
	p.onTheWay(x)
	p.corner("Its low end, "+q.Text(q.Low)+", with", q.Working.LowBy, x.AtLow)
	p.corner("Its high end, "+q.Text(q.High)+", with", q.Working.HighBy, x.AtHigh)
	p.doubts(q)
	p.levers(x)
	p.inputs(q.Working.Inputs)
}

// heldAgainst says what a result is held against and where that comes from.
func (p *page) heldAgainst(list []design.Limit) {
	if len(list) == 0 {
		return
	}
	p.heading("Held against")
	for _, l := range list {
		p.limit(l)
	}
}

func (p *page) limit(l design.Limit) {
	bound, end := "at most ", "worst end "
	if l.Least {
		bound = "at least "
	}
	p.paragraph("  ", "    ", bound+quantity.Format(l.Limit, l.Unit)+" ("+l.Words+"); "+end+l.Text(l.Worst())+", margin "+l.Margin())
	if l.Rating != nil {
		from := l.Rating.At + ", " + origin(*l.Rating)
		if l.Rating.Because != "" {
			from += ", " + l.Rating.Because
		}
		p.paragraph("    Limit from: ", "        ", from)
	}
	if l.Finding != "" {
		p.paragraph("    Finding: ", "        ", l.Finding+"; "+l.Source)
	}
}

// onTheWay lists the values on the way, at nominal and in the two corners.
func (p *page) onTheWay(x *design.Explained) {
	if len(x.Steps) == 0 {
		return
	}
	t := Table{Columns: []Column{{Head: "", Wraps: true}, {Head: "at its low end", Right: true}, {Head: "nominal", Right: true}, {Head: "at its high end", Right: true}}}
	for _, s := range x.Steps {
		cell := func(v float64) string {
			if math.IsNaN(v) {
				return "–"
			}
			return s.Text(v)
		}
		t.Rows = append(t.Rows, []string{s.Name, cell(s.Low), cell(s.Nominal), cell(s.High)})
	}
	p.heading("On the way")
	p.table("  ", t)
}

// corner lists where the numbers stand that make one end of a result.
func (p *page) corner(head, by string, stands []answer.Stand) {
	if len(stands) == 0 && by == "" {
		return
	}
	p.heading(head)
	if by != "" {
		p.paragraph("  ", "  ", by)
	}
	t := Table{Columns: []Column{{}, {Right: true}, {}, {Wraps: true, Below: true}}}
	for _, s := range stands {
		why := ""
		if s.Origin == usualSpread {
			why = s.Because // one key path may stand for several doubts
		}
		t.Rows = append(t.Rows, []string{s.At, s.Stands, "nominal " + s.Value, why})
	}
	if len(t.Rows) > 0 {
		p.table("  ", t)
	}
}

// usualSpread is the origin of doubts that no plan states.
const usualSpread = "usual spread"

// levers lists what moves a result most when there is a tenth more of it.
func (p *page) levers(x *design.Explained) {
	if len(x.Levers) == 0 {
		return
	}
	t := Table{Columns: []Column{{Head: "a tenth more of"}, {Head: "which is", Right: true}, {Head: "makes it", Right: true}}}
	for _, l := range x.Levers {
		t.Rows = append(t.Rows, []string{l.At, l.Value, x.Quantity.Text(l.Result)})
	}
	p.heading("What would move it most, one at a time from " + x.Quantity.Text(x.Nominal))
	p.table("  ", t)
}

// origin says where an input stands: "plan, line 24", "--set 1", "catalogue".
func origin(in answer.Input) string {
	switch {
	case in.Setting > 0:
		return fmt.Sprintf("%s, --set %d", in.Origin, in.Setting)
	case in.Line > 0:
		return fmt.Sprintf("%s, line %d", in.Origin, in.Line)
	}
	return in.Origin
}

func (p *page) inputs(list []answer.Input) {
	if len(list) == 0 {
		return
	}
	t := Table{Columns: []Column{{}, {Right: true}, {}, {Wraps: true, Below: true}}}
	for _, in := range list {
		t.Rows = append(t.Rows, []string{in.At, in.Value, origin(in), in.Because})
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

// reasons writes which results a finding is about, what they are held against, what
// makes them as bad and what moves them most; then what to measure before it is
// settled.
func (p *page) reasons(f design.ExplainedFinding) {
	for i := range f.About {
		x := &f.About[i]
		p.heading(x.Name + " = " + span(x.Quantity))
		low := false
		for _, l := range x.Limits {
			if l.Finding == f.ID {
				p.limit(l)
				low = low || l.Least
			}
		}
		end, by, stands := "high", x.Working.HighBy, x.AtHigh
		if low {
			end, by, stands = "low", x.Working.LowBy, x.AtLow
		}
		p.corner("Its "+end+" end with", by, stands)
		p.levers(x)
		p.blank()
		p.paragraph("", "", "Its working: mutewright why PLAN "+x.Name)
	}
	if len(f.About) == 0 {
		p.blank()
		p.paragraph("", "", "It hangs on what the plan says at "+f.At+", on no number.")
	}
	p.measureFirst(f.Measure)
}

// The working as JSON.
type (
	jsonWhy struct {
		jsonHead
		Name     string           `json:"name"`
		Quantity *jsonWorking     `json:"quantity,omitempty"`
		Findings []jsonWhyFinding `json:"findings,omitempty"`
		Chosen   []jsonAssumed    `json:"chosen,omitempty"`
		Assumed  []jsonAssumed    `json:"assumed,omitempty"`
	}
	jsonWhyFinding struct {
		jsonFinding
		About []string `json:"about"` // quantities
	}
	jsonWorking struct {
		jsonQuantity
		Formula string         `json:"formula"`
		Source  string         `json:"source"`
		Limits  []jsonLimit    `json:"limits"`
		Steps   []jsonOnTheWay `json:"steps"`
		AtLow   []jsonStand    `json:"at_low"`
		AtHigh  []jsonStand    `json:"at_high"`
		LowBy   string         `json:"low_by,omitempty"`
		HighBy  string         `json:"high_by,omitempty"`
		Inputs  []jsonInput    `json:"inputs"`
		Doubts  []jsonEffect   `json:"doubts"`
		Levers  []jsonLever    `json:"levers"`
	}
	jsonLimit struct {
		Limit   float64 `json:"limit"`
		Least   bool    `json:"least"` // the result must reach it; else it may not exceed it
		Words   string  `json:"words"`
		Finding string  `json:"finding"`
		From    string  `json:"from"` // key path of the rating, or the source
	}
	jsonOnTheWay struct {
		Name    string   `json:"name"`
		Unit    string   `json:"unit"`
		Nominal *float64 `json:"nominal"` // null where it does not exist
		Low     *float64 `json:"low"`
		High    *float64 `json:"high"`
	}
	jsonStand struct {
		At      string `json:"at"`
		Value   string `json:"value"`
		Nominal string `json:"nominal"`
	}
	jsonLever struct {
		At     string  `json:"at"`
		Result float64 `json:"result"` // with a tenth more of it
	}
	jsonInput struct {
		At     string `json:"at"`
		Value  string `json:"value"`
		Origin string `json:"origin"`
		Line   int    `json:"line,omitempty"`    // of the plan's file
		Set    int    `json:"setting,omitempty"` // N of --set N
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
	if e.Quantity != nil {
		out.Quantity = n.working(e.Quantity)
	}
	for _, f := range e.Findings {
		j := jsonWhyFinding{jsonFinding: findingsJSON([]finding.Finding{f.Finding})[0], About: []string{}}
		for _, x := range f.About {
			j.About = append(j.About, x.Name)
		}
		out.Findings = append(out.Findings, j)
	}
	for _, c := range e.Chosen {
		out.Chosen = append(out.Chosen, jsonAssumed{c.At, c.Plain, "", plain(c.Why)})
	}
	for _, a := range e.Assumed {
		out.Assumed = append(out.Assumed, jsonAssumed{a.At, a.Plain, a.Range, plain(a.Why)})
	}
	if n.err != nil {
		return n.err
	}
	return writeJSON(w, out)
}

func (n *numbers) working(x *design.Explained) *jsonWorking {
	q := x.Quantity
	k := &jsonWorking{
		jsonQuantity: *n.quantity(&q),
		Formula:      plain(q.Working.Formula),
		Source:       plain(q.Working.Source),
		LowBy:        q.Working.LowBy,
		HighBy:       q.Working.HighBy,
		Limits:       []jsonLimit{}, Steps: []jsonOnTheWay{}, AtLow: stands(x.AtLow), AtHigh: stands(x.AtHigh),
		Inputs: []jsonInput{}, Doubts: []jsonEffect{}, Levers: []jsonLever{},
	}
	for _, l := range x.Limits {
		from := l.Source
		if l.Rating != nil {
			from = l.Rating.At
		}
		k.Limits = append(k.Limits, jsonLimit{n.six(q.Name, l.Limit), l.Least, plain(l.Words), l.Finding, plain(from)})
	}
	for _, s := range x.Steps {
		step := jsonOnTheWay{Name: plain(s.Name), Unit: code(s.Unit)}
		for _, of := range []struct {
			from float64
			to   **float64
		}{{s.Nominal, &step.Nominal}, {s.Low, &step.Low}, {s.High, &step.High}} {
			if !math.IsNaN(of.from) {
				v := n.six(s.Name, of.from)
				*of.to = &v
			}
		}
		k.Steps = append(k.Steps, step)
	}
	for _, in := range q.Working.Inputs {
		k.Inputs = append(k.Inputs, jsonInput{in.At, coded(in.Value), in.Origin, in.Line, in.Setting, plain(in.Because)})
	}
	for _, e := range ranked(q.Working.Doubts) {
		k.Doubts = append(k.Doubts, jsonEffect{e.At, n.six(e.At, e.Low), n.six(e.At, e.High)})
	}
	for _, l := range x.Levers {
		k.Levers = append(k.Levers, jsonLever{l.At, n.six(l.At, l.Result)})
	}
	return k
}

func stands(list []answer.Stand) []jsonStand {
	out := []jsonStand{}
	for _, s := range list {
		out = append(out, jsonStand{s.At, coded(s.Stands), coded(s.Value)})
	}
	return out
}
