package answer

import (
	"fmt"
	"math"
	"strings"

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
	cap     float64 // where the result ends; 0: nowhere. Bounds are found without it
}

// A question maps a point of the box to the columns. A NaN says that the
// result does not exist there.
type question struct {
	name    string
	columns []column
	uses    []known.ID // the numbers that can move a result
	eval    func(x, out []float64) error
	parts   []int // of each column, which part of the work brings it; nil: it is one piece
	part    func(x []float64, part int, out []float64) error
	steps   func(x []float64) ([]detail, error) // what is found on the way; nil: nothing
	budget  int                                 // most evaluations; 0: no limit
}

// A detail is a value on the way to some results of a question.
type detail struct {
	of    string // begins the names of those results
	words string
	unit  quantity.Unit
	value float64
}

// leadsTo tells whether a detail stands on the way to a result: its own, or one of
// those whose names begin with all of its parts.
func (d detail) leadsTo(name string) bool {
	return strings.HasPrefix(name+".", strings.TrimSuffix(d.of, ".")+".")
}

// mostDoubts is how many of the inputs that carry a result's doubt are kept.
const mostDoubts = 6

// ask finds low, nominal and high of every column over the box and adds those
// that exist to the set.
func (q question) ask(box known.Box, into *Set) error {
	problem := &spread.Problem{
		Inputs: inputsOf(box), Outputs: len(q.columns), Touches: touched(q.uses, box), Behind: behind(box),
		Eval: q.eval, Parts: q.parts, Part: q.part, Budget: q.budget,
		Noise: 1e-6, // relative; the solver's own tolerance
	}
	result, err := spread.Worst(*problem)
	if err != nil {
		return fmt.Errorf("%s: %w", q.name, err)
	}
	inputs := q.inputs(box, problem.Touches)
	for i, c := range q.columns {
		out := result.Outputs[i]
		if !out.Exists() {
			continue
		}
		came := &asked{problem: problem, column: i, of: c, out: out, steps: q.steps}
		into.Add(Quantity{
			Name: c.name, Unit: c.unit,
			Nominal: c.capped(out.Nominal), Low: c.capped(out.Low), High: c.capped(out.High), Most: c.cap,
			Working: Working{
				Formula: c.formula, Source: c.source,
				Inputs: inputs, Doubts: doubts(box, out),
			},
			asked: came, came: came,
		})
	}
	return nil
}

// capped is a result that ends where its column does.
func (c column) capped(v float64) float64 {
	if c.cap > 0 {
		return math.Min(v, c.cap)
	}
	return v
}

// inputs lists the numbers that the question reads.
func (q question) inputs(box known.Box, touches []int) []Input {
	list := make([]Input, 0, len(touches))
	for _, i := range touches {
		list = append(list, inputOf(box[i]))
	}
	return list
}

// InputAt is a number of the box, which must exist, as it stands in a working.
func InputAt(f *known.Facts, id known.ID) *Input {
	in := inputOf(f.Box.Entry(id))
	return &in
}

// inputOf is a number of the box as it stands in a working.
func inputOf(e known.Entry) Input {
	return Input{
		At: e.At, Value: quantity.Format(e.Nominal, e.Unit),
		Origin: e.Origin.String(), Because: e.Because, Line: e.Line, Setting: e.Setting,
	}
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
