package circuit

import (
	"math"
	"slices"
)

type solver struct{}

type junction struct{}

func newJunction(is, n, bv, ibv float64) junction { return junction{} }

// Cathode returns the cathode current and its derivatives.
func (t TubeModel) Cathode(grid, screen float64) (ik, gm, screenGm float64) {
	return math.NaN(), 0, 0
}

func (s *State) clone() State {
	d := *s
	d.caps, d.coils, d.unknowns = slices.Clone(s.caps), slices.Clone(s.coils), slices.Clone(s.unknowns)
	d.junctions = slices.Clone(s.junctions)
	d.armatures, d.contacts = slices.Clone(s.armatures), slices.Clone(s.contacts)
	return d
}

// OperatingPoint solves the network at rest: capacitors open, inductors
// short, sources at their value at time 0, switches and armatures as they
// stand then.
func (c *Circuit) OperatingPoint(o Options) (*Point, error) {
	return nil, &Error{Stage: StageOperating, Err: ErrConvergence}
}

// Transient solves the course in time from the operating point, or from
// o.Start, until a time (s, absolute).
func (c *Circuit) Transient(until float64, o TransientOptions) (*Trace, error) {
	return nil, &Error{Stage: StageTransient, Err: ErrConvergence}
}

// Periodic solves one period (s) of the periodic steady state, from time 0.
func (c *Circuit) Periodic(period float64, o TransientOptions) (*Trace, error) {
	return nil, &Error{Stage: StagePeriodic, Err: ErrConvergence}
}
