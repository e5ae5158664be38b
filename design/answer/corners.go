package answer

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"mutewright/design/drive"
	"mutewright/design/known"
)

// DriveCorners are the points of the box at which a drive pulls in worst and is
// overfed worst: the corners at which its parts are chosen. What is chosen there
// is judged by the full worst case afterwards.
type DriveCorners struct {
	facts *known.Facts
	hook  drive.Hookup
	at    [][]float64
}

// usualDropper is about what a coil wants in series, ohm: what is too much of the
// supply, and a quarter of the coil at least, as on a doubler.
func usualDropper(f *known.Facts, r *known.Relay) float64 {
	over := supplyVolts(f, r)/nominal(f, r.Coil.Rated) - 1
	return math.Max(over, 0.25) * nominal(f, r.Coil.Ohms)
}

// FindDriveCorners finds the corners of a drive whose circuit is legal. All that
// feeds a coil has a plain sign. Its own resistance may count either way, as it
// loads the supply and takes its share from the dropper, and is tried at both
// ends; and what heat does turns with the dropper, for without one a cold coil
// takes more and with one a hot coil stands higher: both belong to the corners.
func FindDriveCorners(f *known.Facts, c Circuit) (*DriveCorners, error) {
	d := &DriveCorners{facts: f, hook: c.Fit.Hookup}
	var result drive.Result
	for _, feed := range []swing{least, most} {
		worst, margin := least, math.Inf(1)
		for _, coil := range []swing{least, most} {
			at := d.drive(feedPoint(f, feed, most, coil))
			for i := range at.Coils {
				if f.Relays[i].ChooseDropper {
					at.Coils[i].Dropper = usualDropper(f, &f.Relays[i])
				}
			}
			var err error
			if result, err = result.Near(at); err != nil {
				return nil, fmt.Errorf("corners of the relay drive: %w", err)
			}
			for _, r := range result.Coils {
				m := r.Operate
				if feed == most {
					m = r.Ceiling
				}
				if m < margin {
					worst, margin = coil, m
				}
			}
		}
		d.add(feedPoint(f, feed, most, worst))
		d.add(feedPoint(f, feed, least, worst))
	}
	return d, nil
}

// feedPoint is a corner with all that feeds the coils at one end, their heat at
// one, their own resistance at one.
func feedPoint(f *known.Facts, feed, heat, coil swing) []float64 {
	x := cornerPoint(f, feed, heat)
	feed.set(f, x, f.Transmitter.Level)
	for i := range f.Relays {
		r := &f.Relays[i]
		feed.set(f, x, r.Reservoir)
		(-feed).set(f, x, r.Base)
		feed.set(f, x, r.BaseEmitter)
		heat.set(f, x, r.Coil.Rise)
		coil.set(f, x, r.Coil.Ohms)
		least.set(f, x, r.Coil.Limit, r.Coil.At23, r.Coil.At70)
		most.set(f, x, r.Coil.Operate)
	}
	return x
}

// add keeps a corner once.
func (d *DriveCorners) add(x []float64) {
	if !slices.ContainsFunc(d.at, func(y []float64) bool { return slices.Equal(x, y) }) {
		d.at = append(d.at, x)
	}
}

// drive is the drive at a corner; what was chosen since it was found stands at
// its nominal value.
func (d *DriveCorners) drive(x []float64) drive.Drive {
	for _, e := range d.facts.Box[len(x):] {
		x = append(slices.Clip(x), e.Nominal)
	}
	return driveAt(d.facts, d.hook, x)
}

// With gives the drive at every corner after an edit.
func (d *DriveCorners) With(edit func(*drive.Drive)) []drive.Drive {
	list := make([]drive.Drive, len(d.at))
	for i, x := range d.at {
		list[i] = d.drive(x)
		edit(&list[i])
	}
	return list
}

// Strained gives the drive at every corner after an edit that is told how the
// corner feeds the coils: -1 least, +1 most, 0 where the mains do not say.
func (d *DriveCorners) Strained(edit func(drive *drive.Drive, feed int)) []drive.Drive {
	ratio := d.facts.Mains.Ratio
	list := make([]drive.Drive, len(d.at))
	for i, x := range d.at {
		list[i] = d.drive(x)
		edit(&list[i], cmp.Compare(ratio.Of(x), d.facts.Box.Entry(ratio).Nominal))
	}
	return list
}

// LowSupply is the single corner at which a buffer's transistor has to do most:
// the supply at its lowest, the coils cold, they and their droppers of least
// resistance, the line leaking and dropping most.
func LowSupply(f *known.Facts, c Circuit) *DriveCorners {
	x := feedPoint(f, least, least, least)
	for i := range f.Relays {
		least.set(f, x, f.Relays[i].Dropper)
	}
	most.set(f, x, f.Transmitter.Leakage, f.Transmitter.Drop)
	return &DriveCorners{facts: f, hook: c.Fit.Hookup, at: [][]float64{x}}
}

// HighMains is the single corner at which a drive draws most from its winding:
// nominal but for the mains.
func HighMains(f *known.Facts, c Circuit) *DriveCorners {
	x := f.Box.Nominal()
	x[f.Mains.Ratio.Index()] = f.Box.Entry(f.Mains.Ratio).High
	return &DriveCorners{facts: f, hook: c.Fit.Hookup, at: [][]float64{x}}
}
