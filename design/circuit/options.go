package circuit

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
	RelTol  float64 // local error of one step over the size of the quantity; 0 means 1e-4
}

// State is what a circuit remembers: capacitor voltages, coil currents, where
// the armatures and contacts are, and the time. It fits every circuit with
// the same elements, whatever their values.
type State struct {
	Time      float64 // s
	caps      []float64
	coils     []float64
	unknowns  []float64 // last solution, as a guess
	junctions []float64
	armatures []armatureState
	contacts  []contactState
}

// OperatedNow reports whether the armature of that index, in order of
// addition, stands operated in this state.
func (s *State) OperatedNow(i int) bool { return s.armatures[i].operated }

type armatureState struct {
	operated bool
	arrives  float64 // time of arrival of a movement under way, or never
}

type contactState struct {
	closed  bool
	changes float64 // time of a change that is due, or never
}
