package answer

import (
	"fmt"

	"mutewright/design/known"
	"mutewright/design/lifted"
	"mutewright/design/quantity"
)

// clickBudget is about how many transients are run for the click of one point:
// each input alone and the corners; a click is a matter of a few dB.
const clickBudget = 50

// askClicks asks what the loudspeaker gets when a return with an output stage
// opens, and how high the plate goes.
func (a *Answers) askClicks(f *known.Facts) error {
	if len(f.Returns) == 0 || f.NominalOnly {
		return nil
	}
	l, err := newLifts(f)
	if err != nil {
		return err
	}
	for r := range f.Returns {
		for k, i := range f.Returns[r].Points {
			if f.Points[i].Kind != known.Output || len(a.Poles.Serving(f.Returns[r].Name)) == 0 {
				continue
			}
			if err := l.clickQuestion(r, k).ask(f.Box, &a.Set); err != nil {
				return err
			}
		}
	}
	return nil
}

// clickQuestion asks about point k of return r: its own parts, its rail and what
// is common to the return. The other points of the return stand at nominal.
func (l *lifts) clickQuestion(r, k int) question {
	f := l.facts
	p := &f.Points[f.Returns[r].Points[k]]
	ret, rail := &f.Returns[r], &f.Supplies[p.Supply]
	stem := "point." + p.Name
	click := func(x []float64) (lifted.Click, error) {
		shops := l.shops(1)
		defer l.used.Put(shops)
		shop := &(*shops)[0]
		opened, err := shop.Solve(l.network(r, x, nil))
		if err != nil {
			return lifted.Click{}, fmt.Errorf("return %s: %w", ret.Name, err)
		}
		return shop.Click(opened, k)
	}
	return question{
		name: "click of " + p.Name, budget: clickBudget,
		uses: []known.ID{
			f.Mains.Ratio, rail.Volts, rail.Unloaded, rail.Resistance, rail.Capacitance,
			ret.Pulldown, ret.Capacitor, ret.Series,
			p.Tube.Emission, p.Tube.Doubt, p.Grid, p.Load, p.Primary, p.Inductance, p.FullOutput,
			p.ScreenResistor, p.CathodeResistor, p.Bypass.Value, p.Path,
		},
		columns: []column{
			{name: stem + ".click", unit: quantity.Level, source: bySolver,
				formula: "20·log10 of the plate's largest excursion after opening, rise of the rail removed, over √(2·P·R)"},
			{name: stem + ".plate_peak", unit: quantity.Voltage, source: bySolver,
				formula: "highest at the plate after opening, with the loudspeaker"},
		},
		steps: func(x []float64) ([]detail, error) {
			c, err := click(x)
			return []detail{
				{stem + ".click", "largest excursion of the plate, rise of the rail removed", quantity.Voltage, c.Excursion},
				{stem + ".click", "plate peak at full output, √(2·P·R)", quantity.Voltage, c.Full},
			}, err
		},
		eval: func(x, out []float64) error {
			c, err := click(x)
			if err != nil {
				return err
			}
			out[0], out[1] = within(c.Level, !c.NoLoad), within(c.Plate, !c.NoLoad)
			return nil
		},
	}
}
