package answer

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"mutewright/design/known"
	"mutewright/design/quantity"
	"mutewright/design/timing"
)

// An Account is how a result came about beyond its [Working]: it is asked again
// where all is nominal and in the two corners that set its ends.
type Account struct {
	Quantity
	Steps  []Step
	AtLow  []Stand // the corner where the result is lowest; empty where the end is the nominal
	AtHigh []Stand
	Levers []Lever
}

// A Stand is where a number stands in a corner, away from its nominal value.
type Stand struct {
	Input
	Stands string // its value in the corner, formatted
}

// A Lever is what a tenth more of one number does to a result, all else nominal.
type Lever struct {
	Input
	Result float64 // in the result's unit
}

// A tenth more is enough to see what counts, and little enough for most effects to
// be in proportion. A temperature moves by ten kelvins, a level by one decibel.
const (
	leverShare    = 0.1
	leverKelvins  = 10
	leverDecibels = 1
)

// mostLevers is how many levers are kept.
const mostLevers = 5

// Account asks a result again to find how it came about. The error is a failure to
// solve. Where the result was not found over the box, only its working is known.
func (a *Answers) Account(f *known.Facts, name string) (Account, error) {
	q, _ := a.Get(name)
	c := Account{Quantity: q, Steps: q.Working.Steps}
	if q.came == nil && strings.HasPrefix(name, "timing.") {
		var err error
		c.Levers, err = a.timingLevers(f, q)
		return c, err
	}
	if q.came == nil {
		return c, nil
	}
	at := [3][]float64{f.Box.Nominal(), q.came.out.AtLow, q.came.out.AtHigh}
	details, err := q.came.details(name, at)
	if err != nil {
		return c, fmt.Errorf("%s: %w", name, err)
	}
	through, err := a.through(f, name, at)
	if err != nil {
		return c, fmt.Errorf("%s: %w", name, err)
	}
	c.Steps = append(append(c.Steps, details...), through...)
	c.AtLow, c.AtHigh = q.came.stands(f.Box, at[1]), q.came.stands(f.Box, at[2])
	c.Levers, err = q.levers(f.Box)
	if err != nil {
		return c, fmt.Errorf("%s: %w", name, err)
	}
	return c, nil
}

// details are the values on the way that are no quantities.
func (k *asked) details(name string, at [3][]float64) ([]Step, error) {
	if k.steps == nil {
		return nil, nil
	}
	var steps []Step
	for i, x := range at {
		details, err := k.steps(x)
		if err != nil {
			return nil, err
		}
		n := 0
		for _, d := range details {
			if !d.leadsTo(name) {
				continue
			}
			if i == 0 {
				steps = append(steps, Step{Name: d.words, Unit: d.unit, Nominal: d.value})
			}
			switch i {
			case 1:
				steps[n].Low = d.value
			case 2:
				steps[n].High = d.value
			}
			n++
		}
	}
	return steps, nil
}

// through are the quantities on the way.
func (a *Answers) through(f *known.Facts, name string, at [3][]float64) ([]Step, error) {
	var steps []Step
	for _, way := range a.ways(f, name) {
		q, ok := a.Get(way)
		if !ok || q.came == nil || way == name {
			continue
		}
		var values [3]float64
		out := make([]float64, q.came.problem.Outputs)
		for i, x := range at {
			if err := q.came.problem.One(x, q.came.column, out); err != nil {
				return nil, err
			}
			values[i] = q.came.of.capped(out[q.came.column])
		}
		steps = append(steps, Step{way, q.Unit, values[0], values[1], values[2], q.Most})
	}
	return steps, nil
}

// stands lists where the numbers of a result stand in a corner, those that carry
// most of its doubt first.
func (k *asked) stands(box known.Box, x []float64) []Stand {
	var list []Stand
	stand := func(i int) {
		if x[i] != box[i].Nominal {
			list = append(list, Stand{inputOf(box[i]), quantity.Format(x[i], box[i].Unit)})
		}
	}
	if k.out.Effects == nil { // nobody moved them one by one
		for _, i := range k.problem.Touches {
			stand(i)
		}
		return list
	}
	for _, e := range k.out.Effects {
		if e.Size > weak*(k.out.High-k.out.Low) {
			stand(e.Input)
		}
	}
	return list
}

// levers are the numbers that move a result most when each is a tenth more: what
// the plan, its parts and the catalogue say, not the spread that nobody chooses.
func (q *Quantity) levers(box known.Box) ([]Lever, error) {
	out := make([]float64, q.came.problem.Outputs)
	return leversOf(box, q.came.problem.Touches, func(x []float64) (float64, error) {
		err := q.came.problem.One(x, q.came.column, out)
		return q.came.of.capped(out[q.came.column]), err
	})
}

// timingLevers are the levers of a moment in the nominal sequence.
func (a *Answers) timingLevers(f *known.Facts, q Quantity) ([]Lever, error) {
	l, err := newLifts(f)
	if err != nil || a.Timings.Nominal == nil {
		return nil, err
	}
	in := a.Timings.Nominal
	all := moments(len(in.Lifts) > 0, len(in.Guards) > 0, true, true)
	m := all[slices.IndexFunc(all, func(m moment) bool { return m.name == q.Name })]
	return leversOf(f.Box, touched(timingInputs(f), f.Box), func(x []float64) (float64, error) {
		in, err := a.interfaceAt(f, l, x, timing.Usual, false)
		if err != nil {
			return 0, err
		}
		s, err := timing.Solve(in)
		return m.of(&s), err
	})
}

// leversOf finds the levers of a result that is worked out from some of the numbers
// of the box.
func leversOf(box known.Box, inputs []int, result func(x []float64) (float64, error)) ([]Lever, error) {
	type moved struct {
		Lever
		by float64
	}
	var list []moved
	nominal := box.Nominal()
	from, err := result(nominal)
	if err != nil {
		return nil, err
	}
	for _, i := range inputs {
		e := box[i]
		x := slices.Clone(nominal)
		switch {
		case e.Origin == known.Tolerance && e.At != "receiver.mains.tolerance":
			continue
		case e.Unit == quantity.Temperature:
			x[i] += leverKelvins
		case e.Unit == quantity.Level:
			x[i] += leverDecibels
		default:
			x[i] *= 1 + leverShare
		}
		if x[i] == nominal[i] {
			continue
		}
		to, err := result(x)
		if err != nil || math.IsNaN(to) {
			continue // a tenth more of it is no longer possible
		}
		if by := math.Abs(to - from); by > 1e-4*math.Abs(from) {
			list = append(list, moved{Lever{inputOf(e), to}, by})
		}
	}
	slices.SortStableFunc(list, func(a, b moved) int { return cmp.Compare(b.by, a.by) })
	var levers []Lever
	for _, m := range list[:min(mostLevers, len(list))] {
		levers = append(levers, m.Lever)
	}
	return levers, nil
}

// ways are the names of the quantities that a quantity is made of.
func (a *Answers) ways(f *known.Facts, name string) []string {
	stem, last := name[:max(0, strings.LastIndexByte(name, '.'))], name[strings.LastIndexByte(name, '.')+1:]
	sub := func(names ...string) []string {
		for i, n := range names {
			names[i] = stem + "." + n
		}
		return names
	}
	switch family, _, _ := strings.Cut(name, "."); family {
	case "drive", "control":
		return driveWays(f, name, sub)
	case "contact":
		return a.contactWays(stem, last)
	case "return":
		return returnWays(f, name, last)
	case "point":
		return pointWays(f, name, last, sub)
	case "antenna":
		if last == "residual" {
			return sub("shorted_loss")
		}
	case "standby":
		for i := range f.Standby {
			if r := f.Standby[i].Return; name == standbyName(i) && r >= 0 {
				return []string{"return." + f.Returns[r].Name + ".muted"}
			}
		}
	case "mains":
		if last == "fuse" {
			return []string{"mains.primary_current"}
		}
	case "depth":
		var list []string
		for i := range f.Points {
			list = append(list, "point."+f.Points[i].Name+".depth")
		}
		return list
	}
	return nil
}

// coilWays are what the results of a coil are made of, by the last part of their
// names.
var coilWays = map[string][]string{
	"voltage": {"current"}, "voltage_least": {"voltage"}, "current": {"voltage"}, "power": {"voltage", "current"},
	"operate_margin": {"voltage_least"}, "ceiling_margin": {"voltage"},
}

func driveWays(f *known.Facts, name string, sub func(...string) []string) []string {
	for i := range f.Relays {
		stem := driveStem(&f.Relays[i])
		if tail, ok := strings.CutPrefix(name, stem+".coil."); ok {
			if tail == "voltage" || tail == "voltage_least" {
				return append(sub(coilWays[tail]...), "drive.supply.operated", "drive.supply.ripple")
			}
			return sub(slices.Clone(coilWays[tail])...)
		}
		if name == stem+".dropper.power" {
			return []string{stem + ".coil.current", stem + ".coil.voltage"}
		}
	}
	switch name {
	case "drive.supply.operated", "drive.supply.ripple", "drive.diode.peak", "drive.winding.current", "control.closed":
		return []string{"drive.coil.current", "drive.supply.operated"}
	case "drive.winding.load":
		return []string{"drive.winding.current"}
	case "drive.diode.reverse", "drive.buffer.voltage", "control.open", "control.kick":
		return []string{"drive.supply.released"}
	}
	return nil
}

func (a *Answers) contactWays(stem, last string) []string {
	serves := ""
	for _, p := range a.Poles.Used {
		if stem == "contact."+p.Letter {
			serves = "return." + p.Serves
		}
	}
	switch last {
	case "open":
		return []string{serves + ".muted"}
	case "unguarded":
		return []string{serves + ".unguarded"}
	case "closed":
		return []string{serves + ".current"}
	case "limit":
		return []string{stem + ".open", serves + ".muted_cold"}
	case "margin":
		return []string{stem + ".limit", stem + ".closed", stem + ".open"}
	}
	return nil
}

func returnWays(f *known.Facts, name, last string) []string {
	for r := range f.Returns {
		ret := &f.Returns[r]
		stem := "return." + ret.Name
		if !strings.HasPrefix(name, stem+".") {
			continue
		}
		var list []string
		currents := func(state string) []string {
			for _, i := range ret.Points {
				list = append(list, "point."+f.Points[i].Name+".current."+state)
			}
			return list
		}
		switch last {
		case "pulldown":
			return []string{stem + ".muted", "depth"}
		case "pulldown_power":
			return []string{stem + ".muted", stem + ".pulldown"}
		case "current":
			return currents("receive")
		case "muted_cold", "bus_cold", "unguarded": // neither the currents of hot tubes nor a rail that they load
			return nil
		}
		list = []string{stem + ".pulldown"}
		if last == "muted" || strings.HasPrefix(name, stem+".rail.") { // the control as set, as the currents are
			currents("muted")
		}
		for i := range f.Supplies {
			list = append(list, stem+".rail."+f.Supplies[i].Name)
		}
		return list
	}
	return nil
}

func pointWays(f *known.Facts, name, last string, sub func(...string) []string) []string {
	for r := range f.Returns {
		for _, i := range f.Returns[r].Points {
			stem := "point." + f.Points[i].Name
			if !strings.HasPrefix(name, stem+".") {
				continue
			}
			switch last {
			case "heater_cathode", "bypass":
				return []string{stem + ".cathode.muted", stem + ".cathode.receive"}
			case "depth":
				return []string{stem + ".current.receive", stem + ".current.muted", "return." + f.Returns[r].Name + ".muted"}
			case "muted":
				return []string{"return." + f.Returns[r].Name + ".muted", stem + ".current.muted"}
			case "receive":
				return []string{"return." + f.Returns[r].Name + ".current", stem + ".current.receive"}
			case "unguarded":
				return []string{"return." + f.Returns[r].Name + ".unguarded"}
			}
		}
	}
	return nil
}
