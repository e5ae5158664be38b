package rule

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"mutewright/catalog"
	"mutewright/design/answer"
	"mutewright/design/finding"
	"mutewright/design/known"
	"mutewright/design/mains"
)

// Limits of voltage within reach, V DC.
const (
	touchLimit   = mains.TouchDC
	touchCaution = mains.TouchCaution
	faultLimit   = mains.FaultDC
)

const es1 = "IEC 62368-1, touch limits ES1 and ES2; local codes and a qualified person decide"

var (
	returnTouch         = kind("return.touch", "Lifted node within reach over the touch limit", es1)
	returnHot           = kind("return.hot", "Lifted node hot when muted", es1)
	returnUnguarded     = kind("return.unguarded", "Lifted node with the pulldown missing", es1)
	returnWindow        = kind("return.window", "No pulldown serves", "computed from the ratings in force")
	returnDissipation   = kind("return.pulldown_power", "Pulldown runs hot", "resistors at half their rated power, common practice")
	returnNoPulldown    = kind("return.no_pulldown", "Lifted node without a path to chassis", "common practice")
	returnHeaterCathode = kind("return.heater_cathode", "Heater to cathode over its rating", "tube manual, second-hand")
	returnBypass        = kind("return.bypass", "Cathode bypass capacitor over its rating", "capacitors at 80 % of their rated voltage, common practice")
	returnBus           = kind("return.bus_capacitor", "Capacitor on the cathode bus over its rating", "capacitors at 80 % of their rated voltage, common practice")
	returnCut           = kind("return.cut_capacitor", "Capacitor at the cut over its rating", "capacitors at 80 % of their rated voltage, common practice")
	returnScreenCap     = kind("return.screen_capacitor", "Screen capacitor over its rating when muted", "capacitors at 80 % of their rated voltage, common practice")
	returnRail          = kind("return.rail_capacitor", "Rail rises over its capacitors' rating", "capacitors at 80 % of their rated voltage, common practice")
	returnPath          = kind("return.path_past_lift", "A path past the lift", "computed by the circuit solver")
	returnConverter     = kind("return.converter", "Converter or oscillator among the stages", "common practice")
	returnDepth         = kind("return.depth", "Muting is not deep enough", "computed by the circuit solver")
	returnOver          = kind("return.depth_over", "Deeper than this method can promise", "common practice")
	returnControl       = kind("return.antenna_control", "The control also sits on the antenna coil", "common practice")
	returnLead          = kind("return.lead", "Long unbypassed return lead", "common practice")
	returnGrid          = kind("return.grid_current", "Outside the tube law on receive", "limits of the tube law")
	returnKnee          = kind("return.knee", "Plate below the knee on receive", "limits of the tube law")
	returnRegulator     = kind("return.regulator", "A regulator must take the muted stages' current", "range of gas regulator tubes, from memory")
	returnBackBias      = kind("return.back_bias", "Fixed bias may go with the current", "common practice")
	returnClick         = kind("return.click", "The click is as loud as full output", "computed by the circuit solver")
	returnUnmeasured    = kind("return.depth_unknown", "Nobody knows how deep it mutes", "the plan itself")
	returnMeter         = kind("return.meter", "Tuning meter will pin when muted", "common practice")
	returnLoad          = kind("return.loudspeaker", "Keep a load on the output transformer", "computed by the circuit solver")
)

// pathFactor: a path past the lift under this many times the pulldown spoils
// both the muting and the readings that are to find it.
const pathFactor = 5

// longLead is the return lead above which an RF cathode wants a capacitor at
// the cut, m (common practice).
const longLead = 0.1

// pulldownRating is the resistor that is asked for, W.
const pulldownRating = 2

func judgeReturns(b *bench) {
	for r := range b.Returns {
		ret := &b.Returns[r]
		at := "returns." + ret.Name
		b.judgeWindow(ret, at)
		b.judgeNode(ret, at)
		for _, i := range ret.Points {
			b.judgePoint(ret, &b.Points[i])
		}
		b.judgeRails(ret)
		b.judgeRegulators(ret)
		b.judgeLead(ret, at)
	}
	b.judgeDepth()
}

func (b *bench) judgeWindow(ret *known.Return, at string) {
	w, ok := b.Window[ret.Name]
	if !ok {
		return
	}
	if w.Barred() {
		shown := ""
		if ret.ChoosePulldown {
			shown = fmt.Sprintf("; the %s shown is the usual value, with the voltages that it would give", ohms(b.number(ret.Pulldown)))
		}
		b.raise(returnWindow, finding.Fail, at+".pulldown",
			fmt.Sprintf("No pulldown serves %s: %s is over its rating at every resistance.",
				ret.Name, w.MostBy),
			fmt.Sprintf("Change %s first, to a part of higher rating, or lower the voltage across it%s: no pulldown mends this%s.", w.MostAt, b.footRemedy(ret, w), shown))
		return
	}
	if w.Empty() {
		b.raise(returnWindow, finding.Fail, at+".pulldown",
			fmt.Sprintf("No pulldown serves %s: %s needs at least %s, %s allows at most %s.",
				ret.Name, w.LeastBy, ohms(w.Least), w.MostBy, ohms(w.Most)),
			b.windowRemedy(ret, w))
		return
	}
	if ret.ChoosePulldown || !ret.Pulldown.Exists() {
		return
	}
	value := b.Box.Entry(ret.Pulldown)
	switch {
	case over(value.Nominal, w.Most):
		b.raise(returnWindow, finding.Fail, at+".pulldown",
			fmt.Sprintf("The pulldown of %s, %s, is above the %s that %s allows.", ret.Name, ohms(value.Nominal), ohms(w.Most), w.MostBy),
			fmt.Sprintf("Take %s or less, or let the program choose %s.", ohms(w.Most), try(at+".pulldown", "choose")))
	case under(value.Nominal, w.Least):
		b.raise(returnWindow, finding.Caution, at+".pulldown",
			fmt.Sprintf("The pulldown of %s, %s, is below the %s that %s asks for.", ret.Name, ohms(value.Nominal), ohms(w.Least), w.LeastBy),
			fmt.Sprintf("Take %s or more, or let the program choose %s.", ohms(w.Least), try(at+".pulldown", "choose")))
	}
}

// windowRemedy says what brings the two ends of an empty window nearer to each
// other: without its bleeder a node sinks most.
func (b *bench) windowRemedy(ret *known.Return, w answer.Window) string {
	text := fmt.Sprintf("change %s, or %s, until the two no longer cross; the drawing shows the safe side.", w.MostAt, w.LeastAt)
	if p := b.bledPoint(ret); p != nil {
		text = fmt.Sprintf("take the bleeder out of the cathode bus first, it lifts the node most %s. If that is not enough, ", try(p.At+".bleeder", "none")) + text
	}
	text = capital(text)
	if p := b.footPoint(ret); p != nil {
		text += fmt.Sprintf(" The bypass of %s with its lower end on the lifted return asks for less pulldown %s.", p.Name, try(p.At+".bypass.returned_to", "return"))
	}
	return text
}

// footRemedy lowers the voltage across a bypass that bars every pulldown; "" where
// it is another part.
func (b *bench) footRemedy(ret *known.Return, w answer.Window) string {
	p := b.footPoint(ret)
	if p == nil || w.MostAt != p.At+".bypass.rated" {
		return ""
	}
	return ", with its lower end on the lifted return " + try(p.At+".bypass.returned_to", "return")
}

// footOnChassis tells whether a point is an output stage whose bypass has its lower
// end on chassis.
func footOnChassis(p *known.Point) bool {
	return p.Kind == known.Output && p.Bypass.Value.Exists() && !p.Bypass.ToReturn
}

// footPoint is the first such point of the return; nil where there is none.
func (b *bench) footPoint(ret *known.Return) *known.Point {
	for _, i := range ret.Points {
		if footOnChassis(&b.Points[i]) {
			return &b.Points[i]
		}
	}
	return nil
}

func (b *bench) judgeNode(ret *known.Return, at string) {
	stem := "return." + ret.Name
	muted, ok := b.Get(stem + ".muted")
	if !ok {
		return
	}
	node := math.Max(math.Abs(muted.High), math.Abs(muted.Low))
	switch {
	case ret.Reachable && over(node, touchLimit):
		b.raise(returnTouch, finding.Danger, at+".reachable",
			fmt.Sprintf("%s is within reach and stands at up to %s when muted; the limit is %d V DC.", ret.Name, volts(node), touchLimit),
			"Keep the lifted node inside the cabinet "+try(at+".reachable", "false")+", or take a lower pulldown ("+at+".pulldown).")
	case ret.Reachable && over(node, touchCaution):
		b.raise(returnTouch, finding.Caution, at+".reachable",
			fmt.Sprintf("%s is within reach and stands at up to %s when muted, above the %g V that the stricter standards allow.", ret.Name, volts(node), touchCaution),
			"Keep the lifted node inside the cabinet "+try(at+".reachable", "false")+", or take a lower pulldown ("+at+".pulldown).")
	case over(node, touchLimit):
		b.raise(returnHot, finding.Caution, at+".pulldown",
			fmt.Sprintf("%s is hot when muted: up to %s to chassis at the cut, the wire and the relay lug.", ret.Name, volts(node)),
			"Sleeve every joint of this node, mark it on the sheet, and treat it as B+ while the set is on.")
	}
	if ret.CapacitorRated.Exists() {
		cold, _ := b.Get(stem + ".muted_cold")
		v, limit := math.Max(node, math.Max(math.Abs(cold.High), math.Abs(cold.Low))), b.least(ret.CapacitorRated)
		if s := ofRating(v, limit); s != finding.Good {
			b.raise(returnCut, s, at+".capacitor.rated",
				fmt.Sprintf("The capacitor at the cut of %s would see up to %s when muted; it is rated %s.", ret.Name, volts(v), volts(limit)),
				fmt.Sprintf("Fit one of at least %s %s.", b.rated(v/used), try(at+".capacitor.rated", b.rated(v/used))))
		}
	}
	if p, ok := b.high(stem + ".pulldown_power"); ok {
		switch s := ofRating(p, pulldownRating/2); s {
		case finding.Fail:
			b.raise(returnDissipation, s, at+".pulldown",
				fmt.Sprintf("The pulldown of %s dissipates up to %s; a %d W resistor is good for half of that rating.", ret.Name, watts(p), pulldownRating),
				"Take a higher pulldown, or remove what feeds the node.")
		case finding.Caution:
			b.raise(returnDissipation, s, at+".pulldown",
				fmt.Sprintf("The pulldown of %s dissipates up to %s, more than 80 %% of the %d W that are left to a %d W resistor inside a warm cabinet.", ret.Name, watts(p), pulldownRating/2, pulldownRating),
				"Mount it clear of other parts, or take two in series.")
		}
	}
	if !ret.Pulldown.Exists() {
		b.raise(returnNoPulldown, finding.Fail, at+".pulldown",
			fmt.Sprintf("%s has no pulldown: with the contact open nothing but leakage holds it.", ret.Name),
			"Fit a pulldown from the lifted node to chassis; the program chooses one "+try(at+".pulldown", "choose")+", about 10 kΩ as a rule.")
	}
	b.judgeUnguarded(ret, at, stem)
}

// judgeUnguarded judges a single broken joint of the pulldown.
func (b *bench) judgeUnguarded(ret *known.Return, at, stem string) {
	q, ok := b.Get(stem + ".unguarded")
	if !ok {
		return
	}
	node := math.Max(math.Abs(q.High), math.Abs(q.Low))
	if ret.Reachable && over(node, faultLimit) {
		b.raise(returnUnguarded, finding.Danger, at+".reachable",
			fmt.Sprintf("With one joint of the pulldown broken, %s rises to %s within reach; a single fault may reach %d V DC.", ret.Name, volts(node), faultLimit),
			"Keep the lifted node inside the cabinet "+try(at+".reachable", "false")+".")
		return
	}
	weakest, what := b.weakestOf(ret)
	if what == "" || !over(node, weakest) {
		return
	}
	severity := finding.Caution
	if b.bledPoint(ret) != nil {
		severity = finding.Fail
	}
	remedy := "Solder two resistors of twice the value in parallel, each by its own joints, before the return is cut."
	if ret.Pulldown.Exists() {
		// Of the preferred values the one below, so that both together keep the ratings too.
		twice := catalog.E24.AtMost(2 * b.number(ret.Pulldown))
		remedy = fmt.Sprintf("Solder two resistors of %s in parallel, each by its own joints, before the return is cut.", ohms(twice))
	}
	b.raise(returnUnguarded, severity, at+".pulldown",
		fmt.Sprintf("If the pulldown of %s comes loose, the node rises to up to %s, above the %s of %s.", ret.Name, volts(node), volts(weakest), what),
		remedy)
}

// weakestOf is the lowest of the ratings on a return that its node itself works
// on: a bypass that returns to the node sees no more of it than the cathode's drop.
func (b *bench) weakestOf(ret *known.Return) (limit float64, what string) {
	limit = math.Inf(1)
	consider := func(id known.ID, words string) {
		if id.Exists() && b.least(id) < limit {
			limit, what = b.least(id), words
		}
	}
	for _, i := range ret.Points {
		p := &b.Points[i]
		if p.Kind == known.Output {
			consider(p.Tube.HeaterCathode, p.Tube.Name+" from heater to cathode")
			if p.Bypass.Value.Exists() && !p.Bypass.ToReturn {
				consider(p.Bypass.Rated, "the bypass capacitor of "+p.Name)
			}
		}
		if p.BusCapacitor.Value.Exists() {
			consider(p.BusCapacitor.Rated, "the bus capacitor of "+p.Name)
		}
		for k := range p.Stages {
			consider(p.Stages[k].Tube.HeaterCathode, p.Stages[k].Tube.Name+" from heater to cathode")
		}
	}
	return limit, what
}

// bledPoint is a point of the return that a bleeder feeds; nil where none does.
func (b *bench) bledPoint(ret *known.Return) *known.Point {
	for _, i := range ret.Points {
		if b.Points[i].Bleeder.Ohms.Exists() {
			return &b.Points[i]
		}
	}
	return nil
}

func (b *bench) judgePoint(ret *known.Return, p *known.Point) {
	stem := "point." + p.Name
	tubes := b.tubesOf(p)
	if v, ok := b.high(stem + ".heater_cathode"); ok {
		for _, t := range tubes {
			limit := b.least(t.tube.HeaterCathode)
			if s := ofRating(v, limit); s != finding.Good {
				b.raise(returnHeaterCathode, s, "returns."+ret.Name+".pulldown",
					fmt.Sprintf("Muted, %s of %s sees up to %s from heater to cathode (peaks of the heater included); it is rated %s.", t.tube.Name, p.Name, volts(v), volts(limit)),
					b.heaterCathodeRemedy(ret))
				break
			}
		}
	}
	if v, ok := b.high(stem + ".bypass"); ok && p.Bypass.Value.Exists() {
		limit := b.least(p.Bypass.Rated)
		if s := ofRating(v, limit); s != finding.Good {
			b.raise(returnBypass, s, p.At+".bypass.rated",
				fmt.Sprintf("The bypass capacitor of %s would see up to %s when muted; it is rated %s.", p.Name, volts(v), volts(limit)),
				fmt.Sprintf("Fit a capacitor of at least %s %s, or move its lower end to the lifted return %s.",
					b.rated(v/used), try(p.At+".bypass.rated", b.rated(v/used)), try(p.At+".bypass.returned_to", "return")))
		}
	}
	if v, ok := b.high("return." + ret.Name + ".bus"); ok && p.BusCapacitor.Value.Exists() {
		limit := b.least(p.BusCapacitor.Rated)
		if s := ofRating(v, limit); s != finding.Good {
			b.raise(returnBus, s, p.At+".bus_capacitor.rated",
				fmt.Sprintf("The capacitor on the cathode bus of %s would see up to %s; it is rated %s.", p.Name, volts(v), volts(limit)),
				fmt.Sprintf("Fit one of at least %s %s.", b.rated(v/used), try(p.At+".bus_capacitor.rated", b.rated(v/used))))
		}
	}
	if v, ok := b.high(stem + ".screen.muted"); ok && p.Screens.Capacitor.Value.Exists() {
		limit := b.least(p.Screens.Capacitor.Rated)
		if s := ofRating(v, limit); s != finding.Good {
			b.raise(returnScreenCap, s, p.At+".screens.capacitor.rated",
				fmt.Sprintf("Muted, the screens of %s climb to up to %s; their capacitor is rated %s.", p.Name, volts(v), volts(limit)),
				fmt.Sprintf("Fit one of at least %s %s.", b.rated(v/used), try(p.At+".screens.capacitor.rated", b.rated(v/used))))
		}
	}
	if p.Path.Exists() && ret.Pulldown.Exists() {
		least := b.least(p.Path)
		if under(least, pathFactor*b.pulldownOf(ret)) {
			what := p.PathWhat
			if what == "" {
				what = "a part of the set"
			}
			b.raise(returnPath, finding.Fail, p.At+".also_to_chassis",
				fmt.Sprintf("%s (%s) leads from %s to chassis past the lift, under %d × the pulldown%s.", capital(what), ohms(least), p.Name, pathFactor, b.thatServes(ret)),
				"Lift that path together with the cathode return, or break in nearer to the cathode.")
		}
	}
	if p.Kind == known.Gain {
		b.judgeGain(ret, p)
	}
	if p.Kind == known.Output {
		b.judgeClick(p)
		b.judgeBias(p)
	}
	b.judgeLaw(p)
	for _, t := range tubes {
		if t.tube.Converter {
			b.raise(returnConverter, finding.Fail, t.at,
				fmt.Sprintf("%s is a converter or oscillator: lifting its cathode stops or pulls the oscillator.", t.tube.Name),
				"Leave this stage on chassis and lift the others.")
		}
	}
}

// heaterCathodeRemedy says what lowers a cathode that stands too far over its heater.
func (b *bench) heaterCathodeRemedy(ret *known.Return) string {
	if p := b.bledPoint(ret); p != nil {
		return fmt.Sprintf("Take the bleeder out of the cathode bus %s: it lifts the node most. Or take a lower pulldown, or find the exact version of the tube and its rating.", try(p.At+".bleeder", "none"))
	}
	return "Take a lower pulldown, or find the exact version of the tube and its rating."
}

func (b *bench) judgeGain(ret *known.Return, p *known.Point) {
	if p.FarEnd == "chassis" && p.Track.Exists() && ret.Pulldown.Exists() {
		if least := b.least(p.Track); under(least, pathFactor*b.pulldownOf(ret)) {
			b.raise(returnPath, finding.Fail, p.At+".control.far_end",
				fmt.Sprintf("The far end of the control of %s stays on chassis: its track, %s, leads past the lift.", p.Name, ohms(b.number(p.Track))),
				"Lift the far end of the track together with the wiper "+try(p.At+".control.far_end", "lifted")+".")
		}
	}
	if p.Wiring == "antenna and cathode" {
		b.raise(returnControl, finding.Danger, p.At+".control.wiring",
			fmt.Sprintf("The control of %s also sits across the antenna coil: lifted, it puts the cathode voltage on the antenna terminal.", p.Name),
			"Do not lift this return; silence the set at another point.")
	}
	for k := range p.Stages {
		if p.Stages[k].Meter {
			b.raise(returnMeter, finding.Caution, fmt.Sprintf("%s.stages.%d.meter", p.At, k+1),
				fmt.Sprintf("The tuning meter sits in the bridge of stage %d of %s: it will pin when the stage is cut off, and its bridge is a path past the lift.", k+1, p.Name),
				"Open the meter's lead with the set muted for the first time, and include its bridge in the check for forgotten paths.")
		}
	}
}

// pulldownOf is the pulldown that paths past the lift are held against, ohm. From an
// empty window a low one is drawn to be safe; it would hide a path that spoils
// every pulldown that serves.
func (b *bench) pulldownOf(ret *known.Return) float64 {
	drawn := b.number(ret.Pulldown)
	if !ret.ChoosePulldown {
		return drawn
	}
	return b.Window[ret.Name].Usable(drawn)
}

// thatServes names the pulldown that a path was held against where it is not the
// one that is drawn.
func (b *bench) thatServes(ret *known.Return) string {
	if serves := b.pulldownOf(ret); over(serves, b.number(ret.Pulldown)) {
		return " that would serve, " + ohms(serves)
	}
	return ""
}

// judgeClick judges what the loudspeaker gets when the return opens.
func (b *bench) judgeClick(p *known.Point) {
	if level, ok := b.high("point." + p.Name + ".click"); ok && level > rounding {
		b.raise(returnClick, finding.Caution, p.At+".transformer",
			fmt.Sprintf("Opening the return throws the plate of %s by up to %s over full output.", p.Name, decibels(level)),
			"Turn the volume down at first; a smaller bypass capacitor, or one that goes to chassis, softens it.")
	}
	words := fmt.Sprintf("Without a loudspeaker, cutting %s off drives its plate to kilovolts.", p.Name)
	if v, ok := b.high("point." + p.Name + ".plate_peak"); ok {
		words = fmt.Sprintf("With its loudspeaker the plate of %s reaches up to %s as it is cut off; without one, kilovolts.", p.Name, volts(v))
	}
	b.raise(returnLoad, finding.Note, p.At+".transformer.load", words, "Keep a load connected whenever the set is on.")
}

// noBias is the grid voltage above which a stage has no fixed bias, V: what is
// less is grid leak and meter.
const noBias = -0.5

// judgeBias says that a fixed bias may come from the current that muting takes away.
func (b *bench) judgeBias(p *known.Point) {
	if grid := b.least(p.Grid); grid < noBias {
		b.raise(returnBackBias, finding.Note, p.At+".grid",
			fmt.Sprintf("%s has a fixed bias of %s. Where it is the drop of a resistor in the B− lead, it falls as stages are cut off, and %s conducts more than is computed here.",
				capital(p.Name), volts(b.number(p.Grid)), p.Name),
			"Look where the bias comes from, and measure the grid muted as well as on receive.")
	}
}

// Ends of the tube law on receive.
const (
	gridCurrent = -0.5 // V from grid to cathode: above it the grid takes current
	kneeShare   = 0.4  // of the screen's voltage: below it the plate is under its knee
)

// judgeLaw says where the tube law does not hold on receive.
func (b *bench) judgeLaw(p *known.Point) {
	stem := "point." + p.Name
	if v, ok := b.high(stem + ".grid.receive"); ok && v > gridCurrent+rounding {
		b.raise(returnGrid, finding.Caution, p.At,
			fmt.Sprintf("On receive a grid of %s stands at up to %s to its cathode: above %g V it takes current, and the law does not hold.", p.Name, volts(v), gridCurrent),
			"Measure the cathode on receive and give the plan its resistor as it is.")
	}
	if v, ok := b.low(stem + ".knee.receive"); ok && under(v, kneeShare) {
		b.raise(returnKnee, finding.Caution, p.At,
			fmt.Sprintf("On receive a plate of %s has down to %s of its screen's voltage: below %s it is under its knee, and the law does not hold.", p.Name, percent(v), percent(kneeShare)),
			"Measure plate, screen and cathode on receive; take the measured cathode current for what the contact breaks.")
	}
}

// tubeAt is a tube with the key path that names it.
type tubeAt struct {
	tube *known.Tube
	at   string
}

func (b *bench) tubesOf(p *known.Point) []tubeAt {
	switch p.Kind {
	case known.Output:
		return []tubeAt{{&p.Tube, p.At + ".tube"}}
	case known.Gain:
		list := make([]tubeAt, len(p.Stages))
		for k := range p.Stages {
			list[k] = tubeAt{&p.Stages[k].Tube, fmt.Sprintf("%s.stages.%d.tube", p.At, k+1)}
		}
		return list
	}
	return nil
}

func (b *bench) judgeRails(ret *known.Return) {
	for i := range b.Supplies {
		s := &b.Supplies[i]
		name := s.Name
		v, ok := b.high("return." + ret.Name + ".rail." + name)
		if !ok || !s.CapRated.Exists() {
			continue
		}
		path := "receiver.supplies." + name + ".rated"
		limit := b.least(s.CapRated)
		if s := ofRating(v, limit); s != finding.Good {
			b.raise(returnRail, s, path,
				fmt.Sprintf("With %s muted, %s rises to up to %s; its capacitors are rated %s.", ret.Name, name, volts(v), volts(limit)),
				fmt.Sprintf("Look at the age and rating of the filter capacitors; %s or more leaves a margin %s.", b.rated(v/used), try(path, b.rated(v/used))))
		}
	}
}

// regulated is the current that a gas regulator tube may be asked to take more
// without a word, A: a tube of 5 to 40 mA has that much in hand (from memory).
const regulated = 5e-3

// judgeRegulators judges what a regulator must take when the stages do not.
func (b *bench) judgeRegulators(ret *known.Return) {
	for i := range b.Supplies {
		s := &b.Supplies[i]
		if v, ok := b.high("return." + ret.Name + ".rail." + s.Name + ".extra"); ok && over(v, regulated) {
			b.raise(returnRegulator, finding.Caution, "receiver.supplies."+s.Name+".regulated",
				fmt.Sprintf("With %s muted the regulator of %s has to take up to %s more.", ret.Name, s.Name, amps(v)),
				"Look at its rating; a gas tube takes 30 to 40 mA in all.")
		}
	}
}

func (b *bench) judgeLead(ret *known.Return, at string) {
	rf := false
	for _, i := range ret.Points {
		rf = rf || b.Points[i].Kind == known.Gain
	}
	if rf && !ret.Capacitor.Exists() && !ret.ChooseCap && over(b.most(ret.Lead), longLead) {
		b.raise(returnLead, finding.Caution, at+".capacitor",
			fmt.Sprintf("The lead of %s is up to %s long and carries RF cathodes without a capacitor at the cut.", ret.Name, metres(b.most(ret.Lead))),
			"Fit 10 nF from the cut to chassis "+try(at+".capacitor", "choose")+", or shorten the lead below 100 mm ("+at+".lead).")
	}
}

// mutes tells whether anything of the plan is to silence the set.
func (b *bench) mutes() bool {
	return len(b.Returns) > 0 || slices.ContainsFunc(b.Points, func(p known.Point) bool { return p.Kind == known.Audio })
}

func (b *bench) judgeDepth() {
	q, ok := b.Get("depth")
	if asked := b.Wanted.Exists() && b.Box.Entry(b.Wanted).Origin != known.Assumed; !ok && !asked && !b.mutes() {
		return // an antenna guard alone is not asked how deep it mutes
	}
	if !ok {
		b.raise(returnUnmeasured, finding.Caution, "wanted.depth",
			"No point of the plan tells how deep it mutes: they are measured lines and antennas only.",
			"Measure the level drop with a generator before you rely on it.")
		return
	}
	if !b.Wanted.Exists() {
		return
	}
	wanted := b.number(b.Wanted)
	if q.Low >= 100-rounding {
		b.raise(returnOver, finding.Note, "wanted.depth",
			"The depth comes out over 100 dB: leakage past the stages decides beyond that.",
			"Measure the level drop with a generator.")
	}
	if !under(q.Low, wanted) {
		return
	}
	severity := finding.Caution
	if under(q.Low, wanted/2) {
		severity = finding.Fail
	}
	b.raise(returnDepth, severity, "wanted.depth", depthWords(q, wanted), b.buysMost())
}

// depthWords say how deep it mutes of what is wanted, dB. Beyond where stages are
// counted it may be any deeper.
func depthWords(q answer.Quantity, wanted float64) string {
	if q.Low >= q.Most-rounding {
		return fmt.Sprintf("Muting reaches over %s, as far as its stages are counted; %s is wanted.", decibels(q.Most), decibels(wanted))
	}
	depth := func(v float64) string {
		if v >= q.Most-rounding {
			return "over " + decibels(q.Most)
		}
		return decibels(v)
	}
	return fmt.Sprintf("Muting reaches %s (%s to %s); %s is wanted.", depth(q.Nominal), depth(q.Low), depth(q.High), decibels(wanted))
}

// buysMost says which change deepens the muting most.
func (b *bench) buysMost() string {
	var bypassed, alone, bled *known.Point
	gain, shut := false, false
	for r := range b.Returns {
		ret := &b.Returns[r]
		w, ok := b.Window[ret.Name]
		if ok && !w.Empty() && ret.Pulldown.Exists() && under(b.number(ret.Pulldown), w.Least) {
			return fmt.Sprintf("Take a pulldown of %s or more for %s (returns.%s.pulldown).", ohms(w.Least), ret.Name, ret.Name)
		}
		shut = shut || ok && w.Empty()
		bled = cmp.Or(bled, b.bledPoint(ret))
		bypassed = cmp.Or(bypassed, b.footPoint(ret))
		for _, i := range ret.Points {
			p := &b.Points[i]
			gain = gain || p.Kind == known.Gain
			if p.Kind == known.Output {
				alone = p
			}
		}
	}
	switch {
	case shut && bled != nil:
		return fmt.Sprintf("Take the bleeder out of the cathode bus %s: it holds the pulldown so low that little is muted.", try(bled.At+".bleeder", "none"))
	case !gain:
		return "Lift the return of the RF or IF stages as well: it buys 25 to 35 dB a stage."
	case bypassed != nil:
		return fmt.Sprintf("Move the lower end of the bypass capacitor of %s to the lifted return %s: an output tube gains some 20 dB by it.", bypassed.Name, try(bypassed.At+".bypass.returned_to", "return"))
	case alone == nil:
		return "Lift the cathode return of the output tube as well: it buys 15 to 35 dB."
	case shut:
		return "No pulldown serves as it is: first mend what return.window says, or lift one more stage."
	}
	return "Take a higher pulldown within its window, or lift one more stage."
}
