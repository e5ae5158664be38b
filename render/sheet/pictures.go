package sheet

import (
	"fmt"
	"math"

	"mutewright/design"
	"mutewright/design/quantity"
	"mutewright/render/plot"
	"mutewright/render/scene"
)

// pictures are the plots: every return over its pulldown, the coil over the
// mains, one transmission in time.
func (s *sheet) pictures() error {
	p, err := s.plots()
	if err != nil {
		return err
	}
	if len(p.Windows) == 0 && p.Coil == nil && p.Timing == nil {
		return nil
	}
	var charts []figure
	for i := range p.Windows {
		charts = append(charts, window(&p.Windows[i]))
	}
	if p.Coil != nil {
		charts = append(charts, coil(p.Coil))
	}
	f := s.flow(plotsPage, "Plots", "The pulldown's window, the coil over the mains, and one transmission in time.")
	high := f.chartHigh(charts, p.Timing)
	for _, c := range charts {
		if err := f.chart(c, high); err != nil {
			return err
		}
	}
	if p.Timing != nil {
		return s.transmission(f, p.Timing)
	}
	return nil
}

func in(u quantity.Unit) func(float64) string {
	return func(v float64) string { return quantity.Format(v, u) }
}

// A figure is a chart under a head, with a caption.
type figure struct {
	head, remark, caption string
	chart                 plot.Chart
}

const chartMost, chartLeast = 66.0, 52.0

// chartHigh is the height of the charts: less than most where all pictures then
// fit the page, or at least all charts.
func (f *flow) chartHigh(charts []figure, timing *design.TimingPlot) float64 {
	room := f.left() + gap
	for _, c := range charts {
		room -= gap + barHigh + 1 + f.measured(italic, c.caption, inset)
	}
	with := room
	if timing != nil {
		with -= gap + barHigh + 1 + strip(timing).Height() + f.stripCaptionHigh()
	}
	for _, room := range []float64{with, room} {
		if high := room / float64(len(charts)); high >= chartLeast {
			return min(high, chartMost)
		}
	}
	return chartMost
}

// chart places a figure, its chart so high.
func (f *flow) chart(c figure, high float64) error {
	f.head(c.head, c.remark, high+f.measured(italic, c.caption, inset))
	items, err := c.chart.Draw(f.width()-2*inset, high)
	if err != nil {
		return fmt.Errorf("%s: %w", c.head, err)
	}
	f.put(block{width: f.width(), height: high, items: scene.Shift(items, inset, 0)})
	f.say(italic, c.caption)
	return nil
}

func window(w *design.WindowPlot) figure {
	n := len(w.Ohms)
	x := plot.Axis{Label: "pulldown of " + w.Return, Format: in(quantity.Resistance), From: w.Ohms[0], To: w.Ohms[n-1], Log: true}
	_, most := bounds(w.Muted)
	from, to := plot.Nice(0, most)
	left := plot.Axis{Label: "node, muted, highest", Format: in(quantity.Voltage), From: from, To: to}
	least, most := bounds(append([]float64{w.Wanted}, w.Depth...))
	from, to = plot.Nice(least, most)
	right := plot.Axis{Label: "depth of the set, least", Format: in(quantity.Level), From: from, To: to}
	c := plot.Chart{
		X: x, Y: left, Second: &right,
		Curves: []plot.Curve{
			{Name: "voltage", X: w.Ohms, Y: w.Muted},
			{Name: "depth", X: w.Ohms, Y: w.Depth, Line: plot.Dashed, Right: true},
		},
		Marks: []plot.Mark{{X: w.Chosen, Y: at1(w.Ohms, w.Muted, w.Chosen), Words: quantity.Format(w.Chosen, quantity.Resistance)}},
	}
	caption := "Grey must not be used. "
	if w.Empty() {
		c.Shades = []plot.Shade{{From: x.From, To: x.To}}
		caption = fmt.Sprintf("The window is empty: at least %s for %s, at most %s for %s. ",
			quantity.Format(w.Least, quantity.Resistance), w.LeastBy, quantity.Format(w.Most, quantity.Resistance), w.MostBy)
		if w.Barred() {
			caption = fmt.Sprintf("There is no window: at every resistance %s is over its rating. ", w.MostBy)
		}
	} else {
		c.Shades = []plot.Shade{{From: x.From, To: w.Least}, {From: w.Most, To: x.To}}
		caption += fmt.Sprintf("Below %s: %s. Above %s: %s. ",
			quantity.Format(w.Least, quantity.Resistance), w.LeastBy, quantity.Format(w.Most, quantity.Resistance), w.MostBy)
	}
	if w.Wanted > 0 {
		c.Levels = []plot.Level{{At: w.Wanted, Words: quantity.Format(w.Wanted, quantity.Level) + " wanted", Right: true}}
	}
	caption += "Both curves are worst cases; the mark is the value drawn."
	return figure{"PULLDOWN OF " + upper(w.Return), "its window, worst case", caption, c}
}

// upper puts a name of the plan in capitals for a head.
func upper(name string) string {
	out := []rune(name)
	for i, r := range out {
		if r >= 'a' && r <= 'z' {
			out[i] = r - 'a' + 'A'
		}
	}
	return string(out)
}

func coil(p *design.CoilPlot) figure {
	n := len(p.Ratio)
	all := append(append(append(append([]float64{}, p.Cold...), p.Warm...), p.Operate...), p.Permits...)
	least, most := bounds(all)
	pad := 0.06 * (most - least)
	c := plot.Chart{
		X: plot.Axis{Label: "mains, of its nominal voltage", Format: func(v float64) string { return fmt.Sprintf("%.0f\u00a0%%", 100*v) }, From: p.Ratio[0], To: p.Ratio[n-1]},
		Y: plot.Axis{Label: "V over the coil", Format: in(quantity.Voltage), From: least - pad, To: most + pad},
		Curves: []plot.Curve{
			{Name: "cold coil", X: p.Ratio, Y: p.Cold},
			{Name: "warm coil", X: p.Ratio, Y: p.Warm, Line: plot.Dashed},
			{Name: "pulls in, warm", X: p.Ratio, Y: p.Operate, Line: plot.Dotted},
			{Name: "permitted", X: p.Ratio, Y: p.Permits, Line: plot.Chain},
		},
		Shades: []plot.Shade{{From: p.Ratio[0], To: p.Low}, {From: p.High, To: p.Ratio[n-1]}},
	}
	return figure{"SUPPLY AND COIL", "all but mains and heat nominal",
		"Grey: mains outside of what the plan expects. The coil must stay above the dotted line and below the thin one.", c}
}

const stripCaption = "Nominal case; the worst cases stand under “results and limits”. A bar of a contact: closed; white: it bounces. Grey: RF."

// transmission places the timing diagram.
func (s *sheet) transmission(f *flow, p *design.TimingPlot) error {
	const remark = "contacts, coil and node in time"
	most := f.room() - barHigh - 1 - f.stripCaptionHigh()
	for _, part := range strip(p).Split(most) {
		high := part.Height()
		f.head("ONE TRANSMISSION", remark, high+f.stripCaptionHigh())
		items, err := part.Draw(f.width() - 2*inset)
		if err != nil {
			return fmt.Errorf("timing diagram: %w", err)
		}
		f.put(block{width: f.width(), height: high, items: scene.Shift(items, inset, 0)})
	}
	f.space(captionClear)
	f.say(italic, stripCaption)
	return nil
}

const captionClear = 1.5 // between the timing diagram and its caption

func (f *flow) stripCaptionHigh() float64 {
	return captionClear + f.measured(italic, stripCaption, inset)
}

// strip is the timing diagram: key, RF, coils, supply, contacts, lifted nodes and
// depth over one axis, with the margins dimensioned under it.
func strip(p *design.TimingPlot) plot.Strip {
	ms := func(v float64) string { return quantity.Format(math.Round(v*1e6)/1e6, quantity.Time) }
	s := plot.Strip{
		X: plot.Axis{Label: "from the key’s closing", Format: ms, From: -p.Until * 0.03, To: p.Until},
		Lanes: []plot.Lane{
			{Label: "key", Bars: []plot.Bar{{From: 0, Sure: 0, To: p.KeyUp}}},
			{Label: "RF", Bars: []plot.Bar{{From: p.RFOn, Sure: p.RFOn, To: p.RFOff}}},
		},
		Shades: []plot.Shade{{From: p.RFOn, To: p.RFOff}},
	}
	lane := func(label string, u quantity.Unit, x, y []float64) {
		least, most := bounds(y)
		from, to := plot.Nice(least, most)
		s.Lanes = append(s.Lanes, plot.Lane{
			Label: label, Y: plot.Axis{Label: label, Format: in(u), From: from, To: to}, Curve: []plot.Curve{{X: x, Y: y}},
		})
	}
	for i, d := range p.Drives {
		for k, c := range d.Coils {
			lane(fmt.Sprintf("coil K%d", i+k+1), quantity.Current, c.Times, c.Values)
		}
	}
	if len(p.Drives) > 0 {
		lane("supply", quantity.Voltage, p.Drives[0].Supply.Times, p.Drives[0].Supply.Values)
	}
	for i, c := range p.Record.Contacts {
		label := ""
		if i < len(p.Contacts) {
			label = p.Contacts[i]
		}
		bars := []plot.Bar{{From: c.Down.Arrives, Sure: c.Down.Settled, To: c.Up.Arrives}}
		if c.Closed {
			bars = []plot.Bar{{From: s.X.From, Sure: s.X.From, To: c.Down.Arrives}, {From: c.Up.Arrives, Sure: c.Up.Settled, To: p.Until}}
		}
		s.Lanes = append(s.Lanes, plot.Lane{Label: fitted(regular, label, 32), Bars: bars})
	}
	for i, l := range p.Lifts {
		if i < len(p.Lifted) {
			lane(fitted(regular, p.Lifted[i], 22), quantity.Voltage, l.Times, l.Values)
		}
	}
	if len(p.Lifts) > 0 && len(p.Depth.Times) > 0 {
		lane("depth", quantity.Level, p.Depth.Times, p.Depth.Values)
	}
	q := p.Sequence
	later := max(q.Shorted, q.Opened)
	if len(p.Record.Contacts) > 0 {
		words := "opened before RF: "
		if q.Shorted > 0 {
			words = "guarded before RF: "
		}
		s.Spans = append(s.Spans, plot.Span{From: later, To: p.RFOn, Words: words + ms(q.Margins.Key)})
	}
	if q.Muted > 0 {
		s.Spans = append(s.Spans, plot.Span{From: q.Muted, To: p.RFOn, Words: "muted before RF: " + ms(q.Margins.Mute)})
		s.Lines = append(s.Lines, plot.Instant{At: q.Muted, Words: "muted"})
	}
	if q.Released > 0 {
		s.Spans = append(s.Spans, plot.Span{From: p.RFOff, To: p.KeyUp + q.Released, Words: "guarded past RF: " + ms(q.Margins.Tail)})
	}
	return s
}

// bounds are the least and the most of some values.
func bounds(list []float64) (least, most float64) {
	least, most = math.Inf(1), math.Inf(-1)
	for _, v := range list {
		least, most = min(least, v), max(most, v)
	}
	return least, most
}

// at1 reads a curve at x, by straight lines between its points.
func at1(xs, ys []float64, x float64) float64 {
	for i := 1; i < len(xs); i++ {
		if x <= xs[i] {
			t := (x - xs[i-1]) / (xs[i] - xs[i-1])
			return ys[i-1] + t*(ys[i]-ys[i-1])
		}
	}
	return ys[len(ys)-1]
}
