package circuit

import (
	"math"
	"slices"
)

// Options steer the search for an operating point; the zero value is right
// for every network of this program.
type Options struct {
	Guess         *Point // where to start, a solution of this circuit with other values; nil: from zero
	MaxIterations int    // Newton iterations of one attempt; 0 means 100
}

// TransientOptions steer a transient or periodic solution; the zero value is
// right for supplies and relay coils.
type TransientOptions struct {
	Options
	Start   *State  // begin here instead of at the operating point; a first guess for Periodic
	Cold    bool    // begin with every capacitor empty and every coil without current
	MaxStep float64 // s; 0: a fiftieth of the shortest source period, of the whole time where there is none
	RelTol  float64 // local error of one step over the size of the quantity; 0 means 2e-5
	Over    *Trace  // one that nobody needs any more: its store is used again; nil: none
}

// never is the time of what is not due.
var never = math.Inf(1)

// State is what a circuit remembers: capacitor voltages, coil currents, where
// the armatures and contacts are, and the time. It fits every circuit with
// the same elements, whatever their values.
type State struct {
	elements  []string // of its circuit
	time      float64
	caps      []float64 // V
	coils     []float64 // A
	henries   []float64 // H, as the coils stood
	unknowns  []float64 // the last solution, a guess for the next
	junctions []float64
	closed    []bool // switches
	armatures []armatureState
	contacts  []contactState
}

// Scaled is the state with every voltage and current times a factor: where a
// circuit stands, nearly, whose sources are so much larger.
func (s *State) Scaled(factor float64) *State {
	t := s.clone()
	for _, values := range [][]float64{t.caps, t.coils, t.unknowns} {
		for i := range values {
			values[i] *= factor
		}
	}
	return &t
}

// Time returns the time of the state (s).
func (s *State) Time() float64 { return s.time }

type armatureState struct {
	operated bool
	arrives  float64 // s, end of a movement under way to the other state, or never
}

type contactState struct {
	changes float64 // s, time of a change that is due, or never
	to      bool    // closed from then on
}

func (s *State) clone() State {
	return State{elements: s.elements, time: s.time, caps: slices.Clone(s.caps), coils: slices.Clone(s.coils), henries: slices.Clone(s.henries),
		unknowns: slices.Clone(s.unknowns), junctions: slices.Clone(s.junctions), closed: slices.Clone(s.closed),
		armatures: slices.Clone(s.armatures), contacts: slices.Clone(s.contacts)}
}
