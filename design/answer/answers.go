package answer

import (
	"mutewright/design/drive"
	"mutewright/design/known"
	"mutewright/design/quantity"
)

// Answers is everything the questions answered about one plan.
type Answers struct {
	Set
	Poles   Poles
	Circuit []Circuit         // of each relay
	Window  map[string]Window // of each return, by name
	Antennas
	Timings
	Mains Mains
}

// Circuit is what the tables say about a relay's drive before anything is
// computed.
type Circuit struct {
	Ruling drive.Ruling // may the rectifier stand on the winding
	Fit    drive.Fit    // does the coil circuit go with the key line
}

// OK tells whether the drive can be computed at all.
func (c Circuit) OK() bool { return c.Ruling.OK() && c.Fit.OK() }

// Ask asks every question that the facts allow; windows are those of the
// returns, from [FindWindow]. The error is a failure to solve; it names the
// question.
func Ask(f *known.Facts, windows map[string]Window) (*Answers, error) {
	a := &Answers{Poles: assign(f), Circuit: Circuits(f), Window: windows}
	if err := a.askMains(f); err != nil || f.Refused {
		return a, err
	}
	if len(f.Returns) > 0 {
		q, err := returnsQuestion(f, &a.Poles, windows)
		if err != nil {
			return nil, err
		}
		if err := q.ask(f.Box, &a.Set); err != nil {
			return nil, err
		}
	}
	a.addWindows(f)
	if err := a.askAntennas(f); err != nil {
		return nil, err
	}
	for i := range f.Relays {
		if err := a.askDrive(f, i); err != nil {
			return nil, err
		}
	}
	if err := a.askTiming(f); err != nil {
		return nil, err
	}
	return a, nil
}

// Circuits looks the drive of every relay up in the two tables.
func Circuits(f *known.Facts) []Circuit {
	list := make([]Circuit, len(f.Relays))
	for i := range f.Relays {
		list[i] = Circuit{Ruling: ruling(f, &f.Relays[i]), Fit: hookup(f, &f.Relays[i])}
	}
	return list
}

func (a *Answers) askDrive(f *known.Facts, i int) error {
	if !a.Circuit[i].OK() {
		return nil
	}
	r, hook := &f.Relays[i], a.Circuit[i].Fit.Hookup
	if err := driveQuestion(f, r, hook).ask(f.Box, &a.Set); err != nil {
		return err
	}
	a.addChosen(f, driveStem(r)+".dropper.value", r.Dropper)
	a.addChosen(f, driveStem(r)+".fuse", r.Fuse)
	heat, box := heatQuestion(f, r, hook)
	return heat.ask(box, &a.Set)
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

// addWindows adds what was chosen: the windows, and the values of parts. The
// window is a worst case already and has no doubt of its own.
func (a *Answers) addWindows(f *known.Facts) {
	for _, r := range f.Returns {
		w, ok := a.Window[r.Name]
		if !ok || w.Empty() {
			continue
		}
		stem := "return." + r.Name
		a.Add(certain(stem+".pulldown_least", quantity.Resistance, w.Least, "set by "+w.LeastBy))
		a.Add(certain(stem+".pulldown_most", quantity.Resistance, w.Most, "set by "+w.MostBy))
	}
}

// addChosen adds the value of a part with its tolerance.
func (a *Answers) addChosen(f *known.Facts, name string, id known.ID) {
	if !id.Exists() {
		return
	}
	e := f.Box.Entry(id)
	a.Add(Quantity{
		Name: name, Unit: e.Unit, Nominal: e.Nominal, Low: e.Low, High: e.High,
		Working: Working{Formula: "as given or chosen", Source: e.Because},
	})
}

func certain(name string, u quantity.Unit, v float64, formula string) Quantity {
	return Quantity{Name: name, Unit: u, Nominal: v, Low: v, High: v, Working: Working{Formula: formula, Source: bySolver}}
}
