package circuit

import (
	"errors"
	"fmt"
	"strings"
)

// Stage says how far a solution had come when it failed.
type Stage string

// The stages of a solution.
const (
	StageCircuit   Stage = "circuit"         // the network itself is impossible
	StageOperating Stage = "operating point" // plain Newton
	StageGmin      Stage = "g-min stepping"
	StageSource    Stage = "source stepping"
	StageAC        Stage = "small signals"
	StageTransient Stage = "transient"
	StagePeriodic  Stage = "periodic steady state"
)

// What can be wrong; test with [errors.Is].
var (
	// ErrNetwork: an element has an impossible value or name, or the options contradict the circuit.
	ErrNetwork = errors.New("impossible network")
	// ErrFloating: a node has no conducting path to chassis.
	ErrFloating = errors.New("node has no direct-current path to chassis")
	// ErrLoop: voltage sources (at direct current also inductors) form a closed loop, as when a source is shorted.
	ErrLoop = errors.New("voltage sources or coils without resistance form a closed loop")
	// ErrSingular: the equations have no single solution although no loop or floating node was found.
	ErrSingular = errors.New("equations have no single solution")
	// ErrConvergence: the iteration did not settle.
	ErrConvergence = errors.New("no convergence")
)

// Error is the failure of a solution.
type Error struct {
	Stage   Stage
	Node    string  // name of the node that is to blame, or empty
	Element string  // name of the element that is to blame, or empty
	Time    float64 // s; meaningful in a transient or periodic solution
	Err     error   // one of the Err variables, possibly wrapped
}

func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(string(e.Stage))
	if e.Stage == StageTransient || e.Stage == StagePeriodic {
		fmt.Fprintf(&b, " at %.6g s", e.Time)
	}
	if e.Node != "" {
		fmt.Fprintf(&b, ": node %s", e.Node)
	}
	if e.Element != "" {
		fmt.Fprintf(&b, ": %s", e.Element)
	}
	fmt.Fprintf(&b, ": %v", e.Err)
	return b.String()
}

func (e *Error) Unwrap() error { return e.Err }
