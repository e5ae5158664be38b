package answer

import (
	"fmt"
	"math"
	"strings"
	"sync"

	"mutewright/design/quantity"
	"mutewright/design/spread"
)

// A Stray is a result that some point of the box takes out of its bounds.
type Stray struct {
	Quantity Quantity
	Value    float64   // the result there, in the quantity's unit
	Off      float64   // how far beyond the bound, as a share of what [Quantity.Scale] says
	At       []float64 // the point
}

// Scale is what the width of a result is measured by: the larger of its nominal
// value, without sign, and of what lies between its bounds. A level of 0 dB is
// never exact: under a millionth of a decibel nothing is said.
func (q Quantity) Scale() float64 {
	scale := math.Max(math.Abs(q.Nominal), q.High-q.Low)
	if q.Unit == quantity.Level {
		scale = math.Max(scale, 1e-6)
	}
	return scale
}

// Sample asks every question that was asked over the box again, at n points of a
// Latin hypercube of the seed, and returns for each result that ever leaves its
// bounds the point that takes it farthest. What the search for the worst case
// believed of signs and corners plays no part in it; nor does the list of
// numbers that each question claims to use.
//
// A question that was sampled before, over the same box and with the same bounds
// for all its results, is passed over; before remembers them, and may be nil.
func (s *Set) Sample(n int, seed uint64, before *Sampled) ([]Stray, error) {
	var strays []Stray
	for _, group := range s.asked() {
		if before.has(group) {
			continue
		}
		problem := group[0].asked.problem
		farthest := make([]Stray, len(group))
		out := make([]float64, problem.Outputs)
		for _, x := range spread.Sample(problem.Inputs, n, seed) {
			if err := problem.Eval(x, out); err != nil {
				return nil, fmt.Errorf("sample of %s: %w", group[0].Name, err)
			}
			for i, q := range group {
				v := q.asked.of.capped(out[q.asked.column])
				off := math.Max(q.Low-v, v-q.High) / q.Scale() // NaN where it does not exist
				if off > farthest[i].Off {
					farthest[i] = Stray{Quantity: q, Value: v, Off: off, At: x}
				}
			}
		}
		for _, f := range farthest {
			if f.Off > 0 {
				strays = append(strays, f)
			}
		}
	}
	return strays, nil
}

// Sampled remembers questions that were sampled, of any number of plans at once.
type Sampled struct{ questions sync.Map }

// has tells whether a question was sampled, and remembers it.
func (s *Sampled) has(group []Quantity) bool {
	if s == nil {
		return false
	}
	var key strings.Builder
	p := group[0].asked.problem
	for _, i := range p.Touches {
		fmt.Fprintf(&key, "%x %x %x;", p.Inputs[i].Low, p.Inputs[i].Nominal, p.Inputs[i].High)
	}
	for _, q := range group {
		fmt.Fprintf(&key, "%s %x %x %x;", q.Name, q.Low, q.Nominal, q.High)
	}
	_, had := s.questions.LoadOrStore(key.String(), true)
	return had
}

// asked groups the results by the question that answered them, in the order in
// which they were asked.
func (s *Set) asked() [][]Quantity {
	place := map[*spread.Problem]int{}
	var groups [][]Quantity
	for _, q := range s.list {
		if q.asked == nil {
			continue
		}
		i, seen := place[q.asked.problem]
		if !seen {
			i = len(groups)
			place[q.asked.problem] = i
			groups = append(groups, nil)
		}
		groups[i] = append(groups[i], q)
	}
	return groups
}
