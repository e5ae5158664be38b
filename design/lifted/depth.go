package lifted

import (
	"fmt"
	"math"

	"mutewright/design/circuit"
)

const (
	// StageCap is the most that one stage counts, dB: beyond it the signal
	// passes around the tube.
	StageCap = 60.0
	// SetCap is the most that a set counts, dB: beyond it leakage past the
	// silenced stages decides.
	SetCap = 100.0
	// RemoteDoubt and OutputDoubt are what the depth of a stage is uncertain
	// by, dB either way.
	RemoteDoubt = 6.0
	OutputDoubt = 3.0
)

// Depth compares receive with muted, control at SetTo, pulldown in place.
func (r *Return) Depth() (Depth, error) { return new(Shop).Open(r).Depth() }

// Depth is [Return.Depth].
func (o *Opened) Depth() (Depth, error) {
	r := o.r
	if err := o.hear(); err != nil {
		return Depth{}, fmt.Errorf("lifted return on receive: %w", err)
	}
	g := o.warm(r.net.pulldown())
	g.place(r.setTo())
	point, err := g.solve()
	if err != nil {
		return Depth{}, fmt.Errorf("depth of a lifted return: %w", err)
	}
	muted, err := g.signals(point)
	if err != nil {
		return Depth{}, fmt.Errorf("depth of a lifted return: %w", err)
	}
	d := Depth{Points: make([]PointDepth, len(r.net.Points))}
	for i := range r.net.Points {
		p := &d.Points[i]
		for j, m := range muted[i] {
			s := StageDepth{Receive: o.closed[i][j].effective(), Muted: m.effective(), receive: o.closed[i][j].z, muted: m.z}
			s.Doubt = RemoteDoubt
			if _, output := r.net.Points[i].(Output); output {
				s.Doubt = OutputDoubt
			}
			s.Total, s.Over = decibels(s.Receive, s.Muted)
			p.Total += s.Total
			p.Over = p.Over || s.Over
			p.Stages = append(p.Stages, s)
		}
		d.Total += p.Total
	}
	if d.Total >= SetCap {
		d.Total, d.Over = SetCap, true
	}
	return d, nil
}

// hear finds what the stages are to a signal on receive.
func (o *Opened) hear() error {
	if o.closed != nil {
		return nil
	}
	g := o.shop.closed
	if g == nil || g.last != o.r.point { // it was solved elsewhere
		g = o.r.closed(o.shop)
		g.last = o.r.point
		if _, err := g.solve(); err != nil {
			return err
		}
	}
	var err error
	o.closed, err = g.signals(g.last)
	return err
}

// decibels is 20·log10(receive/muted), no more than a stage counts.
func decibels(receive, muted float64) (db float64, over bool) {
	db = 20 * math.Log10(receive/muted)
	if !(db < StageCap) { // a stage without any current left included
		return StageCap, true
	}
	return db, false
}

// Course gives the depth of the return, dB, at every instant of a trace of a
// circuit that Build made: the stages' transconductances follow the trace, the
// impedances at their cathodes are those of receive while the contact is closed
// and those of the muted state while it is open. It runs from 0 on receive to
// d.Total, with d the depth of r.Moving().
func (r *Return) Course(d Depth, n Nodes, tr *circuit.Trace, open func(seconds float64) bool) []float64 {
	times := tr.Times()
	course := make([]float64, len(times))
	for i, p := range r.net.Points {
		for j, s := range d.Points[i].Stages {
			law, grid := Law{}, 0.0
			switch p := p.(type) {
			case Output:
				law, grid = p.Tube, p.Grid
			case Gain:
				law = p.Stages[j].Tube
			}
			at := n.Points[i].Stages[j]
			cathode, screen := tr.Volts(at.Cathode), tr.Volts(at.Screen)
			for k, t := range times {
				now := signal{z: s.receive}
				if open(t) {
					now.z = s.muted
				}
				_, now.gm = law.current(grid-cathode[k], screen[k]-cathode[k])
				db, _ := decibels(s.Receive, now.effective())
				course[k] += db
			}
		}
	}
	for k := range course {
		course[k] = min(course[k], SetCap)
	}
	return course
}
