package answer

import (
	"fmt"
	"math"

	"mutewright/design/known"
	"mutewright/design/quantity"
	"mutewright/design/spread"
)

// A column is one result of a question: its name and how it is worked out.
type column struct {
	name    string
	unit    quantity.Unit
	formula string
	source  string
}

// A question maps a point of the box to the columns. A NaN says that the
// result does not exist there.
type question struct {
	name    string
	columns []column
	uses    []known.ID // the numbers that can move a result
	eval    func(x, out []float64) error
	budget  int // most evaluations; 0: no limit
}

// mostDoubts is how many of the inputs that carry a result's doubt are kept.
const mostDoubts = 6

// ask finds low, nominal and high of every column over the box and adds those
// that exist to the set.
func (q question) ask(box known.Box, into *Set) error {
	problem := spread.Problem{
		Inputs:  make([]spread.Input, len(box)),
		Outputs: len(q.columns),
		Eval:    q.eval,
		Budget:  q.budget,
		Noise:   1e-6, // relative; the solver's own tolerance
		Touches: []int{},
	}
	for i, e := range box {
		problem.Inputs[i] = spread.Input{Nominal: e.Nominal, Low: e.Low, High: e.High}
	}
	seen := make([]bool, len(box))
	for _, id := range q.uses {
		if id.Exists() && !seen[id.Index()] {
			seen[id.Index()] = true
			problem.Touches = append(problem.Touches, id.Index())
		}
	}
	result, err := spread.Worst(problem)
	if err != nil {
		return fmt.Errorf("%s: %w", q.name, err)
	}
	inputs := q.inputs(box, problem.Touches)
	for i, c := range q.columns {
		out := result.Outputs[i]
		if !out.Exists() {
			continue
		}
		into.Add(Quantity{
			Name: c.name, Unit: c.unit,
			Nominal: out.Nominal, Low: out.Low, High: out.High,
			Working: Working{
				Formula: c.formula, Source: c.source,
				Inputs: inputs, Doubts: doubts(box, out),
			},
		})
	}
	return nil
}

// inputs lists the numbers that the question reads.
func (q question) inputs(box known.Box, touches []int) []Input {
	list := make([]Input, 0, len(touches))
	for _, i := range touches {
		e := box[i]
		list = append(list, Input{
			At:      e.At,
			Value:   quantity.Format(e.Nominal, e.Unit),
			Origin:  e.Origin.String(),
			Because: e.Because,
		})
	}
	return list
}

// doubts lists the inputs that move a result most.
func doubts(box known.Box, out spread.Output) []Effect {
	var list []Effect
	for _, effect := range out.Effects {
		if len(list) == mostDoubts || effect.Size <= 1e-3*math.Abs(out.High-out.Low) {
			break
		}
		list = append(list, Effect{
			At:  box[effect.Input].At,
			Low: out.Nominal + effect.Low, High: out.Nominal + effect.High,
		})
	}
	return list
}

// within returns value, or NaN where it does not exist.
func within(value float64, exists bool) float64 {
	if !exists {
		return math.NaN()
	}
	return value
}
