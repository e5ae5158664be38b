package answer

import (
	"fmt"
	"math"

	"mutewright/design/beside"
	"mutewright/design/drive"
	"mutewright/design/known"
	"mutewright/design/lifted"
)

// A PulldownSweep is what one return does over the value of its pulldown, at
// the worst corners that belong to the value chosen.
type PulldownSweep struct {
	Ohms  []float64
	Muted []float64 // V, lifted node, highest over the travel of the control, tubes hot or cold
	Depth []float64 // dB, least depth of the whole set
}

// SweepPulldown asks what return r does at some values of its pulldown, in the
// corners where the node stands highest and the set is silenced least with the one
// that was chosen. It must have one.
func (a *Answers) SweepPulldown(f *known.Facts, r int, ohms []float64) (PulldownSweep, error) {
	s := PulldownSweep{Ohms: ohms}
	l, err := newLifts(f)
	if err != nil {
		return s, err
	}
	high, low, least := f.Box.Nominal(), f.Box.Nominal(), 0.0
	highest := 0.0
	for _, name := range []string{".muted", ".muted_cold"} {
		q, ok := a.Get("return." + f.Returns[r].Name + name)
		if !ok || q.asked == nil {
			continue
		}
		for _, end := range []struct {
			volts float64
			at    []float64
		}{{q.asked.out.Low, q.asked.out.AtLow}, {q.asked.out.High, q.asked.out.AtHigh}} {
			if v := math.Abs(end.volts); v > highest {
				highest, high = v, end.at
			}
		}
	}
	if q, ok := a.Get("depth"); ok && q.asked != nil {
		low, least = q.asked.out.AtLow, q.asked.out.Low
	}
	deep := l.network(r, low, nil)
	own, err := depthOf(deep, f.Box.Entry(f.Returns[r].Pulldown).Nominal)
	if err != nil {
		return s, err
	}
	var stress, depths lifted.Shop
	for _, v := range ohms {
		hot := l.network(r, high, nil)
		hot.Pulldown = v
		ret, err := stress.Solve(hot)
		if err != nil {
			return s, fmt.Errorf("pulldown of %g ohm: %w", v, err)
		}
		opened := stress.Open(ret)
		muted, err := opened.Muted()
		if err != nil {
			return s, fmt.Errorf("pulldown of %g ohm: %w", v, err)
		}
		cold, err := opened.Cold()
		if err != nil {
			return s, fmt.Errorf("pulldown of %g ohm: %w", v, err)
		}
		s.Muted = append(s.Muted, math.Max(math.Abs(muted.Highest.Node), math.Abs(cold.Node)))
		deep.Pulldown = v
		depth, err := depthIn(&depths, deep)
		if err != nil {
			return s, fmt.Errorf("pulldown of %g ohm: %w", v, err)
		}
		// What the other returns give does not hang on this pulldown.
		s.Depth = append(s.Depth, depth+least-own)
	}
	return s, nil
}

// A CoilSweep is what the first relay's coil gets over the mains, and what it
// needs and bears; all V over the coil, with the drive otherwise nominal.
type CoilSweep struct {
	Ratio []float64 // mains over nominal
	Cold  []float64 // coil just keyed at the lowest ambient
	Warm  []float64 // coil that has taken up its own heat at the highest ambient

	Operate []float64 // what the warm coil needs to pull in, as a mean: its ripple on top
	Permits []float64 // what the warm coil may stand for ever
}

// SweepCoil asks what the coil gets at some ratios of the mains, cold beside warm.
// The drive must be one that can be computed.
func SweepCoil(f *known.Facts, c Circuit, ratios []float64) (CoilSweep, error) {
	s := CoilSweep{Ratio: ratios}
	courses := [2][]drive.CoilResult{}
	err := beside.Each(len(courses), func(i int) error {
		ambient, soaked := f.AmbientLow, 0.0
		if i == 1 {
			ambient, soaked = f.AmbientHigh, 1
		}
		var result drive.Result
		for _, ratio := range ratios {
			x := f.Box.Nominal()
			x[f.Mains.Ratio.Index()] = ratio
			x[f.Ambient.Index()] = ambient
			x[f.Soaked.Index()] = soaked
			var err error
			if result, err = result.Near(driveAt(f, c.Fit.Hookup, x)); err != nil {
				return fmt.Errorf("coil at %g × the mains: %w", ratio, err)
			}
			courses[i] = append(courses[i], result.Coils[0])
		}
		return nil
	})
	if err != nil {
		return s, err
	}
	for i, warm := range courses[1] {
		s.Cold = append(s.Cold, courses[0][i].Volts)
		s.Warm = append(s.Warm, warm.Volts)
		// operate margin = least / needed: the mean that is needed is the mean it
		// gets over the margin.
		s.Operate = append(s.Operate, warm.Volts/warm.Operate)
		s.Permits = append(s.Permits, warm.Permitted)
	}
	return s, nil
}
