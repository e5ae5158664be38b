package lifted

import (
	"fmt"
	"math"

	"mutewright/design/circuit"
)

// before is how long a transient runs on receive before the contact moves, s.
const before = 1e-3

// work runs the network with its contact opening at before and, where it is
// given, closing again later (s; 0: never).
func (r *Return) work(s *Shop, until, closing float64) (n Nodes, tr *circuit.Trace, err error) {
	times := []circuit.Toggle{{At: before, Closed: false}}
	if closing > 0 {
		times = append(times, circuit.Toggle{At: closing, Closed: true})
	}
	s.moving = circuit.Fill(s.moving, func(c *circuit.Circuit) {
		n = r.Build(c, "")
		c.Switch("contact", n.Return, circuit.Chassis, circuit.Switch{On: max(r.net.Contact, short), Off: open, Closed: true, Times: times})
	})
	s.trace, err = s.moving.Transient(until, circuit.TransientOptions{Over: s.trace})
	return n, s.trace, err
}

// Click finds what opening the contact at once does to the plate of an output
// point (index). Every other point of the return opens with it.
func (r *Return) Click(point int) (Click, error) { return new(Shop).Click(r, point) }

// Click is [Return.Click] in the circuits of the shop.
func (s *Shop) Click(r *Return, point int) (Click, error) {
	p, ok := Output{}, false
	if point >= 0 && point < len(r.net.Points) {
		p, ok = r.net.Points[point].(Output)
	}
	if !ok {
		return Click{}, fmt.Errorf("click: point %d is no output stage", point+1)
	}
	t := p.Transformer
	if t.Load == 0 {
		return Click{NoLoad: true}, nil
	}
	if t.Inductance == 0 || t.FullOutput == 0 {
		return Click{}, fmt.Errorf("click: point %d: the transformer's inductance and full output must be above zero", point+1)
	}
	// The plate moves most within a few L/R of the core, a few time constants of
	// the cathode's bypass, which its own current charges, and of the rails.
	until := before + 10*t.Inductance/t.Load + 20*p.CathodeResistor*p.Bypass
	for _, rail := range r.muted {
		until = max(until, before+rail.ohms*r.slowest())
	}
	n, tr, err := r.work(s, until, 0)
	if err != nil {
		return Click{}, fmt.Errorf("click: %w", err)
	}
	// The plate against its rail: the rise of the rail removed.
	plate, rail := tr.Volts(n.Points[point].Stages[0].Plate), tr.Volts(n.Rails[p.Rail])
	k := Click{Plate: tr.Most(plate)}
	for i := range plate {
		k.Excursion = max(k.Excursion, math.Abs(plate[i]-rail[i]-(plate[0]-rail[0])))
	}
	// Full output: a sine of √(2·P·R) at the plate of a single tube; each plate
	// of a pair carries half of that, plate to plate.
	k.Full = math.Sqrt(2*t.FullOutput*t.Load) / float64(p.Count)
	k.Level = 20 * math.Log10(k.Excursion/k.Full)
	return k, nil
}

// slowest is the largest reservoir of the rails, F.
func (r *Return) slowest() (farads float64) {
	for _, s := range r.net.Rails {
		farads = max(farads, s.Capacitance)
	}
	return farads
}

// longest is how long Settle waits for a return to become quiet, s. A return
// without pulldown may take minutes.
const longest = 20.0

// Settle finds how long the stages take to reach the wanted depth, dB, after the
// contact opens at once, and to come back after it closes again.
func (r *Return) Settle(wanted float64) (Settling, error) {
	d, err := r.Moving().Depth()
	if err != nil {
		return Settling{}, err
	}
	target := min(wanted, d.Total-3)
	var shop Shop
	s := Settling{Final: d.Total}
	for _, span := range []float64{0.1, 1, longest} {
		closing := before + span
		until := closing + span
		n, tr, err := r.work(&shop, until, closing)
		if err != nil {
			return Settling{}, fmt.Errorf("settling of a lifted return: %w", err)
		}
		times := tr.Times()
		course := r.Course(d, n, tr, func(t float64) bool { return t > before && t <= closing })
		muted, still := reached(times, course, before, closing, target, +1)
		recovered, back := reached(times, course, closing, until, 3, -1)
		s.Muted, s.Recovered, s.Slow = muted, recovered, !still || !back
		if !s.Slow {
			break
		}
	}
	return s, nil
}

// reached is the time after from at which a course passes a level for good,
// upward (sign +1) or downward (−1), and whether it stands beyond it at until.
// Between two instants the course is taken as straight.
func reached(times, course []float64, from, until, level, sign float64) (seconds float64, ok bool) {
	for k, t := range times {
		if t <= from || t > until {
			continue
		}
		if now := sign * (course[k] - level); now < 0 {
			seconds, ok = 0, false
		} else if !ok {
			seconds, ok = t-from, true
			if before := times[k-1]; before > from {
				part := now / (sign * (course[k] - course[k-1]))
				seconds -= part * (t - before)
			}
		}
	}
	return seconds, ok
}
