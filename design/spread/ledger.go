package spread

import (
	"encoding/binary"
	"fmt"
	"math"

	"mutewright/design/beside"
)

// ledger evaluates points, each different one once, and remembers them in the
// order in which they were asked for; so nothing in it depends on which
// goroutine finished first.
type ledger struct {
	eval    func(x, out []float64) error
	outputs int
	alone   bool // one point after another
	budget  int  // 0: no limit
	points  []point
	moved   []int          // the inputs that are ever moved
	known   map[string]int // their bits in x → index into points
	spent   bool           // a point was refused for want of budget
	best    [][2]int       // for each output the points with its lowest and highest value, -1 where it never existed
	odd     []int          // for each output the first point whose existence differs from point 0, or -1
}

type point struct{ x, out []float64 }

const (
	lowest  = 0
	highest = 1
)

func newLedger(p Problem) *ledger {
	l := &ledger{
		eval: p.Eval, outputs: p.Outputs, alone: p.Alone, budget: p.Budget,
		moved: p.moved(), known: map[string]int{},
		best: make([][2]int, p.Outputs),
		odd:  make([]int, p.Outputs),
	}
	for k := range l.best {
		l.best[k], l.odd[k] = [2]int{-1, -1}, -1
	}
	return l
}

// must evaluates xs whatever the budget says and returns the index of each.
func (l *ledger) must(xs [][]float64) ([]int, error) {
	budget := l.budget
	l.budget = 0
	defer func() { l.budget = budget }()
	return l.try(xs)
}

// try evaluates as many of xs as the budget allows, first ones first, and
// returns the index of each, -1 for those that were refused.
func (l *ledger) try(xs [][]float64) ([]int, error) {
	index := make([]int, len(xs))
	first := len(l.points)
	for n, x := range xs {
		key := l.key(x)
		at, ok := l.known[key]
		switch {
		case ok:
		case l.budget > 0 && len(l.points) >= l.budget:
			l.spent, at = true, -1
		default:
			at = len(l.points)
			l.known[key] = at
			l.points = append(l.points, point{x: x, out: make([]float64, l.outputs)})
		}
		index[n] = at
	}
	if err := l.evaluate(l.points[first:]); err != nil {
		return nil, err
	}
	for n := first; n < len(l.points); n++ {
		l.note(n)
	}
	return index, nil
}

// evaluate runs the function over fresh points. The error of the earliest
// point wins.
func (l *ledger) evaluate(fresh []point) error {
	work := func(n int) error { return l.evaluateOne(fresh[n]) }
	if !l.alone {
		return beside.Each(len(fresh), work)
	}
	for n := range fresh {
		if err := work(n); err != nil {
			return err
		}
	}
	return nil
}

func (l *ledger) evaluateOne(p point) error {
	if err := l.eval(p.x, p.out); err != nil {
		return fmt.Errorf("spread: %w", err)
	}
	for k, v := range p.out {
		if math.IsInf(v, 0) {
			return fmt.Errorf("spread: output %d is infinite at %v", k, p.x)
		}
	}
	return nil
}

// note lets every output profit from a new point.
func (l *ledger) note(n int) {
	for k, v := range l.points[n].out {
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
