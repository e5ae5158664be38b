package answer

import (
	"fmt"
	"slices"

	"mutewright/design/drive"
	"mutewright/design/known"
	"mutewright/design/spread"
)

// DriveCorners are the points of the box at which a relay's drive pulls in
// worst and is overfed worst, with and without a dropper: the corners at which
// its parts are chosen.
type DriveCorners struct {
	facts *known.Facts
	relay *known.Relay
	hook  drive.Hookup
	at    [][]float64
}

// cornerBudget keeps the search for corners short; what is chosen there is
// judged by the full worst case afterwards.
const cornerBudget = 40

// usualDropper is a dropper as a share of the coil's resistance: about what a
// doubler needs.
const usualDropper = 0.25

// FindDriveCorners finds the corners of a relay whose circuit is legal.
func FindDriveCorners(f *known.Facts, r *known.Relay, c Circuit) (*DriveCorners, error) {
	d := &DriveCorners{facts: f, relay: r, hook: c.Fit.Hookup}
	ohms := usualDropper * nominal(f, r.Coil.Ohms)
	problem := spread.Problem{
		Inputs: inputsOf(f.Box), Outputs: 2, Touches: touched(driveInputs(f, r), f.Box), Budget: cornerBudget, Noise: 1e-6,
		Eval: func(x, out []float64) error {
			at := d.drive(x)
			at.Coils[0].Dropper = ohms
			result, err := drive.Solve(at)
			if err == nil {
				out[0], out[1] = result.Coils[0].Operate, result.Coils[0].Ceiling
			}
			return err
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

func (d *DriveCorners) drive(x []float64) drive.Drive { return driveAt(d.facts, d.relay, d.hook, x) }

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
func HighMains(f *known.Facts, r *known.Relay, c Circuit) *DriveCorners {
	x := f.Box.Nominal()
	x[f.Mains.Ratio.Index()] = f.Box.Entry(f.Mains.Ratio).High
	return &DriveCorners{facts: f, relay: r, hook: c.Fit.Hookup, at: [][]float64{x}}
}
