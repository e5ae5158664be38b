package report

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"mutewright/design"
	"mutewright/design/answer"
	"mutewright/design/quantity"
)

// Relays writes rankings as text: what serves with its drive, then what does
// not, with the first reason. Where nothing serves it says what stands in the way
// and what the changes that were tried bring.
func Relays(w io.Writer, list []*design.Ranking, openings []design.Opening) error {
	p := page{wide: true}
	for _, r := range list {
		p.section()
		p.paragraph("", "  ", fmt.Sprintf("%d of %s serve: %s", r.Serving(), count(len(r.Rows), "relay"), r.Title))
		p.paragraph("", "  ", place(r))
		serving, rest := r.Rows[:r.Serving()], r.Rows[r.Serving():]
		p.serving(serving)
		p.drives(serving)
		p.unfit(rest)
		if len(serving) == 0 {
			p.inTheWay(r)
		}
	}
	p.openings(openings)
	p.blank()
	p.paragraph("", "", closing)
	return p.writeTo(w)
}

// place says which relay of the plan a ranking is about.
func place(r *design.Ranking) string {
	text := "for " + r.At + ", plan " + short(r.Fingerprint)
	if len(r.Serves) > 0 {
		text = "for " + r.At + " (" + strings.Join(r.Serves, ", ") + "), plan " + short(r.Fingerprint)
	}
	return text
}

// serving lists what serves, the best first, in the worst case.
func (p *page) serving(rows []design.Row) {
	if len(rows) == 0 {
		return
	}
	t := Table{Columns: []Column{
		{Head: "relay"}, {Head: "verdict"}, {Head: "least", Right: true}, {Head: "of"}, {Head: "operate", Right: true},
		{Head: "ceiling", Right: true}, {Head: "load", Right: true}, {Head: "key line", Right: true}, {Head: "dry"}, {Head: "left", Right: true},
	}}
	for _, r := range rows {
		tightest, _ := r.Least()
		t.Rows = append(t.Rows, []string{
			r.Relay, r.Verdict.String(), ratio(tightest.Ratio), marginName(tightest.Key), marginOf(r, "operate"), marginOf(r, "ceiling"),
			worst(r, "drive.winding.load"), strings.TrimSpace(worst(r, "control.open") + " " + worst(r, "control.closed")),
			yes(r.Dry), strconv.Itoa(r.Spare),
		})
	}
	p.heading("What serves, by its smallest margin (worst case, 1 is the limit)")
	p.table("  ", t)
	if slices.ContainsFunc(rows, func(r design.Row) bool { return !r.Fit() }) {
		p.paragraph("  ", "  ", "Last stand those whose contacts are not fit for the dry circuit that they switch.")
	}
}

// marginName is a kind of margin in a narrow column: "line volts", "open".
func marginName(key string) string {
	return strings.ReplaceAll(strings.TrimSuffix(key, "_contact"), "_", " ")
}

// drives lists the drive that each relay has best.
func (p *page) drives(rows []design.Row) {
	if len(rows) == 0 {
		return
	}
	t := Table{Columns: []Column{{}, {Wraps: true}}}
	for _, r := range rows {
		t.Rows = append(t.Rows, []string{r.Relay, driveWords(r.Setup)})
	}
	p.heading("Each with its best drive")
	p.table("  ", t)
}

func driveWords(s design.Setup) string {
	var words []string
	for _, d := range drive(s) {
		if d.value != "none" {
			words = append(words, d.key+noBreak+noBreakSpaces(d.value))
		}
	}
	return strings.Join(words, ", ")
}

// A drivePart is one key of a relay's drive in the notation of plans.
type drivePart struct{ key, value string }

func drive(s design.Setup) []drivePart {
	value := func(v float64, u quantity.Unit) string {
		if v == 0 {
			return "none"
		}
		return quantity.Plain(v, u)
	}
	return []drivePart{
		{"rectifier", s.Rectifier},
		{"reservoir", value(s.Reservoir, quantity.Capacitance)},
		{"dropper", value(s.Dropper(), quantity.Resistance)},
		{"clamp", s.Clamp},
		{"buffer", s.Buffer},
		{"fuse", value(s.Fuse, quantity.Current)},
	}
}

// unfit lists what does not serve, with the first reason in words.
func (p *page) unfit(rows []design.Row) {
	if len(rows) == 0 {
		return
	}
	t := Table{Columns: []Column{{}, {Wraps: true}}}
	for _, r := range rows {
		t.Rows = append(t.Rows, []string{r.Relay, firstReason(r)})
	}
	p.heading("What does not serve, and the first reason")
	p.table("  ", t)
}

func firstReason(r design.Row) string {
	switch reasons := r.Reasons(); {
	case r.Latching:
		return "It latches: it keeps its place without current, and no drive here gives the pulse that takes it back."
	case len(reasons) > 0:
		return reasons[0]
	case !r.HasDrive:
		return "The plan's supply and key line allow it no drive."
	}
	return r.Verdict.String()
}

// mostHurdles is how many of them are written: the rest bar one relay or two.
const mostHurdles = 4

// inTheWay says what bars most relays, and what to do about it.
func (p *page) inTheWay(r *design.Ranking) {
	hurdles := r.Hurdles()
	if len(hurdles) == 0 {
		return
	}
	p.heading("Nothing serves: what stands in the way most often")
	for _, h := range hurdles[:min(mostHurdles, len(hurdles))] {
		p.paragraph(fmt.Sprintf("  %3d × ", h.Relays), "        ", h.Title+" ("+h.ID+")")
		p.paragraph("        Do: ", "            ", h.Do)
	}
}

// openings says which changes of the plan were tried, and what they open.
func (p *page) openings(list []design.Opening) {
	if len(list) == 0 {
		return
	}
	p.heading("Changes of the plan that were tried, each worked out")
	for _, o := range list {
		if !o.Opens() {
			p.paragraph("  does not help:  ", "                  ", o.Words)
			continue
		}
		best := fmt.Sprintf("%s then, first %s with a smallest margin of %s", serve(o.Serving), o.Relays[0], ratio(o.Smallest))
		if len(o.Relays) > 1 {
			best = fmt.Sprintf("%s, with a smallest margin of %s", strings.Join(o.Relays, " and "), ratio(o.Smallest))
		}
		p.paragraph("  opens the plan: ", "                  ", o.Words+": "+best)
		for _, s := range o.Settings {
			p.paragraph("                    ", "                    ", "--set '"+s+"'")
		}
		if o.Section != "" {
			p.paragraph("                  ", "                  ", "In the plan, in the place of its key relay:")
			for line := range strings.Lines(o.Section) {
				p.paragraph("                    ", "", noBreakSpaces(strings.TrimSuffix(line, "\n")))
			}
		}
	}
}

func serve(n int) string {
	if n == 1 {
		return "1 relay serves"
	}
	return fmt.Sprintf("%d relays serve", n)
}

// ratio writes a margin: two decimals, "over 99" where more says nothing.
func ratio(v float64) string {
	switch {
	case v > 99:
		return "over 99"
	case v == 0:
		return "–"
	}
	return strconv.FormatFloat(v, 'f', 2, 64)
}

func marginOf(r design.Row, key string) string {
	for _, m := range r.Margins {
		if m.Key == key {
			return ratio(m.Ratio)
		}
	}
	return "–"
}

// worst is the high end of a quantity of a row.
func worst(r design.Row, name string) string {
	q, ok := r.Quantities.Get(name)
	if !ok {
		return ""
	}
	return q.Text(q.High)
}

func yes(v bool) string {
	if v {
		return "yes"
	}
	return "no"
}

// bar is a margin on one scale for all: fifteen places are 1, the limit, and bear
// its mark; what is longer than the scale ends in an arrow.
func bar(v float64) string {
	const one, most = 15, 15 * design.MarginScale
	n, end := int(math.Round(v*one)), ""
	if n > most {
		n, end = most, ">"
	}
	line := []byte(strings.Repeat("=", n) + strings.Repeat(" ", most-n))
	line[one-1] = '|'
	return strings.TrimRight(string(line), " ") + end
}

// SideBySide writes some relays of one ranking beside each other: margins as
// bars on one scale, then every quantity a row, the better end marked.
func SideBySide(w io.Writer, title string, rows []design.Row) error {
	p := page{wide: true}
	p.paragraph("", "", title)
	t := Table{Columns: []Column{{}, {}, {Wraps: true}, {Wraps: true}}}
	for _, r := range rows {
		t.Rows = append(t.Rows, []string{r.Relay, r.Verdict.String(), r.What, driveWords(r.Setup)})
	}
	p.table("  ", t)
	p.bars(rows)

	t = Table{Columns: []Column{{Head: "quantity"}}}
	for _, r := range rows {
		t.Columns = append(t.Columns, Column{Head: r.Relay, Right: true, Wraps: true})
	}
	for _, name := range quantityNames(rows) {
		row := []string{name}
		best := better(name, rows)
		for i, r := range rows {
			text := "–"
			if q, ok := r.Quantities.Get(name); ok {
				text = between(q)
			}
			if slices.Contains(best, i) {
				text += " *"
			}
			row = append(row, text)
		}
		t.Rows = append(t.Rows, row)
	}
	p.heading("Every quantity, low to high; * marks the better")
	p.table("  ", t)
	p.blank()
	p.paragraph("", "", closing)
	return p.writeTo(w)
}

// between is a quantity from low to high.
func between(q answer.Quantity) string {
	low, high := q.Text(q.Low), q.Text(q.High)
	if low == high {
		return low
	}
	return low + " … " + high
}

// bars draws the margins of the relays, one group for each kind of margin. All bars
// begin at one place.
func (p *page) bars(rows []design.Row) {
	names := 0
	for _, r := range rows {
		names = max(names, utf8.RuneCountInString(r.Relay))
	}
	p.heading(fmt.Sprintf("Margins, worst case: | is the limit, the scale ends at %g times that", design.MarginScale))
	for _, m := range design.MarginKinds(rows) {
		p.paragraph("  ", "  ", m.Words)
		t := Table{Columns: []Column{{}, {Right: true}, {}}}
		for _, r := range rows {
			for _, own := range r.Margins {
				if own.Key == m.Key {
					t.Rows = append(t.Rows, []string{
						noBreakSpaces(fmt.Sprintf("%-*s", names, r.Relay)), noBreakSpaces(fmt.Sprintf("%7s", ratio(own.Ratio))), noBreakSpaces(bar(own.Ratio)),
					})
				}
			}
		}
		p.table("    ", t)
	}
}

// noBreakSpaces keeps the spaces of a drawing where they are.
func noBreakSpaces(s string) string { return strings.ReplaceAll(s, " ", noBreak) }

// quantityNames are the quantities that any of the rows has, in their order.
func quantityNames(rows []design.Row) []string {
	var names []string
	seen := map[string]bool{}
	for _, r := range rows {
		for _, q := range r.Quantities.All() {
			if !seen[q.Name] {
				seen[q.Name] = true
				names = append(names, q.Name)
			}
		}
	}
	return names
}

// Which way a quantity is better, by its name or the last part of it.
var (
	moreIsBetter = strings.Fields("operate_margin ceiling_margin release_margin margin limit shorted_loss key_margin tail_margin mute_margin depth spare")
	lessIsBetter = strings.Fields("load ripple power temperature residual kick receive_loss contact_current opened shorted muted recovered control.open control.closed drive.winding.current")
)

// askedAtWorst are the last parts of the names of quantities that every row of a
// ranking has at their bad end. Others, such as the ripple, it has where the
// margins are least, which need not be their own worst case.
var askedAtWorst = strings.Fields("operate_margin ceiling_margin release_margin load open closed margin " +
	"shorted_loss receive_loss residual key_margin tail_margin mute_margin")

// direction tells whether more or less of a quantity is better, or neither.
func direction(name string) (more, less bool) {
	last := name[strings.LastIndexByte(name, '.')+1:]
	more = slices.Contains(moreIsBetter, last)
	less = slices.Contains(lessIsBetter, last) || slices.Contains(lessIsBetter, name)
	return more, less
}

// better returns which rows have the best of a quantity at its bad end; none
// where all are alike or no way is better.
func better(name string, rows []design.Row) []int {
	more, less := direction(name)
	if !more && !less {
		return nil
	}
	var best []int
	top, have := math.Inf(-1), 0
	for i, r := range rows {
		q, ok := r.Quantities.Get(name)
		if !ok {
			continue
		}
		have++
		v := q.Low
		if less {
			v = -q.High
		}
		v = rounded(v)
		switch {
		case v > top:
			top, best = v, []int{i}
		case v == top:
			best = append(best, i)
		}
	}
	if len(best) == have {
		return nil
	}
	return best
}

// rounded is a number as it is printed, so that what prints alike is alike.
func rounded(v float64) float64 {
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'e', 2, 64), 64)
	return v
}

// An extreme is a quantity of a row at its bad end, in its SI base unit.
type extreme struct {
	name string
	v    float64
}

// extremes are the quantities of a row that have a bad end and were asked there.
func extremes(r design.Row) []extreme {
	var list []extreme
	for _, q := range r.Quantities.All() {
		if !slices.Contains(askedAtWorst, q.Name[strings.LastIndexByte(q.Name, '.')+1:]) {
			continue
		}
		switch more, less := direction(q.Name); {
		case more:
			list = append(list, extreme{q.Name, q.Low})
		case less:
			list = append(list, extreme{q.Name, q.High})
		}
	}
	return list
}

// RelaysCSV writes rankings with all margins, drives and quantities at their bad
// end, one relay a row. A cell is empty where a relay has no such thing.
func RelaysCSV(w io.Writer, list []*design.Ranking) error {
	var all []design.Row
	for _, r := range list {
		all = append(all, r.Rows...)
	}
	kinds := design.MarginKinds(all)
	t := Table{Columns: []Column{{Head: "at"}, {Head: "relay"}, {Head: "verdict"}}}
	for _, m := range kinds {
		t.Columns = append(t.Columns, Column{Head: m.Key})
	}
	for _, d := range drive(design.Setup{Droppers: []float64{0}}) {
		t.Columns = append(t.Columns, Column{Head: d.key})
	}
	t.Columns = append(t.Columns, Column{Head: "dry"}, Column{Head: "spare"})
	var names []string
	for _, r := range all {
		for _, e := range extremes(r) {
			if !slices.Contains(names, e.name) {
				names = append(names, e.name)
				t.Columns = append(t.Columns, Column{Head: e.name})
			}
		}
	}
	t.Columns = append(t.Columns, Column{Head: "reason"})
	var n numbers
	for _, ranking := range list {
		for _, r := range ranking.Rows {
			row := []string{ranking.At, r.Relay, r.Verdict.String()}
			for _, m := range kinds {
				cell := ""
				for _, own := range r.Margins {
					if own.Key == m.Key {
						cell = n.text(m.Key, own.Ratio)
					}
				}
				row = append(row, cell)
			}
			for _, d := range drive(r.Setup) {
				row = append(row, d.value)
			}
			reason := ""
			if !r.Serves() || r.Latching {
				reason = plain(firstReason(r))
			}
			row = append(row, yes(r.Dry), strconv.Itoa(r.Spare))
			worst := make([]string, len(names))
			for _, e := range extremes(r) {
				worst[slices.Index(names, e.name)] = n.text(e.name, e.v)
			}
			t.Rows = append(t.Rows, append(append(row, worst...), reason))
		}
	}
	if n.err != nil {
		return n.err
	}
	return t.CSV(w)
}

// The ranking as JSON.
type (
	jsonRelays struct {
		Result   int           `json:"result"`
		Relays   []jsonRelay   `json:"relays"`
		Openings []jsonOpening `json:"openings,omitempty"` // only where nothing serves
	}
	jsonOpening struct {
		Change string   `json:"change"`
		Set    []string `json:"set"`
		Opens  bool     `json:"opens"`
		Relays []string `json:"relays"`
		Relay  string   `json:"relay,omitempty"` // the key of the plan, YAML, where two relays serve
	}
	jsonRelay struct {
		Relay   string             `json:"relay"`
		At      string             `json:"at"` // which relay of the plan
		Verdict string             `json:"verdict"`
		Margins map[string]float64 `json:"margins"` // encoding/json sorts the names
		Worst   map[string]float64 `json:"worst"`   // quantities at their bad end, SI base units
		Dry     bool               `json:"dry"`
		Spare   int                `json:"spare"`
		Drive   map[string]string  `json:"drive"`
		Reasons []string           `json:"reasons"`
	}
)

// RelaysJSON writes rankings as one JSON object, relays in the order of rank, and
// the changes that were tried where nothing serves.
func RelaysJSON(w io.Writer, list []*design.Ranking, openings []design.Opening) error {
	var n numbers
	out := jsonRelays{Result: version, Relays: []jsonRelay{}}
	for _, ranking := range list {
		for _, r := range ranking.Rows {
			j := jsonRelay{
				Relay: r.Relay, At: ranking.At, Verdict: r.Verdict.String(), Dry: r.Dry, Spare: r.Spare,
				Margins: map[string]float64{}, Worst: map[string]float64{}, Drive: map[string]string{}, Reasons: []string{},
			}
			for _, e := range extremes(r) {
				j.Worst[e.name] = n.six(e.name, e.v)
			}
			for _, m := range r.Margins {
				j.Margins[m.Key] = n.six(m.Key, m.Ratio)
			}
			for _, d := range drive(r.Setup) {
				j.Drive[d.key] = d.value
			}
			reasons := r.Reasons()
			if r.Latching || len(reasons) == 0 && !r.Serves() {
				reasons = append([]string{firstReason(r)}, reasons...)
			}
			for _, reason := range reasons {
				j.Reasons = append(j.Reasons, plain(reason))
			}
			out.Relays = append(out.Relays, j)
		}
	}
	for _, o := range openings {
		out.Openings = append(out.Openings, jsonOpening{plain(o.Words), append([]string{}, o.Settings...), o.Opens(), append([]string{}, o.Relays...), o.Section})
	}
	if n.err != nil {
		return n.err
	}
	return writeJSON(w, out)
}
