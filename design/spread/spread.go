// Package spread finds the worst case over a box of doubt: how low and how
// high each output of a function can come while every input stays between its
// own two ends.
//
// Trying all 2ⁿ corners is out of the question for the forty to sixty inputs
// of a plan, and a random sample never reaches a corner. The way taken is the
// one an engineer takes by hand. Each input is moved alone to both its ends;
// the signs of its effects choose a corner for each output and side; at that
// corner the choices are tried the other way round, the doubtful ones first;
// and an input whose effect turns inside its range is searched.
//
// What this cannot see: an output that no input moves alone but some move
// together. Of a figure that is capped at nominal let Eval give the one before
// the cap, and cap the bounds; where an input acts only while another stands at
// its high end, say so (Problem.Behind). And where inputs act on each other
// as strongly as they act alone, the corner found may be one that no single
// move improves while another far off is worse still.
package spread

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Input is one quantity in doubt, in whatever unit the function takes.
// Low ≤ Nominal ≤ High, all finite; equal ends mean that nothing is uncertain
// and the input costs nothing.
type Input struct {
	Nominal, Low, High float64
}

// Problem is one function over one box.
type Problem struct {
	// Inputs is the box, one entry for each element of x.
	Inputs []Input

	// Outputs is the length of out.
	Outputs int

	// Eval fills out from x. A NaN in out says that this output does not exist
	// at x; an infinity is refused. It must neither keep nor change x, must
	// give the same out for the same x, and is called from several goroutines
	// at once unless Alone is set. An error at any x ends the whole run.
	Eval func(x, out []float64) error

	// Parts, where Eval is several pieces of work, names for each output the piece
	// that brings it, counted from 0; Part does that one alone: it fills its outputs
	// as Eval does and leaves the others as they are. What is asked for the sake of
	// one output then costs its part only. nil: Eval is one piece.
	Parts []int
	Part  func(x []float64, part int, out []float64) error

	// Touches lists the inputs that reach Eval; nil means all of them. Inputs
	// that are left out stay at nominal and cost nothing.
	Touches []int

	// Behind names inputs that show what they do only while another one, their
	// gate, stands at its high end, as what heats a coil does only where the coil
	// has had time to warm up: alone they are moved there, and not at nominal
	// where they may be dead. Input and gate are indices; a gate has none itself.
	Behind map[int]int

	// Budget is the most evaluations, of Eval or of one part, to spend; 0 means no limit. Every input
	// is always moved to both ends and every corner is always tried: the
	// budget cuts the searches and rechecks that follow.
	Budget int

	// Noise is the relative error that Eval itself may carry; a change below
	// Noise × (nominal + largest change) counts as none. 0 means 1e-9.
	Noise float64

	// Alone is one point after another, instead of all processors at once. The
	// result does not depend on it.
	Alone bool
}

// Result is the worst case of every output.
type Result struct {
	Outputs     []Output
	Evaluations int  // calls of Eval and of Part
	CutShort    bool // the budget ran out before the rechecks were done
}

// Output is the worst case of one output, in the output's own unit.
type Output struct {
	// Nominal, Low and High: Low ≤ Nominal ≤ High. All three are NaN where the
	// output does not exist at nominal.
	Nominal, Low, High float64

	// AtLow and AtHigh are the x at which Low and High were found.
	AtLow, AtHigh []float64

	// Effects ranks the inputs that move this output, strongest first.
	Effects []Effect

	// Elsewhere is the first x found at which the output is absent although it
	// exists at nominal, or the reverse; nil where there is none.
	Elsewhere []float64
}

// Exists tells whether the output exists at nominal.
func (o Output) Exists() bool { return !math.IsNaN(o.Nominal) }

// Effect is what one input does alone, all others at nominal.
type Effect struct {
	Input     int     // index into Problem.Inputs
	Low, High float64 // change of the output with the input at its low, its high end, its gate open; 0 where it vanishes
	Size      float64 // largest difference between any two points tried along the input
	Vanishes  bool    // the output ceases to exist at one of them
}

// Nominal is the x at which every input is nominal.
func Nominal(inputs []Input) []float64 {
	x := make([]float64, len(inputs))
	for i, in := range inputs {
		x[i] = in.Nominal
	}
	return x
}

// Worst finds the worst case of every output of p.
func Worst(p Problem) (*Result, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	s := &survey{Problem: p, ledger: newLedger(&p)}
	for _, step := range []func() error{s.moveAlone, s.tryCorners, s.recheck} {
		if err := step(); err != nil {
			return nil, err
		}
	}
	return s.result(), nil
}

func (p Problem) check() error {
	if p.Eval == nil || p.Outputs < 1 {
		return errors.New("spread: a function with at least one output is needed")
	}
	if p.Parts != nil && (len(p.Parts) != p.Outputs || p.Part == nil || slices.Min(p.Parts) < 0) {
		return fmt.Errorf("spread: parts of %d outputs for %d outputs", len(p.Parts), p.Outputs)
	}
	for i, in := range p.Inputs {
		finite := !math.IsNaN(in.Low-in.High) && !math.IsInf(in.Low, 0) && !math.IsInf(in.High, 0)
		if !finite || !(in.Low <= in.Nominal && in.Nominal <= in.High) {
			return fmt.Errorf("spread: input %d: low %g, nominal %g, high %g are not in order or not finite",
				i, in.Low, in.Nominal, in.High)
		}
		if gate, ok := p.Behind[i]; ok {
			if _, again := p.Behind[gate]; again || gate < 0 || gate >= len(p.Inputs) {
				return fmt.Errorf("spread: input %d cannot be behind input %d", i, gate)
			}
		}
	}
	for _, i := range p.Touches {
		if i < 0 || i >= len(p.Inputs) {
			return fmt.Errorf("spread: touches names input %d of %d", i, len(p.Inputs))
		}
	}
	return nil
}

// partOf is the part that brings an output.
func (p Problem) partOf(output int) int {
	if p.Parts == nil {
		return 0
	}
	return p.Parts[output]
}

// One fills out with one output at x, and with those that come with it.
func (p Problem) One(x []float64, output int, out []float64) error {
	if p.Parts == nil {
		return p.Eval(x, out)
	}
	return p.Part(x, p.Parts[output], out)
}

// active lists the inputs that are uncertain and reach the function, in order
// and once each.
func (p Problem) active() []int {
	touched := make([]bool, len(p.Inputs))
	for i := range touched {
		touched[i] = p.Touches == nil
	}
	for _, i := range p.Touches {
		touched[i] = true
	}
	var list []int
	for i, in := range p.Inputs {
		if touched[i] && in.Low < in.High {
			list = append(list, i)
		}
	}
	return list
}

// moved lists the inputs that are active and their gates.
func (p Problem) moved() []int {
	list := p.active()
	for _, i := range list {
		if gate, ok := p.Behind[i]; ok && !slices.Contains(list, gate) {
			list = append(list, gate)
		}
	}
	return list
}
