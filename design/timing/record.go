package timing

import (
	"fmt"
	"math"

	"mutewright/design/circuit"
	"mutewright/design/lifted"
)

// MostPoints is the most instants that a series of a record holds.
const MostPoints = 400

// A Series is a course in time by straight lines, at most MostPoints long.
type Series struct{ Times, Values []float64 }

// A Record is the course of one transmission, for a diagram. Instants count
// from the closing of the key; every series runs from just before it until
// Until.
type Record struct {
	KeyUp  float64 // s, the key lets go
	RFOn   float64 // s
	RFOff  float64 // s
	Until  float64 // s
	Drives []DriveRecord
	Lifts  []Series // V, each lifted node
	Depth  Series   // dB
	// Contacts are those of Lifts, then those of Guards.
	Contacts []ContactRecord

	// Sequence is what happens in this transmission, its Up and Released from
	// KeyUp on. A short one leaves the reservoirs a little higher than the long
	// one of Solve.
	Sequence Sequence
}

// A DriveRecord is the electrical side of one drive.
type DriveRecord struct {
	Supply Series   // V, reservoir or rail
	Coils  []Series // A
}

// A ContactRecord is one contact: closed or open at first, then at Down and at
// Up the other way, with the bounce that a closing has.
type ContactRecord struct {
	Relay    int
	Closed   bool // before the key closes
	Down, Up Move // counted from the closing of the key
}

// Trace records one transmission of that length, s, in one corner. It must last
// longer than the relays need to move; else they are [ErrStill].
func Trace(in Interface, transmission float64) (*Record, error) {
	in, err := in.ready()
	if err != nil {
		return nil, err
	}
	if !(transmission > 0) || math.IsInf(transmission, 1) {
		return nil, fmt.Errorf("timing: a transmission must last longer than nothing and end, not %g s", transmission)
	}
	r, err := trace(&in, transmission)
	if err != nil {
		return nil, fmt.Errorf("timing: %w", err)
	}
	return r, nil
}

func trace(in *Interface, transmission float64) (*Record, error) {
	r := &Record{KeyUp: transmission, RFOn: in.Transmitter.KeyToRF, RFOff: transmission + in.Transmitter.Tail}
	down, up := stroke{down: true}, stroke{}
	traces := make([]*circuit.Trace, len(in.Drives))
	rigs := make([]rig, len(in.Drives))
	for i, d := range in.Drives {
		var err error
		if rigs[i], err = d.rig(in, true, transmission); err != nil {
			return nil, err
		}
		for wait := look; ; wait *= 4 {
			if traces[i], err = rigs[i].circuit.Transient(rigs[i].keyed+transmission+wait, circuit.TransientOptions{}); err != nil {
				return nil, err
			}
			downs, ups := make([]Move, len(d.Relays)), make([]Move, len(d.Relays))
			operates := d.energised(in.Mutes)
			all := d.read(traces[i], rigs[i].built.Armatures, operates, rigs[i].keyed, downs)
			all = d.read(traces[i], rigs[i].built.Armatures, !operates, rigs[i].keyed+transmission, ups) && all
			if all {
				for k := range downs {
					down.relays = append(down.relays, worked{Move: downs[k], in: in})
					up.relays = append(up.relays, worked{Move: ups[k], in: in})
				}
				break
			}
			if wait > patience {
				return nil, fmt.Errorf("drive %d: %w", i+1, ErrStill)
			}
		}
	}
	r.Sequence = sequence(in, down, up)
	r.Until = r.RFOff
	for _, m := range up.relays {
		r.Until = max(r.Until, transmission+m.Settled)
	}
	r.Until = max(r.Until, transmission+r.Sequence.Recovered)
	r.Until += (r.Until - transmission) / 3 // to see what comes last come to an end

	for i, d := range in.Drives {
		// The drive's trace may end before: once its relays have moved nothing of
		// interest happens, and a series stands at its last value.
		tr, from := traces[i], rigs[i].keyed
		rec := DriveRecord{Supply: thin(cut(-from, tr.Times(), tr.Volts(rigs[i].built.Supply), r.Until))}
		for k := range d.Relays {
			rec.Coils = append(rec.Coils, thin(cut(-from, tr.Times(), tr.Amps(rigs[i].built.Coils[k].Inductor), r.Until)))
		}
		r.Drives = append(r.Drives, rec)
	}
	for _, l := range in.Lifts {
		d, u := down.relays[l.Relay].Move, up.relays[l.Relay].Move
		r.Contacts = append(r.Contacts, contactRecord(l.Relay, true, d, u, transmission))
	}
	for _, g := range in.Guards {
		d, u := down.relays[g.Relay].Move, up.relays[g.Relay].Move
		r.Contacts = append(r.Contacts, contactRecord(g.Relay, false, d, u, transmission))
	}
	return r, r.lifts(in)
}

func contactRecord(relay int, closed bool, down, up Move, keyUp float64) ContactRecord {
	up.Starts += keyUp
	up.Arrives += keyUp
	up.Settled += keyUp
	return ContactRecord{Relay: relay, Closed: closed, Down: down, Up: up}
}

// lifts solves every return with its contact moved at the instants found.
func (r *Record) lifts(in *Interface) error {
	var parts []curve
	for i, l := range in.Lifts {
		opens, closes := r.Contacts[i].Down.Arrives, r.Contacts[i].Up.Settled
		c := circuit.New()
		n := l.Response.Build(c, "", circuit.Switch{Closed: true, Times: []circuit.Toggle{
			{At: before + opens, Closed: false}, {At: before + closes, Closed: true},
		}})
		tr, err := c.Transient(before+r.Until, circuit.TransientOptions{})
		if err != nil {
			return err
		}
		r.Lifts = append(r.Lifts, thin(cut(-before, tr.Times(), tr.Volts(n.Return), r.Until)))
		open := func(t float64) bool { return t > before+opens && t <= before+closes }
		parts = append(parts, cut(-before, tr.Times(), l.Response.solved.Course(l.Response.depth, n, tr, open), r.Until))
	}
	for i, g := range in.Guards {
		k := r.Contacts[len(in.Lifts)+i]
		parts = append(parts, step(k.Down.Settled, 0, g.Depth), step(k.Up.Arrives, 0, -g.Depth))
	}
	if len(parts) == 0 {
		return nil
	}
	depth := sum(parts)
	for i, v := range depth.values {
		depth.values[i] = min(v, lifted.SetCap)
	}
	r.Depth = thin(depth)
	return nil
}

// cut is a course shifted in time and ended at an instant, where it is made to
// stand if it ends before.
func cut(shift float64, times, values []float64, until float64) curve {
	var c curve
	c.append(shift, times, values)
	end := c.at(until)
	n := len(c.times)
	for n > 0 && c.times[n-1] >= until {
		n--
	}
	c.times, c.values = append(c.times[:n], until), append(c.values[:n], end)
	return c
}

// thin leaves out instants of a course that straight lines between the others
// come near enough to, by Douglas and Peucker (1973), with the least tolerance of
// a row of doublings that leaves MostPoints.
func thin(c curve) Series {
	low, high := c.values[0], c.values[0]
	for _, v := range c.values {
		low, high = min(low, v), max(high, v)
	}
	keep := make([]bool, len(c.times))
	for near := max(1e-6*(high-low), 1e-12*max(high, -low), 1e-15); ; near *= 2 {
		clear(keep)
		keep[0], keep[len(keep)-1] = true, true
		kept := 2 + c.mark(keep, 0, len(keep)-1, near)
		if kept > MostPoints {
			continue
		}
		var s Series
		for i, k := range keep {
			if k {
				s.Times, s.Values = append(s.Times, c.times[i]), append(s.Values, c.values[i])
			}
		}
		return s
	}
}

// mark keeps the instants between two kept ones that are needed, and counts them.
func (c curve) mark(keep []bool, from, to int, near float64) (kept int) {
	worst, at := near, -1
	for i := from + 1; i < to; i++ {
		f := (c.times[i] - c.times[from]) / (c.times[to] - c.times[from])
		if off := math.Abs(c.values[i] - c.values[from] - f*(c.values[to]-c.values[from])); off > worst {
			worst, at = off, i
		}
	}
	if at < 0 {
		return 0
	}
	keep[at] = true
	return 1 + c.mark(keep, from, at, near) + c.mark(keep, at, to, near)
}
