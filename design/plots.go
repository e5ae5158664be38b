package design

import (
	"errors"
	"fmt"
	"math"

	"mutewright/design/answer"
	"mutewright/design/beside"
	"mutewright/design/timing"
)

// Plots are the numbers behind the pictures of a sheet. What a plan does not
// have is left out.
type Plots struct {
	Windows []WindowPlot
	Coil    *CoilPlot
	Timing  *TimingPlot
}

// A WindowPlot is one return over the value of its pulldown.
type WindowPlot struct {
	Return string
	answer.PulldownSweep
	answer.Window
	Chosen float64 // ohm
	Wanted float64 // dB; 0: nothing is asked for
}

// A CoilPlot is what the coil gets over the mains.
type CoilPlot struct {
	answer.CoilSweep
	Low, High float64 // ends of the mains that the plan expects, over nominal
}

// A TimingPlot is one transmission in the nominal case. Instants count from the
// closing of the key, s.
type TimingPlot struct {
	*timing.Record
	Lifted   []string // names of the lifted returns, as Record.Lifts
	Contacts []string // "K1a, mute_line", as Record.Contacts
	Wanted   float64  // dB
}

// sweepPoints is how many points a curve has: ten a decade of resistance look
// like a curve.
const sweepPoints = 25

// Plots works out what the pictures show, one beside the other. It takes as long
// as a few questions, so it is not part of New. The error is a failure to solve.
func (d *Design) Plots() (Plots, error) {
	var p Plots
	if d.Refused || d.facts == nil {
		return p, nil
	}
	returns := len(d.facts.Returns)
	windows := make([]*WindowPlot, returns)
	err := beside.Each(returns+2, func(i int) (err error) {
		switch {
		case i < returns:
			windows[i], err = d.windowPlot(i)
		case i == returns:
			p.Coil, err = d.coilPlot()
		default:
			p.Timing, err = d.timingPlot()
		}
		return err
	})
	for _, w := range windows {
		if w != nil {
			p.Windows = append(p.Windows, *w)
		}
	}
	return p, err
}

// windowPlot is the plot of return r, nil where there is no pulldown to choose.
func (d *Design) windowPlot(r int) (*WindowPlot, error) {
	f := d.facts
	ret := &f.Returns[r]
	w, ok := d.answers.Window[ret.Name]
	if !ok || !ret.Pulldown.Exists() {
		return nil, nil
	}
	chosen := f.Box.Entry(ret.Pulldown).Nominal
	from, to := min(1e3, chosen/3, w.Least/2), max(200e3, chosen*3)
	sweep, err := d.answers.SweepPulldown(f, r, spaced(max(from, 3), to))
	if err != nil {
		return nil, fmt.Errorf("plot of %s: %w", ret.Name, err)
	}
	plot := &WindowPlot{Return: ret.Name, PulldownSweep: sweep, Window: w, Chosen: chosen}
	if f.Wanted.Exists() {
		plot.Wanted = f.Box.Entry(f.Wanted).Nominal
	}
	return plot, nil
}

// coilPlot is the plot of the first coil, nil where it hangs on the key line or
// cannot be computed.
func (d *Design) coilPlot() (*CoilPlot, error) {
	f, a := d.facts, d.answers
	if !a.Circuit.OK() || len(f.Relays) == 0 || f.Relays[0].Supply < 0 {
		return nil, nil
	}
	ratio := f.Box.Entry(f.Mains.Ratio)
	sweep, err := answer.SweepCoil(f, a.Circuit, even(min(0.85, ratio.Low-0.02), max(1.15, ratio.High+0.02)))
	if err != nil {
		return nil, fmt.Errorf("plot of the coil: %w", err)
	}
	return &CoilPlot{CoilSweep: sweep, Low: ratio.Low, High: ratio.High}, nil
}

// spaced are values from one to another in equal ratios.
func spaced(from, to float64) []float64 {
	list := make([]float64, sweepPoints)
	for i := range list {
		list[i] = from * math.Pow(to/from, float64(i)/(sweepPoints-1))
	}
	return list
}

// coilPoints is fewer, since the coil's course is all but straight.
const coilPoints = 3

func even(from, to float64) []float64 {
	list := make([]float64, coilPoints)
	for i := range list {
		list[i] = from + (to-from)*float64(i)/(coilPoints-1)
	}
	return list
}

// timingPlot records a transmission long enough for the set to fall silent.
func (d *Design) timingPlot() (*TimingPlot, error) {
	f, a := d.facts, d.answers
	if a.Timings.Nominal == nil {
		return nil, nil
	}
	long := 2 * a.Timings.Nominal.Transmitter.KeyToRF
	if q, ok := a.Get("timing.muted"); ok {
		long = max(long, 1.5*q.Nominal)
	}
	const step = 0.01 // s; at least four steps, so that a fast relay is seen too
	long = max(4*step, math.Ceil(long/step)*step)
	record, err := timing.Trace(*a.Timings.Nominal, long)
	if errors.Is(err, timing.ErrStill) {
		return nil, nil
	}
	if err != nil {
		return nil, fmt.Errorf("plot of the timing: %w", err)
	}
	t := &TimingPlot{Record: record, Wanted: a.Timings.Nominal.Wanted}
	for _, ret := range f.Returns {
		if poles := a.Poles.Serving(ret.Name); len(poles) > 0 {
			t.Lifted = append(t.Lifted, ret.Name)
			t.Contacts = append(t.Contacts, poles[0].Letter+", "+ret.Name)
		}
	}
	for _, pole := range a.Poles.Used {
		if pole.Dry {
			t.Contacts = append(t.Contacts, pole.Letter+", "+pole.Serves)
		}
	}
	return t, nil
}
