package answer

import (
	"fmt"
	"math"
	"slices"

	"mutewright/design/drive"
	"mutewright/design/known"
	"mutewright/design/quantity"
	"mutewright/design/spread"
)

// askHeat asks for the temperatures of settled coils. Their nominal is mid
// ambient, unlike that of the other results, which take the coil at 20 °C.
//
// A coil is hottest where most is fed to it, and coldest where least is, in the
// warmest and the coldest air: what else feeds it, the drive question has found
// already. Only the coil's own resistance may count either way, since with a
// dropper the power has its peak where the two are alike; both ends are tried.
func (a *Answers) askHeat(f *known.Facts, hook drive.Hookup) error {
	box := slices.Clone(f.Box)
	air := &box[f.Ambient.Index()]
	air.Low, air.High = f.AmbientLow, f.AmbientHigh
	air.Nominal = (air.Low + air.High) / 2
	near := &nearby{home: box.Nominal(), drive: func(x []float64) drive.Drive {
		d := driveAt(f, hook, x)
		d.Warmth = drive.Settled
		return d
	}}
	problem := &spread.Problem{
		Inputs: inputsOf(box), Outputs: len(f.Relays), Touches: touched(driveInputs(f), box),
		Eval: func(x, out []float64) error {
			result, err := near.solve(x)
			if err != nil {
				return err
			}
			for i := range out {
				out[i] = result.Coils[i].Celsius
			}
			return nil
		},
	}
	nominal := make([]float64, len(f.Relays))
	if err := problem.Eval(box.Nominal(), nominal); err != nil {
		return fmt.Errorf("coil temperature: %w", err)
	}
	inputs := question{}.inputs(box, problem.Touches)
	for i := range f.Relays {
		r := &f.Relays[i]
		power, ok := a.Get(driveStem(r) + ".coil.power")
		if !ok || power.asked == nil {
			continue
		}
		coldest, err := heatEnd(f, problem, i, power.asked.out.AtLow, least)
		if err != nil {
			return err
		}
		hottest, err := heatEnd(f, problem, i, power.asked.out.AtHigh, most)
		if err != nil {
			return err
		}
		c := column{
			name: driveStem(r) + ".coil.temperature", unit: quantity.Temperature,
			formula: "T = ambient + K/W·V²/R(T), R(T) = R20·(234.5 + T)/254.5 (IEC 60028), at mid ambient",
			source:  bySolver,
		}
		came := &asked{problem: problem, column: i, of: c, out: spread.Output{
			Nominal: nominal[i], Low: coldest.celsius, High: hottest.celsius, AtLow: coldest.at, AtHigh: hottest.at,
		}}
		a.Add(Quantity{
			Name: c.name, Unit: c.unit,
			Nominal: nominal[i], Low: math.Min(coldest.celsius, nominal[i]), High: math.Max(hottest.celsius, nominal[i]),
			Working: Working{Formula: c.formula, Source: c.source, Inputs: inputs},
			asked:   came, came: came,
		})
	}
	return nil
}

// A heat is the temperature of a settled coil at a point of the box.
type heat struct {
	celsius float64
	at      []float64
}

// heatEnd is the temperature of coil i at one end: where it is fed as at the
// point given, ambient and heat of the coil at their ends.
func heatEnd(f *known.Facts, p *spread.Problem, i int, at []float64, end swing) (heat, error) {
	best := heat{celsius: math.Inf(int(-end))}
	for _, coil := range []swing{least, most} {
		x := slices.Clone(at)
		end.set(f, x, f.Ambient, f.Soaked, f.Relays[i].Coil.Rise)
		coil.set(f, x, f.Relays[i].Coil.Ohms)
		if slices.Equal(x, best.at) { // its resistance is certain
			break
		}
		out := make([]float64, p.Outputs)
		if err := p.Eval(x, out); err != nil {
			return best, fmt.Errorf("coil temperature: %w", err)
		}
		if float64(end)*(out[i]-best.celsius) > 0 {
			best = heat{out[i], x}
		}
	}
	return best, nil
}
