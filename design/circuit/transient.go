package circuit

import (
	"fmt"
	"math"
)

// Transient solves the course in time until a time (s, absolute), from the
// operating point with the sources as at time 0, from a state of an earlier
// trace (o.Start, at that state's time), or with everything empty (o.Cold).
//
// The trapezoidal rule takes steps whose local error is held under
// o.RelTol; corners of sources, switchings and arrivals of armatures are
// instants of the trace and are each followed by one backward Euler step. An
// armature's threshold is found on the cubic through current and slope at
// both ends of a step.
func (c *Circuit) Transient(until float64, o TransientOptions) (*Trace, error) {
	fromRest := o.Start == nil && !o.Cold
	s, err := c.prepare(fromRest)
	if err != nil {
		return nil, err
	}
	begin := 0.0
	if o.Start != nil {
		begin = o.Start.time
	}
	if !(until-begin > together) || math.IsInf(until, 1) || !(o.RelTol >= 0) || !(o.MaxStep >= 0) {
		return nil, &Error{Stage: StageTransient, Time: begin, Err: fmt.Errorf("%w: cannot run from %g s until %g s", ErrNetwork, begin, until)}
	}
	m := newMarch(s, StageTransient, o, until-begin)
	trace := s.over(o.Over, int(min(max(leastRoom, perStep*(until-begin)/m.maxStep), mostRoom)))
	m.t, m.trace = begin, trace
	switch {
	case fromRest:
		if err := s.restAt(0, o.Options); err != nil {
			return nil, err
		}
		s.write(0)
		trace.times = append(trace.times, 0)
		trace.data = append(trace.data, s.record...)
	case o.Start != nil:
		if !s.restore(o.Start) {
			return nil, &Error{Stage: StageTransient, Time: begin, Err: fmt.Errorf("%w: the state to start from belongs to another circuit", ErrNetwork)}
		}
	default:
		s.empty()
	}
	if err := m.run(until); err != nil {
		return nil, err
	}
	sortEvents(trace.events)
	trace.end = m.state()
	return trace, nil
}

// A trace begins with room for that many instants to each of the longest steps,
// as rectifiers take them, and for no fewer or more than these.
const (
	perStep   = 2.6
	leastRoom = 350
	mostRoom  = 1 << 14
)

// empty takes the charge from every capacitor and the current from every coil.
func (s *solver) empty() {
	clear(s.capV)
	clear(s.capI)
	clear(s.coilI)
	clear(s.coilV)
	clear(s.x)
	s.guessJunctions()
}
