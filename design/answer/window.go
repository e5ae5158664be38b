package answer

import (
	"fmt"
	"math"

	"mutewright/design/known"
	"mutewright/design/lifted"
	"mutewright/design/spread"
)

// mostPulldown is where a window ends at the latest, ohm: heater–cathode
// leakage and hum decide beyond (common practice).
const mostPulldown = 100e3

// halfRating is what a 2 W resistor may dissipate in a warm cabinet, W.
const halfRating = 1

// A bound is a rating in force on a lifted node.
type bound struct {
	lifted.Limit
	words, at string
}

// bounds lists the ratings in force on return r, at their low ends.
func (l *lifts) bounds(r int) []bound {
	f := l.facts
	ret := &f.Returns[r]
	var list []bound
	add := func(of lifted.Quantity, point, stage int, limit float64, words, at string) {
		list = append(list, bound{lifted.Limit{Of: of, Point: point, Stage: stage, Volts: limit}, words, at})
	}
	low := func(id known.ID) float64 { return f.Box.Entry(id).Low }
	// A capacitor whose rating nobody knows does not hold the pulldown down: it is
	// looked at, and replaced, before the return is cut; a finding says so.
	inForce := func(id known.ID) bool { return id.Exists() && f.Box.Entry(id).Origin != known.Assumed }
	if ret.Reachable {
		add(lifted.NodeVolts, 0, 0, TouchVolts, "the touch limit of a node within reach", "returns."+ret.Name+".reachable")
	}
	if volts := ContactVolts(f, ret.Name); volts > 0 {
		add(lifted.NodeVolts, 0, 0, volts, "the voltage that the contact may break", f.Serving(ret.Name).At+".use")
	}
	if ret.CapacitorRated.Exists() {
		add(lifted.NodeVolts, 0, 0, low(ret.CapacitorRated), "the capacitor at the cut", "returns."+ret.Name+".capacitor.rated")
	}
	for k, i := range ret.Points {
		p := &f.Points[i]
		if p.Kind == known.Output {
			add(lifted.HeaterCathodeVolts, k, 0, low(p.Tube.HeaterCathode), p.Tube.Name+" from heater to cathode", p.At+".tube")
			if p.Bypass.Value.Exists() && inForce(p.Bypass.Rated) {
				add(lifted.BypassVolts, k, 0, low(p.Bypass.Rated), "the bypass capacitor of "+p.Name, p.At+".bypass.rated")
			}
		}
		if p.BusCapacitor.Value.Exists() && inForce(p.BusCapacitor.Rated) {
			add(lifted.BusVolts, k, 0, low(p.BusCapacitor.Rated), "the bus capacitor of "+p.Name, p.At+".bus_capacitor.rated")
		}
		for s := range p.Stages {
			t := &p.Stages[s].Tube
			at := fmt.Sprintf("%s.stages.%d.tube", p.At, s+1)
			add(lifted.HeaterCathodeVolts, k, s, low(t.HeaterCathode), t.Name+" from heater to cathode", at)
		}
	}
	return list
}

// ContactVolts is the highest voltage that the contact serving a place may
// break, 0 where nothing is known.
func ContactVolts(f *known.Facts, place string) float64 {
	r := f.Serving(place)
	if r == nil {
		return 0
	}
	volts := nominal(f, r.Contacts.Volts)
	if n := len(r.Contacts.Limits); n > 0 {
		volts = math.Max(volts, r.Contacts.Limits[n-1].Volts)
	}
	return volts
}

// stress is the muted value of return r over a limit, tubes hot or cold.
func (b bound) stress(s *solved, r int) float64 {
	return math.Max(math.Abs(stressed(&s.muted[r].Highest, b.Limit)), math.Abs(stressed(&s.cold[r], b.Limit))) / b.Volts
}

// stressed is the voltage that a limit is about.
func stressed(h *lifted.State, l lifted.Limit) float64 {
	switch l.Of {
	case lifted.NodeVolts:
		return h.Node
	case lifted.BusVolts:
		return h.Points[l.Point].Bus
	case lifted.BypassVolts:
		return h.Points[l.Point].Stages[l.Stage].Bypass
	case lifted.HeaterCathodeVolts:
		return h.Points[l.Point].Stages[l.Stage].HeaterCathode
	}
	return h.Points[l.Point].Stages[l.Stage].Screen
}

// FindWindow finds the range of return r from which its pulldown may be taken:
// the highest resistance at which, worst case and over the whole travel of the
// control, every voltage stays within its rating, and the lowest that reaches
// the depth wanted and stays cool.
//
// The worst corner is found at one resistance and moves little with it: the upper
// end is found there, and again in the corner that is worst at that end, until
// it holds.
func FindWindow(f *known.Facts, r int) (Window, error) {
	l, err := newLifts(f)
	if err != nil {
		return Window{}, err
	}
	ret := &f.Returns[r]
	list := l.bounds(r)
	limits := make([]lifted.Limit, len(list))
	for i, b := range list {
		limits[i] = b.Limit
	}
	tightest := math.Inf(1)
	for _, b := range list {
		tightest = math.Min(tightest, b.Volts)
	}
	window := Window{Tightest: tightest, Least: 1, Most: mostPulldown, MostBy: "leakage from heater to cathode", MostAt: "returns." + ret.Name + ".pulldown",
		LeastBy: "the pulldown's own heat", LeastAt: "receiver.supplies"}

	window.Most = mostPulldown
	var corners cornerSet
	for at, round := lifted.UsualPulldown, 0; round < 6; round++ {
		if corners, err = l.corners(r, at, list, whenOpen); err != nil {
			return Window{}, err
		}
		if at == window.Most && corners.worst <= 1+1e-6 {
			break
		}
		n, err := l.muted(r, corners.stress)
		if err != nil {
			return Window{}, err
		}
		most, err := lifted.Most(n, limits)
		if err != nil {
			return Window{}, err
		}
		switch most.By {
		case lifted.Nothing:
			window.Most, window.MostBy, window.MostAt = 0, list[most.Limit].words, list[most.Limit].at
			return window, nil
		case lifted.Rating:
			// What is soldered in may be above its nominal value.
			if ohms := most.Ohms / (1 + resistorTolerance); ohms < window.Most {
				window.Most, window.MostBy, window.MostAt = ohms, list[most.Limit].words, list[most.Limit].at
			}
		}
		at = window.Most
	}
	return window, l.least(r, &window, corners)
}

// resistorTolerance of the pulldown, relative.
const resistorTolerance = 0.05

// A cornerSet is the points of the box at which a return is stressed most and
// the set is silenced least, with a pulldown of some ohms.
type cornerSet struct {
	stress, depth []float64
	hot           []float64 // where the pulldown itself takes most
	worst         float64   // highest value over its limit
	deep          float64   // lowest depth of the whole set, dB
}

// corners finds them for return r; of forDepth that of the depth alone.
func (l *lifts) corners(r int, pulldown float64, list []bound, of pieces) (cornerSet, error) {
	f := l.facts
	id := f.Returns[r].Pulldown
	box := f.Box
	if id.Exists() {
		box = append(known.Box(nil), f.Box...)
		e := &box[id.Index()]
		e.Nominal, e.Low, e.High = pulldown, pulldown*(1-resistorTolerance), pulldown*(1+resistorTolerance)
	}
	// Each rating has its own corner: the one that is nearest at nominal need not
	// be the one that breaks first.
	depth, heat := len(list), len(list)+1
	outputs := heat + 1
	if of == forDepth {
		outputs = heat
	}
	problem := spread.Problem{Inputs: inputsOf(box), Outputs: outputs, Noise: 1e-6, Touches: touched(liftedInputs(f), box)}
	for _, i := range problem.Touches {
		if problem.Inputs[i].Low < problem.Inputs[i].High {
			problem.Budget += 3 // each alone, at both ends and perhaps between
		}
	}
	problem.Budget += windowBudget
	problem.Eval = func(x, out []float64) error {
		s, err := l.solve(x, need{everyReturn, of})
		if err != nil {
			return err
		}
		for i, b := range list {
			out[i] = b.stress(s, r)
		}
		out[depth] = s.total
		if heat < outputs {
			node := s.muted[r].Highest.Node
			out[heat] = node * node / pulldown
		}
		return nil
	}
	result, err := spread.Worst(problem)
	if err != nil {
		return cornerSet{}, fmt.Errorf("window of %s: %w", f.Returns[r].Name, err)
	}
	c := cornerSet{stress: box.Nominal(), depth: result.Outputs[depth].AtLow, deep: result.Outputs[depth].Low}
	if heat < outputs {
		c.hot = result.Outputs[heat].AtHigh
	}
	for _, out := range result.Outputs[:depth] {
		if out.High > c.worst {
			c.stress, c.worst = out.AtHigh, out.High
		}
	}
	return c, nil
}

// windowBudget is how many points beyond those of each input alone are asked for
// a window; the answers themselves are asked without a limit. With 40 a return in
// wide doubt was left a window that broke its heater–cathode rating by 0.8 V; with
// 150 it ends where the answers do.
const windowBudget = 150

// least finds the lower end of the window.
func (l *lifts) least(r int, w *Window, corners cornerSet) error {
	f := l.facts
	wanted := 0.0
	if f.Wanted.Exists() {
		wanted = f.Box.Entry(f.Wanted).Nominal
	}
	n, err := l.muted(r, corners.depth)
	if err != nil {
		return err
	}
	hot, err := l.muted(r, corners.hot)
	if err != nil {
		return err
	}
	heat, err := lifted.Least(hot, 0, halfRating)
	if err != nil {
		return err
	}
	w.Least = heat.Ohms
	if heat.By == lifted.Dissipation { // what is soldered in may be below its nominal value
		w.Least /= 1 - resistorTolerance
	}
	if wanted == 0 || corners.deep < wanted*(1-1e-6) && w.Most >= mostPulldown {
		w.DepthUnreachable = wanted > 0
		return nil
	}
	// The corner that silences least moves with the pulldown, because a stage
	// that has reached its cap hides what moves it: look again where the last
	// look ended. What the other returns and the doubts of all stages give does
	// not hang on this pulldown.
	at := w.Most
	for range 4 {
		own, err := depthOf(n, at*(1-resistorTolerance))
		if err != nil {
			return err
		}
		deep, err := lifted.Least(n, wanted-(corners.deep-own), halfRating)
		if err != nil {
			return err
		}
		if deep.By == lifted.Nothing {
			w.DepthUnreachable = w.Most >= mostPulldown
			if !w.DepthUnreachable {
				w.Least, w.LeastBy, w.LeastAt = mostPulldown, "the depth wanted", "wanted.depth"
			}
			return nil
		}
		next := deep.Ohms / (1 - resistorTolerance)
		if next > w.Least {
			w.Least, w.LeastBy, w.LeastAt = next, "the depth wanted", "wanted.depth"
		}
		if math.Abs(next-at) < 0.02*at {
			return nil
		}
		at = next
		if corners, err = l.corners(r, at, nil, forDepth); err != nil {
			return err
		}
		if n, err = l.muted(r, corners.depth); err != nil {
			return err
		}
	}
	return nil
}

// depthOf is the depth of a network with a pulldown of some ohms, dB.
func depthOf(n lifted.Network, pulldown float64) (float64, error) {
	n.Pulldown = pulldown
	return depthIn(new(lifted.Shop), n)
}

// depthIn is the depth of a network, dB.
func depthIn(s *lifted.Shop, n lifted.Network) (float64, error) {
	ret, err := s.Solve(n)
	if err != nil {
		return 0, err
	}
	d, err := s.Open(ret).Depth()
	return d.Total, err
}

func inputsOf(box known.Box) []spread.Input {
	inputs := make([]spread.Input, len(box))
	for i, e := range box {
		inputs[i] = spread.Input{Nominal: e.Nominal, Low: e.Low, High: e.High}
	}
	return inputs
}

// behind maps the numbers that act only while another stands at its high end to
// that other one.
func behind(box known.Box) map[int]int {
	gates := map[int]int{}
	for i, e := range box {
		if e.Behind.Exists() {
			gates[i] = e.Behind.Index()
		}
	}
	return gates
}

// touched lists the positions of the numbers that exist, each once.
func touched(ids []known.ID, box known.Box) []int {
	seen := make([]bool, len(box))
	list := []int{}
	for _, id := range ids {
		if id.Exists() && !seen[id.Index()] {
			seen[id.Index()] = true
			list = append(list, id.Index())
		}
	}
	return list
}
