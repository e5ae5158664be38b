package sheet

import (
	"fmt"
	"slices"
	"strings"

	"mutewright/design"
	"mutewright/design/finding"
	"mutewright/design/fitting"
	"mutewright/design/quantity"
	"mutewright/render/scene"
)

// judgement is what was found and computed: findings worst first, results
// against their limits, voltages of all places, what was assumed, sources.
func (s *sheet) judgement() {
	f := s.flow(findingsPage, "Findings and numbers", "What was found, worst first; results against their limits; what was assumed; sources.")
	s.findings(f)
	s.limits(f)
	s.allPlaces(f)
	s.assumed(f)
	s.sources(f)
}

var severityWords = map[finding.Severity]string{
	finding.Danger: "DANGER", finding.Fail: "FAIL", finding.Caution: "CAUTION", finding.Note: "NOTE",
}

func (s *sheet) findings(f *flow) {
	d := s.design
	verdict := "verdict of the plan: " + d.Verdict.String()
	if len(d.Findings) == 0 {
		f.head("FINDINGS", verdict, 4)
		f.say(body, "Nothing was found. That is no certificate: measure, and let a licensed person decide.")
		return
	}
	var rows [][]cell
	for _, x := range d.Findings {
		says := []styled{{bold, x.Title}, {regular, x.Says}}
		do := []styled{{regular, x.Do}}
		says = append(says, styled{italic, "at " + x.At})
		rows = append(rows, []cell{severityCell(x.Severity), {words: says}, {words: do}})
	}
	f.tabled("FINDINGS", verdict, []column{
		{wide: 19, fixed: true, style: bold}, {head: "what", wide: 6, style: regular}, {head: "what to do", wide: 5, style: regular},
	}, rows)
}

// severityCell is a severity as a word: white on black from fail up.
func severityCell(v finding.Severity) cell {
	word := severityWords[v]
	return cell{high: 4.4, draw: func(b *block, x, y, width float64) {
		if v < finding.Fail {
			b.words(at(x, y+3.1), scene.Start, bold, word)
			return
		}
		owner := fmt.Sprintf("severity %d", len(b.items))
		b.ground(scene.Rect{X: x, Y: y + 0.4, W: bold.width(word) + 2.4, H: 3.7}, owner)
		b.inked(at(x+1.2, y+3.1), scene.Start, bold, scene.White, owner, word)
	}}
}

func (s *sheet) limits(f *flow) {
	if len(s.design.Limits) == 0 {
		return
	}
	var rows [][]cell
	for _, l := range s.design.Limits {
		sign := "at most "
		if l.Least {
			sign = "at least "
		}
		low, nominal, high := l.Text(l.Low), l.Text(l.Nominal), l.Text(l.High)
		rows = append(rows, []cell{
			{words: []styled{{regular, l.Words}, {italic, l.Name}}}, text(low), text(nominal), text(high),
			text(sign + quantity.Format(l.Limit, l.Unit)), {}, barCell(l), text(l.Margin()),
		})
	}
	columns := []column{
		{head: "result", wide: 1, style: regular}, {head: "low", wide: 15, fixed: true, right: true, style: regular},
		{head: "nominal", wide: 15, fixed: true, right: true, style: bold}, {head: "high", wide: 15, fixed: true, right: true, style: regular},
		{head: "limit", wide: 25, fixed: true, right: true, style: regular}, {wide: 0.5, fixed: true}, {head: "low to high; grey: beyond", wide: 36, fixed: true, style: regular},
		{head: "margin", wide: 17, fixed: true, right: true, style: regular},
	}
	f.head("RESULTS AND LIMITS", "worst case over everything that is uncertain", f.start(columns, rows))
	s.starts[numbersPage] = len(s.pages)
	f.noted(columns, rows, "A bar runs from low to high, its white stroke is nominal: coils at 20\u00a0°C. Margins are those of the worst end. How a number came about: mutewright why PLAN RESULT.")
}

// barCell draws a result between its ends against its limit.
func barCell(l design.Limit) cell {
	return cell{high: 5, draw: func(b *block, x, y, width float64) {
		const top, high = 1.0, 3.2
		from, to := scaleOf(l)
		place := func(v float64) float64 {
			return x + width*min(1, max(0, (v-from)/(to-from)))
		}
		limit := place(l.Limit)
		beyond := scene.Rect{X: limit, Y: y + top, W: x + width - limit, H: high}
		if l.Least {
			beyond = scene.Rect{X: x, Y: y + top, W: limit - x, H: high}
		}
		ornament := scene.Tag{}
		b.add(beyond, scene.Pen{}, scene.Grey, ornament)
		b.add(scene.Rect{X: x, Y: y + top, W: width, H: high}, hair, scene.None, scene.Tag{Class: scene.Body})
		if l.Low > to {
			// All of it lies beyond the scale: an arrow says so.
			e, m := x+width-0.8, y+top+high/2
			b.add(scene.Polygon(at(e-2.4, m-1), at(e-2.4, m+1), at(e, m)), scene.Pen{}, scene.Black, ornament)
			b.add(scene.Polyline(at(limit, y+top-0.5), at(limit, y+top+high+0.5)), scene.Pen{Ink: scene.Black, Width: 0.5}, scene.None, ornament)
			return
		}
		low, high2 := place(l.Low), place(l.High)
		b.add(scene.Rect{X: low, Y: y + top + 0.8, W: max(0.5, high2-low), H: high - 1.6}, scene.Pen{}, scene.Black, ornament)
		if high2-low > 1.6 {
			n := place(l.Nominal)
			b.add(scene.Polyline(at(n, y+top+0.8), at(n, y+top+high-0.8)), scene.Pen{Ink: scene.White, Width: 0.4}, scene.None, ornament)
		}
		b.add(scene.Polyline(at(limit, y+top-0.5), at(limit, y+top+high+0.5)), scene.Pen{Ink: scene.Black, Width: 0.5}, scene.None, ornament)
	}}
}

// scaleOf is the range of a bar: from zero, or from below what is negative, to
// somewhat beyond limit and result; a result far beyond what it must reach is
// cut off at four times its limit.
func scaleOf(l design.Limit) (from, to float64) {
	from = min(0, l.Low*1.1, l.Limit*1.1)
	to = max(l.High, l.Limit) * 1.15
	if l.Least && l.Limit > 0 {
		to = min(to, 4*l.Limit)
	}
	if !l.Least {
		to = min(to, 3*l.Limit)
		to = max(to, 1.3*l.Limit)
	}
	if to <= from {
		to = from + 1
	}
	return from, to
}

func (s *sheet) allPlaces(f *flow) {
	if len(s.design.Places) == 0 {
		return
	}
	var rows [][]cell
	for _, p := range s.design.Places {
		row := []cell{text(p.Where)}
		for i := range s.stateHeads() {
			row = append(row, text(fitting.WholeVolts([]float64{p.Receive, p.Muted, p.Unguarded}[i])))
		}
		rows = append(rows, row)
	}
	columns := []column{{head: "place", wide: 1, style: regular}}
	for _, h := range s.stateHeads() {
		columns = append(columns, column{head: h, wide: 25, fixed: true, right: true, style: bold})
	}
	f.head("VOLTS TO CHASSIS", "highest, worst case; rails as with cold tubes", f.kept(columns, rows))
	if s.starts[numbersPage] == 0 {
		s.starts[numbersPage] = len(s.pages)
	}
	f.rows(columns, rows)
}

func (s *sheet) assumed(f *flow) {
	if len(s.design.Assumed) == 0 {
		return
	}
	var rows [][]cell
	for _, a := range s.design.Assumed {
		rows = append(rows, []cell{text(a.At), text(a.Value), text(a.Why)})
	}
	f.tabled("ASSUMED", "the plan leaves these out: a measured value is better", []column{
		{head: "key of the plan", wide: 5, style: regular}, {head: "value", wide: 42, fixed: true, style: bold}, {head: "why", wide: 6, style: italic},
	}, rows)
}

// sources lists where the judgement comes from, each once.
func (s *sheet) sources(f *flow) {
	var list []string
	for _, x := range s.design.Findings {
		if x.Source != "" && !slices.Contains(list, x.Source) {
			list = append(list, x.Source)
		}
	}
	for _, l := range s.design.Limits {
		if src := l.Working.Source; src != "" && !slices.Contains(list, src) {
			list = append(list, src)
		}
	}
	if len(list) == 0 {
		return
	}
	for i, l := range list {
		list[i] = strings.ToUpper(l[:1]) + l[1:] + "."
	}
	// Run on and kept together: a list would often begin a sheet of its own.
	all := strings.Join(list, " ")
	f.head("SOURCES", "", f.measured(regular, all, inset))
	f.say(regular, all)
}
