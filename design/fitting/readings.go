package fitting

import (
	"fmt"
	"math"
	"slices"

	"mutewright/design/answer"
	"mutewright/design/known"
	"mutewright/design/quantity"
)

// Meters.
const (
	dcVolts   = "DC V, 10 MΩ"
	acVolts   = "AC V"
	ohmMeter  = "ohms"
	milliamps = "DC mA"
)

// log writes readings down in the order of the work.
type log struct {
	f    *known.Facts
	a    *answer.Answers
	list []Reading
}

func (l *log) add(r Reading) {
	r.ID = fmt.Sprintf("M%d", len(l.list)+1)
	if r.Low > r.High {
		r.Low, r.High = r.High, r.Low
	}
	r.Range = rangeOf(&r)
	l.list = append(l.list, r)
}

// expect adds a reading whose bounds are a quantity's.
func (l *log) expect(state, at, meter, name, control, why string) {
	q, ok := l.a.Get(name)
	if !ok {
		return
	}
	l.add(Reading{
		State: state, Between: []string{at, "chassis"}, Meter: meter, Unit: q.Unit.Code(),
		Control: control, Low: q.Low, High: q.High, Why: why,
	})
}

// readings lists what to measure in the order of the work: the mains side,
// unplugged, on receive, muted, the drive, the mains side again.
func readings(f *known.Facts, a *answer.Answers, fit *Fitting) []Reading {
	l := &log{f: f, a: a}
	fit.Mains.Before = l.before()
	l.unplugged(fit)
	l.receive(fit)
	l.muted(fit)
	l.drive(fit)
	fit.Mains.After = l.after()
	return l.list
}

// contactMost is the resistance of a sound contact with its wires, ohm.
const contactMost = 0.2

func (l *log) unplugged(fit *Fitting) {
	for i := range fit.Wiring.Groups {
		g := &fit.Wiring.Groups[i]
		ret := &l.f.Returns[slices.IndexFunc(l.f.Returns, func(r known.Return) bool { return r.Name == g.Name })]
		if g.Pulldown != nil {
			e := l.f.Box.Entry(ret.Pulldown)
			l.add(Reading{
				State: "unplugged", Between: []string{g.Pulldown.Ref + " by itself, before the return is cut", ""}, Meter: ohmMeter,
				Unit: "ohm", Low: e.Low, High: e.High, Why: "it is one solder joint away from the only guard of the lifted node",
			})
		}
		node := g.Contact.Throw.Words
		closedLow, closedHigh := 0.0, contactMost
		open := l.openOhms(ret)
		first, second := closedHigh, open[1]
		low1, low2 := closedLow, open[0]
		if !g.Contact.Break {
			first, second, low1, low2 = open[1], closedHigh, open[0], closedLow
		}
		l.add(Reading{State: "unplugged", Between: []string{node, "chassis"}, Meter: ohmMeter, Unit: "ohm", Control: atRest(true),
			Low: low1, High: first, Why: "the contact as drawn; capacitors charge first, wait until it settles"})
		l.add(Reading{State: "unplugged", Between: []string{node, "chassis"}, Meter: ohmMeter, Unit: "ohm", Control: atRest(false),
			Low: low2, High: second, Why: "the pulldown and known paths: less tells of a forgotten path past the lift"})
	}
	for i := range fit.Wiring.Guards {
		l.guard(&fit.Wiring.Guards[i])
	}
	for i := range l.f.Relays {
		l.coil(fit, i)
	}
}

// atRest is the state of a contact that is read unplugged.
func atRest(rest bool) string {
	if rest {
		return "contact at rest"
	}
	return "contact worked by hand or on a bench supply"
}

// guard reads what a guard joins, each in the state in which it joins it.
func (l *log) guard(g *Guard) {
	joined := func(from, to string, rest bool, why string) {
		l.add(Reading{State: "unplugged", Between: []string{from, to}, Meter: ohmMeter, Unit: "ohm", Control: atRest(rest), Low: 0, High: contactMost, Why: why})
	}
	const chassis, shorts, passes = "chassis", "the guard; with the contact open only the input coil is read", "the way to the input on receive"
	terminal, c := g.Joints[0].Words, g.Contacts
	switch g.Kind {
	case ShortPair:
		joined(terminal, g.Joints[1].Words, c[0].Break, shorts)
	case ShortEach:
		joined(terminal, chassis, c[0].Break, shorts)
		joined(g.Joints[1].Words, chassis, c[1].Break, shorts)
	case Changeover:
		joined(terminal, g.Joints[1].Words, c[0].Break, passes)
		joined(g.Joints[1].Words, chassis, !c[0].Break, "the guard: the antenna then reads open to the input")
	case OpenShort:
		joined(terminal, g.Joints[1].Words, c[0].Break, passes)
		joined(g.Joints[1].Words, chassis, c[1].Break, "the guard: the antenna then reads open to the input")
	default:
		joined(terminal, chassis, c[0].Break, shorts)
	}
}

// coil reads a coil and its relay on a bench supply.
func (l *log) coil(fit *Fitting, i int) {
	r := &l.f.Relays[i]
	name := "coil of " + fit.Relays[i]
	entry := func(id known.ID) known.Entry { return l.f.Box.Entry(id) }
	e := entry(r.Coil.Ohms)
	l.add(Reading{State: "unplugged", Between: []string{fit.Relays[i] + " coil A1", "A2"}, Meter: ohmMeter, Unit: "ohm",
		Low: e.Low, High: e.High, Why: "the coil cold, at 20 °C; copper adds 0.4 % a kelvin"})
	rated, operate := entry(r.Coil.Rated).Nominal, entry(r.Coil.Operate)
	l.add(Reading{State: "unplugged", Between: []string{name + ", bench supply rising", ""}, Meter: dcVolts, Unit: "V",
		Low: 0.4 * rated, High: operate.High * rated, Why: "operate voltage, cold"})
	l.add(Reading{State: "unplugged", Between: []string{name + ", bench supply falling", ""}, Meter: dcVolts, Unit: "V",
		Low: entry(r.Coil.MustLet).Low * rated, High: entry(r.Coil.LetsGo).High * rated, Why: "release voltage, cold"})
}

// openOhms is what the lifted node reads to chassis with its contact open:
// pulldown in parallel with the known paths.
func (l *log) openOhms(ret *known.Return) [2]float64 {
	low, high := 0.0, 0.0
	add := func(id known.ID) {
		if id.Exists() {
			e := l.f.Box.Entry(id)
			low += 1 / e.High // conductances: most ohms first
			high += 1 / e.Low
		}
	}
	add(ret.Pulldown)
	for _, i := range ret.Points {
		p := &l.f.Points[i]
		add(p.Path)
		if p.FarEnd == "chassis" {
			add(p.Track)
		}
	}
	if low == 0 {
		return [2]float64{1e6, 10e6}
	}
	return [2]float64{1 / high, 1 / low}
}

// windingKeeps is the share of its voltage that a winding must keep under the
// drive (common practice).
const windingKeeps = 6.0 / 6.3

func (l *log) receive(fit *Fitting) {
	for i := range l.f.Supplies {
		s := &l.f.Supplies[i]
		v, ratio := l.f.Box.Entry(s.Volts), l.f.Box.Entry(l.f.Mains.Ratio)
		if s.Regulated {
			ratio.Low, ratio.High = 1, 1
		}
		r := Reading{State: "receive", Meter: dcVolts, Unit: "V", Between: []string{s.Live, "chassis"},
			Low: v.Low * ratio.Low, High: v.High * ratio.High, Why: s.Name + ", mains as found"}
		if !s.Rail {
			r.Meter, r.Between = acVolts, []string{s.Live, s.Other}
			r.Why = s.Name + ", mains as found"
			if l.f.Relays[0].Supply == i {
				r.Why = fmt.Sprintf("%s, before and after the drive is added: at least %s must stay", s.Name, format(windingKeeps*v.Nominal, quantity.Voltage))
			}
		}
		l.add(r)
	}
	for i := range l.f.Points {
		p := &l.f.Points[i]
		l.expect("receive", "cathode of "+p.Name, dcVolts, "point."+p.Name+".cathode.receive", setting(p), "the stage draws what the plan says")
		l.expect("receive", "screen of "+p.Name, dcVolts, "point."+p.Name+".screen.receive", setting(p), "")
	}
	for i := range fit.Wiring.Groups {
		g := &fit.Wiring.Groups[i]
		if q, ok := l.a.Get("return." + g.Name + ".current"); ok {
			l.add(Reading{State: "receive", Between: []string{g.Contact.Throw.Words, g.Contact.Common.Words}, Meter: "DC mV", Unit: "V",
				Low: 0, High: contactMost * q.High, Why: "across the closed contact: more is a bad contact or joint"})
		}
	}
}

// setting is the position of a gain control at which a reading holds.
func setting(p *known.Point) string {
	if p.Kind == known.Gain {
		return "gain control as in the plan"
	}
	return ""
}

func (l *log) muted(fit *Fitting) {
	for i := range fit.Wiring.Groups {
		g := &fit.Wiring.Groups[i]
		stem := "return." + g.Name
		node := g.Contact.Throw.Words
		if _, ok := l.a.Get(stem + ".muted_full_gain"); ok {
			l.expect("muted", node, dcVolts, stem+".muted_full_gain", "gain control at full gain", "the lifted node")
			l.expect("muted", node, dcVolts, stem+".muted_least_gain", "gain control at least gain", "the lifted node")
			l.expect("muted", "cathode bus", dcVolts, stem+".bus_full_gain", "gain control at full gain", "")
			l.expect("muted", "cathode bus", dcVolts, stem+".bus_least_gain", "gain control at least gain", "")
		} else {
			l.expect("muted", node, dcVolts, stem+".muted", "", "the lifted node")
		}
	}
	for i := range l.f.Standby {
		s := &l.f.Standby[i]
		if s.Left == "in use" && s.Return >= 0 {
			l.expect("muted", "tubes' side of "+s.Name, dcVolts, fmt.Sprintf("standby.%d.voltage", i+1), s.Name+" open, key let go",
				"the pulldown holds it, whichever of the two opens")
		}
	}
	for i := range l.f.Points {
		p := &l.f.Points[i]
		l.expect("muted", "screen of "+p.Name, dcVolts, "point."+p.Name+".screen.muted", "", "it climbs as the stage is cut off")
	}
	if q, ok := l.a.Get("depth"); ok {
		l.add(Reading{State: "muted", Between: []string{"signal generator at the antenna", "audio output"}, Meter: "level drop", Unit: "dB",
			Low: q.Low, High: q.High, Over: q.High >= q.Most, Why: "tune again at first: note whether the oscillator shifts"})
	}
}

func (l *log) drive(fit *Fitting) {
	l.expect("timing", "tip of the jack, line open", dcVolts, "control.open", "", "the key line as the transmitter sees it")
	if q, ok := l.a.Get("control.closed"); ok {
		between, why := []string{"tip", "sleeve"}, "current in the closed line"
		if l.f.Transmitter.Keying == "source" {
			between, why = []string{"key line's own lead", "tip"}, "current of the raised line; in series, never from tip to sleeve: that shorts the line"
		}
		l.add(Reading{State: "timing", Between: between, Meter: milliamps, Unit: "A", Low: q.Low, High: q.High, Why: why})
	}
	for i, k := range fit.Relays {
		if q, ok := l.a.Get(driveStem(i) + ".coil.voltage"); ok {
			l.add(Reading{State: "timing", Between: []string{k + " coil A1", "A2"}, Meter: dcVolts, Unit: "V", Low: q.Low, High: q.High,
				Why: "operated for half an hour; then measure the coil's ohms at once"})
		}
	}
	if q, ok := l.a.Get("drive.supply.ripple"); ok {
		l.add(Reading{State: "timing", Between: []string{"reservoir plus", "chassis"}, Meter: "AC V or scope, peak to peak", Unit: "V",
			Low: q.Low, High: q.High, Why: "ripple, operated"})
	}
	for i := range l.a.All() {
		q := l.a.All()[i]
		if q.Name == "timing.opened" || q.Name == "timing.shorted" || q.Name == "timing.muted" || q.Name == "timing.released" {
			l.add(Reading{State: "timing", Between: []string{"key line", "contact, on a two-channel scope"}, Meter: "scope", Unit: "s",
				Low: math.Max(q.Low, 0), High: math.Max(q.High, 0), Why: q.Working.Formula})
		}
	}
}
