package fitting

import (
	"fmt"

	"mutewright/design/answer"
	"mutewright/design/known"
	"mutewright/design/quantity"
)

// A MainsTest is what tells whether the set may be joined to anything at all.
// Before is done with nothing connected, in this order; After when the set is
// earthed and the work is done, before the key cable goes on.
type MainsTest struct {
	Before, After []Step
}

// A Step is one step of a test: what to do, how to decide, what to read.
type Step struct {
	Title    string
	Do       []string   // sentences, in their order
	Decide   []Decision // rows of a decision table; most steps have none
	Readings []Reading  // also among those of the fitting
}

// A Decision is one row of a decision table.
type Decision struct {
	Reads string // "1 MΩ … 5 MΩ"
	Means string
	Do    string
}

// MainsOnly is the mains test alone. Of a set to which nothing may be joined it
// is all the fitting there is.
func MainsOnly(f *known.Facts, a *answer.Answers) Fitting {
	l := &log{f: f, a: a}
	test := MainsTest{Before: l.before(), After: l.after()}
	return Fitting{Readings: l.list, Mains: test}
}

// mainsLog writes the steps of the mains test down; readings go to the log too.
type mainsLog struct {
	*log
	steps []Step
}

// before lists the steps of the mains test that come before anything is connected.
func (l *log) before() []Step {
	m := &mainsLog{log: l}
	m.discharged()
	m.ohms()
	if l.f.Refused {
		m.isolated()
		return m.steps
	}
	m.insulation()
	m.meters()
	m.cord()
	return m.steps
}

// after lists the steps of the mains test that come when the work is done. A set
// to which nothing may be joined has none.
func (l *log) after() []Step {
	if l.f.Refused {
		return nil
	}
	m := &mainsLog{log: l}
	m.earthed()
	m.jack()
	return m.steps
}

func (m *mainsLog) step(title string, do ...string) {
	m.steps = append(m.steps, Step{Title: title, Do: do})
}

func (m *mainsLog) decide(reads, means, do string) {
	s := &m.steps[len(m.steps)-1]
	s.Decide = append(s.Decide, Decision{Reads: reads, Means: means, Do: do})
}

// read adds a reading to the step and to the log.
func (m *mainsLog) read(from, to, meter string, u quantity.Unit, low, high float64, why string) {
	m.add(Reading{State: "mains", Between: []string{from, to}, Meter: meter, Unit: u.Code(), Low: low, High: high, Why: why})
	s := &m.steps[len(m.steps)-1]
	s.Readings = append(s.Readings, m.list[len(m.list)-1])
}

// open stands for a meter that shows open, ohm: a reading that may be as high as
// this has no upper end.
const open = 1e9

// DeadVolts is what a rail may keep where somebody is to touch it, V DC: a third of
// the 30 V of wet-contact limits (NEC class 2, second-hand), common practice.
const DeadVolts = 10

func (m *mainsLog) discharged() {
	m.step("Unplugged and discharged",
		"Pull the plug; the switch is not enough.")
	if m.f.Refused {
		m.do("Discharge every rail through 1 to 10 kΩ of 5 W or more, short it, measure again.")
		return
	}
	tool := fmt.Sprintf("Discharge each rail through %s, wire-wound, %s or more, then short it, then measure again: the dielectric gives back part of the charge.",
		format(answer.ToolOhms, quantity.Resistance), format(answer.ToolWatts, quantity.Power))
	for _, r := range m.a.Mains.Rails {
		s := &m.f.Supplies[r.Supply]
		if r.Bled {
			m.do(fmt.Sprintf("The bleeder brings %s to 60 V within %s and to 30 V within %s, by calculation: one that is open does nothing.", s.Name, wait(r.To60.High), wait(r.To30.High)))
		} else {
			m.do(fmt.Sprintf("No bleeder is known on %s: only the meter on it takes up to %s to 60 V.", s.Name, wait(r.Meter.High)))
		}
		m.do(fmt.Sprintf("Through the tool %s falls to 30 V within %s.", s.Name, wait(r.Tool.High)))
	}
	if len(m.a.Mains.Rails) > 0 {
		m.do(tool)
		m.do(fmt.Sprintf("Go on only when the meter shows less than %s; else bleed it again, however long you waited.", format(DeadVolts, quantity.Voltage)))
	}
	for _, r := range m.a.Mains.Rails {
		m.read(m.f.Supplies[r.Supply].Live, "chassis", dcVolts, quantity.Voltage, 0, DeadVolts,
			"discharged, and again a minute after the short")
	}
}

func (m *mainsLog) do(sentence string) {
	s := &m.steps[len(m.steps)-1]
	s.Do = append(s.Do, sentence)
}

// wait is a time as people wait it, up to ten minutes in seconds.
func wait(v float64) string {
	if v > 600 {
		return fmt.Sprintf("%.0f min", v/60)
	}
	return format(v, quantity.Time)
}

func (m *mainsLog) ohms() {
	o, short := m.a.Mains.Ohms, m.a.Mains.Short
	ohms := func(v float64) string { return format(v, quantity.Resistance) }
	m.step("Ohm check: unplugged, switch on, each prong of the plug to chassis",
		"It comes before any earthed cord, any meter at the mains and the shunted test.",
		fmt.Sprintf("On a chassis tied to the mains the shunt's 1.5 kΩ would carry %s and take %s.",
			format(short.Amps, quantity.Current), format(short.Watts, quantity.Power)),
		"A resistance shows no capacitor: a set that passes may still leak.")
	m.decide("both above "+ohms(o.Clear), "no resistive path; capacitors do not show",
		"it may be earthed once the insulation test or the shunted test is passed")
	m.decide(ohms(o.Bleeder)+" … "+ohms(o.Clear), "a bleeder or surface leakage", "find it")
	m.decide(ohms(o.Touch)+" … "+ohms(o.Bleeder), "a leaky capacitor, or the float link of a series-heater set", "stop until it is found")
	m.decide("below "+ohms(o.Touch), "more than 0.5 mA", "fail: do not connect")
	m.decide("near 0 (up to "+ohms(o.Low)+") from one prong", "chassis tied to the mains, or a heater string",
		"no earthed cord, no connection of any kind: isolation transformer")
	m.decide("low from both alike", "transformer or autotransformer fault", "stop")
	if m.f.Refused {
		m.read("line or neutral prong, the lower of the two", "chassis", ohmMeter, quantity.Resistance, 0, o.Low,
			"the chassis is tied to that prong: this is what the plan says of the set")
		return
	}
	const why = "open is well; in between, the table decides"
	m.read("line prong", "chassis", ohmMeter, quantity.Resistance, o.Clear, open, why)
	m.read("neutral prong", "chassis", ohmMeter, quantity.Resistance, o.Clear, open, why)
}

// isolated is what is left to do with a chassis on the mains.
func (m *mainsLog) isolated() {
	m.step("Isolation transformer, and nothing else",
		"Whichever way the plug stands, one position of plug and switch puts the whole mains on the chassis.",
		"An earthed cord would short it; an antenna, a key cable or a headphone would carry it to whatever and whoever they touch.",
		"Behind an isolation transformer of its own no path leads from the chassis through you to earth; keep everything earthed away from it even so.")
}

func (m *mainsLog) insulation() {
	i := m.a.Mains.Insulation
	m.step(fmt.Sprintf("Insulation test at %s DC", format(i.Volts, quantity.Voltage)),
		"Lift the old paper capacitors from mains to chassis first: they would be measured, and may break down. Capacitors with a Y class stay.",
		"Join both prongs, switch on; the tester goes from them to chassis. Discharge afterwards.")
	m.read("both prongs, joined", "chassis", fmt.Sprintf("insulation tester, %s DC", format(i.Volts, quantity.Voltage)), quantity.Resistance,
		i.Least, open, "less: damp, dirt or a failing winding; do not connect")
}

func (m *mainsLog) meters() {
	most := m.a.Mains.Good
	m.step("Chassis to the outlet's earth, chassis not earthed, in four states",
		"Only after a good ohm check. One hand, nothing else on chassis, set on wood; read, then pull the plug before you move anything.",
		"Straight: the set's line conductor is the hot one. Turned: the plug the other way round, or the two exchanged at a test adapter.",
		fmt.Sprintf("The highest shunted reading decides: up to %s is good on this cord, and %s is 0.5 mA.",
			format(most*shuntOhms, quantity.Voltage), format(0.5e-3*shuntOhms, quantity.Voltage)),
		"A reading near the mains on a meter without the shunt is undetermined: 2 nF, 0.2 µF and a dead short read alike.")
	if !m.f.Mains.TwoWire {
		m.do("With a three-wire cord the earth is opened at a test adapter for this reading alone, hands off, and closed again at once.")
	}
	for _, state := range answer.OutletStates {
		for _, load := range answer.ChassisLoads {
			q, ok := m.a.Get("mains." + state.Name + "." + load.Name)
			if !ok {
				continue
			}
			m.read("chassis, "+state.Words, "outlet's earth", load.Words, quantity.Voltage, q.Low, q.High, readingWhy(m.f, q, load.Name))
		}
	}
}

// shuntOhms is the resistor of the shunted test, ohm.
const shuntOhms = 1500

// readingWhy says what a reading of the unearthed chassis is worth.
func readingWhy(f *known.Facts, q answer.Quantity, load string) string {
	mains := f.Box.Entry(f.Mains.Voltage).High * f.Box.Entry(f.Mains.Ratio).High
	switch {
	case load == "shunt":
		return "touch current = volts / 1.5 kΩ"
	case q.High > answer.NearMains*mains:
		return "near the mains it is undetermined: the shunt decides"
	case q.High == 0:
		return "nothing hot reaches the chassis; a few volts are the meter's own pick-up"
	}
	return "what the plan's capacitors and stray give; more: look for another path"
}

func (m *mainsLog) cord() {
	title := "Earth of the three-wire cord"
	do := []string{"The earth lead is the longest, on a screw of its own with a locking washer, nothing else under it; a strain relief holds the cord."}
	if m.f.Mains.TwoWire {
		title = "When the two-wire cord gives way to an earthed one"
		do = append([]string{
			"Only after the ohm check and the insulation or the shunted test.",
			"Cord of 0.75 mm² (18 AWG) or more; line to the fuse, fuse to the switch, switch to the primary; nothing in the neutral alone.",
			"Colours: brown, blue, green-yellow; in North America black, white, green. Old cords mark neither conductor, and inside American tube sets green and green-yellow are heater leads: trace them.",
		}, do...)
	}
	if q, ok := m.a.Get("mains.fuse"); ok {
		do = append(do, fmt.Sprintf("Fuse in the line: %s, time-lag, of the ratings of %s; the same figure of the other family is another fuse.", format(q.Nominal, quantity.Current), m.a.Mains.Fuses.Standard))
	}
	m.step(title, do...)
	m.read("earth pin of the plug", "chassis", ohmMeter, quantity.Resistance, 0, m.a.Mains.BondMost,
		fmt.Sprintf("0.1 Ω and the conductor of a cord of %s; zero the meter's leads first", format(answer.CordLength, quantity.Length)))
}

func (m *mainsLog) earthed() {
	m.step("Earthed, plugged in, switched on: chassis to the outlet's earth")
	if m.f.Mains.TwoWire {
		m.do("If an earthed cord has been fitted.")
	}
	m.do("A sound earth reads millivolts.")
	m.do("Volts mean that the earth is open in the outlet, the plug or the cord: pull the plug.")
	m.read("chassis", "outlet's earth", acVolts, quantity.Voltage, 0, answer.EarthedMost, "more: no earth; what is read then is the unearthed chassis")
}

func (m *mainsLog) jack() {
	m.step("Jack to the station's earth, before the key cable goes on",
		"Station earthed, set on, cable not yet in.")
	if !m.f.Mains.TwoWire {
		m.read("sleeve of the jack", "station's earth", acVolts, quantity.Voltage, 0, answer.EarthedMost, "more: one of the two has no earth; find out which before they are joined")
		return
	}
	m.do("The cable or a braid will bond this unearthed chassis to the station: first the shunted test, then the cable, and the cable before the plug.")
	if q, ok := m.a.Get("mains.meter_reading"); ok {
		m.read("sleeve of the jack", "station's earth", answer.ChassisLoads[0].Words, quantity.Voltage, 0, q.High, "undetermined near the mains; the shunt decides")
	}
	most := shuntOhms * m.a.Mains.Good
	m.read("sleeve of the jack", "station's earth", answer.ChassisLoads[3].Words, quantity.Voltage, 0, most,
		fmt.Sprintf("more than %s: do not join them", format(most, quantity.Voltage)))
}
