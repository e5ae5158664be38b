package answer

import (
	"fmt"
	"math"
	"slices"

	"mutewright/design/drive"
	"mutewright/design/known"
	"mutewright/design/spread"
)

// DriveCorners are the points of the box at which a drive pulls in
// worst and is overfed worst, with and without a dropper: the corners at which
// its parts are chosen.
type DriveCorners struct {
	facts *known.Facts
	hook  drive.Hookup
	at    [][]float64
}

// cornerBudget keeps the search for corners short; what is chosen there is
// judged by the full worst case afterwards.
const cornerBudget = 40

// usualDropper is about what a coil wants in series, ohm: what is too much of the
// supply, and a quarter of the coil at least, as on a doubler.
func usualDropper(f *known.Facts, r *known.Relay) float64 {
	over := supplyVolts(f, r)/nominal(f, r.Coil.Rated) - 1
	return math.Max(over, 0.25) * nominal(f, r.Coil.Ohms)
}

// FindDriveCorners finds the corners of a drive whose circuit is legal.
func FindDriveCorners(f *known.Facts, c Circuit) (*DriveCorners, error) {
	d := &DriveCorners{facts: f, hook: c.Fit.Hookup}
	n := len(f.Relays)
	problem := spread.Problem{
		Inputs: inputsOf(f.Box), Outputs: 2 * n, Touches: touched(driveInputs(f), f.Box), Budget: cornerBudget, Noise: 1e-6,
		Eval: func(x, out []float64) error {
			at := d.drive(x)
			for i := range at.Coils {
				if f.Relays[i].ChooseDropper {
					at.Coils[i].Dropper = usualDropper(f, &f.Relays[i])
				}
			}
			result, err := drive.Solve(at)
			if err != nil {
				return err
			}
			for i, coil := range result.Coils {
				out[i], out[n+i] = coil.Operate, coil.Ceiling
			}
			return nil
		},
	}
	result, err := spread.Worst(problem)
	if err != nil {
		return nil, fmt.Errorf("corners of the relay drive: %w", err)
	}
	for _, out := range result.Outputs {
		d.add(out.AtLow)
		// What heat does to the coil's voltage turns with the dropper: without
		// one a cold coil takes more, with one a hot coil stands higher.
		cold := slices.Clone(out.AtLow)
		least.set(f, cold, f.Ambient, f.Soaked)
		d.add(cold)
	}
	return d, nil
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

// HighMains is the single corner at which a drive draws most from its winding:
// nominal but for the mains.
func HighMains(f *known.Facts, c Circuit) *DriveCorners {
	x := f.Box.Nominal()
	x[f.Mains.Ratio.Index()] = f.Box.Entry(f.Mains.Ratio).High
	return &DriveCorners{facts: f, hook: c.Fit.Hookup, at: [][]float64{x}}
}
