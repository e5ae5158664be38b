package answer

import (
	"fmt"
	"math"
	"slices"

	"mutewright/design/known"
	"mutewright/design/mains"
	"mutewright/design/quantity"
)

// Mains is what the tests of a set's mains side have to show, beside the
// quantities of the family mains.
type Mains struct {
	Cord       mains.Cord
	Good       float64 // A rms, touch current up to which the cord's tiers call it good
	Ohms       mains.Thresholds
	Short      mains.DeadShort // what the shunt meets if the chassis is tied to the mains
	Insulation mains.Insulation
	BondMost   float64        // ohm, chassis to the earth pin of a cord of CordLength
	Fuses      mains.FuseList // the list that mains.fuse is of
	Device     mains.Device   // the earth-fault breaker of houses with this mains
	Rails      []Emptying     // rails above TouchVolts, in the plan's order
}

// An Emptying is how one rail loses its charge after the plug is out. Without a
// bleeder the first two do not exist: what tubes and leakage take is nothing to
// rely on.
type Emptying struct {
	Supply     int      // index into Facts.Supplies
	Bled       bool     // it has a bleeder
	To60, To30 Quantity // s, through the bleeder
	Tool       Quantity // s to 30 V through the tool, beside what is there
	Meter      Quantity // s to 60 V through a 10 MΩ meter alone
}

// The cord that is assumed where its earth conductor matters: 2 m of 0.75 mm²
// (common practice).
const (
	CordLength = 2.0
	cordArea   = 0.75e-6
)

// The discharge tool: a wire-wound resistor of 1 to 10 kΩ and 5 W or more.
// 4.7 kΩ takes 26 W from 350 V for the first moment, ten times less after a
// quarter of a second: a 5 W wire-wound stands five times its rating for some
// seconds (from memory).
const (
	ToolOhms  = 4.7e3
	ToolWatts = 5.0
)

// TouchVolts is what a rail is to fall to, V DC (touch limit, IEC 62368-1 ES1).
const TouchVolts = mains.TouchDC

// NearMains is the part of the mains above which a high-impedance reading
// decides nothing.
const NearMains = mains.NearMains

// EarthedMost is the highest reading in V rms from an earthed chassis to the
// outlet's earth that passes for sound.
const EarthedMost = mains.EarthedMost

// AskMains asks about the mains side alone. The error is a failure to solve; it
// names the question.
func AskMains(f *known.Facts) (*Answers, error) {
	a := &Answers{}
	return a, a.askMains(f)
}

// askMains asks what stands between the mains and the chassis.
func (a *Answers) askMains(f *known.Facts) error {
	a.Mains = limits(f)
	if f.Refused {
		return tiedQuestion(f).ask(f.Box, &a.Set)
	}
	if err := a.askLeak(f); err != nil {
		return err
	}
	if err := a.addLargestY(f); err != nil {
		return err
	}
	if err := fuseQuestion(f, a.Mains.Fuses).ask(f.Box, &a.Set); err != nil {
		return err
	}
	return a.askDischarge(f)
}

// limits looks up what the tests of the set have to show.
func limits(f *known.Facts) Mains {
	volts := f.Box.Entry(f.Mains.Voltage).Nominal
	m := Mains{
		Cord: mains.ThreeWire, Fuses: fuses(f),
		Ohms: mains.OhmThresholds(volts), Short: mains.ShuntOnShort(volts),
		BondMost: mains.BondMost(CordLength, cordArea),
	}
	if f.Mains.TwoWire {
		m.Cord = mains.TwoWire
	}
	m.Insulation = mains.InsulationTest(m.Cord)
	for _, t := range mains.Tiers(m.Cord) {
		if t.Class == mains.Good {
			m.Good = t.Most
		}
	}
	devices := mains.Devices()
	m.Device = devices[1]
	if northAmerican(f) {
		m.Device = devices[0]
	}
	return m
}

// northAmerican tells the two worlds of fuses and breakers apart: 60 Hz below
// 200 V is the one, 50 Hz or 200 V and up the other.
func northAmerican(f *known.Facts) bool {
	return f.Box.Entry(f.Mains.Frequency).Nominal > 55 && f.Box.Entry(f.Mains.Voltage).Nominal < 200
}

func fuses(f *known.Facts) mains.FuseList {
	if northAmerican(f) {
		return mains.FusesNorthAmerican()
	}
	return mains.FusesIEC()
}

// tiedQuestion asks about a chassis that is a mains conductor: there is nothing
// in between to work out.
func tiedQuestion(f *known.Facts) question {
	m := &f.Mains
	return question{
		name: "chassis on the mains", uses: []known.ID{m.Voltage, m.Ratio},
		columns: []column{
			{name: "mains.touch_current", unit: quantity.Current, source: "IEC 60990, 2 kΩ",
				formula: "E / 2 kΩ: chassis tied to the hot conductor, plug or switch standing so"},
			{name: "mains.meter_reading", unit: quantity.Voltage, source: "the plan's isolation",
				formula: "E: chassis tied to the hot conductor"},
		},
		eval: func(x, out []float64) error {
			e := m.Voltage.Of(x) * m.Ratio.Of(x)
			out[0], out[1] = e/mains.BodyOhms, e
			return nil
		},
	}
}

// conductors are the words of the plan.
var conductors = map[string]mains.Conductor{"line": mains.Line, "neutral": mains.Neutral, "both": mains.Both}

// switches lists where the set's switch may be: one place, or of an unknown
// switch all three.
func switches(f *known.Facts) []mains.Conductor {
	if c, ok := conductors[f.Mains.SwitchIn]; ok {
		return []mains.Conductor{c}
	}
	return []mains.Conductor{mains.Line, mains.Neutral, mains.Both}
}

// source is the mains as the chassis sees it at a point of the box.
func source(f *known.Facts, opens mains.Conductor, x []float64) mains.Source {
	m := &f.Mains
	s := mains.Source{
		Volts: m.Voltage.Of(x) * m.Ratio.Of(x), Hertz: m.Frequency.Of(x), Stray: m.Stray.Of(x),
		Switch: opens, Before: !m.After, Bond: mains.BondMost(CordLength, cordArea),
	}
	for _, c := range m.Capacitors {
		s.Capacitors = append(s.Capacitors, mains.Capacitor{Farads: c.Value.Of(x), From: conductors[c.From]})
	}
	return s
}

// meters are the loads that a chassis is read on, beside the shunt.
var meters = []float64{mains.DigitalOhms, mains.OneMegOhms, mains.AnalogueOhms}

// An OutletState is a way in which the set can stand at its outlet, as
// quantities and people name it.
type OutletState struct {
	Name  string // as in "mains.turned_off.shunt"
	Words string
}

// OutletStates are the four states in the order of [mains.States].
var OutletStates = [...]OutletState{
	{"straight_on", "plug straight, switch on"},
	{"straight_off", "plug straight, switch off"},
	{"turned_on", "plug turned, switch on"},
	{"turned_off", "plug turned, switch off"},
}

// A ChassisLoad is what a chassis is read on.
type ChassisLoad struct {
	Name  string // as in "mains.turned_off.shunt"
	Words string
}

// ChassisLoads are the three meters, then the shunt.
var ChassisLoads = [...]ChassisLoad{
	{"digital", "AC V, 10 MΩ"},
	{"one_meg", "AC V, 1 MΩ"},
	{"analogue", "AC V, analogue of 1.25 MΩ"},
	{"shunt", "AC V across 1.5 kΩ with 0.15 µF"},
}

const (
	bodyNetwork = "IEC 60990 figure 4 (second-hand)"
	shunted     = "1.5 kΩ with 0.15 µF: 0.75 V is 0.5 mA (UL 101, second-hand)"
)

// leakQuestion asks what comes from the mains to the chassis, with the switch in
// one place.
func leakQuestion(f *known.Facts, opens mains.Conductor) question {
	m := &f.Mains
	q := question{name: "mains leakage", uses: []known.ID{m.Voltage, m.Ratio, m.Frequency, m.Stray}}
	for _, c := range m.Capacitors {
		q.uses = append(q.uses, c.Value)
	}
	var read []func(mains.Leak) float64
	add := func(name string, unit quantity.Unit, formula, source string, get func(mains.Leak) float64) {
		q.columns = append(q.columns, column{name: "mains." + name, unit: unit, formula: formula, source: source})
		read = append(read, get)
	}
	const worst = ", worst of plug and switch, chassis not earthed"
	add("touch_current", quantity.Current, "|V| / 2 kΩ between chassis and earth"+worst, "IEC 60990, 2 kΩ for sine; "+bySolver,
		func(l mains.Leak) float64 { return l.Touch.Value })
	add("network_current", quantity.Current, "into 1.5 kΩ ∥ 0.22 µF and 500 Ω in series"+worst, bodyNetwork,
		func(l mains.Leak) float64 { return l.Network.Value })
	add("weighted_current", quantity.Current, "U / 500 Ω of the same network, U across its 0.022 µF behind 10 kΩ"+worst, bodyNetwork,
		func(l mains.Leak) float64 { return l.Weighted.Value })
	for i, name := range []string{"meter_reading", "one_meg_reading", "analogue_reading"} {
		add(name, quantity.Voltage, fmt.Sprintf("E·R/√(R² + X²), E the mains, X the reactance of what joins chassis to it, R the meter's %s%s", quantity.Ohms(meters[i]), worst), bySolver,
			func(l mains.Leak) float64 { return l.Meters[i].Reading.Value })
	}
	add("shunt_reading", quantity.Voltage, "on 1.5 kΩ with 0.15 µF across it"+worst, shunted,
		func(l mains.Leak) float64 { return l.Shunt.Value })
	add("earth_leak", quantity.Current, "in the earth wire once the chassis is earthed, 2πf·E·C of all that is hot; worst of plug and switch", bySolver,
		func(l mains.Leak) float64 { return l.Earth.Value })
	add("earthed_reading", quantity.Voltage, fmt.Sprintf("earthed chassis to the outlet's earth: the leak on %s", quantity.Ohms(mains.BondMost(CordLength, cordArea))), bySolver,
		func(l mains.Leak) float64 { return l.Bonded.Value })
	q.steps = func(x []float64) (list []detail, err error) {
		for _, c := range q.columns {
			list = append(list, leakDetails(c.name, source(f, opens, x))...)
		}
		return list, nil
	}
	q.eval = func(x, out []float64) error {
		l, err := mains.Leakage(source(f, opens, x), meters...)
		if err != nil {
			return err
		}
		for i, get := range read {
			out[i] = get(l)
		}
		return nil
	}
	return q
}

// leakDetails are what joins the chassis to the mains, on the way to one result.
func leakDetails(of string, s mains.Source) []detail {
	var sum float64
	for _, c := range s.Capacitors {
		sum += c.Farads
	}
	return []detail{
		{of, "mains", quantity.Voltage, s.Volts},
		{of, "capacitors from both conductors to chassis, together", quantity.Capacitance, sum},
		{of, "stray of the windings", quantity.Capacitance, s.Stray},
		{of, "reactance of all of it", quantity.Resistance, within(1/(2*math.Pi*s.Hertz*(sum+s.Stray)), sum+s.Stray > 0)},
	}
}

// mirrored is the same set with line and neutral exchanged in all its names.
func mirrored(s mains.Source) mains.Source {
	other := [...]mains.Conductor{mains.Line: mains.Neutral, mains.Neutral: mains.Line, mains.Both: mains.Both}
	s.Capacitors = slices.Clone(s.Capacitors)
	for i := range s.Capacitors {
		s.Capacitors[i].From = other[s.Capacitors[i].From]
	}
	s.Switch = other[s.Switch]
	return s
}

// readQuestion asks what each meter reads in each state of plug and switch, with
// the stray at the line's end of the primary or at the neutral's: there it is
// the stray at line of the set with its conductors renamed and its plug turned.
func readQuestion(f *known.Facts, opens mains.Conductor, atNeutral bool) question {
	q := leakQuestion(f, opens)
	q.name, q.columns = "mains readings", nil
	for _, state := range OutletStates {
		for i, load := range ChassisLoads {
			source := bySolver
			if i == len(meters) {
				source = shunted
			}
			q.columns = append(q.columns, column{
				name: "mains." + state.Name + "." + load.Name, unit: quantity.Voltage, source: source,
				formula: "chassis to earth, " + load.Words + ", " + state.Words + ", the stray at either end of the primary",
			})
		}
	}
	q.eval = func(x, out []float64) error {
		s := source(f, opens, x)
		if atNeutral {
			s = mirrored(s)
		}
		l, err := mains.Leakage(s, meters...)
		if err != nil {
			return err
		}
		for i, state := range mains.States() {
			if atNeutral {
				state.Reversed = !state.Reversed
			}
			k := slices.IndexFunc(l.Cases[:], func(c mains.Case) bool { return c.State == state })
			copy(out[i*len(ChassisLoads):], append(l.Cases[k].Meters, l.Cases[k].Shunt))
		}
		return nil
	}
	return q
}

// askLeak asks about the leakage in every place where the switch may be, and
// what meters then read. Of an unknown switch the answers span all three places.
func (a *Answers) askLeak(f *known.Facts) error {
	var leaks, readings []question
	for _, opens := range switches(f) {
		leaks = append(leaks, leakQuestion(f, opens))
		readings = append(readings, readQuestion(f, opens, false), readQuestion(f, opens, true))
	}
	for _, alternatives := range [][]question{leaks, readings} {
		if err := a.askSpan(f.Box, alternatives); err != nil {
			return err
		}
	}
	return nil
}

// askSpan asks questions of which nobody knows which is the right one; they have
// the same columns.
func (a *Answers) askSpan(box known.Box, alternatives []question) error {
	var all []Quantity
	for _, q := range alternatives {
		var one Set
		if err := q.ask(box, &one); err != nil {
			return err
		}
		if all == nil {
			all = one.All()
			continue
		}
		for i, q := range one.All() {
			all[i] = span(all[i], q)
		}
	}
	for _, q := range all {
		a.Add(q)
	}
	return nil
}

// span is one quantity that may be as either of two: the worst stands for it, and
// answers for its thresholds.
func span(a, b Quantity) Quantity {
	worst := a
	if b.High > a.High {
		worst = b
	}
	worst.Low, worst.Nominal, worst.High = min(a.Low, b.Low), max(a.Nominal, b.Nominal), max(a.High, b.High)
	return worst
}

// mainsMargin is the rise of the mains that [mains.LargestY] reckons with; a
// plan that expects more gets more.
const mainsMargin = 1.1

// addLargestY adds the largest Y capacitor that may stand from line to chassis
// in place of all that is there, beside the stray. It is a worst case already
// and has no doubt of its own.
func (a *Answers) addLargestY(f *known.Facts) error {
	m := &f.Mains
	volts, ratio := f.Box.Entry(m.Voltage), f.Box.Entry(m.Ratio)
	largest := math.Inf(1)
	for _, opens := range switches(f) {
		farads, err := mains.LargestY(mains.Source{
			Volts: max(volts.High, volts.High*ratio.High/mainsMargin), Hertz: f.Box.Entry(m.Frequency).High,
			Stray: f.Box.Entry(m.Stray).High, Switch: opens, Before: !m.After,
		}, mains.Line, a.Mains.Good)
		if err != nil {
			return fmt.Errorf("largest Y capacitor: %w", err)
		}
		largest = min(largest, farads)
	}
	if largest == 0 {
		return nil // the stray alone is over the tier
	}
	a.Add(Quantity{
		Name: "mains.largest_y", Unit: quantity.Capacitance, Nominal: largest, Low: largest, High: largest,
		Working: Working{
			Formula: fmt.Sprintf("largest E6 value with which the touch current keeps to %s at mains +10 %% and capacitor +20 %%", quantity.Amps(a.Mains.Good)),
			Source:  "IEC 60384-14, E6 of IEC 60063; " + bySolver,
			Inputs:  question{}.inputs(f.Box, touched([]known.ID{m.Voltage, m.Ratio, m.Frequency, m.Stray}, f.Box)),
		},
	})
	return nil
}

// fuseQuestion asks for the fuse in the primary's line.
func fuseQuestion(f *known.Facts, list mains.FuseList) question {
	m := &f.Mains
	return question{
		name: "mains fuse", uses: []known.ID{m.Power, m.Voltage},
		columns: []column{
			{name: "mains.primary_current", unit: quantity.Current, formula: "power / voltage", source: "the plate of the set, VA over V"},
			{name: "mains.fuse", unit: quantity.Current, source: "NEC 450.3(B); ratings of " + list.Standard,
				formula: "time-lag: the smallest preferred value from 1.5 × I up to the ceiling (300 % of I below 2 A, 167 % from there), else the largest from 1.25 × I"},
		},
		eval: func(x, out []float64) error {
			out[0] = m.Power.Of(x) / m.Voltage.Of(x)
			out[1] = within(mains.ChooseFuse(out[0], list))
			return nil
		},
	}
}

// charged lists the rails that stand above the touch limit.
func charged(f *known.Facts) []int {
	var list []int
	for i, s := range f.Supplies {
		if s.Rail {
			e := f.Box.Entry(s.Unloaded)
			if max(math.Abs(e.High), math.Abs(e.Low))*f.Box.Entry(f.Mains.Ratio).High > TouchVolts {
				list = append(list, i)
			}
		}
	}
	return list
}

// dischargeQuestion asks how one rail empties.
func dischargeQuestion(f *known.Facts, s *known.Supply) question {
	q := question{name: "discharge of " + s.Name, uses: []known.ID{f.Mains.Ratio, s.Unloaded, s.Capacitance, s.Bleeder}}
	add := func(name, through, source string) {
		q.columns = append(q.columns, column{
			name: "mains." + name, unit: quantity.Time, source: source,
			formula: "t = R·C·ln(V0 / V), V0 the unloaded rail, " + through,
		})
	}
	add("discharge", "to 60 V through the bleeder", "IEC 62368-1 ES1")
	add("discharge_30", "to 30 V through the bleeder", "common practice")
	add("discharge_tool", fmt.Sprintf("to 30 V through a tool of %s, %s or more", quantity.Ohms(ToolOhms), quantity.Watts(ToolWatts)), "common practice")
	add("discharge_meter", "to 60 V through a 10 MΩ meter alone", "IEC 62368-1 ES1")
	charge := func(x []float64) mains.Rail {
		ratio := f.Mains.Ratio.Of(x)
		if s.Regulated {
			ratio = 1
		}
		return mains.Rail{Volts: math.Abs(s.Unloaded.Of(x)) * ratio, Farads: s.Capacitance.Of(x), Bleeder: s.Bleeder.Of(x), Tool: ToolOhms}
	}
	q.steps = func(x []float64) ([]detail, error) {
		rail := charge(x)
		var list []detail
		through := func(name, words string, ohms float64) {
			list = append(list,
				detail{"mains." + name, s.Name + ", tubes cold", quantity.Voltage, rail.Volts},
				detail{"mains." + name, "R·C of " + words + " and filter", quantity.Time, ohms * rail.Farads})
		}
		tool := rail.Tool
		if rail.Bleeder > 0 {
			through("discharge", "bleeder", rail.Bleeder)
			through("discharge_30", "bleeder", rail.Bleeder)
			tool = 1 / (1/rail.Tool + 1/rail.Bleeder)
		}
		through("discharge_tool", "tool, bleeder beside it,", tool)
		through("discharge_meter", "meter", mains.DigitalOhms)
		return list, nil
	}
	q.eval = func(x, out []float64) error {
		rail := charge(x)
		bled, err := mains.Discharging(rail)
		if err != nil {
			return err
		}
		rail.Bleeder, rail.Meter = 0, mains.DigitalOhms
		alone, err := mains.Discharging(rail)
		if err != nil {
			return err
		}
		out[0] = within(bled.Bleeder.To60, bled.Bleeder.Present)
		out[1] = within(bled.Bleeder.To30, bled.Bleeder.Present)
		out[2], out[3] = bled.Tool.To30, alone.Meter.To60
		return nil
	}
	return q
}

// askDischarge asks how the rails empty; the slowest stands for the set. Where
// one of them has no bleeder the set has no time to 60 V: nothing that is there
// can be relied upon.
func (a *Answers) askDischarge(f *known.Facts) error {
	slowest := map[string]Quantity{}
	var names []string
	bled := true
	for _, i := range charged(f) {
		s := &f.Supplies[i]
		var one Set
		if err := dischargeQuestion(f, s).ask(f.Box, &one); err != nil {
			return err
		}
		e := Emptying{Supply: i, Bled: s.Bleeder.Exists()}
		e.To60, _ = one.Get("mains.discharge")
		e.To30, _ = one.Get("mains.discharge_30")
		e.Tool, _ = one.Get("mains.discharge_tool")
		e.Meter, _ = one.Get("mains.discharge_meter")
		a.Mains.Rails = append(a.Mains.Rails, e)
		bled = bled && e.Bled
		for _, q := range one.All() {
			before, seen := slowest[q.Name]
			if !seen {
				names = append(names, q.Name)
				slowest[q.Name] = q
				continue
			}
			slowest[q.Name] = slower(before, q)
		}
	}
	for _, name := range names {
		if bled || !slices.Contains([]string{"mains.discharge", "mains.discharge_30"}, name) {
			a.Add(slowest[name])
		}
	}
	return nil
}

// slower is the later of two, both of which have to come: no number of one rail
// alone decides about it.
func slower(a, b Quantity) Quantity {
	worst := a
	if b.High > a.High {
		worst = b
	}
	worst.asked = nil // but how the slowest came about is worth telling
	worst.Low, worst.Nominal, worst.High = max(a.Low, b.Low), max(a.Nominal, b.Nominal), max(a.High, b.High)
	return worst
}
