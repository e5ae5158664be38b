package drive

import (
	"math"

	"mutewright/design/circuit"
)

// idle is what a drive shows with its coils released.
type idle struct {
	supply  float64   // V, mean of reservoir or rail
	open    float64   // V, mean on the line
	closed  float64   // A, mean in a line that is closed then, taken by it; else 0
	reverse float64   // V, highest across a diode against its arrow
	off     float64   // V, mean from base to emitter; 0 without a transistor
	coils   []float64 // V, mean on each
	end     *circuit.State
}

// released solves the drive with its coils released: a meter on the reservoir,
// the line's leakage through coil or base. Much of a drive does not count then:
// near one drive many have the same, which is solved once.
func (d Drive) released(near *steady, used *used) (*idle, error) {
	i, err := d.idle(near, used, true)
	if err == nil && d.Hookup == LineShortsBase && i.closed < 0 {
		// The line would have to hold the base up to its own drop. It only takes.
		return d.idle(near, used, false)
	}
	return i, err
}

// idle solves the released drive with a line that takes current, or one that
// finds none to take.
func (d Drive) idle(near *steady, used *used, takes bool) (*idle, error) {
	s := state{from: near.from(d, func(n *steady) *circuit.State { return n.released })}
	c := used.fill(&used.released, func(c *circuit.Circuit) { s.release(c, d, takes) })
	defer used.released.Put(c)
	if near == nil || d.Rectifier == None {
		return s.idle()
	}
	key := c.Fingerprint()
	if known, ok := near.idle.Load(key); ok {
		return known.(*idle), nil
	}
	found, err := s.idle()
	if err == nil {
		near.idle.Store(key, found)
	}
	return found, err
}

// release builds the network of a drive with its coils released.
func (s *state) release(c *circuit.Circuit, d Drive, takes bool) {
	s.network, s.coils, s.ohms = newNetwork(c, d, ""), nil, nil
	farads := s.lightly()
	s.rectify(0, func(number int, plus, minus circuit.Node) {
		s.Capacitor(s.name("reservoir%d", number), plus, minus, farads)
	})
	s.Resistor("meter", s.plus, circuit.Chassis, Meter)
	s.transistor()
	for i, c := range d.Coils {
		s.coils = append(s.coils, s.coil(i, c.Ohms, 0))
		s.ohms = append(s.ohms, c.Ohms)
	}
	s.atRest(takes)
}

// idle solves it.
func (s *state) idle() (*idle, error) {
	if err := s.run(); err != nil {
		return nil, err
	}
	i := &idle{supply: s.supply(), open: s.mean(s.volts(s.line, circuit.Chassis))}
	for _, t := range s.coils {
		i.coils = append(i.coils, s.mean(s.volts(t.High, t.Low)))
	}
	if s.trace != nil {
		i.reverse, i.end = s.reverse(), s.trace.End()
	}
	if s.d.Hookup.Buffer() != NoBuffer {
		i.off = math.Abs(s.mean(s.volts(s.base, s.emitter)))
	}
	if s.d.Hookup == LineShortsBase {
		i.closed = s.mean(s.amps("line"))
	}
	return i, nil
}
