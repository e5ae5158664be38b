package spread

import (
	"encoding/binary"
	"fmt"
	"math"

	"mutewright/design/beside"
)

// ledger evaluates points, each part of each different one once, and remembers
// them in the order in which they were asked for; so nothing in it depends on
// which goroutine finished first.
type ledger struct {
	problem *Problem
	budget  int     // the problem's, or 0: no limit
	outputs [][]int // of each part
	points  []point
	moved   []int          // the inputs that are ever moved
	known   map[string]int // their bits in x → index into points
	calls   int            // of the function
	spent   bool           // a point was refused for want of budget
	best    [][2]int       // for each output the points with its lowest and highest value, -1 where it never existed
	odd     []int          // for each output the first point whose existence differs from point 0, or -1
}

// point is what is known of one x; out counts only where its part is there.
type point struct {
	x, out []float64
	there  []bool // by part
}

const (
	lowest  = 0
	highest = 1
)

// ask is a point of which a part is wanted.
type ask struct {
	x    []float64
	part int
}

// whole is the part of an ask that wants all of them.
const whole = -1

func newLedger(p *Problem) *ledger {
	l := &ledger{
		problem: p, budget: p.Budget, outputs: make([][]int, 1),
		moved: p.moved(), known: map[string]int{},
		best: make([][2]int, p.Outputs),
		odd:  make([]int, p.Outputs),
	}
	for k := range p.Outputs {
		part := p.partOf(k)
		for part >= len(l.outputs) {
			l.outputs = append(l.outputs, nil)
		}
		l.outputs[part] = append(l.outputs[part], k)
		l.best[k], l.odd[k] = [2]int{-1, -1}, -1
	}
	return l
}

// must answers asks whatever the budget says and returns the point of each.
func (l *ledger) must(asks []ask) ([]int, error) {
	budget := l.budget
	l.budget = 0
	defer func() { l.budget = budget }()
	return l.try(asks)
}

// task is one call of the function.
type task struct{ point, part int }

// try answers as many of the asks as the budget allows, first ones first, and
// returns the point of each, -1 for those that were refused.
func (l *ledger) try(asks []ask) ([]int, error) {
	index := make([]int, len(asks))
	var tasks []task
	for n, a := range asks {
		key := l.key(a.x)
		at, ok := l.known[key]
		missing := []int{a.part}
		if ok {
			missing = l.missing(at, a.part)
		}
		switch {
		case len(missing) == 0:
		case l.budget > 0 && l.calls+len(tasks) >= l.budget:
			l.spent, at = true, -1
		default:
			if !ok {
				at = len(l.points)
				l.known[key] = at
				l.points = append(l.points, point{x: a.x, out: make([]float64, l.problem.Outputs), there: make([]bool, len(l.outputs))})
			}
			for _, part := range missing {
				l.mark(at, part)
				tasks = append(tasks, task{at, part})
			}
		}
		index[n] = at
	}
	l.calls += len(tasks)
	if err := l.do(tasks); err != nil {
		return nil, err
	}
	for _, t := range tasks {
		for part, outputs := range l.outputs {
			if t.part == whole || t.part == part {
				l.note(t.point, outputs)
			}
		}
	}
	return index, nil
}

// missing lists what is neither there of a known point nor on its way.
func (l *ledger) missing(at, part int) []int {
	var list []int
	for n, there := range l.points[at].there {
		if !there && (part == whole || part == n) {
			list = append(list, n)
		}
	}
	return list
}

// mark says that a part of a point is on its way.
func (l *ledger) mark(at, part int) {
	there := l.points[at].there
	for n := range there {
		there[n] = there[n] || part == whole || part == n
	}
}

// do runs the function for every task. The error of the earliest one wins.
func (l *ledger) do(tasks []task) error {
	work := func(n int) error { return l.doOne(tasks[n]) }
	if !l.problem.Alone {
		return beside.Each(len(tasks), work)
	}
	for n := range tasks {
		if err := work(n); err != nil {
			return err
		}
	}
	return nil
}

func (l *ledger) doOne(t task) error {
	p := l.points[t.point]
	var err error
	if t.part == whole || l.problem.Parts == nil {
		err = l.problem.Eval(p.x, p.out)
	} else {
		err = l.problem.Part(p.x, t.part, p.out)
	}
	if err != nil {
		return fmt.Errorf("spread: %w", err)
	}
	for part, outputs := range l.outputs {
		for _, k := range outputs {
			if (t.part == whole || t.part == part) && math.IsInf(p.out[k], 0) {
				return fmt.Errorf("spread: output %d is infinite at %v", k, p.x)
			}
		}
	}
	return nil
}

// note lets outputs profit from a new point.
func (l *ledger) note(n int, outputs []int) {
	for _, k := range outputs {
		v := l.points[n].out[k]
		if math.IsNaN(v) != math.IsNaN(l.points[0].out[k]) && l.odd[k] < 0 {
			l.odd[k] = n
		}
		if math.IsNaN(v) {
			continue
		}
		if b := l.best[k][lowest]; b < 0 || v < l.points[b].out[k] {
			l.best[k][lowest] = n
		}
		if b := l.best[k][highest]; b < 0 || v > l.points[b].out[k] {
			l.best[k][highest] = n
		}
	}
}

// key tells points apart.
func (l *ledger) key(x []float64) string {
	b := make([]byte, 0, 8*len(l.moved))
	for _, i := range l.moved {
		b = binary.LittleEndian.AppendUint64(b, math.Float64bits(x[i]))
	}
	return string(b)
}
