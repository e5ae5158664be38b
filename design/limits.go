package design

import (
	"fmt"
	"math"
	"strings"

	"mutewright/design/answer"
	"mutewright/design/known"
	"mutewright/design/quantity"
	"mutewright/design/rule"
)

// A Limit is one result with what it is held against. It judges nothing: the
// findings do.
type Limit struct {
	answer.Quantity
	Words string  // "6AQ5, heater to cathode"
	Limit float64 // in the quantity's unit
	Least bool    // the result must reach the limit; else it may not exceed it

	Finding string // id of the finding that this limit decides; "": of several

	// Where the limit comes from: the number of the plan or catalogue that is the
	// limit, else a standard or practice in Source.
	Rating *answer.Input
	Source string

	rating known.ID // the number of the plan that is the limit, where it is one
}

// limiter collects limits of results that exist.
type limiter struct {
	f    *known.Facts
	a    *answer.Answers
	list []Limit
}

// most adds a result that may not exceed a rating: the low end of what the
// rating is known to be. It tells whether there is such a result.
func (l *limiter) most(name, words string, rating known.ID) bool {
	if !rating.Exists() {
		return false
	}
	before := len(l.list)
	l.atMost(name, words, l.f.Box.Entry(rating).Low)
	if len(l.list) == before {
		return false
	}
	l.list[before].rating = rating
	l.list[before].Rating = answer.InputAt(l.f, rating)
	return true
}

// decide names the finding of the limit that was added last, where the result's
// name does not tell.
func (l *limiter) decide(id string) {
	last := &l.list[len(l.list)-1]
	last.Finding, last.Source = id, sourceOf(id)
}

func (l *limiter) atMost(name, words string, limit float64) {
	l.add(name, words, limit, false)
}

func (l *limiter) atLeast(name, words string, limit float64) {
	l.add(name, words, limit, true)
}

func (l *limiter) add(name, words string, limit float64, least bool) {
	if q, ok := l.a.Get(name); ok {
		id := decidedBy(name)
		l.list = append(l.list, Limit{Quantity: q, Words: words, Limit: limit, Least: least, Finding: id, Source: sourceOf(id)})
	}
}

// pulldownWatts is what a 2 W pulldown is meant to dissipate at most in a warm
// cabinet, W (half its rating, common practice).
const pulldownWatts = 1

// limits lists what the results are held against, in the order of the work:
// mains, lifted nodes and their points, contacts, drive, key line, antenna,
// timing, depth.
func limits(f *known.Facts, a *answer.Answers) []Limit {
	l := &limiter{f: f, a: a}
	if a.Mains.Good > 0 {
		l.atMost("mains.touch_current", "touch current of the set, chassis not earthed", a.Mains.Good)
	}
	for r := range f.Returns {
		l.ofReturn(&f.Returns[r])
	}
	for _, p := range a.Poles.Used {
		l.atLeast("contact."+p.Letter+".margin", p.Letter+": current it may break over what it breaks", 1)
	}
	l.ofDrives()
	t := &f.Transmitter
	l.most("control.open", "key line, open", t.LineVolts)
	l.most("control.kick", "key line, at let-go", t.LineVolts)
	l.most("control.closed", "key line, closed", t.LineAmps)
	l.most("control.inrush", "key line, as it closes on the hold capacitor", t.LineAmps)
	for i := range f.Points {
		if p := &f.Points[i]; p.Kind == known.Antenna {
			l.most("antenna."+p.Name+".residual", p.Name+": power that still reaches the input", p.Withstand)
		}
	}
	l.atLeast("timing.key_margin", "contacts settled before RF", 0)
	l.atLeast("timing.tail_margin", "antenna guarded past the end of RF", 0)
	l.atLeast("timing.mute_margin", "muted before RF", 0)
	if f.Wanted.Exists() {
		l.atLeast("depth", "muting depth of the set", f.Box.Entry(f.Wanted).Nominal)
	}
	return l.list
}

func (l *limiter) ofReturn(ret *known.Return) {
	f, stem := l.f, "return."+ret.Name
	if ret.Reachable {
		l.atMost(stem+".muted", ret.Name+", within reach, muted", answer.TouchVolts)
		l.decide("return.touch")
	}
	l.atMost(stem+".pulldown_power", "pulldown of "+ret.Name+", 2 W", pulldownWatts)
	if l.most(stem+".muted", "capacitor at the cut of "+ret.Name, ret.CapacitorRated) {
		l.decide("return.cut_capacitor")
	}
	rails := map[int]bool{}
	for _, i := range ret.Points {
		p := &f.Points[i]
		point := "point." + p.Name
		switch p.Kind {
		case known.Output:
			l.most(point+".heater_cathode", p.Tube.Name+" of "+p.Name+", heater to cathode", p.Tube.HeaterCathode)
			l.most(point+".bypass", "bypass capacitor of "+p.Name, p.Bypass.Rated)
		case known.Gain:
			// The stage with the lowest rating speaks for all: they share a node.
			weakest := -1
			for k := range p.Stages {
				id := p.Stages[k].Tube.HeaterCathode
				if id.Exists() && (weakest < 0 || f.Box.Entry(id).Low < f.Box.Entry(p.Stages[weakest].Tube.HeaterCathode).Low) {
					weakest = k
				}
			}
			if weakest >= 0 {
				t := &p.Stages[weakest].Tube
				l.most(point+".heater_cathode", t.Name+" of "+p.Name+", heater to cathode", t.HeaterCathode)
			}
			l.most(stem+".bus", "capacitor on the cathode bus of "+p.Name, p.BusCapacitor.Rated)
		default:
			continue
		}
		if s := p.Supply; s >= 0 && !rails[s] {
			rails[s] = true
			l.most(stem+".rail."+f.Supplies[s].Name, f.Supplies[s].Name+", "+ret.Name+" muted, on its capacitors", f.Supplies[s].CapRated)
		}
	}
}

func (l *limiter) ofDrives() {
	for i := range l.f.Relays {
		stem, k := "drive", "K1"
		if i > 0 {
			stem, k = fmt.Sprintf("drive.%d", i+1), fmt.Sprintf("K%d", i+1)
		}
		l.atLeast(stem+".coil.operate_margin", k+": voltage it gets over what pulls it in", 1)
		l.atLeast(stem+".coil.ceiling_margin", k+": voltage permitted over what it gets", 1)
		l.atLeast(stem+".coil.release_margin", k+": release voltage over what leakage leaves", 1)
		l.atMost(stem+".winding.load", "winding, heaters and drive together, of its rating", 1)
	}
}

// sourceOf is the source of a kind of finding.
func sourceOf(id string) string {
	for _, k := range rule.Kinds() {
		if k.ID == id {
			return k.Source
		}
	}
	return ""
}

// decides says which finding hangs on a result, by the end of its name.
var decides = []struct{ suffix, finding string }{
	{"mains.touch_current", "mains.touch_current"},
	{".heater_cathode", "return.heater_cathode"},
	{".bypass", "return.bypass"},
	{".bus", "return.bus_capacitor"},
	{".pulldown_power", "return.pulldown_power"},
	{".coil.operate_margin", "drive.operate"},
	{".coil.ceiling_margin", "drive.ceiling"},
	{".coil.release_margin", "drive.release"},
	{".winding.load", "drive.winding_load"},
	{"control.open", "control.voltage"},
	{"control.kick", "control.kick"},
	{"control.closed", "control.current"},
	{"control.inrush", "drive.hold_inrush"},
	{".residual", "antenna.residual"},
	{".margin", "contact.limit"},
	{"timing.key_margin", "timing.key_margin"},
	{"timing.tail_margin", "timing.tail_margin"},
	{"timing.mute_margin", "timing.mute_margin"},
	{"depth", "return.depth"},
}

func decidedBy(name string) string {
	for _, d := range decides {
		if strings.HasSuffix(name, d.suffix) {
			return d.finding
		}
	}
	if strings.HasPrefix(name, "return.") && strings.Contains(name, ".rail.") {
		return "return.rail_capacitor"
	}
	return ""
}

// Worst is the end of the result that its limit is held against.
func (l Limit) Worst() float64 {
	if l.Least {
		return l.Low
	}
	return math.Max(math.Abs(l.Low), math.Abs(l.High))
}

// Margin says how far the worst end keeps from the limit, as it is written: "1.4
// ×" of a rating, "12 dB" or "3 ms" of a difference.
func (l Limit) Margin() string {
	worst := l.Worst()
	switch {
	case l.Unit == quantity.Level || l.Unit == quantity.Time:
		d := l.Limit - worst
		if l.Least {
			d = -d
		}
		return quantity.Format(d, l.Unit)
	case l.Unit == quantity.Proportion && l.Least:
		return factor(worst / l.Limit)
	case worst == 0:
		return "–"
	}
	return factor(l.Limit / worst)
}

// factor is a ratio in three digits, at most "over 100 ×".
func factor(v float64) string {
	if v > 100 {
		return "over 100\u00a0×"
	}
	return quantity.Format(v, quantity.Proportion) + "\u00a0×"
}
