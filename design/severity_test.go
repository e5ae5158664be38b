package design_test

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"mutewright/catalog"
	"mutewright/design/answer"
	"mutewright/design/contact"
	"mutewright/design/finding"
	"mutewright/design/known"
)

// A second judge: the table of severities, written down once more from the limits
// and ratings themselves and from the results, without the rules. What it expects
// of a plan is what the rules have to find.

// A hazard is a finding that is due: what, where and how bad.
type hazard struct {
	id, at   string
	severity finding.Severity
}

func (h hazard) String() string { return fmt.Sprintf("%s %s at %s", h.id, h.severity, h.at) }

type judge struct {
	*known.Facts
	answers *answer.Set
	windows map[string]answer.Window
	due     []hazard
	looked  map[string]bool // ids whose numbers were there to look at
}

// due is every hazard of a plan that the second judge sees, worst first, and the
// ids whose numbers it had.
func due(f *known.Facts, answers *answer.Set, windows map[string]answer.Window, cat *catalog.Catalog) ([]hazard, map[string]bool) {
	j := &judge{Facts: f, answers: answers, windows: windows, looked: map[string]bool{}}
	if f.Refused {
		j.raise("mains.isolation", "receiver.mains.isolation", finding.Danger)
		return j.due, j.looked
	}
	j.mains()
	for i := range f.Supplies {
		j.rail(&f.Supplies[i])
	}
	for i := range f.Standby {
		j.terminals(i)
	}
	for i := range f.Returns {
		j.lifted(&f.Returns[i])
	}
	j.depth()
	j.drive(cat)
	j.line()
	j.poles()
	j.guard()
	for name, at := range map[string]string{
		"timing.key_margin": "transmitter.key_to_rf", "timing.tail_margin": "transmitter.rf_tail",
	} {
		if m, ok := j.low(name); ok {
			j.weigh(name, at, when(m < 0, j.tooMuchArrives(), m < 1e-3))
		}
	}
	if m, ok := j.low("timing.mute_margin"); ok {
		j.weigh("timing.mute_margin", "transmitter.key_to_rf", when(false, false, m < 0))
	}
	slices.SortStableFunc(j.due, func(a, b hazard) int {
		return cmp.Or(-cmp.Compare(a.severity, b.severity), cmp.Compare(a.id, b.id), cmp.Compare(a.at, b.at))
	})
	return j.due, j.looked
}

func (j *judge) raise(id, at string, s finding.Severity) {
	j.looked[id] = true
	j.due = append(j.due, hazard{id, at, s})
}

// weigh notes that there was something to look at, and raises what is not good.
func (j *judge) weigh(id, at string, s finding.Severity) {
	j.looked[id] = true
	if s != finding.Good {
		j.raise(id, at, s)
	}
}

// when is the severity of what is bad, a fail where it is worse still, or else
// only to be watched.
func when(bad, worse, watched bool) finding.Severity {
	switch {
	case bad && worse:
		return finding.Fail
	case bad, watched:
		return finding.Caution
	}
	return finding.Good
}

// beyond is the severity of a value against its limits for caution, fail, danger;
// 0: there is none.
func beyond(v, caution, fail, danger float64) finding.Severity {
	past := func(limit float64) bool { return limit > 0 && v > limit*(1+1e-6) }
	switch {
	case past(danger):
		return finding.Danger
	case past(fail):
		return finding.Fail
	case past(caution):
		return finding.Caution
	}
	return finding.Good
}

// against is a value over its rating: over all of it a fail, over 80 % a caution.
func against(v, rating float64) finding.Severity { return beyond(math.Abs(v), 0.8*rating, rating, 0) }

// short is a margin: under 1 a fail, under 1.1 a caution.
func short(margin float64) finding.Severity { return beyond(1/margin, 1/1.1, 1, 0) }

// high and low are the bad ends of a result, most its larger absolute end.
func (j *judge) high(name string) (float64, bool) {
	q, ok := j.answers.Get(name)
	return q.High, ok
}

func (j *judge) low(name string) (float64, bool) {
	q, ok := j.answers.Get(name)
	return q.Low, ok
}

func (j *judge) most(name string) (float64, bool) {
	q, ok := j.answers.Get(name)
	return max(math.Abs(q.High), math.Abs(q.Low)), ok
}

// of is the number at id, and whether there is one.
func (j *judge) of(id known.ID) (float64, bool) {
	if !id.Exists() {
		return 0, false
	}
	return j.Box.Entry(id).Nominal, true
}

// rated holds a result against a rating, where there are both.
func (j *judge) rated(id, at, result string, rating known.ID) {
	v, ok := j.most(result)
	limit, given := j.of(rating)
	if ok && given {
		j.weigh(id, at, against(v, limit))
	}
}

// margin judges a result that is a margin already.
func (j *judge) margin(id, at, result string) {
	if m, ok := j.low(result); ok {
		j.weigh(id, at, short(m))
	}
}

func (j *judge) mains() {
	m, at := &j.Facts.Mains, "receiver.mains."
	leak := at + "stray"
	if len(m.Capacitors) > 0 {
		leak = at + "line_capacitors"
	}
	if i, ok := j.high("mains.touch_current"); ok {
		if m.TwoWire {
			j.weigh("mains.touch_current", leak, beyond(i, 0.25e-3, 0, 0.5e-3))
		} else {
			j.weigh("mains.touch_current", leak, beyond(i, 0.75e-3, 0, 3.5e-3))
		}
	}
	for i, c := range m.Capacitors {
		if c.Class == "none" {
			j.raise("mains.capacitor_class", fmt.Sprintf("%sline_capacitors.%d.class", at, i+1), when(true, m.TwoWire, false))
		}
	}
	if !m.Fused {
		j.raise("mains.no_fuse", at+"fuse", finding.Caution)
	}
	if m.TwoWire {
		j.raise("mains.two_wire", at+"cord", finding.Caution)
		if len(j.Relays) > 0 {
			j.raise("mains.bonding", "control.jack", finding.Caution)
		}
	}
}

// rail judges what a rail's capacitors see without any muting.
func (j *judge) rail(s *known.Supply) {
	volts, ok := j.of(s.Volts)
	rated, given := j.of(s.CapRated)
	if ok && given && s.Rail {
		j.weigh("plan.reversed", "receiver.supplies."+s.Name+".rated", beyond(volts, rated, 0, 0))
	}
}

func (j *judge) terminals(i int) {
	s := &j.Standby[i]
	v, ok := j.most(fmt.Sprintf("standby.%d.voltage", i+1))
	if !ok || s.Left == "removed" || !s.Reachable {
		return
	}
	if s.Left == "strapped" && s.Grounded() { // a strap that comes off is a single fault
		j.weigh("standby.live", s.At+".reachable", beyond(v, 60, 0, 120))
		return
	}
	j.weigh("standby.live", s.At+".reachable", beyond(v, 42.4, 0, 60))
}

func (j *judge) lifted(r *known.Return) {
	at, stem := "returns."+r.Name, "return."+r.Name
	pulldown, held := j.of(r.Pulldown)
	if !held {
		j.raise("return.no_pulldown", at+".pulldown", finding.Fail)
	}
	if least, ok := j.low(stem + ".pulldown_least"); ok && held && !r.ChoosePulldown {
		most, _ := j.high(stem + ".pulldown_most")
		j.weigh("return.window", at+".pulldown", beyond(pulldown, 0, most, 0))
		if pulldown < least*(1-1e-6) {
			j.raise("return.window", at+".pulldown", finding.Caution)
		}
	}
	if v, ok := j.most(stem + ".muted"); ok {
		if r.Reachable {
			j.weigh("return.touch", at+".reachable", beyond(v, 42.4, 0, 60))
		} else {
			j.weigh("return.hot", at+".pulldown", beyond(v, 60, 0, 0))
		}
	}
	if p, ok := j.high(stem + ".pulldown_power"); ok { // half of 2 W
		j.weigh("return.pulldown_power", at+".pulldown", against(p, 1))
	}
	j.loose(r, at, stem)
	for i := range j.Supplies {
		s := &j.Supplies[i]
		j.rated("return.rail_capacitor", "receiver.supplies."+s.Name+".rated", stem+".rail."+s.Name, s.CapRated)
	}
	rf := false
	for _, i := range r.Points {
		j.point(r, &j.Points[i], j.serving(r, pulldown))
		rf = rf || j.Points[i].Kind == known.Gain
	}
	if lead, ok := j.of(r.Lead); ok && rf && !r.Capacitor.Exists() {
		j.weigh("return.lead", at+".capacitor", beyond(lead, 0.1, 0, 0))
	}
}

// loose judges the single fault of a return: its pulldown is one joint.
func (j *judge) loose(r *known.Return, at, stem string) {
	v, ok := j.most(stem + ".unguarded")
	if !ok {
		return
	}
	if r.Reachable && v > 120 {
		j.raise("return.unguarded", at+".reachable", finding.Danger)
		return
	}
	bled := false
	weakest := math.Inf(1)
	weaker := func(id known.ID) {
		if limit, ok := j.of(id); ok {
			weakest = min(weakest, limit)
		}
	}
	for _, i := range r.Points {
		p := &j.Points[i]
		bled = bled || p.Bleeder.Ohms.Exists()
		for _, c := range []known.Bypass{p.Bypass, p.BusCapacitor} {
			if c.Value.Exists() && !c.ToReturn { // that one has only the cathode's drop
				weaker(c.Rated)
			}
		}
		if p.Kind == known.Output {
			weaker(p.Tube.HeaterCathode)
		}
		for k := range p.Stages {
			weaker(p.Stages[k].Tube.HeaterCathode)
		}
	}
	j.weigh("return.unguarded", at+".pulldown", when(v > weakest, bled, false))
}

// serving is the pulldown that paths past the lift compete with: from an empty
// window the least that would serve, not the safe side that is drawn.
func (j *judge) serving(r *known.Return, drawn float64) float64 {
	w, ok := j.windows[r.Name]
	if !ok || !r.ChoosePulldown || w.Most == 0 || w.Least <= w.Most {
		return drawn
	}
	if w.Least >= 100e3 {
		return max(drawn, 10e3)
	}
	return max(drawn, w.Least)
}

func (j *judge) point(r *known.Return, p *known.Point, pulldown float64) {
	stem := "point." + p.Name
	tubes := map[string]*known.Tube{}
	if p.Kind == known.Output {
		tubes[p.At+".tube"] = &p.Tube
	}
	for k := range p.Stages {
		tubes[fmt.Sprintf("%s.stages.%d.tube", p.At, k+1)] = &p.Stages[k].Tube
	}
	weakest := math.Inf(1)
	for at, t := range tubes {
		if limit, ok := j.of(t.HeaterCathode); ok {
			weakest = min(weakest, limit)
		}
		if t.Converter {
			j.raise("return.converter", at, finding.Fail)
		}
	}
	if v, ok := j.most(stem + ".heater_cathode"); ok && !math.IsInf(weakest, 1) {
		j.weigh("return.heater_cathode", "returns."+r.Name+".pulldown", against(v, weakest))
	}
	if p.Bypass.Value.Exists() {
		j.rated("return.bypass", p.At+".bypass.rated", stem+".bypass", p.Bypass.Rated)
	}
	if ohms, ok := j.of(p.Path); ok && pulldown > 0 {
		j.weigh("return.path_past_lift", p.At+".also_to_chassis", when(ohms < 5*pulldown, true, false))
	}
	if track, ok := j.of(p.Track); ok && pulldown > 0 && p.FarEnd == "chassis" {
		j.weigh("return.path_past_lift", p.At+".control.far_end", when(track < 5*pulldown, true, false))
	}
	if level, ok := j.high(stem + ".click"); ok {
		j.weigh("return.click", p.At+".transformer", when(false, false, level > 1e-6))
	}
}

func (j *judge) depth() {
	depth, ok := j.low("depth")
	wanted, asked := j.of(j.Wanted)
	if ok && asked {
		j.weigh("return.depth", "wanted.depth", beyond(wanted/depth, 1, 2, 0))
	}
}

// mayStand is the table of rectifiers that may stand on a winding, its minus at
// chassis; a floating winding takes a full-wave rectifier with its tap.
var mayStand = map[string]string{
	"one side":   "half-wave doubler",
	"centre tap": "half-wave full-wave doubler",
	"hum pot":    "",
	"floating":   "half-wave bridge doubler",
}

func (j *judge) drive(cat *catalog.Catalog) {
	r := &j.Relays[0]
	if r.Supply >= 0 && !j.Supplies[r.Supply].Rail {
		s := &j.Supplies[r.Supply]
		at := "receiver.supplies." + s.Name
		bias, _ := j.of(s.Bias)
		j.weigh("drive.bias", at+".bias", beyond(bias, 0, 1e-9, 30))
		allowed := strings.Fields(mayStand[s.Grounded])
		if s.Grounded == "floating" && s.Tap != "" {
			allowed = append(allowed, "full-wave")
		}
		if bias == 0 {
			j.weigh("drive.rectifier", r.At+".rectifier", when(!slices.Contains(allowed, r.Rectifier), true, false))
		}
		unfused := finding.Good
		if !r.Fuse.Exists() {
			unfused = finding.Fail
			if !j.Facts.Mains.Fused {
				unfused = finding.Danger
			}
		}
		j.weigh("drive.fuse", r.At+".fuse", unfused)
		if load, ok := j.high("drive.winding.load"); ok {
			j.weigh("drive.winding_load", at+".rated", beyond(load, 1/1.1, 1, 0))
		}
	}
	for i := range j.Relays {
		r := &j.Relays[i]
		stem := "drive"
		if i > 0 {
			stem = fmt.Sprintf("drive.%d", i+1)
		}
		j.weigh("drive.clamp", r.At+".clamp", when(r.Clamp == "none", true, false))
		j.margin("drive.operate", r.At+".dropper", stem+".coil.operate_margin")
		j.margin("drive.ceiling", r.At+".dropper", stem+".coil.ceiling_margin")
		j.margin("drive.release", j.stillOn(r), stem+".coil.release_margin")
	}
	if gain, ok := j.high("drive.buffer.gain"); ok {
		j.weigh("drive.buffer_gain", r.At+".buffer", beyond(gain, 0, 20*1.02, 0))
	}
	if off, ok := j.high("drive.buffer.off"); ok {
		j.weigh("drive.buffer_off", j.stillOn(r), beyond(off, 0, 0.3*1.02, 0))
	}
	if v, ok := j.high("drive.buffer.voltage"); ok {
		best := 0.0
		for _, t := range cat.Transistors() {
			if string(t.Polarity.Is) == r.Buffer {
				best = max(best, float64(t.Voltage.Is))
			}
		}
		j.weigh("drive.transistor", r.At+".buffer", against(v, best))
	}
}

// stillOn is the key that keeps a coil or the base of its transistor from letting go.
func (j *judge) stillOn(r *known.Relay) string {
	t, mutes := &j.Transmitter, j.Control.MutesWhen
	switch {
	case r.Buffer == "npn" && mutes != "raised", r.Buffer == "npn" && t.IdleLow:
		return "transmitter.keying.drop"
	case r.Buffer == "pnp" && t.Keying == "source":
		return "transmitter.keying.level"
	}
	return "transmitter.keying.leakage"
}

func (j *judge) line() {
	open, ok := j.high("control.open")
	if !ok {
		return
	}
	at, t := j.Relays[0].At, &j.Transmitter
	if limit, ok := j.of(t.LineVolts); ok {
		j.weigh("control.voltage", "transmitter.keying.rated.voltage", beyond(open, 0.8*limit, limit, 0))
		if kick, ok := j.high("control.kick"); ok && kick > open*(1+1e-6) {
			j.weigh("control.kick", at+".clamp", beyond(kick, 0.8*limit, limit, 0))
		}
	}
	j.rated("control.current", "transmitter.keying.rated.current", "control.closed", t.LineAmps)
	j.rated("drive.hold_inrush", at+".hold.series", "control.inrush", t.LineAmps)
	j.weigh("control.touch", at+".supply", beyond(open, 42.4, 0, 60))
}

// A want is a contact that something needs: letters of the forms that have it.
type want struct {
	name, forms string
	dry         bool
}

// wants lists the contacts that a relay has to give, in order.
func (j *judge) wants(r *known.Relay) []want {
	opens, closes := "BC", "AC" // of the set that mutes
	if r.OnReceive {
		opens, closes = closes, opens
	}
	var list []want
	for _, ret := range j.Returns {
		if slices.Contains(r.Serves, ret.Name) {
			list = append(list, want{ret.Name, opens, false})
		}
	}
	for i := range j.Points {
		p := &j.Points[i]
		if !slices.Contains(r.Serves, p.Name) {
			continue
		}
		both := p.Legs == "each" || p.Legs == "across" && p.Guard == "changeover"
		switch {
		case p.Kind == known.Audio, p.Kind == known.Antenna && p.Guard == "short":
			list = append(list, want{p.Name, closes, true})
		case p.Kind == known.Antenna && p.Guard == "changeover":
			list = append(list, want{p.Name, "C", true})
		case p.Kind == known.Antenna:
			list = append(list, want{p.Name, opens, true}, want{p.Name, closes, true})
			continue
		}
		if both {
			list = append(list, list[len(list)-1])
		}
	}
	return list
}

func (j *judge) poles() {
	rail := 0.0
	for i := range j.Supplies {
		if v, ok := j.of(j.Supplies[i].Unloaded); ok && j.Supplies[i].Rail {
			rail = max(rail, v)
		}
	}
	for i := range j.Relays {
		r := &j.Relays[i]
		c := &r.Contacts
		given, wrong, dry := 0, false, false
		at, unguarded := r.At+".use", 0.0
		j.looked["contact.poles"], j.looked["contact.form"], j.looked["contact.least_load"] = true, true, true
		wants := j.wants(r)
		for _, w := range wants {
			fits := strings.Contains(w.forms, c.Form)
			wrong = wrong || !fits && given < c.Poles
			if !fits || given == c.Poles {
				continue
			}
			stem := fmt.Sprintf("contact.K%d%c", r.Index, 'a'+given)
			given++
			dry = dry || w.dry
			if m, ok := j.low(stem + ".margin"); ok {
				j.weigh("contact.limit", at, beyond(1/m, 0.8, 1, 0))
			}
			v, _ := j.most(stem + ".unguarded")
			unguarded = max(unguarded, v)
			j.make(r, w.name, stem)
		}
		if wrong {
			j.raise("contact.form", at, finding.Fail)
		} else if given < len(wants) {
			j.raise("contact.poles", at, finding.Fail)
		}
		volts, _ := j.of(c.LeastVolts)
		amps, _ := j.of(c.LeastAmps)
		if dry && (volts > 30e-3 || amps > 10e-3) {
			j.raise("contact.least_load", at, finding.Caution)
		}
		if slices.ContainsFunc(wants, func(w want) bool { return !w.dry }) { // a return: no other stands off a rail
			j.insulated("contact.insulation_open", at, c.OpenVolts, 2*max(rail, unguarded), 0)
		}
		j.insulated("contact.insulation_coil", at, c.CoilVolts, 2*rail, 1000)
		if c.Poles > 1 {
			j.insulated("contact.insulation_poles", at, c.PoleVolts, 2*rail, 1000)
		}
	}
}

// insulated holds insulation, V rms for one minute, against the DC that it has to
// stand and that plus a margin.
func (j *judge) insulated(id, at string, rms known.ID, least, margin float64) {
	if v, ok := j.of(rms); ok && least > 0 {
		j.weigh(id, at, beyond(1/(v*math.Sqrt2), 1/(least+margin), 1/least, 0))
	}
}

// make judges a contact that closes on the capacitor at the cut of a return.
func (j *judge) make(r *known.Relay, name, stem string) {
	limit, ok := j.of(r.Contacts.Make)
	for _, ret := range j.Returns {
		farads, there := j.of(ret.Capacitor)
		v, open := j.most(stem + ".open")
		if !ok || !there || !open || ret.Name != name {
			continue
		}
		ohms, _ := j.of(ret.Series)
		own, _ := j.of(r.Contacts.Resistance)
		// 100 mm of wire with two joints: 0.1 µH, 50 mΩ.
		j.weigh("contact.make", "returns."+ret.Name+".capacitor", against(contact.MakePeak(v, farads, ohms+own+0.05, 100e-9), limit))
	}
}

func (j *judge) guard() {
	guarded := false
	for i := range j.Points {
		p := &j.Points[i]
		if p.Kind != known.Antenna {
			continue
		}
		guarded = true
		j.rated("antenna.residual", p.At+".guard", "antenna."+p.Name+".residual", p.Withstand)
		if loss, ok := j.high("antenna." + p.Name + ".receive_loss"); ok {
			j.weigh("antenna.receive_loss", p.At+".guard", beyond(loss, 1, 0, 0))
		}
	}
	if !guarded {
		j.raise("antenna.unguarded", "muting_points", finding.Note)
	}
}

// tooMuchArrives tells whether an open input gets more than it withstands.
// Between antennas nearer than half a wavelength −10 dB are taken, where no more
// is known than their distance; farther, two dipoles in free space (Friis 1946).
func (j *judge) tooMuchArrives() bool {
	t := &j.Transmitter
	power, _ := j.of(t.Power)
	coupling, ok := j.of(t.Coupling)
	if t.ByDistance {
		distance, _ := j.of(t.Distance)
		hertz, _ := j.of(t.AtHertz)
		wave := 299792458 / hertz
		ok, coupling = true, -10
		if distance >= wave/2 {
			coupling = 2*2.15 + 20*math.Log10(wave/(4*math.Pi*distance))
		}
	}
	for i := range j.Points {
		if limit, given := j.of(j.Points[i].Withstand); ok && given && power*math.Pow(10, coupling/10) > limit {
			return true
		}
	}
	return false
}
