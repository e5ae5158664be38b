package answer

import (
	"cmp"
	"fmt"
	"math"
	"strings"

	"mutewright/design/beside"
	"mutewright/design/drive"
	"mutewright/design/known"
	"mutewright/design/lifted"
	"mutewright/design/quantity"
)

// Answers is everything the questions answered about one plan.
type Answers struct {
	Set
	Poles   Poles
	Circuit Circuit           // of the drive
	Window  map[string]Window // of each return, by name
	Antennas
	Timings
	Mains Mains
}

// Circuit is what the tables say about the drive before anything is
// computed.
type Circuit struct {
	Ruling drive.Ruling // may the rectifier stand on the winding
	Fit    drive.Fit    // does the coil circuit go with the key line
}

// OK tells whether the drive can be computed at all.
func (c Circuit) OK() bool { return c.Ruling.OK() && c.Fit.OK() }

// Unplugged tells whether the coils carry current with the key cable unplugged.
func (c Circuit) Unplugged() bool { return c.Fit.Hookup.Energises(drive.LineOpen) }

// Shorted tells whether they do with the key cable shorted to chassis.
func (c Circuit) Shorted() bool { return c.Fit.Hookup.Energises(drive.LineGrounded) }

// Ask asks every question that the facts allow; windows are those of the
// returns, from [FindWindow]. The error is a failure to solve; it names the
// question.
func Ask(f *known.Facts, windows map[string]Window) (*Answers, error) {
	a := &Answers{Poles: assign(f), Circuit: CircuitOf(f), Window: windows}
	if err := a.askMains(f); err != nil || f.Refused {
		return a, err
	}
	// The drive, and the contacts that it moves, ask nothing of the other answers.
	fed := &Answers{Poles: a.Poles, Circuit: a.Circuit}
	driven := beside.Start(func() error {
		if err := fed.askDrive(f); err != nil {
			return err
		}
		return fed.askTiming(f)
	})
	if len(f.Returns) > 0 || len(audioShorts(f, &a.Poles)) > 0 {
		l, err := newLifts(f)
		if err != nil {
			return nil, err
		}
		if err := returnsQuestion(l, &a.Poles, windows).ask(f.Box, &a.Set); err != nil {
			return nil, err
		}
	}
	a.addWindows(f)
	a.addSpare(f)
	if err := a.addStandby(f); err != nil {
		return nil, err
	}
	if err := a.askClicks(f); err != nil {
		return nil, err
	}
	if err := a.askAntennas(f); err != nil {
		return nil, err
	}
	if err := driven(); err != nil {
		return nil, err
	}
	for _, q := range fed.All() {
		a.Add(q)
	}
	a.Timings = fed.Timings
	return a, nil
}

// CircuitOf looks the drive up in the two tables.
func CircuitOf(f *known.Facts) Circuit {
	if len(f.Relays) == 0 {
		return Circuit{}
	}
	return Circuit{Ruling: ruling(f, &f.Relays[0]), Fit: hookup(f, &f.Relays[0])}
}

func (a *Answers) askDrive(f *known.Facts) error {
	if !a.Circuit.OK() {
		return nil
	}
	hook := a.Circuit.Fit.Hookup
	if err := driveQuestion(f, hook, f.Box.Nominal()).ask(f.Box, &a.Set); err != nil {
		return err
	}
	for i := range f.Relays {
		a.addChosen(f, driveStem(&f.Relays[i])+".dropper.value", f.Relays[i].Dropper)
	}
	a.addChosen(f, "drive.fuse", f.Relays[0].Fuse)
	return a.askHeat(f, hook)
}

// Window is the range from which a pulldown may be taken, worst case.
type Window struct {
	Least, Most      float64 // ohm; Least > Most: empty
	LeastBy, MostBy  string  // what sets the ends, in words a plan's reader knows
	LeastAt, MostAt  string  // key path of what to change
	DepthUnreachable bool    // the depth wanted is not reached at any resistance
	Tightest         float64 // V, the lowest rating on the lifted node and what hangs on it
}

// Empty tells whether nothing can be chosen.
func (w Window) Empty() bool { return w.Least > w.Most }

// Barred tells whether a rating is exceeded at every resistance that can be
// chosen, so that no pulldown mends it.
func (w Window) Barred() bool { return w.Most == 0 }

// Usable is the least resistance at which a pulldown can do its work once the window
// is mended, ohm: where the window is open that of the pulldown as it is; where it
// is empty, and what is drawn is only its safe side, its lower end, or the usual
// value where no end is known.
func (w Window) Usable(drawn float64) float64 {
	switch {
	case !w.Empty() || w.Barred():
		return drawn
	case w.Least >= mostPulldown:
		return math.Max(drawn, lifted.UsualPulldown)
	}
	return math.Max(drawn, w.Least)
}

// addWindows adds what was chosen: the windows, and the values of parts. The
// window is a worst case already and has no doubt of its own.
func (a *Answers) addWindows(f *known.Facts) {
	for _, r := range f.Returns {
		w, ok := a.Window[r.Name]
		if !ok || w.Empty() {
			continue
		}
		stem := "return." + r.Name
		a.Add(certain(stem+".pulldown_least", quantity.Resistance, w.Least, Working{
			Formula: "least resistance with which, in the worst case, the depth wanted is reached and the pulldown keeps to half of its 2 W; set by " + w.LeastBy,
			Source:  bySolver, Inputs: inputsAt(f.Box, w.LeastAt),
		}))
		a.Add(certain(stem+".pulldown_most", quantity.Resistance, w.Most, Working{
			Formula: "highest resistance with which, in the worst case, every rating in force on the lifted node holds, 100 kΩ at most; set by " + w.MostBy,
			Source:  bySolver, Inputs: inputsAt(f.Box, w.MostAt),
		}))
	}
}

// addSpare adds how many poles are left.
func (a *Answers) addSpare(f *known.Facts) {
	var spare int
	for _, n := range a.Poles.Spare {
		spare += n
	}
	w := Working{Formula: "poles of all relays, less those that serve a return or a point", Source: "contacts as they are assigned"}
	for i := range f.Relays {
		r := &f.Relays[i]
		w.Inputs = append(w.Inputs, Input{
			At: r.At + ".use.contacts.poles", Value: fmt.Sprint(r.Contacts.Poles), Origin: known.Looked.String(), Because: r.Name,
		})
	}
	for _, p := range a.Poles.Used {
		w.Inputs = append(w.Inputs, Input{At: p.Letter, Value: "serves " + p.Serves, Origin: known.Chosen.String()})
	}
	a.Add(certain("contact.spare", quantity.Proportion, float64(spare), w))
}

// inputsAt are the numbers of the box at a key path and below it.
func inputsAt(box known.Box, at string) []Input {
	var list []Input
	for _, e := range box {
		if e.At == at || strings.HasPrefix(e.At, at+".") {
			list = append(list, inputOf(e))
		}
	}
	if list == nil { // a word, not a number
		list = []Input{{At: at, Value: "as given", Origin: known.Given.String()}}
	}
	return list
}

// addStandby adds what stands on the set's own standby terminals: as the plan
// says, or, where they open a return that is lifted, the node of that return,
// which its pulldown holds on the tubes' side of both. What the plan says is meant
// at nominal mains, as every voltage of the set.
func (a *Answers) addStandby(f *known.Facts) error {
	for i := range f.Standby {
		s := &f.Standby[i]
		name := standbyName(i)
		switch {
		case s.Left == "removed":
		case s.Volts.Exists():
			q := question{
				name: s.At + ".voltage", uses: []known.ID{s.Volts, f.Mains.Ratio},
				columns: []column{{name: name, unit: quantity.Voltage, formula: "voltage on the terminals × mains over nominal", source: "the plan"}},
				eval: func(x, out []float64) error {
					out[0] = s.Volts.Of(x) * f.Mains.Ratio.Of(x)
					return nil
				},
			}
			if err := q.ask(f.Box, &a.Set); err != nil {
				return err
			}
		default:
			if q, ok := a.Get("return." + f.Returns[s.Return].Name + ".muted"); ok {
				q.Name = name
				a.Add(q)
			}
		}
	}
	return nil
}

// standbyName is the name of what stands on the i-th of the set's own standby
// controls.
func standbyName(i int) string { return fmt.Sprintf("standby.%d.voltage", i+1) }

// addChosen adds the value of a part with its tolerance.
func (a *Answers) addChosen(f *known.Facts, name string, id known.ID) {
	if !id.Exists() {
		return
	}
	e := f.Box.Entry(id)
	a.Add(Quantity{
		Name: name, Unit: e.Unit, Nominal: e.Nominal, Low: e.Low, High: e.High,
		Working: Working{Formula: "as given or chosen", Source: cmp.Or(e.Because, "the plan"), Inputs: []Input{inputOf(e)}},
	})
}

func certain(name string, u quantity.Unit, v float64, w Working) Quantity {
	return Quantity{Name: name, Unit: u, Nominal: v, Low: v, High: v, Working: w}
}
