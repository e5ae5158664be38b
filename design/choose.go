package design

import (
	"fmt"
	"slices"

	"mutewright/catalog"
	"mutewright/design/answer"
	"mutewright/design/beside"
	"mutewright/design/drive"
	"mutewright/design/known"
	"mutewright/design/lifted"
	"mutewright/design/quantity"
)

// Tolerances of the parts that are chosen, relative.
const resistorTolerance = 0.05

// choose settles what the plan leaves to the program, in the order in which one
// choice bears on the next: the winding's fuse, the buffer's resistors, the
// dropper; and the pulldowns, one after another, which ask nothing of the drive and
// are found beside it.
func choose(f *known.Facts, cat *catalog.Catalog) ([]Chosen, map[string]answer.Window, error) {
	windows := map[string]answer.Window{}
	if f.Refused {
		return nil, windows, nil
	}
	apart := f.Apart()
	found := beside.Start(func() error {
		for r := range apart.Returns {
			w, err := answer.FindWindow(apart, r)
			if err != nil {
				return err
			}
			windows[apart.Returns[r].Name] = w
			takePulldown(apart, r, w)
		}
		return nil
	})
	var list []Chosen
	if c := answer.CircuitOf(f); c.OK() {
		more, err := chooseDrive(f, c, cat)
		if err != nil {
			return nil, nil, err
		}
		list = append(list, more...)
	}
	if err := found(); err != nil {
		return nil, nil, err
	}
	for r := range f.Returns {
		list = append(list, takePulldown(f, r, windows[f.Returns[r].Name])...)
	}
	return list, windows, nil
}

func chosen(at string, v float64, u quantity.Unit, why string) Chosen {
	return Chosen{At: at, Value: quantity.Format(v, u), Plain: quantity.Plain(v, u), Why: why}
}

// hookUpAmps is what the lead from winding or rail may carry, A: 0.5 mm² (from memory).
const hookUpAmps = 5

func chooseDrive(f *known.Facts, c answer.Circuit, cat *catalog.Catalog) ([]Chosen, error) {
	var list []Chosen
	r := &f.Relays[0]
	if r.ChooseRectifier {
		list = append(list, Chosen{At: r.At + ".rectifier", Value: r.Rectifier, Plain: r.Rectifier, Why: "what this supply allows with most volts"})
	}
	if r.ChooseFuse {
		fuse, err := chooseFuse(f, c, cat)
		if err != nil {
			return nil, err
		}
		f.Box.Fix(r.Fuse, fuse.Fuse.Amps, 0, "at least twice the current in its lead")
		f.FuseOhms(r, fuse.Fuse.Cold)
		list = append(list, chosen(r.At+".fuse", fuse.Fuse.Amps, quantity.Current,
			fmt.Sprintf("at least 2 × %s rms, with a cold resistance that the coil does not feel", quantity.Amps(fuse.Current))))
	}
	if r.Buffer != "none" {
		more, err := chooseBuffer(f, r, c)
		if err != nil {
			return nil, err
		}
		list = append(list, more...)
	}
	if !slices.ContainsFunc(f.Relays, func(r known.Relay) bool { return r.ChooseDropper }) {
		return list, nil
	}
	corners, err := answer.FindDriveCorners(f, c)
	if err != nil {
		return nil, err
	}
	for i := range f.Relays {
		if !f.Relays[i].ChooseDropper {
			continue
		}
		more, err := chooseDropper(f, i, corners)
		if err != nil {
			return nil, err
		}
		list = append(list, more...)
	}
	return list, nil
}

// nominal is the number at id, 0 where it does not exist.
func nominal(f *known.Facts, id known.ID) float64 {
	if !id.Exists() {
		return 0
	}
	return f.Box.Entry(id).Nominal
}

// fuseShare is the most that a fuse's cold resistance may be of the coil's: the
// peaks of a rectifier raise its part several times, and fuses of one rating
// differ by a factor of two either way (from memory), which must not decide
// whether the coil pulls in.
const fuseShare = 1e-3

// chooseFuse picks the fuse in the lead from winding or rail at high mains, where
// the drive draws most. Ratings step by a quarter: no closer corner is needed.
func chooseFuse(f *known.Facts, c answer.Circuit, cat *catalog.Catalog) (drive.Fusing, error) {
	return drive.ChooseFuse(func(cold float64) []drive.Drive {
		return answer.HighMains(f, c).With(func(d *drive.Drive) { d.Fuse = cold })
	}, fusesFor(f, cat), hookUpAmps)
}

// fusesFor lists the fuses whose cold resistance the coils do not feel, rising;
// the largest of all where they feel every one.
func fusesFor(f *known.Facts, cat *catalog.Catalog) []drive.Fuse {
	conductance := 0.0 // of all coils together
	for i := range f.Relays {
		conductance += 1 / f.Box.Entry(f.Relays[i].Coil.Ohms).Nominal
	}
	most := fuseShare / conductance
	var fuses []drive.Fuse
	rows := cat.Fuses(known.FuseList(f)).Ratings.Items
	for i, row := range rows {
		if float64(row.Is.Second) <= most || i == len(rows)-1 {
			fuses = append(fuses, drive.Fuse{Amps: float64(row.Is.First), Cold: float64(row.Is.Second)})
		}
	}
	return fuses
}

// bufferCorners gives the drive where its transistor has to do most, with both
// resistors at the end of their own tolerance that asks more.
func bufferCorners(f *known.Facts, c answer.Circuit) func(base, baseEmitter float64) []drive.Drive {
	corners := answer.LowSupply(f, c)
	return func(base, baseEmitter float64) []drive.Drive {
		return corners.With(func(d *drive.Drive) {
			d.Buffer.Base, d.Buffer.BaseEmitter = base*(1+resistorTolerance), baseEmitter*(1+resistorTolerance)
		})
	}
}

func chooseBuffer(f *known.Facts, r *known.Relay, c answer.Circuit) ([]Chosen, error) {
	basing, err := drive.ChooseBuffer(bufferCorners(f, c), catalog.E24.Between(100, 1e6))
	if err != nil {
		return nil, err
	}
	f.Box.Fix(r.Base, basing.Base, resistorTolerance, "forced gain of at most 20 at the lowest supply")
	why := "leakage leaves at most 0.3 V from base to emitter"
	if !basing.LetsGo() {
		why = "no resistor brings base to emitter to 0.3 V: as large as is usual"
	}
	f.Box.Fix(r.BaseEmitter, basing.BaseEmitter, resistorTolerance, why)
	return []Chosen{{
		At: r.At + ".buffer", Plain: r.Buffer,
		Value: fmt.Sprintf("%s, %s to its base, %s from base to emitter", r.Buffer, quantity.Ohms(basing.Base), quantity.Ohms(basing.BaseEmitter)),
		Why:   "forced gain of at most 20 at the lowest supply; " + why,
	}}, nil
}

// chooseDropper chooses the resistor of one relay. Of those that follow it takes
// that each has as much in series for its coil.
func chooseDropper(f *known.Facts, i int, corners *answer.DriveCorners) ([]Chosen, error) {
	r := &f.Relays[i]
	own := f.Box.Entry(r.Coil.Ohms).Nominal
	dropping, err := drive.ChooseDropper(func(ohms float64) []drive.Drive {
		// The resistor's own tolerance: high where the coil is to pull in, low
		// where it must not be overfed.
		return corners.Strained(func(d *drive.Drive, feed int) {
			part := 1 - resistorTolerance*float64(feed)
			for k := i; k < len(d.Coils); k++ {
				if f.Relays[k].ChooseDropper {
					d.Coils[k].Dropper = ohms * part * f.Box.Entry(f.Relays[k].Coil.Ohms).Nominal / own
				}
			}
			for k := range i {
				d.Coils[k].Dropper = part * nominal(f, f.Relays[k].Dropper)
			}
		})
	}, catalog.E24.Between(1, 100e3))
	if err != nil {
		return nil, err
	}
	why := fmt.Sprintf("worst case: operate margin %.2f, ceiling margin %.2f", dropping.Operate, dropping.Ceiling)
	if dropping.Ohms == 0 {
		return []Chosen{{At: r.At + ".dropper", Value: "none", Plain: "none", Why: why}}, nil
	}
	r.Dropper = f.Box.Add(known.Entry{
		At: r.At + ".dropper", Unit: quantity.Resistance, Origin: known.Chosen, Because: why,
		Nominal: dropping.Ohms, Low: dropping.Ohms * (1 - resistorTolerance), High: dropping.Ohms * (1 + resistorTolerance),
	})
	return []Chosen{chosen(r.At+".dropper", dropping.Ohms, quantity.Resistance, why)}, nil
}

// takePulldown takes the pulldown of return r from its window, and what goes with
// it, where the plan leaves it to the program. From an empty window it takes the
// safe side, so that the rest can be worked out; where no resistance keeps every
// rating there is no safe side, and it takes the usual value: a tiny one would hide
// what the node does once the rating is mended. The finding says so.
func takePulldown(f *known.Facts, r int, w answer.Window) []Chosen {
	ret := &f.Returns[r]
	var list []Chosen
	if ret.ChoosePulldown {
		at := "returns." + ret.Name + ".pulldown"
		ohms, ok := lifted.Choose(w.Least, w.Most)
		why := fmt.Sprintf("from the window %s to %s", quantity.Ohms(w.Least), quantity.Ohms(w.Most))
		if !ok {
			ohms = catalog.E24.AtMost(max(w.Most, lifted.LowestPulldown))
			why = "the window is empty: the safe side"
		}
		if w.Barred() {
			ohms, why = lifted.UsualPulldown, "no resistance keeps every rating: the usual value, to show what else is amiss"
		}
		f.Box.Fix(ret.Pulldown, ohms, resistorTolerance, why)
		list = append(list, chosen(at, ohms, quantity.Resistance, why))
	}
	if ret.Capacitor.Exists() && ret.ChooseCap {
		list = append(list, chooseSeries(f, ret, w)...)
	}
	return list
}

// chooseSeries puts a resistor in series with the capacitor at the cut, so that
// the contact that closes on it makes no more than it may, whatever the node
// is permitted to stand at.
func chooseSeries(f *known.Facts, ret *known.Return, w answer.Window) []Chosen {
	at := "returns." + ret.Name + ".capacitor"
	e := f.Box.Entry(ret.Capacitor)
	list := []Chosen{chosen(at+".value", e.Nominal, quantity.Capacitance, e.Because)}
	for i := range f.Relays {
		make := f.Relays[i].Contacts.Make
		if !slices.Contains(f.Relays[i].Serves, ret.Name) || !make.Exists() {
			continue
		}
		ohms := catalog.E12.AtLeast(w.Tightest / (makeShare * f.Box.Entry(make).Low))
		why := "keeps the discharge through the closing contact within what it may make"
		ret.Series = f.Box.Add(known.Entry{
			At: at + ".series", Unit: quantity.Resistance, Origin: known.Chosen, Because: why,
			Nominal: ohms, Low: ohms * (1 - resistorTolerance), High: ohms * (1 + resistorTolerance),
		})
		list = append(list, chosen(at+".series", ohms, quantity.Resistance, why))
	}
	return list
}

// makeShare is how much of what a contact may make is used (common practice).
const makeShare = 0.7
